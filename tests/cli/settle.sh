# After cutting: what was used leaves the rack, offcuts and spare pieces of packs join it, with their
# flaws; every other byte of the two files stays, and the next plan starts from them.
mkdir -p boards/box
cat >boards/box/parts.csv <<END
part,per_set,length,width,thickness,wood
side,2,300,90,18,oak
lid,1,300,150,9,ply
END
printf '\357\273\277# what hangs on the wall; keep it dry\r
stock;kind;wood;length;width;thickness;count;value;note\r
"B1";plank;oak;920,5;120;18; 3 ;7,50;"by the door;\r
dry"\r
# the next one is for the shelf\r
B2;plank;beech;900;100;18;;4\r
B3;plank;oak;400;100;18;1;2,40;short\r
# end' >boards/box/rack.csv
printf 'stock;copy;x;y;length;width;what\r
B1;1;780,25;20;30;25;knot\r
# seen in spring\r
b1;3;420;10;95;95;"knot; small"\r
B1;;0;0;9;9;corner\r
B2;;100;20;10;10;worm' >boards/box/flaws.csv
cat >boards/box/yard.csv <<END
stock,kind,wood,length,width,thickness,price,per,pack
P1,sheet,ply,800,400,9,11.00,each,3
END
show() { sed -e 's/plan [0-9a-f]\{16\}/plan N/' -e 's/\r$/<CR>/' -e '$s/$/<END>/' "$1"; }

blankwright plan boards/box --sets 2 >/dev/null || exit
cp reports/box/plan.json first.json
mkdir kept && cp -R boards/box kept/box
echo "---- settled"
blankwright settle boards/box first.json
echo "---- rack.csv"
show boards/box/rack.csv
echo "---- flaws.csv"
show boards/box/flaws.csv
ls -A boards/box
cmp kept/box/rack.csv boards/box/rack.csv.before && cmp kept/box/flaws.csv boards/box/flaws.csv.before
echo "---- twice"
blankwright settle boards/box first.json
echo "---- $?"
echo "---- the next run, from what is left"
blankwright plan boards/box --sets 1 | sed -n '/^Cost/,/total/p'
blankwright settle boards/box reports/box/plan.json
show boards/box/rack.csv | grep -v '^#'
echo "---- of an earlier rack"
blankwright settle kept/box reports/box/plan.json
echo "---- $?"
