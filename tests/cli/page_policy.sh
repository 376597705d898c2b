# The page lets its own script run and no other: its policy holds the hash of that script, worked
# out here by other means.
blankwright plan "$ROOT/boards/serving" --out out >/dev/null
sed -n 's/.*script-src \([^;"]*\)".*/\1/p' out/plan.html | sed "s/&apos;\|&#39;/'/g" >policy
sed -e '1,/<script>/{s/.*<script>//;t' -e 'd;}' -e '/<\/script>/,$d' out/plan.html >script
hash=$(sha256sum script | cut -c 1-64 | tr a-f A-F | basenc -d --base16 | base64)
grep -q addEventListener script && echo "there is a script"
[ "$(cat policy)" = "'sha256-$hash'" ] && echo "the policy is that of the script"
