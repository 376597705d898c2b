# The paper of templates and labels: the project's own, or the one asked for, with whole reports.
sizes() {
  for file in marking labels; do
    printf '%s %s: ' "$1" "$file"
    grep -a -o '/MediaBox \[[^]]*\]' "$1/$file.pdf" | sort -u
  done
}
blankwright plan "$ROOT/boards/coasters" --effort 5 --out usual >/dev/null
sizes usual
blankwright plan "$ROOT/boards/coasters" --effort 5 --paper letter --out other >/dev/null
sizes other
diff usual/plan.json other/plan.json && echo "the plan is the same"
mkdir inches
cp "$ROOT"/boards/coasters/*.csv inches
echo 'paper,Letter' >>inches/shop.csv
blankwright plan inches --effort 5 --out third >/dev/null
sizes third
blankwright price inches --effort 5 --paper A4 --out third >/dev/null
sizes third
