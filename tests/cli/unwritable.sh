# Reports that cannot be written: exit status 3, nothing half done.
touch taken
blankwright plan "$ROOT/boards/cribbage" --out taken/reports >/dev/null 2>message
echo "status $?"
grep -c error: message
ls
