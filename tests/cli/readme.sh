# Every command the README shows runs.
cp -r "$ROOT/boards" boards
sed -n '/^```sh$/,/^```$/p' "$ROOT/README.md" | grep '^blankwright ' >commands
while read -r line; do
  echo "$line"
  sh -c "$line" >/dev/null 2>message </dev/null || { echo "---- $?"; cat message; }
done <commands
