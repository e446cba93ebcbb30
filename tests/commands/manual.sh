#!/usr/bin/env bash
# manual.sh - every option that a command's --help names stands in the manual page.
set -u
: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
page=src/commands/stillground.1
failed=0
commands=$(sed -n 's/^SG_COMMAND(\([a-z]*\),.*/\1/p' src/commands/commands.def)
[ -n "$commands" ] || { echo "not ok manual: no command was found"; exit 1; }
for command in $commands; do
    options=$("$STILLGROUND" "$command" --help | grep -oE -- '--[a-z]+(-[a-z]+)*' | sort -u)
    missing=
    for option in $options; do
        case $option in --help | --usage | --version) continue ;; esac
        grep -qF -- "${option//-/\\-}" "$page" || missing="$missing $option"
    done
    if [ -z "$options" ] || [ -n "$missing" ]; then
        echo "not ok manual: $command"
        echo "    not in $page:$missing"
        failed=1
    else
        echo "ok manual: $command"
    fi
done
exit "$failed"
