# All faults of all files in one run, each with its row and a caret; nothing is written.
mkdir -p boards/wrong
tab=$(printf '\t')
cat >boards/wrong/parts.csv <<END
part,per_set,length,width,thickness,wood,grian
board,1,240,72 furlongs,18,walnut,along
lid${tab}x,zero,138,34,5,maple,along
END
printf 'stock,kind,wood,length,width,thickness,note\n' >boards/wrong/rack.csv
printf 'R1,plank,walnut,1200,x,21,a\033[2Jb\n' >>boards/wrong/rack.csv
printf 'R2,plank,%0150d,1200,150,wide,far to the right\n' 7 >>boards/wrong/rack.csv
blankwright plan boards/wrong
status=$?
ls
exit $status
