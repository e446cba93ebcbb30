/* test_signal_response.c - response spectra block by block. Known answers, damping 5 %: after a
 * step of the base acceleration a the pseudo-acceleration is a (1 + exp(-pi z / sqrt(1 - z^2))) =
 * 1.85446789 a; after a step of the base velocity v the pseudo-velocity is 0.926692 v, at every
 * natural frequency (the classic results for a damped oscillator; golden/sdof_pseudo.csv). */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "stillground/signal.h"
#include "../support/close.h"
#include "../support/seeded.h"

#define RATE 4000.0
#define COUNT 16000

static void take(enum sg_kind kind, const double *in, size_t count, size_t piece, double *psv)
{
    struct sg_response *response = NULL;
    assert_int_equal(sg_response_new(RATE, kind, &response), SG_OK);
    for (size_t at = 0; at < count; at += piece)
        sg_response_run(response, in + at, count - at < piece ? count - at : piece);
    sg_response_take(response, psv);
    sg_response_free(response);
}

static void acceleration_step(void **state)
{
    (void)state;
    static double a[COUNT];
    double psv[SG_RESPONSE_COUNT];
    for (size_t i = 0; i < COUNT; i++)
        a[i] = i == 0 ? 0.0 : 1.0;
    take(SG_KIND_ACCELERATION, a, COUNT, COUNT, psv);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++) {
        double hz = sg_response_hz(k);
        /* the peak lies between samples: at most 1 - cos(pi f / rate) of it is lost, and the step
         * takes one sample */
        assert_close(2e-3 * SG_PI * hz * psv[k], 1.85446789, 1e-6 + 0.5 * pow(4.0 * hz / RATE, 2.0),
                     0.0);
    }
    assert_close(sg_response_hz(0), 1.0, 1e-12, 0.0);
    assert_close(sg_response_hz(SG_RESPONSE_COUNT - 1), 100.0, 1e-12, 0.0);
}

static void velocity_step(void **state)
{
    (void)state;
    static double v[COUNT];
    double psv[SG_RESPONSE_COUNT];
    for (size_t i = 0; i < COUNT; i++)
        v[i] = i < 10 ? 0.0 : 1.0;
    take(SG_KIND_VELOCITY, v, COUNT, 7, psv);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
        assert_close(psv[k], 0.926692, 1e-6 + 0.5 * pow(4.0 * sg_response_hz(k) / RATE, 2.0), 0.0);
}

/* The same as the plain recurrence, for any size of block; twice the input gives twice the output;
 * an offset of the velocity is no motion of the base. */
static void like_the_plain_loop(void **state)
{
    (void)state;
    static double a[COUNT], twice[COUNT], shifted[COUNT];
    double one[SG_RESPONSE_COUNT], other[SG_RESPONSE_COUNT];
    struct seeded seed = { 7 };
    for (size_t i = 0; i < COUNT; i++) {
        a[i] = seeded_normal(&seed);
        twice[i] = 2.0 * a[i];
        shifted[i] = a[i] + 5.0;
    }
    take(SG_KIND_ACCELERATION, a, COUNT, COUNT, one);
    take(SG_KIND_ACCELERATION, a, COUNT, 333, other);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++) {
        assert_close(other[k], one[k], 0.0, 0.0);
        assert_close(one[k],
                     1e3 * sg_response_psv(a, COUNT, RATE, sg_response_hz(k), SG_RESPONSE_DAMPING),
                     1e-6, 0.0);
    }
    take(SG_KIND_ACCELERATION, twice, COUNT, COUNT, other);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
        assert_close(other[k], 2.0 * one[k], 1e-12, 0.0);
    take(SG_KIND_VELOCITY, a, COUNT, COUNT, one);
    take(SG_KIND_VELOCITY, shifted, COUNT, COUNT, other);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
        assert_close(other[k], one[k], 1e-9, 0.0);
}

static void what_is_left_out(void **state)
{
    (void)state;
    struct sg_response *response = NULL;
    double psv[SG_RESPONSE_COUNT];
    const double v[] = { 0.0, 1.0, 0.5 };
    assert_int_equal(sg_response_new(RATE, SG_KIND_PRESSURE, &response), SG_ERR_DOMAIN);
    assert_int_equal(sg_response_new(0.0, SG_KIND_VELOCITY, &response), SG_ERR_DOMAIN);
    assert_int_equal(sg_response_new(500.0, SG_KIND_VELOCITY, &response), SG_OK);
    sg_response_take(response, psv);
    assert_unset(psv[0]); /* nothing came */
    sg_response_run(response, v, 3);
    sg_response_take(response, psv);
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++) /* ten samples in a period: up to 50 Hz */
        assert_true(sg_is_set(psv[k]) == (sg_response_hz(k) < 50.2));
    sg_response_restart(response); /* at rest: a steady velocity moves nothing */
    const double steady[] = { 3.0, 3.0, 3.0 };
    sg_response_run(response, steady, 3);
    sg_response_take(response, psv);
    assert_close(psv[0], 0.0, 0.0, 1e-300);
    sg_response_free(response);
    sg_response_free(NULL);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(acceleration_step),
        cmocka_unit_test(velocity_step),
        cmocka_unit_test(like_the_plain_loop),
        cmocka_unit_test(what_is_left_out),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
