#!/bin/sh
# check.sh TEST... - runs unit test programs and command scripts (*.sh) from the top of the tree and
# ends with "N passed, N failed" alone on a line.
#
# Unit tests report through cmocka's own lines; a script prints "ok NAME" or "not ok NAME" for each
# check. Whatever ends badly without naming a failed test, runs no test at all or skips one is
# counted as failed: a test that cannot find its data is no pass.
# CHECK_WRAP goes in front of unit tests (valgrind); CHECK_LINT=no leaves the script lints out.
set -u

passed=0
failed=0
log=$(mktemp)
trap 'rm -f "$log"' EXIT

# Numbers of passed, failed and skipped tests in what cmocka printed.
count_unit() {
    awk '/^\[  PASSED  \] [0-9]+ test/ { p += $4 }
         /^\[  FAILED  \] [0-9]+ test/ { f += $4 }
         /^\[  SKIPPED \] [0-9]+ test/ { s += $4 }
         /^\[  ERROR   \] / { e++ }
         END { print p + 0, f + 0, s + 0 }' "$log"
}

count_script() {
    awk '/^ok / { p++ } /^not ok / { f++ } END { print p + 0, f + 0, 0 }' "$log"
}

for test in "$@"; do
    case $test in
    *.sh)
        bash "$test" >"$log" 2>&1
        status=$?
        counts=$(count_script)
        ;;
    *)
        CMOCKA_MESSAGE_OUTPUT=STDOUT ${CHECK_WRAP:-} "$test" >"$log" 2>&1
        status=$?
        counts=$(count_unit)
        ;;
    esac
    p=${counts%% *}
    rest=${counts#* }
    f=${rest%% *}
    skipped=${rest#* }
    f=$((f + skipped))
    if [ "$f" -eq 0 ] && { [ "$status" -ne 0 ] || [ "$p" -eq 0 ]; }; then
        f=1
    fi
    if [ "$f" -gt 0 ]; then
        echo "FAILED  $test (exit status $status: $p passed, $f failed)"
        sed 's/^/    /' "$log"
    else
        echo "ok      $test ($p)"
    fi
    passed=$((passed + p))
    failed=$((failed + f))
done

if [ "${CHECK_LINT:-yes}" = yes ]; then
    if sh tests/support/lint.sh >"$log" 2>&1; then
        cat "$log"
    else
        echo "FAILED  lint"
        sed 's/^/    /' "$log"
        failed=$((failed + 1))
    fi
fi

if [ "$passed" -eq 0 ] && [ "$failed" -eq 0 ]; then
    echo "no test was run" >&2
    failed=1
fi
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
