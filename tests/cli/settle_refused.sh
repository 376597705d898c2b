# What is not settled leaves both files as they were; what was stopped half done is finished.
cp -R "$ROOT/boards" boards
project=boards/serving
sed 's/^labour_rate.*/labour_rate,0/' boards/serving/shop.csv >shop && mv shop boards/serving/shop.csv
blankwright plan $project >/dev/null 2>&1 || exit
plan=reports/serving/plan.json
cp -R boards/serving kept
try() {
  blankwright settle $project $plan
  echo "---- $1: $?"
  diff -r kept $project && echo "all as it was"
}
again() { rm -rf $project && cp -R kept $project; }
try_changed() {
  sed "$2" kept/$1 >$project/$1
  blankwright settle $project $plan
  echo "---- $1 $2: $?"
  ls -A $project | grep -c before
  again
}
try_changed rack.csv 's/^R2,plank,ash,900/R2,plank,ash,880/'
try_changed rack.csv '/^R2/d'
try_changed flaws.csv 's/610/612/'
sed 's/"copy": *1,/"copy": 7,/' $plan >tampered.json
plan=tampered.json
blankwright settle $project $plan >/dev/null 2>&1
echo "---- tampered: $?"
sed 's/"fingerprint"/"finger"/' reports/serving/plan.json >old.json
plan=old.json
try "a plan without fingerprints"
plan=reports/serving/plan.json
blankwright settle boards/trays $plan
echo "---- of another project: $?"
cp kept/rack.csv elsewhere && ln -sf ../../elsewhere $project/rack.csv
blankwright settle $project $plan
echo "---- a link: $?"
again
mkdir $project/rack.csv.before kept/rack.csv.before
try "cannot be kept"
rmdir kept/rack.csv.before
again

echo "---- stopped between the two files"
blankwright settle $project $plan >/dev/null
cp -R $project whole
cp $project/rack.csv.before $project/.rack.csv.old && mv $project/flaws.csv $project/.flaws.csv.tmp && cp $project/flaws.csv.before $project/flaws.csv
blankwright check $project
echo "---- check: $?"
blankwright settle $project $plan
echo "---- settled: $?"
diff -r whole $project && echo "whole"
blankwright settle $project $plan 2>&1 | sed 's/csv:[0-9]*:/csv:N:/'
blankwright settle
blankwright settle $project
blankwright settle $project $plan more
