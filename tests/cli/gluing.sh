# What gluing up and resawing save on the serving trays; the table of the README.
for glue in no yes; do
  for resaw in no yes; do
    rm -rf serving && cp -R "$ROOT/boards/serving" serving
    sed -e "s/^glue_up,[^,]*/glue_up,$glue/" -e "s/^resaw,[^,]*/resaw,$resaw/" \
      "$ROOT/boards/serving/shop.csv" >serving/shop.csv
    echo "---- glue_up $glue, resaw $resaw"
    blankwright plan serving --out out >summary.txt || cat summary.txt
    sed -n '/^Cost/,/^$/p;/^Glue up/,/^$/p;/^Resaw/,/^$/p' summary.txt
    blankwright proof out/plan.json
  done
done
