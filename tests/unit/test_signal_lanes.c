/* test_signal_lanes.c - filters and detectors side by side against the same one by one, bit by
 * bit. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "signal/lanes.h"
#include "../support/close.h"

#define COUNT 5003 /* no multiple of any block */
#define RATE_HZ 1000.0

static double noise[COUNT], alone[COUNT];

static void fill_noise(void)
{
    uint32_t seed = 12345;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1664525u + 1013904223u;
        noise[i] = (double)seed / 4294967296.0 - 0.5;
    }
}

static void filters_side_by_side(void **state)
{
    (void)state;
    static const enum sg_weighting weighting[] = { SG_WEIGHTING_WB, SG_WEIGHTING_WD,
                                                   SG_WEIGHTING_WK, SG_WEIGHTING_KB_80,
                                                   SG_WEIGHTING_JP_VERTICAL };
    struct sg_filter filter[SG_COUNT(weighting)];
    struct sg_filter_state one;
    struct sg_filter_bank bank;
    static double x[COUNT][SG_FILTER_LANES];
    fill_noise();
    sg_bank_init(&bank);
    for (size_t f = 0; f < SG_COUNT(weighting); f++) {
        assert_int_equal(sg_filter_weighting(weighting[f], SG_KIND_VELOCITY, RATE_HZ, &filter[f]),
                         SG_OK);
        sg_bank_put(&bank, f, &filter[f]);
    }
    for (size_t i = 0; i < COUNT; i++)
        for (size_t lane = 0; lane < SG_FILTER_LANES; lane++)
            x[i][lane] = noise[i];
    for (size_t at = 0; at < COUNT; at += 777) /* blocks of any size */
        sg_bank_run(&bank, x + at, COUNT - at < 777 ? COUNT - at : 777);
    for (size_t f = 0; f < SG_COUNT(weighting); f++) {
        memset(&one, 0, sizeof one);
        sg_filter_run(&filter[f], &one, noise, alone, COUNT);
        for (size_t i = 0; i < COUNT; i++)
            assert_close(x[i][f], alone[i], 0.0, 0.0);
    }
    for (size_t i = 0; i < COUNT; i++) /* a lane without a filter */
        assert_close(x[i][SG_FILTER_LANES - 1], noise[i], 0.0, 0.0);
}

static void detectors_side_by_side(void **state)
{
    (void)state;
    static double x[COUNT][SG_FILTER_LANES], mean[COUNT][SG_FILTER_LANES];
    struct sg_detectors many;
    struct sg_detected found;
    fill_noise();
    assert_int_equal(sg_detectors_init(&many, RATE_HZ, 1.0), SG_OK);
    for (size_t lane = 0; lane < SG_FILTER_LANES; lane++) {
        struct sg_exponential e;
        sg_exponential_init(&e, RATE_HZ, 0.1 * (double)(lane + 1));
        many.k[lane] = e.k;
        for (size_t i = 0; i < COUNT; i++)
            x[i][lane] = noise[i] * (double)(lane + 1);
    }
    sg_detectors_run(&many, x, mean, COUNT, &found);
    for (size_t lane = 0; lane < SG_FILTER_LANES; lane++) {
        struct sg_exponential e;
        struct sg_running running;
        double most = -1.0, slow = 0.0, square = 0.0;
        sg_exponential_init(&e, RATE_HZ, 0.1 * (double)(lane + 1));
        assert_int_equal(sg_running_init(&running, RATE_HZ, 1.0), SG_OK);
        for (size_t i = 0; i < COUNT; i++) {
            double v2 = x[i][lane] * x[i][lane];
            square += v2;
            slow = fmax(slow, sg_exponential_step(&e, v2));
            most = fmax(most, sg_running_sum(&running, v2));
            assert_close(mean[i][lane], e.y, 0.0, 0.0);
        }
        assert_close(many.square[lane], square, 0.0, 0.0);
        assert_close(found.largest_mean[lane], slow, 0.0, 0.0);
        assert_close(found.largest_sum[lane], most, 0.0, 0.0);
        sg_running_release(&running);
    }
    sg_detectors_release(&many);
    assert_int_equal(sg_detectors_init(&many, 0.1, 1.0), SG_ERR_DOMAIN);
}

/* The sound meter, which runs its detectors in the lanes of one register, beside the plain loop. */
static void sound_detectors_side_by_side(void **state)
{
    (void)state;
    const double rate_hz = 8000.0;
    const struct sg_sound_config config = { .rate_hz = rate_hz, .sample_s = SG_UNSET };
    static const enum sg_weighting weighting[] = { SG_WEIGHTING_A, SG_WEIGHTING_C };
    struct sg_sound_meter *meter = NULL;
    struct sg_sound_sums sums;
    fill_noise();
    assert_int_equal(sg_sound_new(&config, &meter), SG_OK);
    assert_int_equal(sg_sound_sums_init(&sums), SG_OK);
    for (size_t at = 0; at < COUNT; at += 777)
        sg_sound_run(meter, noise + at, COUNT - at < 777 ? COUNT - at : 777, (double)at / rate_hz,
                     &sums);
    for (size_t w = 0; w < SG_COUNT(weighting); w++) {
        struct sg_filter_state one;
        struct sg_exponential fast, slow;
        double largest_fast = 0.0, largest_slow = 0.0;
        memset(&one, 0, sizeof one);
        sg_filter_run(sg_sound_filter(meter, weighting[w]), &one, noise, alone, COUNT);
        sg_exponential_init(&fast, rate_hz, sg_time_weighting(SG_TIME_FAST)->rise_s);
        sg_exponential_init(&slow, rate_hz, sg_time_weighting(SG_TIME_SLOW)->rise_s);
        for (size_t i = 0; i < COUNT; i++) {
            double square = alone[i] * alone[i]; /* the meter's order of operations */
            fast.y = (1.0 - fast.k) * fast.y + fast.k * square;
            slow.y = (1.0 - slow.k) * slow.y + slow.k * square;
            largest_fast = fmax(largest_fast, fast.y);
            largest_slow = fmax(largest_slow, slow.y);
        }
        assert_true(largest_slow > 0.0);
        assert_close(w == 0 ? sums.laf2 : sums.lcf2, largest_fast, 0.0, 0.0);
        if (w == 0)
            assert_close(sums.las2, largest_slow, 0.0, 0.0);
    }
    sg_sound_sums_release(&sums);
    sg_sound_free(meter);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(filters_side_by_side),
        cmocka_unit_test(detectors_side_by_side),
        cmocka_unit_test(sound_detectors_side_by_side),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
