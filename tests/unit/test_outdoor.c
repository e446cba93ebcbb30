/* test_outdoor.c - terms of the octave-band method against published points, and what must hold for
 * any scene.
 *
 * Sources: ISO 9613-1:1993 Table 1, ISO 9613-2:1996 Table 2 and its equations, through published
 * transcriptions; values marked "computed" are an independent calculation of the same equations.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"

/* ---- air ---- */

/* ISO 9613-1:1993, Table 1, dB/km, half a unit of the last printed digit. Frequencies are exact
 * mid-bands 1000 10^(k/10). */
static void air_points_of_table_1(void **state)
{
    (void)state;
    static const struct {
        double t_c, rh, k, db_km, half_digit;
    } point[] = {
        { -20, 10, -13, 0.589, 0.0005 }, { -20, 50, 0, 9.14, 0.005 }, { -20, 70, 9, 27.8, 0.05 },
        { 0, 20, 3, 34.6, 0.05 },        { 0, 50, 0, 6.83, 0.005 },   { 5, 50, 0, 5.08, 0.005 },
        { 10, 70, 0, 3.66, 0.005 },      { 10, 50, 6, 46.7, 0.05 },   { 15, 50, 0, 4.16, 0.005 },
        { 15, 100, 10, 105, 0.5 },       { 20, 50, 0, 4.66, 0.005 },  { 20, 50, 3, 9.86, 0.0051 },
        { 25, 50, 0, 5.68, 0.005 },      { 25, 100, 3, 11.4, 0.05 },  { 30, 50, 0, 7.03, 0.005 },
        { 30, 50, 6, 24.5, 0.05 },       { 40, 50, 0, 9.52, 0.005 },  { 50, 50, 3, 24.8, 0.05 },
    };
    for (size_t i = 0; i < SG_COUNT(point); i++) {
        struct sg_air air = { point[i].t_c, point[i].rh, 101.325 };
        double hz = 1000.0 * pow(10.0, point[i].k / 10.0);
        assert_close(sg_air_absorption_db_km(&air, hz), point[i].db_km, 0, point[i].half_digit);
    }
}

/* ISO 9613-2:1996, Table 2. 15 C, 80 %, 1 kHz is printed 4.1 although it is 4.151: an artefact of
 * the print, left out here and checked by its computed value. */
static void air_table_2(void **state)
{
    (void)state;
    static const struct {
        double t_c, rh, db_km[SG_BANDS];
    } row[] = {
        { 10, 70, { 0.1, 0.4, 1.0, 1.9, 3.7, 9.7, 32.8, 117 } },
        { 20, 70, { 0.1, 0.3, 1.1, 2.8, 5.0, 9.0, 22.9, 76.6 } },
        { 30, 70, { 0.1, 0.3, 1.0, 3.1, 7.4, 12.7, 23.1, 59.3 } },
        { 15, 20, { 0.3, 0.6, 1.2, 2.7, 8.2, 28.2, 88.8, 202 } },
        { 15, 50, { 0.1, 0.5, 1.2, 2.2, 4.2, 10.8, 36.2, 129 } },
        { 15, 80, { 0.1, 0.3, 1.1, 2.4, 4.2, 8.3, 23.7, 82.8 } },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        struct sg_air air = { row[i].t_c, row[i].rh, 101.325 };
        for (size_t b = 0; b < SG_BANDS; b++)
            assert_close(sg_air_absorption_db_km(&air, sg_octave_exact_hz(b)), row[i].db_km[b], 0,
                         row[i].db_km[b] > 100 ? 0.5 : 0.0501);
    }
    struct sg_air print = { 15, 80, 101.325 };
    assert_close(sg_air_absorption_db_km(&print, 1000), 4.151, 0, 0.0005);
}

static void air_outside_the_range_is_unset(void **state)
{
    (void)state;
    struct sg_air air = SG_AIR_INIT;
    assert_unset(sg_air_absorption_db_km(&air, 20));
    air.humidity_percent = 5;
    assert_unset(sg_air_absorption_db_km(&air, 1000));
}

/* ---- ground ---- */

/* ISO 9613-2:1996, Table 3; computed. */
static void ground_functions(void **state)
{
    (void)state;
    static const struct {
        double h, dp, value[4], within;
    } row[] = {
        { 1.5, 200, { 2.6704, 8.3949, 6.3821, 2.1479 }, 0.00005 },
        { 1, 100, { 2.024, 8.296, 9.142, 3.258 }, 0.0005 },
        { 4, 100, { 3.838, 3.262, 1.508, 1.500 }, 0.0005 },
        { 10, 100, { 1.629, 1.501, 1.5, 1.5 }, 0.0005 },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++)
        for (size_t k = 0; k < 4; k++)
            assert_close(sg_ground_function(k, row[i].h, row[i].dp), row[i].value[k], 0,
                         row[i].within);
}

/* The porous limit: both on the ground, far away, 250 Hz (published transcription). */
static void ground_porous_limit(void **state)
{
    (void)state;
    struct sg_ground_path path = { 0, 0, 1e6, 1, 1, 1 };
    double db[SG_BANDS];
    sg_ground_general(&path, db, NULL, NULL, NULL);
    assert_close(db[2], 17.2, 0, 0.05);
}

static void ground_alternative(void **state)
{
    (void)state;
    assert_close(sg_ground_alternative_db(200, 2), 4.43, 0, 0.005);
    assert_close(sg_ground_solid_angle_db(1.5, 1.5, 200), 3.01, 0, 0.005);
    assert_close(sg_ground_alternative_db(30, 10), 0, 0, 1e-12);
}

static void weather(void **state)
{
    (void)state;
    assert_close(sg_weather_db(2, 1.5, 1.5, 200), 1.7, 0, 0.0001);
    assert_close(sg_weather_db(2, 1.5, 1.5, 30), 0, 0, 1e-12);
}

/* ---- screens ---- */

/* Generic formulas by Fresnel number (Kurze and Anderson 1971, Maekawa 1968), computed; and ISO
 * (14) with C2 = 20, which is 10 lg(3 + 10 N) and capped at 20 dB. */
static void screens_by_fresnel_number(void **state)
{
    (void)state;
    static const double n[] = { 0.01, 0.1, 0.5, 1, 2, 5, 10 };
    static const double kurze[] = { 5.18, 6.59, 10.47, 13.10, 16.01, 19.97, 22.98 };
    static const double maekawa[] = { 5.05, 6.99, 11.14, 13.62, 16.33, 20.13, 23.07 };
    static const double iso[] = { 4.91, 6.02, 9.03, 11.14, 13.62, 17.24, 20.13 };
    for (size_t i = 0; i < SG_COUNT(n); i++) {
        struct sg_edges e = { .count = 1, .detour_m = 0.5 * n[i], .side = true };
        assert_close(sg_screen_kurze_db(n[i]), kurze[i], 0, 0.005);
        assert_close(sg_screen_maekawa_db(n[i]), maekawa[i], 0, 0.005);
        assert_close(sg_screen_db(&e, 1.0), iso[i], 0, 0.005);
        assert_close(sg_screen_capped_db(&e, 1.0), fmin(iso[i], 20.0), 0, 0.005);
    }
    static const double below[] = { -0.05, -0.10, -0.15, -0.19 };
    static const double small[] = { 4.02, 2.86, 1.45, 0.06 };
    for (size_t i = 0; i < SG_COUNT(below); i++)
        assert_close(sg_screen_kurze_db(below[i]), small[i], 0, 0.005);
}

/* Eq. (14) from grazing (4.77 dB) to 0 dB at z = -lambda / 10. */
static void screens_near_the_line_of_sight(void **state)
{
    (void)state;
    struct sg_edges e = { .count = 1, .detour_m = 0 };
    assert_close(sg_screen_db(&e, 0.68), 4.77, 0, 0.005);
    e.detour_m = -0.068;
    assert_close(sg_screen_db(&e, 0.68), 0, 0, 1e-9);
    e.detour_m = -0.1;
    assert_close(sg_screen_db(&e, 0.68), 0, 0, 1e-9);
}

/* Eq. (15): one edge 1, far apart 3. */
static void double_edges(void **state)
{
    (void)state;
    struct sg_edges one = { .count = 1, .detour_m = 1, .side = true };
    struct sg_edges two = { .count = 2, .detour_m = 1, .between_m = 1e6, .side = true };
    assert_close(sg_screen_db(&one, 1), 10 * log10(23), 0, 1e-9);
    assert_close(sg_screen_db(&two, 1), 10 * log10(63), 0, 1e-4);
    two.detour_m = 100;
    assert_close(sg_screen_capped_db(&two, 1), 25, 0, 1e-12);
}

/* Published example of a flat porous way with a screen: with reading 5.5 of ISO/TR 17534-3 the
 * ground gain stays: Abar = 9.13 at 63 Hz (computed). */
static void negative_ground_is_not_taken_from_the_screen(void **state)
{
    (void)state;
    struct sg_edges e = {
        .count = 1, .first_m = 101, .last_m = 101, .direct_m = 200, .detour_m = 2
    };
    double dz_db = sg_screen_capped_db(&e, 340.0 / 63.0);
    assert_close(sg_screen_combined_db(dz_db, -4.65, NULL, 0), 9.13, 0, 0.005);
}

/* Size condition, Eq. (19), by hand: l 2 m, straight on, 100 m before and after: 2 / 4 x 50 = 25;
 * 1 / lambda must be more, so lambda under 0.04 m. */
static void size_of_a_reflecting_face(void **state)
{
    (void)state;
    assert_true(sg_reflection_counts(2, 1, 100, 100, 0.039));
    assert_false(sg_reflection_counts(2, 1, 100, 100, 0.041));
}

/* Printed sheet of a whole chain (published, 10 C, 70 %, d 200): the band levels are what the terms
 * leave and their A-weighted sum is 29.9. */
static void chain_sheet(void **state)
{
    (void)state;
    static const double lw[] = { 95, 100, 103, 105, 104, 101, 95, 88 };
    static const double air[] = { 0.0, 0.1, 0.2, 0.4, 0.7, 1.9, 6.6, 23.4 };
    static const double agr[] = { -3.3, 4.2, 7.9, 2.2, 0.1, 0, 0, 0 };
    static const double abar[] = { 18.7, 14.0, 12.1, 17.8, 19.9, 20, 20, 20 };
    static const double lp[] = { 22.6, 24.7, 25.8, 27.6, 26.2, 22.0, 11.4, -12.4 };
    struct sg_outdoor_path path = { .adiv_db = sg_divergence_db(200) };
    struct sg_emitter emitter = { .name = "sheet" };
    struct sg_outdoor_level level;
    struct sg_air weather_air = { 10, 70, 101.325 };
    for (size_t b = 0; b < SG_BANDS; b++) {
        emitter.power_db[b] = lw[b];
        path.aatm_db[b] = 0.2 * sg_air_absorption_db_km(&weather_air, sg_octave_exact_hz(b));
        assert_close(path.aatm_db[b], air[b], 0, 0.0501);
        path.agr_db[b] = agr[b];
        path.abar_db[b] = abar[b];
    }
    sg_outdoor_level(&emitter, &path, 1, &level);
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(level.band_db[b], lp[b], 0, 0.101);
    assert_close(level.a_db, 29.9, 0, 0.05);
    assert_close(sg_octave_a_level(lp), 29.9, 0, 0.05);
}

/* ---- reflections, by hand ---- */

/* A wall of 40 m by 10 m beside the way, source and receptor 20 m before it and 60 m apart: the
 * image lies 40 m behind, so d = sqrt(60^2 + 40^2). */
static void one_wall_reflects(void **state)
{
    (void)state;
    static const struct sg_spot3 edge[] = { { 0, 20, 10, SG_UNSET }, { 60, 20, 10, SG_UNSET } };
    struct sg_obstacle wall = { "wall", false, edge, 2, { 0 } };
    struct sg_scene scene = case_scene(0);
    struct worked w;
    for (size_t b = 0; b < SG_BANDS; b++)
        wall.reflection[b] = 0.5;
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 100, &w);
    assert_int_equal(w.count, 2);
    assert_close(w.path[1].distance_m, sqrt(60.0 * 60 + 40.0 * 40), 1e-12, 0);
    assert_close(w.path[1].mirror_db[4], 10 * log10(0.5), 1e-12, 0);
    /* cos = 40 / 72.1, lmin 10 m: 2 / (5.547^2) x 18.03 = 1.172 > 1 / 5.44 and 1 / 2.72 */
    assert_unset(w.path[1].mirror_db[0]);
    assert_unset(w.path[1].mirror_db[1]);
    assert_true(w.path[1].mirror_db[3] < 0);
    for (size_t b = 0; b < SG_BANDS; b++)
        wall.reflection[b] = 0.2; /* must be more than this */
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 100, &w);
    assert_int_equal(w.count, 1);
}

/* Two walls face each other: the second order goes by both. */
static void two_walls_reflect_twice(void **state)
{
    (void)state;
    static const struct sg_spot3 upper[] = { { -50, 20, 30, SG_UNSET }, { 110, 20, 30, SG_UNSET } };
    static const struct sg_spot3 lower[] = { { -50, -20, 30, SG_UNSET },
                                             { 110, -20, 30, SG_UNSET } };
    static const struct sg_obstacle wall[] = {
        { "upper", false, upper, 2, { 1, 1, 1, 1, 1, 1, 1, 1 } },
        { "lower", false, lower, 2, { 1, 1, 1, 1, 1, 1, 1, 1 } },
    };
    struct sg_scene scene = case_scene(0);
    struct worked w;
    scene.obstacle = wall;
    scene.nobstacle = 2;
    scene.reflections = 2;
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 100, &w);
    assert_int_equal(w.count, 5);
    size_t twice = 0;
    for (size_t i = 0; i < w.count; i++) {
        if (w.path[i].order != 2)
            continue;
        assert_close(w.path[i].distance_m, sqrt(60.0 * 60 + 80.0 * 80), 1e-12, 0);
        twice++;
    }
    assert_int_equal(twice, 2);
}

/* ---- what must hold ---- */

static void same_both_ways(void **state)
{
    (void)state;
    static const struct sg_spot3 edge[] = { { 60, -30, 5, SG_UNSET }, { 70, 12, 5, SG_UNSET } };
    static const struct sg_obstacle wall = { "wall", false, edge, 2, { 0 } };
    struct sg_scene scene = case_scene(0.3);
    struct worked there, back;
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, 2), above_ground(140, 5, 2), 100, &there);
    work_out(&scene, above_ground(140, 5, 2), above_ground(0, 0, 2), 100, &back);
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(there.level.band_db[b], back.level.band_db[b], 0, 1e-9);
}

static void a_screen_of_no_height_changes_nothing(void **state)
{
    (void)state;
    static const struct sg_spot3 edge[] = { { 60, -30, 0, SG_UNSET }, { 70, 12, 0, SG_UNSET } };
    static const struct sg_obstacle wall = { "wall", false, edge, 2, { 0 } };
    struct sg_scene scene = case_scene(0.3);
    struct worked without, with;
    work_out(&scene, above_ground(0, 0, 2), above_ground(140, 5, 2), 100, &without);
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, 2), above_ground(140, 5, 2), 100, &with);
    assert_memory_equal(without.level.band_db, with.level.band_db, sizeof(with.level.band_db));
}

/* Numbers that look random and are the same every time. */
static double next(unsigned *seed, double low, double high)
{
    *seed = *seed * 1664525u + 1013904223u;
    return low + (high - low) * (double)(*seed >> 8) / (double)(1u << 24);
}

static void a_screen_never_raises_the_level_on_hard_ground(void **state)
{
    (void)state;
    unsigned seed = 7;
    size_t screened = 0;
    for (size_t i = 0; i < 2000; i++) {
        struct sg_scene scene = case_scene(0);
        struct worked without, with;
        struct sg_spot3 s = above_ground(0, 0, next(&seed, 0.5, 20));
        struct sg_spot3 r =
            above_ground(next(&seed, 20, 300), next(&seed, -50, 50), next(&seed, 1.5, 20));
        struct sg_spot3 edge[3];
        for (size_t k = 0; k < 3; k++)
            edge[k] = above_ground(next(&seed, 2, 280), next(&seed, -80, 80), next(&seed, 0, 25));
        struct sg_obstacle wall = { "wall", false, edge, 3, { 0 } };
        work_out(&scene, s, r, 100, &without);
        scene.obstacle = &wall;
        scene.nobstacle = 1;
        work_out(&scene, s, r, 100, &with);
        assert_true(with.level.a_db <= without.level.a_db + 1e-9);
        screened += with.level.a_db < without.level.a_db - 1;
    }
    assert_true(screened > 200);
}

static void energy_sum_needs_no_order(void **state)
{
    (void)state;
    double there[200], back[200];
    unsigned seed = 3;
    for (size_t i = 0; i < 200; i++)
        there[i] = next(&seed, 20, 100);
    for (size_t i = 0; i < 200; i++)
        back[i] = there[199 - i];
    assert_close(sg_level_sum(there, 200), sg_level_sum(back, 200), 1e-12, 0);
}

static void a_weighted_power_goes_by_500_hz(void **state)
{
    (void)state;
    struct sg_scene scene = case_scene(0);
    struct worked w;
    work_out(&scene, above_ground(0, 0, 1), above_ground(100, 0, 4), 100, &w);
    struct sg_emitter emitter = { .name = "A", .power_a_db = 110 };
    for (size_t b = 0; b < SG_BANDS; b++)
        emitter.power_db[b] = SG_UNSET;
    struct sg_outdoor_level level;
    sg_outdoor_level(&emitter, w.path, w.count, &level);
    assert_true(level.by_500_hz);
    assert_close(level.a_db, 110 - (100 - w.level.band_db[3]), 0, 1e-9);
    assert_unset(level.band_db[3]);
}

/* ---- geometry that is wrong ---- */

static void expect_error(const struct sg_scene *scene, const struct sg_spot3 *place,
                         const char *words)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_outdoor *outdoor = NULL;
    struct sg_spot3 out;
    sg_status status = sg_outdoor_make(scene, &arena, &outdoor, &errors);
    if (place && status == SG_OK)
        status = sg_outdoor_place(outdoor, "source", "S", place, &out, &errors);
    assert_int_equal(status, SG_ERR_INPUT);
    assert_true(errors.count > 0);
    assert_non_null(strstr(errors.text[0], words));
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

static void bad_geometry_is_named(void **state)
{
    (void)state;
    static const struct sg_spot3 bow[] = { { 0, 0, 5, SG_UNSET },
                                           { 10, 10, 5, SG_UNSET },
                                           { 10, 0, 5, SG_UNSET },
                                           { 0, 10, 5, SG_UNSET } };
    static const struct sg_spot3 box[] = { { 0, 0, 5, SG_UNSET },
                                           { 10, 0, 5, SG_UNSET },
                                           { 10, 10, 5, SG_UNSET },
                                           { 0, 10, 5, SG_UNSET } };
    static const struct sg_spot3 none[] = { { 0, 0, SG_UNSET, SG_UNSET },
                                            { 10, 10, SG_UNSET, SG_UNSET } };
    static const struct sg_spot3 twice[] = { { 0, 0, 3, SG_UNSET }, { 0, 0, 3, SG_UNSET } };
    struct sg_obstacle o = { "bow", true, bow, 4, { 0 } };
    struct sg_scene scene = case_scene(0);
    scene.edition = SG_OUTDOOR_EDITION_END; /* a later one: nothing is guessed */
    expect_error(&scene, NULL, "allowed: 1996");
    scene.edition = SG_OUTDOOR_1996;
    scene.obstacle = &o;
    scene.nobstacle = 1;
    expect_error(&scene, NULL, "crosses itself");
    o = (struct sg_obstacle){ "none", false, none, 2, { 0 } };
    expect_error(&scene, NULL, "has no height");
    o = (struct sg_obstacle){ "twice", false, twice, 2, { 0 } };
    expect_error(&scene, NULL, "same place");
    o = (struct sg_obstacle){ "box", true, box, 4, { 0 } };
    struct sg_spot3 inside = above_ground(5, 5, 2), buried = in_datum(50, 50, -1);
    expect_error(&scene, &inside, "inside building");
    expect_error(&scene, &buried, "allowed: at or above the ground");
    struct sg_spot3 roof = above_ground(5, 5, 6), out;
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_outdoor *outdoor = NULL;
    assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
    assert_int_equal(sg_outdoor_place(outdoor, "source", "S", &roof, &out, NULL), SG_OK);
    struct sg_outdoor_path path[2];
    size_t count = 7;
    assert_int_equal(sg_outdoor_paths(outdoor, &out, &out, false, path, 2, &count), SG_ERR_DOMAIN);
    assert_int_equal(count, 7);
    sg_arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_points_of_table_1),
        cmocka_unit_test(air_table_2),
        cmocka_unit_test(air_outside_the_range_is_unset),
        cmocka_unit_test(ground_functions),
        cmocka_unit_test(ground_porous_limit),
        cmocka_unit_test(ground_alternative),
        cmocka_unit_test(weather),
        cmocka_unit_test(screens_by_fresnel_number),
        cmocka_unit_test(screens_near_the_line_of_sight),
        cmocka_unit_test(double_edges),
        cmocka_unit_test(negative_ground_is_not_taken_from_the_screen),
        cmocka_unit_test(size_of_a_reflecting_face),
        cmocka_unit_test(chain_sheet),
        cmocka_unit_test(one_wall_reflects),
        cmocka_unit_test(two_walls_reflect_twice),
        cmocka_unit_test(same_both_ways),
        cmocka_unit_test(a_screen_of_no_height_changes_nothing),
        cmocka_unit_test(a_screen_never_raises_the_level_on_hard_ground),
        cmocka_unit_test(energy_sum_needs_no_order),
        cmocka_unit_test(a_weighted_power_goes_by_500_hz),
        cmocka_unit_test(bad_geometry_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
