# Nothing that is there is touched.
mkdir full empty
echo mine >full/parts.csv
blankwright new full
echo "---- $?"
cat full/parts.csv
blankwright new full/parts.csv
echo "---- $?"
blankwright new full/parts.csv/below
echo "---- $?"
blankwright new empty
echo "---- $?"
blankwright new not/there/yet
echo "---- $?"
