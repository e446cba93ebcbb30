#!/bin/sh
# headers.sh - every header compiles alone, as C11 and as C17.
set -eu

files=$(find include src -name '*.h' | LC_ALL=C sort)
[ -n "$files" ] || { echo "include:1: no header was found"; exit 1; }
status=0
for file in $files; do
    for standard in c11 c17; do
        # Included, not compiled itself: a header as main file draws a warning of its own.
        printf '#include "%s"\nextern int sg_header_alone;\n' "$(pwd)/$file" |
            ${CC:-gcc} -std=$standard -D_POSIX_C_SOURCE=200809L -pedantic -Wall -Wextra -Werror \
                -Iinclude -Isrc -fsyntax-only -x c - ||
            { echo "$file:1: does not compile alone as $standard"; status=1; }
    done
done
exit $status
