#!/usr/bin/env bash
# locale.sh - the same input gives the same bytes: from run to run, and under a locale that writes
# a decimal comma. Where that locale is not installed it is made in a folder of its own; when that
# cannot be done the test fails, for it would test nothing.
set -u

: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
site=receptors/canal-wall/site.yaml
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0

if [ "$(LC_ALL=de_DE.UTF-8 locale decimal_point 2>/dev/null)" = , ]; then
    echo "ok locale: de_DE.UTF-8 is installed"
else
    mkdir "$work/locale"
    localedef -i de_DE -f UTF-8 "$work/locale/de_DE.UTF-8" >"$work/said" 2>&1
    export LOCPATH="$work/locale"
    if [ "$(LC_ALL=de_DE.UTF-8 locale decimal_point 2>/dev/null)" = , ]; then
        echo "ok locale: de_DE.UTF-8 was made"
    else
        echo "not ok locale: de_DE.UTF-8 is not installed and cannot be made"
        sed 's/^/    /' "$work/said"
        exit 1
    fi
fi

# run LOCALE OUT COMMAND...: what the command prints (or writes into @) goes to OUT.
run() {
    local locale=$1 out=$2 status
    shift 2
    LC_ALL=$locale "$STILLGROUND" "${@/@/$out.file}" >"$out" 2>"$out.err" </dev/null
    status=$?
    if [ -f "$out.file" ]; then
        mv "$out.file" "$out"
    fi
    [ $status -le 1 ] && [ -s "$out" ]
}

try() {
    local name="$*"
    if ! run C "$work/a" "$@"; then
        echo "not ok $name: failed or printed nothing"
        sed 's/^/    /' "$work/a.err"
        bad=1
        return
    fi
    run C "$work/b" "$@"
    run de_DE.UTF-8 "$work/c" "$@"
    if cmp "$work/a" "$work/b"; then
        echo "ok $name: the same again"
    else
        echo "not ok $name: differs from run to run"
        bad=1
    fi
    if cmp "$work/a" "$work/c"; then
        echo "ok $name: the same under a decimal comma"
    else
        echo "not ok $name: differs under a decimal comma"
        diff "$work/a" "$work/c" | head -5 | sed 's/^/    /'
        bad=1
    fi
}

for format in table csv json; do
    try predict "$site" --format "$format"
    try compare "$site" --format "$format"
done
try report "$site" --output @
exit $bad
