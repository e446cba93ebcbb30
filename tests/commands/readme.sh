#!/usr/bin/env bash
# readme.sh - README.md prints what the program prints. Every ```sh block that starts with
# "$ stillground" is run: lines from "$ " on are commands, the lines below each are its output, and
# a line "..." stands for any lines left out. Commands run from the top of the tree.
set -u

: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$STILLGROUND" "$work/bin/stillground"
bad=0

# Each command into NNN.cmd and its output into NNN.out.
awk -v dir="$work" '
/^```sh$/ { fenced = 1; first = 1; next }
/^```/ { fenced = 0; ours = 0; next }
!fenced { next }
first { first = 0; ours = /^\$ stillground/ }
!ours { next }
continued { print > (name ".cmd"); continued = /\\$/; next }
/^\$ / {
    if (name) { close(name ".cmd"); close(name ".out") }
    name = sprintf("%s/%03d", dir, ++count)
    print substr($0, 3) > (name ".cmd")
    printf "" > (name ".out")
    printf "%d\n", FNR > (name ".line")
    continued = /\\$/
    next
}
{ print > (name ".out") }
' README.md

# Whether the lines of one file match those of another, with "..." for any lines between.
matches() {
    awk '
    NR == FNR { want[++nwant] = $0; next }
    { have[++nhave] = $0 }
    function fits(w, h) {
        while (w <= nwant && want[w] != "...") {
            if (h > nhave || want[w] != have[h]) return 0
            w++
            h++
        }
        if (w > nwant) return h > nhave
        for (; h <= nhave + 1; h++)
            if (fits(w + 1, h)) return 1
        return 0
    }
    END { exit !fits(1, 1) }' "$1" "$2"
}

for cmd in "$work"/*.cmd; do
    [ -f "$cmd" ] || { echo "not ok README.md: no command block was found"; exit 1; }
    at=${cmd%.cmd}
    what="README.md:$(cat "$at.line"): $(head -1 "$cmd")"
    PATH="$work/bin:$PATH" LC_ALL=C bash "$cmd" >"$at.got" 2>"$at.err" </dev/null
    status=$?
    if [ $status -gt 1 ]; then
        echo "not ok $what: exit status $status"
        sed 's/^/    /' "$at.err"
        bad=1
    elif matches "$at.out" "$at.got"; then
        echo "ok $what"
    else
        echo "not ok $what: prints something else"
        diff -u --label README.md --label printed "$at.out" "$at.got" | sed 's/^/    /'
        bad=1
    fi
done
exit $bad
