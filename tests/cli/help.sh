for command in "" check plan price proof settle new; do
  blankwright $command --help
  echo "---- $?"
done
blankwright plan -h | head -n 3
blankwright help settle | head -n 3
blankwright help | head -n 3
blankwright help weave
