# A spreadsheet's parts list and a yard are all it takes: semicolons, carriage returns, a
# byte order mark and empty rows as a spreadsheet leaves them.
mkdir -p boards/tray
printf 'part;per_set;length;width;thickness;wood\r\ntray;1;220;90;20,5;oak\r\nfoot;2;80;20;12;"oak"\r\n;;;;;\r\n' \
  >boards/tray/parts.csv
printf '\357\273\277stock,kind,wood,length,width,thickness,price,per\r\nY1,plank,oak,1800,150,20.5,24.00,m\r\nY2,plank,oak,900,90,12,12,each\r\n,,,,,,,\r\n' \
  >boards/tray/yard.csv
ls boards/tray
blankwright check boards/tray >check.txt
echo "---- $?"
sed '/Defaults/,$d' check.txt
blankwright plan boards/tray >plan.txt
echo "---- $?"
grep total plan.txt
blankwright proof reports/tray/plan.json
echo "---- $?"
cat reports/tray/purchase.csv
