#!/bin/sh
# banned.sh - calls that go wrong silently, and things that have one door only:
# memory through base/memory.c, numbers out of text through base/number.c, `goto` to `done` only;
# versions for wider registers of static functions only (clang names the others so that no caller
# finds them).
set -eu
here=$(dirname "$0")

files=$(find src include -name '*.[ch]' | LC_ALL=C sort)
[ -n "$files" ] || { echo "src:1: no source was found"; exit 1; }
tests=$(find tests -name '*.[ch]' 2>/dev/null | LC_ALL=C sort)

awk -f "$here/strip.awk" $files $tests | awk '
BEGIN {
    never = "strcpy strcat strncat sprintf vsprintf gets atoi atol atoll atof strtok " \
            "asctime ctime alloca longjmp tmpnam mktemp"
    doors["malloc"] = doors["calloc"] = doors["realloc"] = doors["reallocarray"] = \
        doors["strdup"] = doors["strndup"] = "src/base/memory.c"
    doors["strtod"] = doors["strtof"] = doors["strtold"] = doors["strtol"] = doors["strtoul"] = \
        doors["strtoll"] = doors["strtoull"] = doors["sscanf"] = "src/base/number.c"
    doors["exit"] = doors["setlocale"] = doors["abort"] = "src/main.c"
    n = split(never, word, " ")
    for (i = 1; i <= n; i++) banned[word[i]] = 1
}
{
    at = index($0, ":")
    file = substr($0, 1, at - 1)
    rest = substr($0, at + 1)
    at = index(rest, ":")
    line = substr(rest, 1, at - 1)
    code = substr(rest, at + 1)
    if (versions && code !~ /^[ \t]*static[ \t]/)
        say("SG_FOR_THIS_CPU before a function that is not static")
    versions = code ~ /^[ \t]*SG_FOR_THIS_CPU[ \t]*$/
    if (code ~ /(^|[^A-Za-z0-9_])goto[ \t]/ && code !~ /goto[ \t]+done;/)
        say("goto to something else than done")
    while (match(code, /[A-Za-z_][A-Za-z0-9_]*[ \t]*\(/)) {
        name = substr(code, RSTART, RLENGTH)
        sub(/[ \t]*\($/, "", name)
        code = substr(code, RSTART + RLENGTH)
        if (name in banned) say(name "() is banned")
        else if ((name in doors) && file ~ /^src\// && file != doors[name])
            say(name "() only in " doors[name])
    }
}
function say(text) { print file ":" line ": " text; bad = 1 }
END { exit bad }'
