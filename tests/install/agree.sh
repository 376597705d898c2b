#!/bin/sh
# agree.sh PROGRAM PAGES: the help, the manual page and both completions name the same
# commands, and for each command (or none) the same options.
set -u
program=$1
pages=$2
scratch=$(mktemp -d) || exit 3
trap 'rm -rf "$scratch"' EXIT
export LC_ALL=C

commands=$("$program" --help | sed -n '/^  for example/d; s/^  \([a-z]*\) .*/\1/p')

# Lines of a command (`-` for the program itself) and an option; a command without an option
# of its own has those of the program.
from_help() {
  for command in '' $commands; do
    "$program" $command --help | grep -o -e '^  -[a-z], --[a-z-]*' -e '^  --[a-z-]*' |
      sed "s/^ */${command:--} /; s/\(.*\) \(-.\), /\1 \2\n\1 /"
  done
}

from_manual() {
  sed 's/\\-/-/g' "$pages/blankwright.1" | awk '
    function options(command,   i) {
      for (i = 2; i <= NF; i++) if ($i == "Fl") print command, "-" $(i + 1)
    }
    $1 == ".Sh" { section = $2 }
    $1 == ".Ss" { command = $2; for (i = 0; i < shared; i++) print command, common[i] }
    $1 == ".It" && section == "COMMANDS" { options(command) }
    $1 == ".It" && section == "OPTIONS" {
      options("-")
      for (i = 2; i <= NF; i++) if ($i == "Fl") common[shared++] = "-" $(i + 1)
    }'
}

# What the synopsis says, with the options every command has left out.
from_synopsis() {
  sed 's/\\-/-/g' "$pages/blankwright.1" | awk '
    $1 == ".Sh" { section = $2 }
    section != "SYNOPSIS" { next }
    $1 == ".Cm" { command = $2; print command }
    $1 == ".Op" { print command, "-" $3 }'
}

from_usage() {
  for command in $commands; do
    echo "$command"
    "$program" $command --help | sed -n 's/^usage: //p' | grep -o -e '\[--[a-z-]*' |
      sed "s/^\[/$command /"
  done
}

from_bash() {
  awk -F"'" '
    /^  local names=/ { command = "-" }
    /^    [a-z]+\)$/ { command = $0; gsub(/[ )]/, "", command) }
    /names=/ {
      count = split($2, words, " ")
      for (i = 1; i <= count; i++) if (words[i] ~ /^-/) print command, words[i]
    }' "$pages/blankwright.bash"
}

from_zsh() {
  awk '
    /^  _arguments/ { command = "-" }
    /^    [a-z]+\)$/ { command = $0; gsub(/[ )]/, "", command) }
    /\{-h,--help\}/ { print command, "-h"; print command, "--help" }
    /^ +\047--/ {
      option = $1; sub(/^\047/, "", option); sub(/[=[].*/, "", option)
      print command, option
    }' "$pages/_blankwright"
}

failed=0
# same FROM FROM: two lists of lines, in any order.
same() {
  "$1" | sort >"$scratch/one"
  "$2" | sort >"$scratch/two"
  if [ ! -s "$scratch/one" ] || ! diff "$scratch/one" "$scratch/two"; then
    echo "$1 and $2 disagree" >&2
    failed=1
  fi
}

same from_help from_manual
same from_help from_bash
same from_help from_zsh
same from_usage from_synopsis
[ "$(from_help | wc -l)" -gt 20 ] || { echo "too few options were found" >&2; failed=1; }
exit $failed
