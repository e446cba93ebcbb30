#!/bin/sh
# assertions.sh - every unit test asserts something, itself or through a helper of its file, and
# every test file registers at least one test.
set -eu
here=$(dirname "$0")

files=$(find tests/unit -name 'test_*.c' 2>/dev/null | LC_ALL=C sort)
[ -n "$files" ] || { echo "tests/unit:1: no unit test was found"; exit 1; }

status=0
for file in $files; do
    awk -f "$here/strip.awk" "$file" | awk -v file="$file" '
    {
        line = $0
        sub(/^[^:]*:/, "", line)
        number = line
        sub(/:.*/, "", number)
        sub(/^[^:]*:/, "", line)
        if (depth == 0 && match(line, /[A-Za-z_][A-Za-z0-9_]*[ \t]*\(/)) {
            name = substr(line, RSTART, RLENGTH)
            sub(/[ \t]*\($/, "", name)
            at[name] = number
        }
        if (depth > 0) body[name] = body[name] " " line
        rest = line
        while (match(rest, /cmocka_unit_test[a-z_]*[ \t]*\([ \t]*[A-Za-z_][A-Za-z0-9_]*/)) {
            test = substr(rest, RSTART, RLENGTH)
            sub(/.*\([ \t]*/, "", test)
            tests[test] = number
            ntest++
            rest = substr(rest, RSTART + RLENGTH)
        }
        opened = gsub(/\{/, "{", line)
        closed = gsub(/\}/, "}", line)
        depth += opened - closed
    }
    END {
        for (name in body)
            if (body[name] ~ /(^|[^A-Za-z0-9_])(assert_[a-z_]+|fail|fail_msg|_fail)[ \t]*\(/)
                asserts[name] = 1
        do {
            grown = 0
            for (name in body) {
                if (name in asserts) continue
                for (helper in asserts)
                    if (body[name] ~ ("(^|[^A-Za-z0-9_])" helper "[ \t]*\\(")) {
                        asserts[name] = 1
                        grown = 1
                        break
                    }
            }
        } while (grown)
        for (test in tests)
            if (!(test in asserts)) {
                print file ":" (test in at ? at[test] : tests[test]) ": test " test \
                    " asserts nothing"
                bad = 1
            }
        if (!ntest) { print file ":1: registers no test"; bad = 1 }
        exit bad
    }' || status=1
done
exit $status
