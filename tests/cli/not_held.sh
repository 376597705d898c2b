# What nothing owned can hold is refused, with the rule that fails and what would cure it.
cp -r "$ROOT/boards/coasters" coasters
sed 's/hold-down,6,/hold-down,3,/; /side push/d' "$ROOT/boards/coasters/clamps.csv" >coasters/clamps.csv
blankwright plan coasters --out out
echo "---- $?"
cp -r "$ROOT/boards/cribbage" cribbage
sed 's/hold-down,6,/hold-down,1,/; /side push/d' "$ROOT/boards/cribbage/clamps.csv" >cribbage/clamps.csv
blankwright plan cribbage --out out
echo "---- $?"
ls
