/* test_signal_events.c - triggers, blows, vibratory phases, on signals known by construction and on
 * the invented recordings. Rules of the trade: common practice, no source. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "stillground/signal.h"
#include "../support/close.h"

struct list {
    struct sg_event event[50];
    size_t count;
};

static void add_event(const struct sg_event *event, void *payload)
{
    struct list *list = payload;
    if (list->count < 50)
        list->event[list->count] = *event;
    list->count++;
}

static void run_trigger(const struct sg_trigger_config *config, const double *x, size_t count,
                        size_t block, struct list *list)
{
    struct sg_trigger trigger;
    sg_trigger_init(&trigger, config);
    list->count = 0;
    for (size_t at = 0; at < count; at += block)
        sg_trigger_run(&trigger, x + at, count - at < block ? count - at : block,
                       (double)at / config->rate_hz, add_event, list);
    sg_trigger_close(&trigger, (double)count / config->rate_hz, add_event, list);
}

static void threshold_events(void **state)
{
    (void)state;
    static double x[20000];
    for (size_t i = 0; i < 20000; i++)
        x[i] = 0.01;
    for (size_t i = 5000; i < 5300; i++)
        x[i] = 2.0;
    x[5100] = 3.0;
    for (size_t i = 5800; i < 5900; i++) /* within the hold time: the same event */
        x[i] = 1.0;
    for (size_t i = 19900; i < 20000; i++) /* open at the end */
        x[i] = 1.5;
    struct sg_trigger_config config = sg_trigger_usual;
    struct list a, b;
    config.rate_hz = 1000.0;
    config.level = 0.5;
    run_trigger(&config, x, 20000, 20000, &a);
    run_trigger(&config, x, 20000, 33, &b);
    assert_int_equal(a.count, 2);
    assert_int_equal(b.count, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_close(b.event[i].start_s, a.event[i].start_s, 1e-12, 0.0);
        assert_close(b.event[i].end_s, a.event[i].end_s, 1e-12, 0.0);
        assert_close(b.event[i].peak, a.event[i].peak, 1e-12, 0.0);
    }
    assert_close(a.event[0].start_s, 4.5, 0.0, 0.0011);
    assert_close(a.event[0].end_s, 6.9, 0.0, 0.0021);
    assert_close(a.event[0].peak, 3.0, 0.0, 0.0);
    assert_close(a.event[0].peak_s, 5.1, 0.0, 1e-9);
    assert_close(a.event[1].end_s, 20.0, 0.0, 1e-9);
}

/* Mean square stepping from 1 to P: the ratio crosses `on` when
 * [1 + (P-1)(1 - e^(-t/STA))] / [1 + (P-1)(1 - e^(-t/LTA))] does. */
static void short_over_long(void **state)
{
    (void)state;
    enum { COUNT = 60000 };
    static double x[COUNT];
    const double rate = 1000.0, power = 25.0;
    for (size_t i = 0; i < COUNT; i++)
        x[i] = i < 50000 ? 1.0 : sqrt(power);
    struct sg_trigger_config config = sg_trigger_usual;
    config.rate_hz = rate;
    config.pre_s = 0.0;
    struct list list;
    run_trigger(&config, x, COUNT, 1000, &list);
    assert_int_equal(list.count, 1);
    double t = 0.0, lta0 = 1.0 - exp(-50.0 / config.lta_s); /* the long mean starts from 0 */
    for (;; t += 1.0 / rate) {
        double sta = 1.0 + (power - 1.0) * (1.0 - exp(-t / config.sta_s));
        double lta = lta0 * exp(-t / config.lta_s) + power * (1.0 - exp(-t / config.lta_s));
        if (sta > config.on * lta)
            break;
    }
    assert_close(list.event[0].start_s, 50.0 + t, 0.0, 0.003);
    for (size_t i = 0; i < COUNT; i++) /* steady: nothing */
        x[i] = 1.0;
    run_trigger(&config, x, COUNT, 1000, &list);
    assert_int_equal(list.count, 0);
}

/* Blows every 1.5 s with one left out, uneven heights, noise. */
static void blows_are_counted(void **state)
{
    (void)state;
    enum { COUNT = 6000 };
    static double envelope[COUNT];
    struct sg_blow blow[100];
    struct sg_blows found;
    uint32_t seed = 3;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1664525u + 1013904223u;
        envelope[i] = 0.05 * (double)seed / 4294967296.0;
    }
    for (size_t k = 0; k < 39; k++)
        for (size_t i = 0; i < 30 && k != 20; i++)
            envelope[100 + 150 * k + i] += (1.0 + 0.5 * (double)(k % 3)) * exp(-(double)i / 8.0);
    assert_int_equal(sg_blows_count(envelope, COUNT, 0.01, 10.0, blow, 100, &found), SG_OK);
    assert_int_equal(found.count, 38);
    assert_int_equal(found.kept, 38);
    assert_close(found.per_minute, 40.0, 0.01, 0.0);
    assert_close(found.missing, 1.0, 0.0, 0.0);
    assert_true(found.regular > 0.95);
    assert_close(blow[0].time_s, 11.0, 0.0, 0.011);
    assert_int_equal(sg_blows_count(envelope, COUNT, 0.01, 0.0, NULL, 0, &found), SG_OK);
    assert_int_equal(found.count, 38);
    assert_int_equal(found.kept, 0);
    for (size_t i = 0; i < COUNT; i++)
        envelope[i] = 0.0;
    assert_int_equal(sg_blows_count(envelope, COUNT, 0.01, 0.0, blow, 100, &found), SG_OK);
    assert_int_equal(found.count, 0);
    assert_unset(found.per_minute);
    assert_int_equal(sg_blows_count(envelope, COUNT, 0.0, 0.0, blow, 100, &found), SG_ERR_DOMAIN);
    assert_int_equal(sg_blows_count(envelope, 3, 0.01, 0.0, blow, 100, &found), SG_ERR_DOMAIN);
}

/* Reads one channel of an example as it stands in the file. */
static double *channel_of(const char *path, size_t channel, size_t *count, double *rate_hz)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct sg_block block = { .frames = 1 };
    enum { ROOM = 200000 };
    double *x = calloc(ROOM, sizeof *x);
    assert_non_null(x);
    assert_int_equal(sg_recording_open(path, NULL, &recording, &errors), SG_OK);
    *rate_hz = sg_recording_info(recording)->rate_hz;
    *count = 0;
    while (block.frames > 0) {
        assert_int_equal(sg_recording_read(recording, &block, &errors), SG_OK);
        for (size_t i = 0; i < block.frames && *count < ROOM; i++)
            x[(*count)++] = block.channel[channel][i];
    }
    sg_recording_close(recording);
    return x;
}

/* The invented impact recording: 35 blows at 40 a minute, one of 36 left out. */
static void blows_of_the_example(void **state)
{
    (void)state;
    size_t count;
    double rate;
    double *x = channel_of("measurements/impact-30m.flac", 2, &count, &rate);
    size_t steps = count / (size_t)(rate / 100.0);
    double *envelope = calloc(steps, sizeof *envelope);
    assert_non_null(envelope);
    struct sg_envelope made;
    sg_envelope_init(&made, envelope, steps, rate, 0.01);
    for (size_t at = 0; at < count; at += 777)
        sg_envelope_add(&made, x + at, count - at < 777 ? count - at : 777);
    assert_int_equal(made.count, steps);
    struct sg_blows found;
    assert_int_equal(sg_blows_count(envelope, steps, 0.01, 0.0, NULL, 0, &found), SG_OK);
    assert_int_equal(found.count, 35);
    assert_close(found.per_minute, 40.0, 0.02, 0.0);
    assert_close(found.missing, 1.0, 0.0, 0.0);
    free(envelope);
    free(x);
}

/* The invented vibratory recording: quiet to 10 s, up to 36 Hz by 14 s, steady to 74 s, down by 80
 * s. The ground answers most at 12 Hz, in the start and in the stop. */
static void phases_of_the_example(void **state)
{
    (void)state;
    size_t count, pieces = 0;
    double rate;
    double *x = channel_of("measurements/vibratory-10m.mseed", 2, &count, &rate);
    struct sg_run_piece piece[20];
    assert_int_equal(sg_run_phases(x, count, rate, 0.0, piece, 20, &pieces), SG_OK);
    assert_true(pieces >= 4 && pieces <= 20);
    double ppv[SG_RUN_END] = { 0.0 }, start_s[SG_RUN_END], end_s[SG_RUN_END];
    for (int p = 0; p < SG_RUN_END; p++) {
        start_s[p] = HUGE_VAL;
        end_s[p] = -HUGE_VAL;
    }
    for (size_t i = 0; i < pieces; i++) {
        ppv[piece[i].phase] = fmax(ppv[piece[i].phase], piece[i].ppv);
        start_s[piece[i].phase] = fmin(start_s[piece[i].phase], piece[i].start_s);
        end_s[piece[i].phase] = fmax(end_s[piece[i].phase], piece[i].end_s);
        if (piece[i].phase == SG_RUN_STEADY) {
            assert_close(piece[i].from_hz, 36.0, 0.05, 0.0);
            assert_close(piece[i].to_hz, 36.0, 0.05, 0.0);
        }
    }
    assert_close(start_s[SG_RUN_START], 10.0, 0.0, 1.0);
    assert_close(start_s[SG_RUN_STEADY], 14.0, 0.0, 1.0);
    assert_close(end_s[SG_RUN_STEADY], 74.0, 0.0, 1.0);
    assert_close(end_s[SG_RUN_STOP], 80.0, 0.0, 1.0);
    assert_true(ppv[SG_RUN_START] > 2.0 * ppv[SG_RUN_STEADY]);
    assert_true(ppv[SG_RUN_STOP] > 2.0 * ppv[SG_RUN_STEADY]);
    free(x);
    assert_int_equal(sg_run_phases(ppv, 4, 1000.0, 0.0, piece, 20, &pieces), SG_ERR_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(threshold_events),      cmocka_unit_test(short_over_long),
        cmocka_unit_test(blows_are_counted),     cmocka_unit_test(blows_of_the_example),
        cmocka_unit_test(phases_of_the_example),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
