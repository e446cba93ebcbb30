#!/bin/sh
# run.sh FUZZER... - runs each fuzzer for FUZZ_SECONDS on a copy of its seeds. What it finds stays
# in BUILD/fuzz/found and fails the run.
set -eu
: "${BUILD:?}"
[ $# -gt 0 ] || { echo "no fuzzer was built" >&2; exit 1; }
mkdir -p build "$BUILD/fuzz/found"
status=0
for fuzzer in "$@"; do
    name=${fuzzer##*/fuzz_}
    corpus="$BUILD/fuzz/corpus-$name"
    mkdir -p "$corpus"
    cp tests/fuzz/seeds/"$name"/* "$corpus"/
    echo "  $name, ${FUZZ_SECONDS:-60} s"
    "$fuzzer" -max_total_time="${FUZZ_SECONDS:-60}" -rss_limit_mb=4096 -timeout=20 \
        -artifact_prefix="$BUILD/fuzz/found/$name-" -print_final_stats=1 -verbosity=0 \
        "$corpus" || status=1
done
exit $status
