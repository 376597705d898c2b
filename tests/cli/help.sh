for command in "" check plan proof new; do
  blankwright $command --help
  echo "---- $?"
done
blankwright plan -h | head -n 3
