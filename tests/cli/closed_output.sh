# Output that cannot be written is exit status 3, not silence and not a signal.
blankwright --help >/dev/full
echo "full: $?" >&2
blankwright --help >&-
echo "closed: $?" >&2
mkfifo pipe
: <pipe &
exec 3>pipe # opens as soon as the reader does; after wait there is none any more
wait
blankwright --help >&3
echo "no reader: $?" >&2
