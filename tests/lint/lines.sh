#!/bin/sh
# lines.sh - at most 100 columns (tables in src/catalogue and prose aside), no blank at the end of a
# line, no tab outside Makefile, no carriage return, a newline at the end, no path of one machine.
set -eu
export LC_ALL=C

files=$(find src include tests plots .ci receptors measurements -type f \( -name '*.[ch]' \
    -o -name '*.def' -o -name '*.sh' -o -name '*.awk' -o -name '*.py' -o -name '*.gp' \
    -o -name '*.css' -o -name '*.md' -o -name '*.1' -o -name '*.yaml' -o -path '.ci/run' \) \
    2>/dev/null | sort)
for top in Makefile README.md DEVELOPERS.md CHANGELOG.md; do
    [ ! -f "$top" ] || files="$files $top"
done
[ -n "$files" ] || { echo ".:1: no file was found"; exit 1; }

awk '
function say(text) { print FILENAME ":" FNR ": " text; bad = 1 }
{
    if (/\r/) say("carriage return")
    if (/[ \t]$/) say("blank at the end of the line")
    if (/\t/ && FILENAME != "Makefile") say("tab")
    if (/(^|[^A-Za-z0-9_.])\/(work|home|root)\//) say("path of one machine")
    columns = $0
    gsub(/[\200-\277]/, "", columns)
    if (length(columns) > 100 && FILENAME !~ /\.(md|yaml|def)$/ && FILENAME !~ /^src\/catalogue\//)
        say(length(columns) " columns, more than 100")
}
END { exit bad }' $files || status=1
for file in $files; do
    [ ! -s "$file" ] || [ -z "$(tail -c 1 "$file")" ] ||
        { echo "$file:$(wc -l <"$file"): no newline at the end"; status=1; }
done
exit ${status:-0}
