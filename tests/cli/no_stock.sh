# A part no stock can yield: said why, exit 1, nothing written.
mkdir -p boards/thick
echo part,per_set,length,width,thickness,wood,way >boards/thick/parts.csv
echo board,1,240,72,40,walnut,saw >>boards/thick/parts.csv
echo stock,kind,wood,length,width,thickness >boards/thick/rack.csv
echo R1,plank,walnut,1200,150,21 >>boards/thick/rack.csv
blankwright plan boards/thick
status=$?
ls
exit $status
