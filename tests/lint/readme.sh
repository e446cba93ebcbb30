#!/bin/sh
# readme.sh - README.md and the man page name every command; README keeps to 250 lines.
set -eu
status=0
[ -f README.md ] || { echo "README.md:1: is missing"; exit 1; }
lines=$(wc -l <README.md)
[ "$lines" -le 250 ] || { echo "README.md:$lines: more than 250 lines"; status=1; }

list=src/commands/commands.def
if [ -f "$list" ]; then
    commands=$(sed -n 's/^SG_COMMAND(\([a-z]*\).*/\1/p' "$list")
else
    commands=$(grep -l 'struct argp ' src/commands/*.c 2>/dev/null |
        sed -e 's,.*/,,' -e 's/\.c$//' -e 's/^command_//' || true)
fi
[ -n "$commands" ] || { echo "src/commands:1: no command was found"; exit 1; }
for command in $commands; do
    grep -q "stillground $command\|\`$command\`" README.md ||
        { echo "README.md:1: does not mention the command $command"; status=1; }
    grep -q "^\.[BI].* $command\|\\\\fB$command\\\\fR" src/commands/stillground.1 ||
        { echo "src/commands/stillground.1:1: does not mention the command $command"; status=1; }
done
exit $status
