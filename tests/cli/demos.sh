# The demo projects: what is said of each, and that the same input gives the same bytes.
for board in "$ROOT"/boards/*/; do
  echo "---- $(basename "$board")"
  blankwright plan "$board" --out one
  blankwright plan "$board" --out two >/dev/null 2>&1
  diff -r one two && echo "the same twice"
  rm -rf one two
done
