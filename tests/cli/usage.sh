# Every slip of the pen is named, with what may have been meant.
try() {
  blankwright "$@"
  echo "---- $*: $?"
} 2>&1
try
try plna boards/cribbage
try weave
try plan boards/cribbage --setz 3
try plan --sets
try plan boards/cribbage --sets=many
try plan boards/cribbage --sets -3
try plan boards/cribbage --effort 0
try plan boards/cribbage --paper A3
try plan boards/cribbage --most=yes
try plan boards/cribbage --most --sets 4
try plan boards/cribbage boards/trays
try plan
try check boards/cribbage --most
try check ''
try --sets 4
