# A cutter set too deep in its nut: clamps are kept away from it, the loads hold less, and it is said
# what stick-out would do.
cp -r "$ROOT/boards/coasters" coasters
blankwright plan coasters --out far >far.txt
sed 's/,24,20$/,22,20/' "$ROOT/boards/coasters/cutters.csv" >coasters/cutters.csv
blankwright plan coasters --out near >near.txt
for run in far near; do
  echo "---- $run"
  sed -n '/^Cost/,/^  total/p; /^On the bed/,/^$/p; /nut near/,/fuller/p' $run.txt
done
