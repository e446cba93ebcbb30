#!/bin/sh
# coverage.sh SOURCE... - lines of each source that the tests ran, from gcov, summed a room at a
# time. A source that no test ran at all counts with all its lines. BUILD is the coverage build.
set -eu
: "${BUILD:?the coverage build}"
GCOV=${GCOV:-gcov}
for source in "$@"; do
    # An object folder without counts (never run) still has the notes: gcov then says 0.00 %.
    $GCOV -n -o "$BUILD/obj/${source%.c}.o" "$source" 2>/dev/null |
        awk -v source="$source" '
        /^File / { ours = index($0, "\047" source "\047") > 0 }
        ours && /^Lines executed:/ {
            sub(/^Lines executed:/, "")
            split($0, part, /% of /)
            printf "%s %.0f %d\n", source, part[1] * part[2] / 100, part[2]
            ours = 0
        }'
done | awk '
{
    room = $1
    sub(/^src\//, "", room)
    sub(/\/.*/, "", room)
    run[room] += $2
    all[room] += $3
    total_run += $2
    total += $3
    printf "  %-44s %6d of %6d  %5.1f %%\n", $1, $2, $3, 100 * $2 / $3
}
END {
    if (!total) { print "no line was counted"; exit 1 }
    print ""
    for (room in all)
        printf "  %-12s %6d of %6d  %5.1f %%\n", room, run[room], all[room],
            100 * run[room] / all[room] | "sort"
    close("sort")
    printf "  %-12s %6d of %6d  %5.1f %%\n", "all", total_run, total, 100 * total_run / total
}'
