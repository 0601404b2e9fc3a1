#!/usr/bin/env bash
# Makes a Debian package of the frozen program, offline, as any user:
#   build_deb.sh dist/tubcare tubcare.deb
set -euo pipefail
frozen=$1 package=$2
here=$(dirname "$0") id=org.tubcare.Tubcare
version=$(sed -n 's/^version = "\(.*\)"$/\1/p' "$here/../pyproject.toml")
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT

share=$root/usr/share doc=$root/usr/share/doc/tubcare
install -d "$root/DEBIAN" "$root/usr/bin" "$root/usr/lib" "$doc"
cp -a "$frozen" "$root/usr/lib/tubcare"
ln -s ../lib/tubcare/tubcare "$root/usr/bin/tubcare"
find "$root/usr/lib/tubcare" -type f -name '*.so*' -exec chmod 644 {} +
install -Dm644 "$here/$id.desktop" "$share/applications/$id.desktop"
install -Dm644 "$here/$id.metainfo.xml" "$share/metainfo/$id.metainfo.xml"
install -Dm644 "$here/$id.svg" "$share/icons/hicolor/scalable/apps/$id.svg"
install -Dm644 "$here/licence.txt" "$doc/copyright"
printf 'tubcare (%s) unstable; urgency=low\n\n  * Build of this version.\n\n -- The tubcare contributors <tubcare@localhost>  %s\n' \
  "$version" "$(date -uR)" | gzip -9n >"$doc/changelog.gz"

cat >"$root/DEBIAN/control" <<CONTROL
Package: tubcare
Version: $version
Architecture: $(dpkg --print-architecture)
Maintainer: The tubcare contributors <tubcare@localhost>
Installed-Size: $(du -sk "$root/usr" | cut -f1)
Section: misc
Priority: optional
Depends: libc6 (>= 2.34), libgl1, libegl1, libxcb1, libx11-6, libfontconfig1, libdbus-1-3
Recommends: libwayland-client0, libwayland-cursor0, libwayland-egl1, fonts-dejavu-core | fonts-noto-core, at-spi2-core
Description: maintenance schedule for an outdoor chilled tub
 What is due this week, what was done and by whom, and what it costs.
 With its own Python and Qt.
CONTROL
find "$root" -type d -exec chmod 755 {} +
dpkg-deb --root-owner-group -Zxz -b "$root" "$package"
