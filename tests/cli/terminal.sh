# Nothing that steers a terminal comes out, whatever folders, files and rows are called.
steer=$(printf 'a\033[31m\007\342\200\256b')
{
  blankwright new "$steer"
  blankwright check "$steer"
  blankwright plan "$steer" --effort 1 --out "out$steer"
  blankwright price "$steer" --effort 1 --up-to 2 --out "out$steer"
  blankwright price "$steer" --effort 1 --up-to 2 --rack-only --out "out$steer"
  blankwright proof "out$steer/plan.json"
  blankwright settle "$steer" "out$steer/plan.json"
  blankwright settle "$steer" "out$steer/plan.json"
  blankwright "$steer"
  blankwright plan "none$steer"
  blankwright plan "$steer" "--$steer"
  blankwright plan "$steer" --sets "$steer"
  blankwright price "$steer" --add "$steer=1"
  blankwright proof "none$steer"
  printf 'part,per_set,length,width,thickness,wood\n"%s",1,1,1,1,oak\n' "$steer" >"$steer/parts.csv"
  blankwright check "$steer"
} >told 2>&1
grep -a -c 'a.*31m.*b' told
tr -d '\n\040-\176' <told | sed "s/$(printf '\357\277\275')//g" | od -c
grep -a -q "$(printf '\342\200\256')" told || echo "nothing turns the writing round"
