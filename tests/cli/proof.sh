# A plan is checked again from its file; a plan that was tampered with is refused.
blankwright plan "$ROOT/boards/cribbage" --out out >/dev/null 2>&1 || exit
blankwright proof out/plan.json >said
echo "---- $?"
sed 's/[0-9][0-9]*/N/g' said
sed 's/"copy": *1,/"copy": 7,/' out/plan.json >tampered.json
cmp -s out/plan.json tampered.json && echo "nothing was changed"
blankwright proof tampered.json >/dev/null 2>&1
echo "---- $?"
echo '{"format": 1' >broken.json
blankwright proof broken.json
echo "---- $?"
blankwright proof no-such-file.json
