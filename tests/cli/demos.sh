# The demo projects: what they cost, and that the same input gives the same bytes.
for board in cribbage trays coasters; do
  blankwright plan "$ROOT/boards/$board" --out one >summary.txt 2>messages.txt || cat messages.txt
  blankwright plan "$ROOT/boards/$board" --out two >/dev/null 2>&1
  echo "---- $board"
  cat summary.txt
  diff -r one two && echo "the same twice"
  rm -rf one two
done
