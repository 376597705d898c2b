# What every quantity costs and brings; the same numbers with one thread and with two; suppositions.
blankwright price "$ROOT/boards/cribbage" --up-to 25 --out one >one.txt
echo "---- $?"
blankwright price "$ROOT/boards/cribbage" --up-to 25 --threads 1 --out two >two.txt
diff -r one two && echo "the same with one thread"
ls one
echo "---- the plan of the number asked for, with its prices"
blankwright plan "$ROOT/boards/cribbage" --out four >four.txt
sed '/^  "price": {/,$d' one/plan.json >priced-head
sed '$d' four/plan.json >plan-head
sed '$s/$/,/' plan-head | diff - priced-head && echo "the plan is the same"
diff four/marking.pdf one/marking.pdf && diff four/cuts.csv one/cuts.csv && echo "so are its files"
blankwright proof one/plan.json
grep -c 'id="price"' one/plan.html four/plan.html
sed -n '/^Cost of/,/^$/p; /^Break-even/,/^$/p; /^Demand/,/^$/p' one.txt
head -1 one/price.csv | cut -c1-60
echo "---- dearer maple"
blankwright price "$ROOT/boards/cribbage" --up-to 18 --sets 18 --effort 20 --price-change Y3=+100% --out three |
  sed -n '/^  wood /p; /^  total /p; /^price.csv/p'
ls three
echo "---- fewer than asked for"
blankwright price "$ROOT/boards/cribbage" --up-to 4 --effort 20 --out five | tail -1
ls five
echo "---- one more W1"
blankwright price "$ROOT/boards/cribbage" --up-to 24 --effort 20 --add W1=1 --out three |
  sed -n '/^  wood /p; /^  total /p'
echo "---- the rack alone"
blankwright price "$ROOT/boards/cribbage" --up-to 14 --effort 20 --rack-only --out three | sed -n '1p'
echo "---- faults"
blankwright price "$ROOT/boards/cribbage" --price-change Y33=+10% --out three
blankwright price "$ROOT/boards/cribbage" --price-change Y3=dear --out three
blankwright price "$ROOT/boards/cribbage" --add W1=none --out three
blankwright price "$ROOT/boards/cribbage" --up-to 0 --out three
