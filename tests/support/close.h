/* close.h - comparing doubles in tests. cmocka 1.1.5 compares floats only: it casts both sides to
 * float and prints six digits, which would pass values that differ in the eighth.
 * Include after cmocka.h.
 */
#ifndef TESTS_SUPPORT_CLOSE_H
#define TESTS_SUPPORT_CLOSE_H

#include <math.h>

/* Within rel * |expected| or within abs, whichever is wider. NaN and infinity are never close. */
static inline int sg_test_close(double actual, double expected, double rel, double abs)
{
    if (!isfinite(actual) || !isfinite(expected) || !(rel >= 0.0) || !(abs >= 0.0)) {
        return 0;
    }
    return fabs(actual - expected) <= fmax(rel * fabs(expected), abs);
}

static inline void sg_test_assert_close(double actual, double expected, double rel, double abs,
                                        const char *what, const char *file, int line)
{
    if (!sg_test_close(actual, expected, rel, abs)) {
        print_error("%s is %.17g, expected %.17g (rel %.3g, abs %.3g; off by %.3g)\n", what, actual,
                    expected, rel, abs, actual - expected);
        _fail(file, line);
    }
}

#define assert_close(actual, expected, rel, abs)                                                   \
    sg_test_assert_close((actual), (expected), (rel), (abs), #actual, __FILE__, __LINE__)

/* Unset values are NaN. */
#define assert_unset(actual)                                                                       \
    do {                                                                                           \
        const double sg_test_value_ = (actual);                                                    \
        if (!isnan(sg_test_value_)) {                                                              \
            print_error("%s is %.17g, expected unset\n", #actual, sg_test_value_);                 \
            _fail(__FILE__, __LINE__);                                                             \
        }                                                                                          \
    } while (0)

#endif
