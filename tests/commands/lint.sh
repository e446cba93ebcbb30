#!/usr/bin/env bash
# lint.sh - the script lints find what they are there to find: a small tree is clean, and the same
# tree with one fault is not. A check that cannot fail is no check.
set -u

here=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0

clean_tree() {
    rm -rf "$work/tree"
    mkdir -p "$work/tree/include/stillground" "$work/tree/tests/unit"
    cd "$work/tree" || exit 1
    mkdir -p src/base src/catalogue src/vibration src/limits src/commands
    cat >include/stillground/base.h <<'END'
/* a */
#ifndef A
#define A
#include <stddef.h>
size_t sg_a(void);
#endif
END
    cat >src/base/a.c <<'END'
#include "stillground/base.h"
#include <gsl/gsl_cdf.h>

size_t sg_a(void)
{
    return 0;
}
END
    cat >src/vibration/v.c <<'END'
#include "stillground/base.h"

static int v(void)
{
    /* fopen( in a comment is no call */
    return 1;
}
END
    cat >tests/unit/test_a.c <<'END'
static void helper(void)
{
    assert_true(1);
}
static void test_one(void **state)
{
    helper();
}
int main(void)
{
    cmocka_unit_test(test_one);
}
END
    echo 'static const double row[] = { 1.0 };' >src/catalogue/c.c
    echo 'static struct argp argp;' >src/commands/predict.c
    echo '`predict`' >README.md
    echo '.B stillground predict' >src/commands/stillground.1
}

# expect NAME clean|found LINT
expect() {
    if (cd "$work/tree" && sh "$here/tests/lint/$3.sh") >"$work/said" 2>&1; then
        got=clean
    else
        got=found
    fi
    if [ "$got" = "$2" ] && { [ "$got" = clean ] || [ -s "$work/said" ]; }; then
        echo "ok lint $3: $1"
    else
        echo "not ok lint $3: $1"
        cat "$work/said"
        bad=1
    fi
}

clean_tree
for script in "$here"/tests/lint/*.sh; do
    expect "a clean tree" clean "$(basename "$script" .sh)"
done

# fault LINT FILE LINE WHAT: the clean tree with one line more.
fault() {
    clean_tree
    printf '%s\n' "$3" >>"$work/tree/$2"
    expect "$4" found "$1"
}
fault layers src/base/a.c '#include "stillground/vibration.h"' "base includes vibration"
fault layers src/vibration/v.c '#include "stillground/limits.h"' "vibration includes limits"
fault layers src/vibration/v.c '#include "limits/internal.h"' "a private header of another room"
fault layers src/vibration/v.c '#include <gsl/gsl_cdf.h>' "a third-party header twice"
fault layers include/stillground/base.h '#include <jansson.h>' "a third-party header in a header"
fault purity src/vibration/v.c 'void f(void) { FILE *f = fopen("x", "r"); }' "a file opened"
fault purity src/vibration/v.c 'void f(void) { (void)getenv("x"); }' "the environment read"
fault purity src/vibration/v.c 'static int counter;' "a static variable"
fault purity src/vibration/v.c 'int counter = 0;' "a global variable"
fault purity src/vibration/v.c 'void f(void) { fputs("x", stderr); }' "a stream"
fault banned src/base/a.c 'void f(char *a) { strcpy(a, "x"); }' "strcpy"
fault banned src/base/a.c 'double f(char *a) { return atof(a); }' "atof"
fault banned src/limits/l.c 'void *f(void) { return malloc(3); }' "malloc beside the one door"
fault banned src/base/a.c 'void f(void) { goto out; }' "goto out"
fault banned src/base/a.c 'SG_FOR_THIS_CPU
void f(void) { }' "a version that clang's callers do not find"
fault assertions tests/unit/test_a.c \
    'static void test_two(void **state)
{
    puts("assert_true(1)");
}
static int two(void) { cmocka_unit_test(test_two); }' "a test without an assertion"
fault headers include/stillground/base.h 'unknown_t x;' "a header that does not stand"
fault lines src/base/a.c "/* $(printf '%0101d' 0) */" "a long line"
fault lines src/base/a.c 'int x; ' "a blank at the end"
fault lines README.md "$(printf /%s/somebody/x home)" "a path of one machine"
fault grades src/catalogue/c.c 'static const int g = SG_GRADE_MEMORY_LOW;' "a doubtful number"
fault functions src/base/a.c "int g(void)
{
$(for i in $(seq 125); do echo "    sg_a();"; done)
}" "a function of 127 lines"
clean_tree
echo 'nothing' >"$work/tree/README.md"
expect "a command README does not know" found readme

exit $bad
