#!/usr/bin/env bash
# run.sh CASE... - runs command cases and compares what they print. A case is a folder with
#   cmd      what is run, by bash, from the top of the tree; `stillground` is on PATH and $TMP is an
#            empty folder of its own (its path reads TMP in what is compared)
#   stdout   what must be printed, byte for byte
#   status   the exit status
#   stderr   what must be said; compared only when the file is there
# SG_BLESS=1 writes what was printed into the case instead; look at the diff before keeping it.
# STILLGROUND is the path of the program.
set -u

: "${STILLGROUND:?the path of the program}"
[ -x "$STILLGROUND" ] || { echo "not ok program: $STILLGROUND is not there"; exit 1; }
cd "$(dirname "$0")/../.." || exit 1

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$STILLGROUND" "$work/bin/stillground"
bad=0

# Compares one stream; says the difference.
same() {
    if [ ! -f "$1/$2" ]; then
        echo "    $1/$2 is missing; run make bless and look at it"
        return 1
    fi
    diff -u --label "$1/$2" --label "printed $2" "$1/$2" "$work/$2" | sed 's/^/    /'
    cmp -s "$1/$2" "$work/$2"
}

run_case() {
    rm -rf "$work/tmp"
    mkdir "$work/tmp"
    [ -f "$1/cmd" ] || { echo "    $1/cmd is missing"; return 1; }
    TMP="$work/tmp" PATH="$work/bin:$PATH" LC_ALL=C bash "$1/cmd" \
        >"$work/stdout.raw" 2>"$work/stderr.raw" </dev/null
    echo $? >"$work/status"
    sed "s,$work/tmp,TMP,g" "$work/stdout.raw" >"$work/stdout"
    sed "s,$work/tmp,TMP,g" "$work/stderr.raw" >"$work/stderr"
    if [ "${SG_BLESS:-}" = 1 ]; then
        cp "$work/stdout" "$work/status" "$1/"
        if [ -s "$work/stderr" ] || [ -f "$1/stderr" ]; then
            cp "$work/stderr" "$1/"
        fi
        return 0
    fi
    local result=0
    same "$1" stdout || result=1
    same "$1" status || result=1
    [ ! -f "$1/stderr" ] || same "$1" stderr || result=1
    [ "$result" -eq 0 ] || sed 's/^/    stderr: /' "$work/stderr"
    return $result
}

for case in "$@"; do
    if said=$(run_case "${case%/}"); then
        echo "ok case $(basename "$case")"
    else
        echo "not ok case $(basename "$case")"
        printf '%s\n' "$said"
        bad=1
    fi
done
exit $bad
