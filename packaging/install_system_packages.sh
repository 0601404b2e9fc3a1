#!/usr/bin/env bash
# Installs the Debian packages that the tests need and that are not there yet (as root).
set -euo pipefail
wanted=(
  # Python's own missing halves, and what Qt links against: offscreen, then X11
  python3-venv fonts-dejavu-core
  libglib2.0-0 libgl1 libegl1 libdbus-1-3 libfontconfig1 libxkbcommon0
  libxkbcommon-x11-0 libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1
  libxcb-render-util0 libxcb-shape0
  # a screen with a hand and an eye, a session bus, the accessibility tree
  xvfb xauth openbox xdotool imagemagick dbus at-spi2-core gir1.2-atspi-2.0 python3-gi
  # readers of what we write
  poppler-utils desktop-file-utils appstream
  postgresql
)
missing=()
for package in "${wanted[@]}"; do
  state=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$state" = installed ] || missing+=("$package")
done
if [ ${#missing[@]} -eq 0 ]; then
  echo 'nothing missing'
  exit
fi
echo "installing ${missing[*]}"
export DEBIAN_FRONTEND=noninteractive
# apt checks signatures as a user of its own, who may not be let into this machine's /tmp.
TMPDIR=$(mktemp -d)
export TMPDIR
trap 'rm -rf "$TMPDIR"' EXIT
chmod 1777 "$TMPDIR"
apt-get update -qq
apt-get install -y -qq --no-install-recommends "${missing[@]}" </dev/null >/dev/null
