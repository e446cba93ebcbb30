/* test_outdoor_field.c - the field of many sources on open ground against the ways of one pair,
 * which the published cases check (test_outdoor_cases.c). */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "outdoor_scene.h"
#include "stillground/outdoor_field.h"

#include <math.h>
#include <string.h>

#define SERIES_DB 6e-8 /* what the series of the field leaves out, see outdoor_field.c */

enum { NSOURCE = 7, NRECEPTOR = 200 };

static double next_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

struct places {
    double x[NRECEPTOR], y[NRECEPTOR], height[NRECEPTOR];
    struct sg_outdoor_points points;
};

static void spread_out(struct places *p, size_t count, double size_m, uint64_t *state)
{
    for (size_t i = 0; i < count; i++) {
        p->x[i] = size_m * (next_unit(state) - 0.5);
        p->y[i] = size_m * (next_unit(state) - 0.5);
        p->height[i] = 0.2 + 15 * next_unit(state) * next_unit(state);
    }
    p->points = (struct sg_outdoor_points){ p->x, p->y, p->height, count };
}

/* Energy sum over the sources, way by way. */
static void by_ways(const struct sg_outdoor *outdoor, const struct places *s, const double *power,
                    const struct places *r, size_t at, double *band_db, double *a_db)
{
    double energy[SG_BANDS] = { 0 }, total = 0;
    for (size_t i = 0; i < s->points.count; i++) {
        struct sg_spot3 from = { s->x[i], s->y[i], s->height[i], s->height[i] };
        struct sg_spot3 to = { r->x[at], r->y[at], r->height[at], r->height[at] };
        struct sg_emitter emitter = { .name = "S" };
        struct sg_outdoor_path path;
        struct sg_outdoor_level level;
        size_t count;
        for (size_t b = 0; b < SG_BANDS; b++)
            emitter.power_db[b] = power[SG_BANDS * i + b];
        assert_int_equal(sg_outdoor_paths(outdoor, &from, &to, false, &path, 1, &count), SG_OK);
        sg_outdoor_level(&emitter, &path, count, &level);
        for (size_t b = 0; b < SG_BANDS; b++)
            energy[b] += sg_is_set(level.band_db[b]) ? pow(10.0, 0.1 * level.band_db[b]) : 0;
        total += pow(10.0, 0.1 * level.a_db);
    }
    for (size_t b = 0; b < SG_BANDS; b++)
        band_db[b] = energy[b] > 0 ? 10 * log10(energy[b]) : SG_UNSET;
    *a_db = 10 * log10(total);
}

static void check(double factor, double size_m, uint64_t seed)
{
    static struct places s, r;
    double power[SG_BANDS * NSOURCE], band_db[SG_BANDS * NRECEPTOR], a_db[NRECEPTOR];
    struct sg_scene scene = case_scene(factor);
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_outdoor *outdoor;
    spread_out(&s, NSOURCE, size_m, &seed);
    spread_out(&r, NRECEPTOR, size_m, &seed);
    for (size_t i = 0; i < SG_COUNT(power); i++)
        power[i] = i % 5 ? 70 + 40 * next_unit(&seed) : SG_UNSET; /* some bands unknown */
    assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
    assert_int_equal(sg_outdoor_field(&scene, &s.points, power, &r.points, 1, band_db, a_db),
                     SG_OK);
    for (size_t i = 0; i < NRECEPTOR; i++) {
        double want_db[SG_BANDS], want_a_db;
        by_ways(outdoor, &s, power, &r, i, want_db, &want_a_db);
        assert_close(a_db[i], want_a_db, 0, SERIES_DB);
        for (size_t b = 0; b < SG_BANDS; b++) {
            if (want_db[b] > -2000)
                assert_close(band_db[SG_BANDS * i + b], want_db[b], 0, SERIES_DB);
        }
    }
    sg_arena_release(&arena);
}

static void field_is_the_sum_of_ways(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 4; seed++) {
        check(0, 400, seed);
        check(0.5, 1000, seed);
        check(1, 3000, seed);
        check(0.3, 20000, seed);
    }
}

static void threads_change_no_bit(void **state)
{
    static struct places s, r;
    double power[SG_BANDS * NSOURCE], one[SG_BANDS * NRECEPTOR], two[SG_BANDS * NRECEPTOR];
    double a_one[NRECEPTOR], a_two[NRECEPTOR];
    struct sg_scene scene = case_scene(0.6);
    uint64_t seed = 5;
    (void)state;
    spread_out(&s, NSOURCE, 500, &seed);
    spread_out(&r, NRECEPTOR, 500, &seed);
    for (size_t i = 0; i < SG_COUNT(power); i++)
        power[i] = 90;
    assert_int_equal(sg_outdoor_field(&scene, &s.points, power, &r.points, 1, one, a_one), SG_OK);
    assert_int_equal(sg_outdoor_field(&scene, &s.points, power, &r.points, 3, two, a_two), SG_OK);
    assert_memory_equal(one, two, sizeof(one));
    assert_memory_equal(a_one, a_two, sizeof(a_one));
    /* a receptor alone in its block gives the bits that it gives among others */
    struct sg_outdoor_points alone = { &r.x[77], &r.y[77], &r.height[77], 1 };
    assert_int_equal(sg_outdoor_field(&scene, &s.points, power, &alone, 1, two, a_two), SG_OK);
    assert_memory_equal(two, &one[SG_BANDS * (size_t)77], SG_BANDS * sizeof(*two));
}

static void what_the_field_does_not_say(void **state)
{
    double x[] = { 0, 0.5, 1.5 }, y[] = { 0, 0, 0 }, height[] = { 2, 2, 2 };
    double power[SG_BANDS] = { 90, 90, 90, 90, 90, 90, 90, 90 }, a_db[3];
    struct sg_outdoor_points source = { x, y, height, 1 }, receptors = { x, y, height, 3 };
    struct sg_scene scene = case_scene(0.5);
    (void)state;
    assert_int_equal(sg_outdoor_field(&scene, &source, power, &receptors, 1, NULL, a_db), SG_OK);
    assert_false(sg_is_set(a_db[0])); /* on the source, and nearer than 1 m */
    assert_false(sg_is_set(a_db[1]));
    assert_true(sg_is_set(a_db[2]));
    source.count = 0;
    assert_int_equal(sg_outdoor_field(&scene, &source, power, &receptors, 1, NULL, a_db), SG_OK);
    assert_false(sg_is_set(a_db[2])); /* silence */
    scene.c0_db = 2;
    assert_int_equal(sg_outdoor_field(&scene, &source, power, &receptors, 1, NULL, a_db),
                     SG_ERR_DOMAIN);
    scene = case_scene(0.5);
    scene.air.humidity_percent = 5;
    assert_int_equal(sg_outdoor_field(&scene, &source, power, &receptors, 1, NULL, a_db),
                     SG_ERR_DOMAIN);
    scene = case_scene(0.5);
    scene.nobstacle = 1;
    assert_false(sg_outdoor_open(&scene));
}

/* A shift on open ground goes through the field, one whose working is shown goes way by way. */
static void shift_goes_either_way(void **state)
{
    struct sg_spot3 position[300], receptor = { 40, 25, 4, 4 };
    double octave_db[SG_BANDS] = { 100, 104, 108, 111, 110, 106, 100, 92 };
    struct sg_sound_item item = { "rig", SG_SOURCE_LWA, 114, 1, 1, SG_GRADE_USER, NULL, NULL };
    uint64_t seed = 9;
    (void)state;
    for (size_t i = 0; i < SG_COUNT(position); i++)
        position[i] =
            (struct sg_spot3){ 0.7 * (double)i, 3 * next_unit(&seed), SG_UNSET, SG_UNSET };
    for (size_t k = 0; k < 4; k++) {
        struct sg_scene scene = case_scene(0.4);
        struct sg_outdoor_plant plant = { &item, k % 2 ? octave_db : NULL, 14, 1.5 };
        struct sg_outdoor_shift shift = { position, SG_COUNT(position), &receptor, k > 1, 3 };
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_working working = { .arena = &arena };
        const struct sg_outdoor *outdoor;
        double mean[2], most[2], band[2][SG_BANDS];
        assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
        for (size_t way = 0; way < 2; way++)
            assert_int_equal(sg_outdoor_plant_at(outdoor, &plant, &shift, &mean[way], &most[way],
                                                 band[way], way == 0 ? NULL : &working),
                             SG_OK);
        assert_close(mean[0], mean[1], 0, SERIES_DB);
        assert_close(most[0], most[1], 0, SERIES_DB);
        for (size_t b = 0; b < SG_BANDS; b++) {
            assert_int_equal(sg_is_set(band[0][b]), sg_is_set(band[1][b]));
            if (sg_is_set(band[1][b]))
                assert_close(band[0][b], band[1][b], 0, SERIES_DB);
        }
        sg_arena_release(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(field_is_the_sum_of_ways),
        cmocka_unit_test(threads_change_no_bit),
        cmocka_unit_test(shift_goes_either_way),
        cmocka_unit_test(what_the_field_does_not_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
