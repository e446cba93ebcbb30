#!/bin/sh
# purity.sh - the computing rooms touch no file, clock, locale, environment, stream or variable that
# outlives a call (a lock is none: it holds no result). In signal/ the readers (read_*.c,
# write_*.c) are not computing rooms.
set -eu
here=$(dirname "$0")

files=$(find src/catalogue src/vibration src/sound src/limits src/plan src/fit src/signal \
    -name '*.[ch]' 2>/dev/null | grep -Ev '^src/signal/(read|write)_' | LC_ALL=C sort || true)
[ -n "$files" ] || { echo "src:1: no source of a computing room was found"; exit 1; }

awk -f "$here/strip.awk" $files | awk '
BEGIN {
    names = "fopen fdopen freopen open openat creat popen system fork execv execvp posix_spawn " \
            "printf fprintf vprintf vfprintf puts fputs putchar fputc putc fwrite fread fgets " \
            "fgetc getc getchar getline scanf fscanf perror tmpfile remove rename unlink mkdir " \
            "getenv setenv putenv secure_getenv setlocale localeconv uselocale newlocale " \
            "time clock clock_gettime gettimeofday localtime gmtime mktime strftime " \
            "rand srand random srandom drand48 exit _exit abort atexit signal getpid isatty"
    n = split(names, word, " ")
    for (i = 1; i <= n; i++) banned[word[i]] = 1
}
{
    at = index($0, ":")
    file = substr($0, 1, at - 1)
    rest = substr($0, at + 1)
    at = index(rest, ":")
    line = substr(rest, 1, at - 1)
    code = substr(rest, at + 1)
    if (file != last) { depth = 0; last = file }
    calls = code
    while (match(calls, /[A-Za-z_][A-Za-z0-9_]*[ \t]*\(/)) {
        name = substr(calls, RSTART, RLENGTH)
        sub(/[ \t]*\($/, "", name)
        calls = substr(calls, RSTART + RLENGTH)
        if (name in banned) say("a computing room may not call " name "()")
    }
    if (code ~ /(^|[^A-Za-z0-9_])(stdin|stdout|stderr|errno|environ)([^A-Za-z0-9_]|$)/)
        say("a computing room knows no stream, errno or environment")
    if (code ~ /^[ \t]*(static|_Thread_local|extern)[ \t]/ && code !~ /\(/ &&
        code !~ /(^|[^A-Za-z0-9_])const([^A-Za-z0-9_]|$)/ &&
        code !~ /pthread_mutex_t/ &&
        code !~ /^[ \t]*static[ \t]+(struct|union|enum)[ \t]+[a-z0-9_]+[ \t]*$/ &&
        code ~ /[;={]/)
        say("a variable that outlives the call: " code)
    else if (depth == 0 &&
             code ~ /^[a-z][A-Za-z0-9_ ]*[ *][a-z][A-Za-z0-9_]*(\[[^]]*\])*[ \t]*(=|;)/ &&
             code !~ /^(typedef|struct [a-z0-9_]+;|enum [a-z0-9_]+;|extern|const|static)/ &&
             code !~ /(^|[^A-Za-z0-9_])const([^A-Za-z0-9_]|$)/)
        say("a global variable: " code)
    opened = gsub(/\{/, "{", code)
    closed = gsub(/\}/, "}", code)
    depth += opened - closed
}
function say(text) { print file ":" line ": " text; bad = 1 }
END { exit bad }'
