#!/bin/sh
# grades.sh - a number recalled with doubt is not in the catalogue at all, and no row of the
# catalogue passes for a figure of the user's.
set -eu
here=$(dirname "$0")
files=$(find src/catalogue -name '*.[ch]' -o -path 'src/catalogue/*' -name '*.def' | LC_ALL=C sort)
[ -n "$files" ] || { echo "src/catalogue:1: no table was found"; exit 1; }
awk -f "$here/strip.awk" $files | awk '
/SG_GRADE_MEMORY_LOW|[^A-Z_]MEMORY_LOW/ { say("a number graded memory-low") }
/SG_GRADE_USER[^A-Z_]/ { say("a number graded as the user'"'"'s own") }
function say(text,    place) {
    place = $0
    match(place, /^[^:]*:[0-9]*:/)
    print substr(place, 1, RLENGTH) " " text
    bad = 1
}
END { exit bad }'
