# A search told to stop writes the best plan it has, marked as interrupted. Told once more, it ends
# at once and leaves whole reports, the old or the new.
mkdir -p boards/long
echo part,per_set,length,width,thickness,wood,way >boards/long/parts.csv
for i in 1 2 3 4 5 6 7 8 9; do
  echo "p$i,$((1 + i % 3)),$((120 + 61 * i)),$((40 + (17 * i) % 53)),18,oak,saw"
done >>boards/long/parts.csv
echo stock,kind,wood,length,width,thickness,price,per >boards/long/yard.csv
for i in 1 2 3 4 5; do
  echo "Y$i,plank,oak,$((1300 + 251 * i)),$((110 + (37 * i) % 101)),18,$((14 + 5 * i)).$((10 + i)),each"
done >>boards/long/yard.csv
{ echo setting,value; echo sets,23; echo labour_rate,31; echo saw_stages,any; } >boards/long/shop.csv

# start FOLDER: a search of hours in the background; back when it has set out to catch signals,
# of which SIGTERM is bit 14 of the mask the system shows.
start() {
  blankwright plan boards/long --effort 100000 --threads 2 --out "$1" >out 2>err &
  pid=$!
  while :; do
    mask=$(sed -n 's/^SigCgt:[[:space:]]*[0-9a-f]\{8\}//p' "/proc/$pid/status")
    [ $((0x${mask:-0} & 0x4000)) -ne 0 ] && return
    kill -0 $pid 2>/dev/null || return
    sleep 0.05
  done
}

start told
kill -TERM $pid
wait $pid
echo "status $?"
cat err
grep -c 'Interrupted: this is the best plan known by then' out
grep '"interrupted"' told/plan.json
blankwright proof told/plan.json >/dev/null && echo the plan passes
ls -A told | grep -v '^layout-Y[0-9]-[0-9]*\.svg$'

cp -r told before
start told
kill -TERM $pid
sleep 0.01
kill -TERM $pid 2>/dev/null
wait $pid 2>/dev/null
case $? in
  143) rm -f told/.*.tmp; diff -r before told && echo whole ;;
  0) grep -q '"interrupted": true' told/plan.json && blankwright proof told/plan.json >/dev/null && echo whole ;;
  *) echo not whole ;;
esac
