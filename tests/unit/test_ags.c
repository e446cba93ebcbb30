/* test_ags.c - borehole files: every trap of a real file by a fixture, and the ground between
 * boreholes. The traps were seen in a published AGS 4 file of an offshore borehole; the fixtures
 * are invented. Form of editions 3 and 4: the AGS format of the Association of Geotechnical and
 * Geoenvironmental Specialists (from memory but for the rows seen in that file). */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "site/ags.h"

#include <stdio.h>
#include <string.h>

static const char head[] = "title: invented\ncrs: local-metre\n";
static const char tail[] =
    "wall: {line_points: [[0, 0], [30, 0]], section: U, section_width_m: 0.6, toe_depth_m: 12}\n"
    "receptors: {list: [{name: House, x_m: 10, y_m: 25, use: residential, building_class: "
    "listed}]}\n"
    "methods:\n"
    "  - {name: Impact, technique: impact, energy_kJ: 28, minutes_per_pile: 20, on_time_percent: "
    "50}\n"
    "hours: {start: \"08:00\", end: \"18:00\", work_h: 9, days_per_week: 5}\n"
    "limits: {residential: [DIN4150-3-short]}\n";

static void read_site(const char *boreholes, struct sg_site *site)
{
    struct sg_text text = SG_TEXT_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    *site = SG_SITE_INIT;
    sg_text_printf(&text, "%sboreholes: %s\n%s", head, boreholes, tail);
    sg_status status = sg_site_read_memory(sg_text_string(&text), text.length,
                                           "tests/data/ags/site.yaml", site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    sg_errors_release(&errors);
    sg_text_release(&text);
}

static bool warned(const struct sg_site *site, const char *place, const char *words)
{
    for (size_t i = 0; i < site->nwarning; i++) {
        if (strstr(site->warning[i], place) && strstr(site->warning[i], words))
            return true;
    }
    print_error("no warning at %s with '%s'\n", place, words);
    return false;
}

static void test_traps(void **state)
{
    (void)state;
    struct sg_site site;
    read_site("{ags: traps.ags}", &site);
    assert_true(warned(&site, "traps.ags:12:", "same as line 11"));
    assert_true(warned(&site, "traps.ags:20:", "LOCA_MOOD"));
    assert_true(warned(&site, "traps.ags:24:", "not doubled"));
    assert_true(warned(&site, "traps.ags:25:", "spaces"));
    assert_true(warned(&site, "traps.ags:35:", "BH9"));
    assert_true(warned(&site, "traps.ags:44:", "refusal, 100 blows for 290 mm"));
    assert_true(warned(&site, "traps.ags:47:", "a negative value"));
    assert_true(warned(&site, "traps.ags:49:", "BH7"));
    assert_int_equal(site.nrefusal, 1);
    assert_close(site.refusal[0].blows, 100, 0, 0);
    assert_close(site.refusal[0].penetration_m, 0.29, 1e-12, 0);
    assert_close(site.refusal[0].spt_n, 100 * 0.3 / 0.29, 1e-12, 0);
    const struct sg_borehole *first = &site.borehole[0];
    assert_string_equal(first->name, "BH1");
    assert_close(first->chainage_m, 0.3, 1e-9, 1e-9); /* the first pile: the wall's end */
    assert_close(first->water_depth_m, 1.5, 0, 0);
    assert_int_equal(first->nlayer, 3);
    assert_string_equal(first->layer[0].soil->soil, "clay");
    assert_close(first->layer[1].spt_n, 22, 1e-12, 0);   /* 20 and 24 */
    assert_close(first->layer[1].base_m, 7.5, 1e-12, 0); /* half way from 6 to 9 m */
    assert_string_equal(first->layer[2].soil->state, "very-dense");
    assert_close(site.borehole[1].layer[1].spt_n, 42, 1e-12, 0); /* the negative one left out */
    sg_site_release(&site);
}

static void test_edition_3(void **state)
{
    (void)state;
    struct sg_site site;
    read_site("{ags: older.ags, between: nearest}", &site);
    assert_int_equal(site.nborehole, 2);
    assert_string_equal(site.borehole[0].layer[0].soil->soil, "clay"); /* out of a <CONT> row */
    assert_int_equal(site.nrefusal, 1);
    assert_close(site.refusal[0].spt_n, 100, 1e-12, 0); /* 50 blows for 150 mm */
    assert_close(site.borehole[0].water_depth_m, 1.5, 0, 0);
    sg_site_release(&site);
}

static void test_own_classes_come_first(void **state)
{
    (void)state;
    struct sg_site site;
    read_site("{ags: traps.ags, classes: {\"401\": gravel dense}}", &site);
    assert_string_equal(site.borehole[0].layer[1].soil->soil, "gravel");
    assert_string_equal(site.borehole[0].layer[1].soil->state, "dense");
    sg_site_release(&site);
}

/* Half way between 2 m of clay and 4 m of clay there are 3 m of it; blow counts 20 and 40 give 30;
 * a layer that one borehole lacks has half its thickness. */
static void test_between(void **state)
{
    (void)state;
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site };
    const struct sg_soil *clay = sg_soil_find("clay", "soft"), *peat = sg_soil_find("peat", "soft");
    const struct sg_soil *sand = sg_soil_find("sand", "medium-dense");
    const struct sg_layer left[] = { { 0, 2, clay, 3 },
                                     { 2, 6, peat, SG_UNSET },
                                     { 6, 20, sand, 20 } };
    const struct sg_layer right[] = { { 0, 4, clay, 3 }, { 4, 20, sand, 40 } };
    const struct sg_borehole a = { "A", 0, 1, left, 3 }, b = { "B", 10, 3, right, 2 };
    struct sg_borehole out;
    assert_true(sg_between_boreholes(&reader, &a, &b, 0.5, &out));
    assert_int_equal(out.nlayer, 3);
    assert_close(out.layer[0].base_m, 3, 1e-12, 0);
    assert_close(out.layer[1].base_m, 5, 1e-12, 0);
    assert_close(out.layer[2].base_m, 20, 1e-12, 0);
    assert_close(out.layer[2].spt_n, 30, 1e-12, 0);
    assert_string_equal(out.layer[2].soil->state, "dense");
    assert_close(out.water_depth_m, 2, 1e-12, 0);
    assert_true(sg_between_boreholes(&reader, &a, &b, 0, &out)); /* the ends give the ends */
    assert_int_equal(out.nlayer, 3);
    assert_true(sg_between_boreholes(&reader, &a, &b, 1, &out));
    assert_int_equal(out.nlayer, 2);
    assert_close(out.layer[0].base_m, 4, 1e-12, 0);
    sg_arena_release(&site.arena);
}

static void test_blow_counts(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double main_blows, npen_mm, n;
        bool refused;
    } good[] = {
        { "23", SG_UNSET, SG_UNSET, 23, false },
        { "100/0.29", SG_UNSET, SG_UNSET, 103.448275862, true },
        { "50/75mm", SG_UNSET, SG_UNSET, 200, true },
        { "50/75", SG_UNSET, SG_UNSET, 200, true },
        { "30/300", SG_UNSET, SG_UNSET, 30, false },
        { ">50", SG_UNSET, SG_UNSET, 50, true },
        { "50+", SG_UNSET, SG_UNSET, 50, true },
        { "50", 50, 150, 100, true },
        { "", 50, 150, 100, true },
        { "0", SG_UNSET, SG_UNSET, 0, false },
    };
    static const char *const bad[] = { "-4", "", "R", "100/", "/0.2", "100/0", "50/900", "2,5" };
    struct sg_ags_test test = { .depth_m = 1 };
    for (size_t i = 0; i < SG_COUNT(good); i++) {
        assert_null(sg_ags_read_n(good[i].text, good[i].main_blows, good[i].npen_mm, &test));
        assert_close(test.n, good[i].n, 1e-9, 0);
        assert_int_equal(test.refused, good[i].refused);
    }
    for (size_t i = 0; i < SG_COUNT(bad); i++)
        assert_non_null(sg_ags_read_n(bad[i], SG_UNSET, SG_UNSET, &test));
}

static void test_words(void **state)
{
    (void)state;
    static const char *const row[][3] = {
        { "Soft grey slightly sandy CLAY", "clay", "soft" },
        { "MADE GROUND: brick and sand", "fill", "" },
        { "Made ground of concrete and clay", "fill", "obstructed" },
        { "Very dense sandy GRAVEL", "gravel", "very-dense" },
        { "medium-dense sand", "sand", "medium-dense" },
        { "Weak grey MUDSTONE", "rock", "weak" },
        { "COBBLES and boulders in sand", "cobbles", "obstructed" },
        { "No recovery", "", "" },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        const char *soil, *how;
        sg_ags_read_soil(row[i][0], &soil, &how);
        assert_string_equal(soil, row[i][1]);
        assert_string_equal(how, row[i][2]);
    }
    double degrees;
    assert_true(sg_ags_read_degrees("51°44'37.5\"", &degrees));
    assert_close(degrees, 51 + 44 / 60.0 + 37.5 / 3600, 1e-12, 0);
    assert_true(sg_ags_read_degrees("0°07'30\"W", &degrees));
    assert_close(degrees, -0.125, 1e-12, 0);
    assert_false(sg_ags_read_degrees("north", &degrees));
}

/* A file that is none, or holds nothing, is refused and named. */
static void test_not_a_file(void **state)
{
    (void)state;
    static const char *const text[] = { "", "hello\n",
                                        "\"GROUP\",\"PROJ\"\n\"HEADING\",\"PROJ_ID\"\n" };
    for (size_t i = 0; i < SG_COUNT(text); i++) {
        struct sg_site site = SG_SITE_INIT;
        struct sg_reader reader = { .site = &site };
        struct sg_ags ags;
        struct sg_errors errors = SG_ERRORS_INIT;
        bool read = sg_ags_parse(&reader, text[i], strlen(text[i]), "x.ags", &ags);
        assert_int_equal(read, i == 2);
        assert_int_equal(sg_reader_finish(&reader, &errors), read ? SG_OK : SG_ERR_INPUT);
        sg_errors_release(&errors);
        sg_arena_release(&site.arena);
    }
}

/* Every shortened file and every file with one byte changed is read to its end. */
static void test_malformed(void **state)
{
    (void)state;
    static char bytes[16384];
    FILE *file = fopen("tests/data/ags/traps.ags", "rb");
    assert_non_null(file);
    size_t length = fread(bytes, 1, sizeof(bytes), file);
    fclose(file);
    assert_true(length > 1000);
    for (size_t i = 0; i < length; i += 3) {
        for (int kind = 0; kind < 2; kind++) {
            struct sg_site site = SG_SITE_INIT;
            struct sg_reader reader = { .site = &site };
            struct sg_ags ags = { .edition = 0 };
            char kept = bytes[i];
            bytes[i] = kind ? '"' : kept;
            bool read = sg_ags_parse(&reader, bytes, kind ? length : i, "x.ags", &ags);
            assert_true(!read || ags.ngroup > 0);
            bytes[i] = kept;
            sg_free(reader.message);
            sg_arena_release(&site.arena);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_traps),
        cmocka_unit_test(test_edition_3),
        cmocka_unit_test(test_own_classes_come_first),
        cmocka_unit_test(test_between),
        cmocka_unit_test(test_blow_counts),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_not_a_file),
        cmocka_unit_test(test_malformed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
