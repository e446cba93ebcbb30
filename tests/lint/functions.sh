#!/bin/sh
# functions.sh - functions of more than 80 lines are named, those of more than 120 fail; files of
# more than 500 lines are named (tables of src/catalogue aside).
set -eu
files=$(find src tests -name '*.c' | LC_ALL=C sort)
[ -n "$files" ] || { echo "src:1: no source was found"; exit 1; }
awk '
FNR == 1 { inside = 0; head = "" }
!inside && /^[A-Za-z_].*\(/ { head = $0; sub(/\(.*/, "", head); sub(/.*[ *]/, "", head); at = FNR }
!inside && /^\{/ { inside = 1; start = FNR }
inside && /^\}/ {
    inside = 0
    functions++
    long = FNR - start + 1
    if (long > 120) bad = 1
    if (long > 80)
        print FILENAME ":" at ": " (long > 120 ? "" : "note: ") head " has " long " lines"
}
FNR == 501 && FILENAME !~ /^src\/catalogue\// { print FILENAME ":501: note: more than 500 lines" }
END {
    if (!functions) { print "src:1: no function was found"; bad = 1 }
    exit bad
}' $files
