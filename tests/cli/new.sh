# The starter project can be checked and planned as it stands.
mkdir boards
blankwright new boards/first && ls boards/first
blankwright check boards/first
echo "---- $?"
blankwright plan boards/first >plan.txt
echo "---- $?"
sed -n '$p' plan.txt
ls reports/first
