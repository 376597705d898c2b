# The rack holds too little and there is no yard: what is missing is said, nothing written.
mkdir -p boards/short
echo part,per_set,length,width,thickness,wood,way >boards/short/parts.csv
echo board,1,400,72,20,walnut,saw >>boards/short/parts.csv
echo stock,kind,wood,length,width,thickness,surface >boards/short/rack.csv
echo R1,plank,walnut,1000,100,20,planed >>boards/short/rack.csv
blankwright plan boards/short --sets 5
status=$?
ls
exit $status
