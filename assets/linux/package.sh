#!/bin/sh
# Makes a Debian package and a portable archive from a program that is already built.
#
#   assets/linux/package.sh PROGRAM FOLDER
#
# PROGRAM writes its own man pages and completions. Needs dpkg-deb, gzip and tar. The package says
# of itself what stands in crates/blankwright/Cargo.toml under package.metadata.deb. The time in
# both is the last commit's; set SOURCE_DATE_EPOCH for another.
set -eu
program=$(realpath "$1")
mkdir -p "$2"
out=$(realpath "$2")
root=$(realpath "$(dirname "$0")/../..")
linux=$root/assets/linux
version=$("$program" --version | cut -d ' ' -f 2)
machine=$(uname -m)
: "${SOURCE_DATE_EPOCH:=$(git -C "$root" log -1 --format=%ct 2>/dev/null || date +%s)}"
export SOURCE_DATE_EPOCH
umask 022

# Everything as it will lie below /usr, where the package's metadata looks for it.
tree=$root/target/package-tree
rm -rf "$tree"
put() { install -D -m "$1" "$2" "$tree/$3"; }
put 755 "$program" bin/blankwright
# Symbols are of no use to whom it is handed.
if command -v strip >/dev/null; then strip --strip-unneeded "$tree/bin/blankwright"; fi
put 644 "$linux/blankwright.desktop" share/applications/blankwright.desktop
put 644 "$linux/blankwright.svg" share/icons/hicolor/scalable/apps/blankwright.svg
for icon in "$linux"/icons/*.png; do
  side=$(basename "$icon" .png)
  put 644 "$icon" "share/icons/hicolor/${side}x$side/apps/blankwright.png"
done
put 644 "$linux/blankwright.xml" share/mime/packages/blankwright.xml
put 644 "$linux/org.example.blankwright.metainfo.xml" share/metainfo/org.example.blankwright.metainfo.xml
doc=share/doc/blankwright
put 644 "$linux/copyright" $doc/copyright
for sample in "$root"/samples/*; do
  put 644 "$sample" "$doc/samples/$(basename "$sample")"
done
# A page of its own for each command that is listed, and one for the whole.
man=$tree/share/man/man1
mkdir -p "$man"
commands=$("$program" help | sed -n '/^Commands;/,/^$/s/^  \([a-z]*\) .*/\1/p')
"$program" man > "$man/blankwright.1"
for command in $commands; do
  "$program" man "$command" > "$man/blankwright-$command.1"
done
gzip -9n "$man"/*.1
while read -r shell file; do
  mkdir -p "$tree/share/$(dirname "$file")"
  "$program" completions "$shell" > "$tree/share/$file"
done <<END
bash bash-completion/completions/blankwright
zsh zsh/vendor-completions/_blankwright
fish fish/vendor_completions.d/blankwright.fish
END
"$program" help changes | gzip -9n > "$tree/$doc/changelog.gz"

name=blankwright-$version-linux-$machine
tar --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$SOURCE_DATE_EPOCH" \
  --transform "s,^\.,$name," -C "$tree" -cf - . | gzip -9n > "$out/$name.tar.gz"
echo "Wrote $out/$name.tar.gz"

# The package: the same below /usr, with its history as Debian tells it.
said() { sed -n "s/^$1 = \"\(.*\)\"\$/\1/p" "$root/crates/blankwright/Cargo.toml"; }
maintainer=$(said maintainer)
deb=$root/target/package-deb
rm -rf "$deb"
mkdir -p "$deb/DEBIAN" "$deb/usr"
cp -a "$tree/." "$deb/usr"
gzip -9n > "$deb/usr/$doc/changelog.Debian.gz" <<END
blankwright ($version-1) unstable; urgency=medium

  * What this version brought is told by "blankwright help changes".

 -- $maintainer  $(LC_ALL=C date -u -R -d "@$SOURCE_DATE_EPOCH")
END
cat > "$deb/DEBIAN/control" <<END
Package: blankwright
Version: $version-1
Section: $(said section)
Priority: optional
Architecture: $(dpkg --print-architecture)
Maintainer: $maintainer
Installed-Size: $(du -sk "$deb/usr" | cut -f 1)
Depends: $(said depends)
Description: $(said description)
$(said extended-description | fold -sw 76 | sed "s/^/ /; s/ *$//")
END
find "$deb" -exec touch -h -d "@$SOURCE_DATE_EPOCH" {} +
dpkg-deb --root-owner-group --build "$deb" "$out" >/dev/null
echo "Wrote $out/blankwright_$version-1_$(dpkg --print-architecture).deb"
