# After twenty errors the rest are counted.
mkdir boards boards/many
{ echo part,per_set,length,width,thickness,wood
  for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23; do
    echo "p$i,none,100,50,20,oak"
  done; } >boards/many/parts.csv
echo stock,kind,wood,length,width,thickness >boards/many/rack.csv
echo R1,plank,oak,1200,150,21 >>boards/many/rack.csv
blankwright check boards/many
