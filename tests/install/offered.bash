# offered.bash COMPLETION: what bash offers behind a few beginnings of a line.
set -u
source "$1" || exit 3
scratch=$(mktemp -d) || exit 3
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 3
mkdir -p boards/first 'boards/with space' boards/reports
touch boards/plan.json boards/notes.txt
failed=0

# expect 'OFFERED...' WORD...: the last word is the one being typed.
expect() {
  local wanted=$1
  shift
  COMP_WORDS=(blankwright "$@")
  COMP_CWORD=$#
  COMPREPLY=()
  _blankwright
  local given
  given=$(printf '%s\n' "${COMPREPLY[@]}" | LC_ALL=C sort | paste -s -d '|')
  [[ $given == "$wanted" ]] && return
  echo "blankwright $*: offered '$given', expected '$wanted'" >&2
  failed=1
}

expect 'plan|price|proof' p
expect 'price' pri
expect '--help|--version' --
expect 'A4|Letter' plan --paper ''
expect 'Letter' plan boards/first --paper = L
expect '--most' plan --m
expect '--price-change' price --price
expect '' check --most
expect 'boards' plan ''
expect 'boards/first|boards/reports|boards/with space' plan boards/
expect 'boards/first' plan --sets 3 boards/f
expect 'boards/first' plan --sets = 3 boards/f
expect '' plan --sets ''
expect 'boards' plan boards/first --out b
expect 'boards/with space' plan boards/first --out = boards/w
expect 'boards' plan boards/first --out =
expect '' plan boards/first b
expect 'boards/first|boards/plan.json|boards/reports|boards/with space' proof boards/
expect 'boards/plan.json' settle boards/first boards/p
expect 'boards' new b
exit $failed
