#!/bin/sh
# lint.sh [FOLDER] - runs every script of tests/lint on a tree (default: this one). Each prints
# "file:line: what is wrong" on stdout and ends with 1 when it found something.
set -u

root=${1:-.}
here=$(cd "$(dirname "$0")/../lint" && pwd)
bad=0
count=0
for script in "$here"/*.sh; do
    count=$((count + 1))
    if ! (cd "$root" && sh "$script"); then
        echo "lint: $(basename "$script" .sh) failed"
        bad=$((bad + 1))
    fi
done
if [ "$count" -eq 0 ]; then
    echo "lint: no script was found in $here"
    exit 1
fi
[ "$bad" -eq 0 ] && echo "lint: $count script checks, nothing found"
[ "$bad" -eq 0 ]
