# The same bytes with any number of threads.
cp -r "$ROOT/boards" boards
for project in cribbage trays; do
  for threads in 1 2 3 8; do
    blankwright plan "boards/$project" --threads $threads --out reports >"$project$threads" || exit
    mv reports "$project-$threads"
    diff -r "$project-1" "$project-$threads" && diff "${project}1" "$project$threads" &&
      echo "$project $threads"
  done
done
blankwright plan boards/trays --threads 0
echo "status $?"
blankwright plan boards/trays --threads 9
