#!/usr/bin/env bash
# Installs WHEEL in a new environment under FOLDER and starts it there, with nothing of the checkout in sight.
set -euo pipefail
wheel=$(realpath "$1") folder=$2
here=$(realpath "$(dirname "$0")")
mkdir -p "$folder/home"
folder=$(realpath "$folder")
python3 -m venv "$folder/environment"
commands=$folder/environment/bin
"$commands/pip" install --quiet --disable-pip-version-check --only-binary :all: \
  --constraint "$here/constraints.txt" "$wheel"
cd "$folder/home"
alone() { env -i HOME="$folder/home" PATH=/usr/bin:/bin LC_ALL=C.UTF-8 QT_QPA_PLATFORM=offscreen "$@"; }

echo '$ tubcare --help' && alone "$commands/tubcare" --help >help.txt && head -n 3 help.txt
echo '$ tubcare week' && alone "$commands/tubcare" --logbook "$folder/home/new.tubcare" week
[ -s "$folder/home/new.tubcare" ]
echo '$ tubcare, its window' && alone "$commands/python" -I "$here/open_and_quit.py" --logbook "$folder/home/new.tubcare"
