# The demo projects: what they cost and how far that is proved, and that the same input
# gives the same bytes.
for board in "$ROOT"/boards/*/; do
  echo "---- $(basename "$board")"
  blankwright plan "$board" --out one >summary.txt || cat summary.txt
  sed -n '/^Cost/,/^$/p' summary.txt
  blankwright plan "$board" --out two >/dev/null 2>&1
  diff -r one two && echo "the same twice"
  rm -rf one two
done
