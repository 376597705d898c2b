#!/bin/sh
# package.sh CPACK BUILD: the Debian package names what its program is linked with, holds
# what it should, its program runs, and the same SOURCE_DATE_EPOCH gives the same bytes.
set -eu
cpack=$1
build=$2
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
SOURCE_DATE_EPOCH=1700000000
export SOURCE_DATE_EPOCH
for turn in one two; do
  "$cpack" -G DEB --config "$build/CPackConfig.cmake" -B "$scratch/$turn" >"$scratch/log" 2>&1 ||
    { cat "$scratch/log"; exit 1; }
done
for package in "$scratch"/one/*.deb; do cmp "$package" "$scratch/two/$(basename "$package")"; done

program=$(ls "$scratch"/one/blankwright_*.deb)
depends=$(dpkg-deb -f "$program" Depends)
for library in libc6 libcsv3 libglpk libjansson4 libxml2 libcairo2 libpangocairo-1.0-0; do
  case $depends in *"$library"*) ;; *) echo "not among '$depends': $library"; exit 1 ;; esac
done
dpkg-deb -x "$program" "$scratch/root"
(cd "$scratch/root" && find . -type f | sed 's/^\.//' | LC_ALL=C sort) >"$scratch/files"
diff - "$scratch/files" <<'END'
/usr/bin/blankwright
/usr/share/bash-completion/completions/blankwright
/usr/share/doc/blankwright/changelog.gz
/usr/share/doc/blankwright/copyright
/usr/share/man/man1/blankwright.1.gz
/usr/share/zsh/vendor-completions/_blankwright
END
version=$("$scratch/root/usr/bin/blankwright" --version)
[ "$version" = "blankwright $(dpkg-deb -f "$program" Version)" ]
"$scratch/root/usr/bin/blankwright" new "$scratch/first" >/dev/null
"$scratch/root/usr/bin/blankwright" check "$scratch/first" >/dev/null 2>&1
dpkg-deb -c "$scratch"/one/libblankwright-dev_*.deb | grep '/blankwright\.pc$' >/dev/null
