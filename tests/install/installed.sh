#!/bin/sh
# installed.sh CMAKE BUILD COMPILER [FLAG...]: what `cmake --install` puts below a prefix is
# whole: the program runs, and a client builds with pkg-config alone.
set -eu
cmake=$1
build=$2
compiler=$3
shift 3
here=$(cd "$(dirname "$0")" && pwd)
prefix=$(mktemp -d)
trap 'rm -rf "$prefix"' EXIT
"$cmake" --install "$build" --prefix "$prefix/own" >"$prefix/log" || { cat "$prefix/log"; exit 1; }
cd "$prefix/own"
version=$(bin/blankwright --version | sed 's/^blankwright //')

for file in share/man/man1/blankwright.1.gz share/bash-completion/completions/blankwright \
  share/zsh/site-functions/_blankwright include/blankwright/blankwright.h; do
  [ -s "$file" ] || { echo "not installed: $file"; exit 1; }
done
gzip -t share/man/man1/blankwright.1.gz

PKG_CONFIG_PATH=$(dirname "$(find "$PWD" -name blankwright.pc)")
export PKG_CONFIG_PATH
[ "$(pkg-config --modversion blankwright)" = "$version" ] || { echo "version of blankwright.pc"; exit 1; }
"$compiler" "$@" -std=c17 -Wall -Wextra -Wpedantic -Werror "$here/client.c" \
  $(pkg-config --cflags --libs blankwright) -o "$prefix/client"
"$prefix/client" "$prefix/first" >"$prefix/by_client"
bin/blankwright check "$prefix/first" 2>/dev/null >"$prefix/by_program"
diff "$prefix/by_program" "$prefix/by_client"
[ -s "$prefix/by_client" ]
