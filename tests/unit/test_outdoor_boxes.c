/* test_outdoor_boxes.c - the index of boxes against a plain search, the vector forms of logarithm
 * and power against the C library, the ways round the sides among many and few neighbours. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "sound/outdoor_internal.h"

#include <math.h>

enum { MOST = 700 };

static double next_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

struct answer {
    bool met[MOST];
    size_t calls, stop_after;
};

static bool note(size_t item, void *payload)
{
    struct answer *answer = payload;
    assert_true(item < MOST);
    assert_false(answer->met[item]); /* never twice */
    answer->met[item] = true;
    return ++answer->calls != answer->stop_after;
}

static struct sg_box box_at(double x, double y, double wide, double high)
{
    return (struct sg_box){ x, y, x + wide, y + high };
}

/* True when the stretch has a point in the box grown by so much on all sides: by clipping. */
static bool touches(const struct sg_box *box, double grown, struct sg_xy a, struct sg_xy b)
{
    double t0 = 0, t1 = 1, d[2] = { b.x - a.x, b.y - a.y }, p[2] = { a.x, a.y };
    double low[2] = { box->west - grown, box->south - grown };
    double high[2] = { box->east + grown, box->north + grown };
    for (size_t k = 0; k < 2; k++) {
        if (fabs(d[k]) < 1e-300) {
            if (p[k] < low[k] || p[k] > high[k])
                return false;
            continue;
        }
        double s = (low[k] - p[k]) / d[k], e = (high[k] - p[k]) / d[k];
        t0 = fmax(t0, fmin(s, e));
        t1 = fmin(t1, fmax(s, e));
    }
    return t0 <= t1;
}

static void check_size(size_t count, bool clustered)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_box box[MOST];
    struct sg_box_tree tree;
    uint64_t state = 7 + count;
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        bool close = clustered && i % 3;
        double scale = close ? 60.0 : 1000.0, from = close ? 470.0 : 0;
        box[i] = box_at(from + scale * next_unit(&state), from + scale * next_unit(&state),
                        30 * next_unit(&state), 30 * next_unit(&state));
    }
    assert_int_equal(sg_box_tree_make(box, count, &arena, &tree), SG_OK);
    for (size_t ask = 0; ask < 100; ask++) {
        struct sg_xy a = { 1000 * next_unit(&state), 1000 * next_unit(&state) };
        struct sg_xy b = { 1000 * next_unit(&state), ask % 5 ? 1000 * next_unit(&state) : a.y };
        struct answer along = { .stop_after = 0 }, within = { .stop_after = 0 };
        struct sg_box round = sg_box_of(a, b, 5);
        sg_box_tree_ask(&tree, a, b, note, &along);
        sg_box_tree_within(&tree, &round, note, &within);
        for (size_t i = 0; i < count; i++) {
            bool apart = box[i].west > round.east || box[i].east < round.west ||
                         box[i].south > round.north || box[i].north < round.south;
            assert_int_equal(within.met[i], !apart);
            if (touches(&box[i], 0, a, b))
                assert_true(along.met[i]);
            else if (!touches(&box[i], 1e-6, a, b)) /* between the two either answer will do */
                assert_false(along.met[i]);
            found += along.met[i];
        }
    }
    /* A stretch of 500 m meets about one of a hundred boxes of 15 m in a square kilometre. */
    assert_true(found > count / 2 || count < 63);
    sg_arena_release(&arena);
}

static void index_finds_what_a_plain_search_finds(void **state)
{
    static const size_t size[] = { 1, 2, 7, 8, 9, 63, 64, 65, 100, 511, 512, 513, MOST };
    (void)state;
    for (size_t i = 0; i < SG_COUNT(size); i++) {
        check_size(size[i], false);
        check_size(size[i], true);
    }
}

static void index_takes_none_and_equal_boxes(void **state)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_box box[MOST] = { { 0, 0, 0, 0 } };
    struct sg_box_tree tree;
    struct answer answer = { .stop_after = 0 };
    struct sg_xy a = { -1, 0.5 }, b = { 2, 0.5 };
    (void)state;
    assert_int_equal(sg_box_tree_make(box, 0, &arena, &tree), SG_OK);
    sg_box_tree_ask(&tree, a, b, note, &answer);
    assert_int_equal(answer.calls, 0);
    for (size_t i = 0; i < MOST; i++)
        box[i] = box_at(0, 0, 1, 1);
    assert_int_equal(sg_box_tree_make(box, MOST, &arena, &tree), SG_OK);
    sg_box_tree_ask(&tree, a, b, note, &answer);
    assert_int_equal(answer.calls, MOST);
    struct answer stopped = { .stop_after = 3 };
    sg_box_tree_ask(&tree, a, b, note, &stopped);
    assert_int_equal(stopped.calls, 3);
    sg_arena_release(&arena);
}

static void eight_values_at_once_agree_with_the_library(void **state)
{
    uint64_t seed = 3;
    (void)state;
    for (size_t k = 0; k < 2000; k++) {
        double db[SG_BANDS], ratio[SG_BANDS], back[SG_BANDS], power[SG_BANDS];
        for (size_t b = 0; b < SG_BANDS; b++)
            db[b] = 1000 * (next_unit(&seed) - 0.5);
        sg_bands_ratio(db, ratio);
        sg_bands_db(ratio, back);
        sg_bands_exp(db, power);
        for (size_t b = 0; b < SG_BANDS; b++) {
            assert_close(ratio[b], pow(10.0, 0.1 * db[b]), 1e-12, 0);
            assert_close(back[b], db[b], 0, 1e-11);
            assert_close(power[b], exp(db[b]), 1e-12, 0);
        }
    }
    double edge[SG_BANDS] = { 0, -3000, -3011, -1e9, -1e300, 10, -10, 1e-9 }, out[SG_BANDS];
    sg_bands_ratio(edge, out);
    assert_true(out[0] >= 1.0 && out[0] <= 1.0);
    assert_true(out[1] > 0); /* 10^-300 */
    for (size_t b = 2; b < 5; b++)
        assert_true(out[b] >= 0 && out[b] <= 0);
}

/* A wall between source and receptor with `others` low kerbs round it: kerbs far under the way
 * change nothing, however many of them the search has to look at. */
static double screened_a_db(size_t others)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_spot3 corner[2 * MOST];
    struct sg_obstacle wall[MOST];
    struct sg_scene scene = SG_SCENE_INIT;
    const struct sg_outdoor *outdoor;
    struct sg_outdoor_path path;
    struct sg_outdoor_level level;
    struct sg_emitter emitter = { .name = "S" };
    size_t count;
    corner[0] = (struct sg_spot3){ 50, -20, SG_UNSET, 5 };
    corner[1] = (struct sg_spot3){ 50, 25, SG_UNSET, 5 };
    for (size_t i = 1; i <= others; i++) {
        double x = 5 + 90 * (double)i / (double)(others + 1);
        corner[2 * i] = (struct sg_spot3){ x, -15, SG_UNSET, 0.1 };
        corner[2 * i + 1] = (struct sg_spot3){ x, 20, SG_UNSET, 0.1 };
    }
    for (size_t i = 0; i <= others; i++)
        wall[i] = (struct sg_obstacle){ "wall", false, &corner[2 * i], 2, { 0 } };
    scene.obstacle = wall;
    scene.nobstacle = others + 1;
    for (size_t b = 0; b < SG_BANDS; b++)
        emitter.power_db[b] = 100;
    struct sg_spot3 s = { 0, 0, 1, 1 }, r = { 100, 3, 2, 2 };
    assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
    assert_int_equal(sg_outdoor_paths(outdoor, &s, &r, false, &path, 1, &count), SG_OK);
    assert_int_equal(path.top.count, 1);
    assert_true(path.side[0].count == 1 && path.side[1].count == 1);
    sg_outdoor_level(&emitter, &path, count, &level);
    sg_arena_release(&arena);
    return level.a_db;
}

static void low_neighbours_change_nothing_however_many(void **state)
{
    double alone = screened_a_db(0);
    (void)state;
    assert_close(screened_a_db(10), alone, 0, 1e-9);
    assert_close(screened_a_db(40), alone, 0, 1e-9);
    assert_close(screened_a_db(300), alone, 0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(index_finds_what_a_plain_search_finds),
        cmocka_unit_test(index_takes_none_and_equal_boxes),
        cmocka_unit_test(eight_values_at_once_agree_with_the_library),
        cmocka_unit_test(low_neighbours_change_nothing_however_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
