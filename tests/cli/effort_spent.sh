# One piece to a plank, and eight planks too few: known to no search that takes so many kinds in
# portions, which says that more effort might do.
mkdir -p boards/many
awk 'BEGIN {
  print "part,per_set,length,width,thickness,wood"
  for (p = 1; p <= 24; p++) printf "p%d,17,%d,60,18,oak\n", p, 79 + p }' >boards/many/parts.csv
awk 'BEGIN {
  print "stock,kind,wood,length,width,thickness,trim_ends,trim_edges"
  for (s = 1; s <= 400; s++) printf "R%d,plank,oak,150,60,18,0,0\n", s }' >boards/many/rack.csv
printf 'setting,value\nsets,1\nsaw_allowance,0\n' >boards/many/shop.csv
blankwright plan boards/many --effort 1 >out.txt 2>err.txt
echo "$?, $(wc -c <out.txt)"
grep -c 'error: ' err.txt
sed -n 's/^[^ ]* error: [0-9]* of 17 .p[0-9]*. //p' err.txt | sort -u
