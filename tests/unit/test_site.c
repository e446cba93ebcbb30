/* test_site.c - the site file: what is taken, what is refused and how it is said.
 *
 * There is nothing published about our own file; positions and distances are checked by geometry
 * that can be done in the head. Section widths: common practice, no source.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "site_text.h"

static struct sg_site read_good(const char *text)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = sg_site_read_memory(text, strlen(text), "s.yaml", &site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    assert_int_equal(errors.count, 0);
    sg_errors_release(&errors);
    return site;
}

static struct sg_site read_with(const char *from, const char *to)
{
    char *text = site_text_with(from, to);
    struct sg_site site = read_good(text);
    sg_free(text);
    return site;
}

/* ---- what is taken ---- */

static void test_small_site(void **state)
{
    (void)state;
    struct sg_site site = read_good(site_text);
    assert_string_equal(site.title, "Test wall");
    assert_int_equal(site.nborehole, 1);
    assert_int_equal(site.borehole[0].nlayer, 2);
    assert_close(site.borehole[0].layer[1].top_m, 3.0, 0, 0);
    assert_string_equal(site.borehole[0].layer[0].soil->state, "soft");
    assert_int_equal(site.npile, 50); /* 30 m in widths of 0.6 m */
    assert_string_equal(site.pile[0].name, "P001");
    assert_close(site.pile[0].chainage_m, 0.3, 1e-12, 0);
    assert_close(site.pile[49].at.x_m, 29.7, 1e-12, 0);
    assert_close(site.pile[49].toe_depth_m, 12.0, 0, 0);
    assert_int_equal(site.nreceptor, 1);
    assert_int_equal(site.receptor[0].use, SG_USE_RESIDENTIAL);
    assert_int_equal(site.receptor[0].building_class, SG_CLASS_LISTED);
    assert_int_equal(site.receptor[0].position, SG_AT_FACADE);
    assert_unset(site.receptor[0].ambient_day_db);
    assert_close(site.method[0].energy_kJ, 28.0, 0, 0);
    assert_ptr_equal(site.method[0].model, sg_model_default(SG_IMPACT));
    assert_unset(site.method[0].rig_sound.level_db);
    assert_close(site.hours.start_h, 8.0, 0, 0);
    assert_close(site.percentile, 95.0, 0, 0);
    assert_unset(site.boundary_distance_m);
    assert_int_equal(site.nwarning, 0);
    sg_site_release(&site);
}

static void test_limit_sets(void **state)
{
    (void)state;
    size_t count = 0;
    struct sg_site site = read_good(site_text);
    const char *const *sets = sg_site_limit_sets(&site, &site.receptor[0], &count);
    assert_int_equal(count, 1);
    assert_string_equal(sets[0], "DIN4150-3-short");
    sg_site_release(&site);

    site = read_with("building_class: listed", "building_class: listed, limit_sets: [BS7385-2]");
    sets = sg_site_limit_sets(&site, &site.receptor[0], &count);
    assert_int_equal(count, 1);
    assert_string_equal(sets[0], "BS7385-2");
    sg_site_release(&site);

    site = read_with("  residential:", "  school:");
    assert_null(sg_site_limit_sets(&site, &site.receptor[0], &count));
    assert_int_equal(count, 0);
    assert_int_equal(site.nwarning, 1); /* a receptor without limits is said */
    sg_site_release(&site);
}

static void test_distances(void **state)
{
    (void)state;
    static const struct sg_point square[] = { { 0, 0 }, { 10, 0 }, { 10, 10 }, { 0, 10 } };
    struct sg_receptor r = { .at = { 3, 4 } };
    assert_close(sg_site_distance_m(&r, (struct sg_point){ 0, 0 }), 5.0, 1e-15, 0);
    r.footprint = square;
    r.nfootprint = 4;
    assert_close(sg_site_distance_m(&r, (struct sg_point){ 5, -7 }), 7.0, 1e-15, 0);
    assert_close(sg_site_distance_m(&r, (struct sg_point){ 13, 14 }), 5.0, 1e-15, 0);
    assert_close(sg_site_distance_m(&r, (struct sg_point){ -2, 5 }), 2.0, 1e-15, 0);
    assert_close(sg_site_distance_m(&r, (struct sg_point){ 5, 5 }), 0.0, 0, 0);
    assert_close(sg_site_distance_m(&r, (struct sg_point){ 10, 5 }), 0.0, 0, 1e-15);
}

static void test_footprint_in_list(void **state)
{
    (void)state;
    struct sg_site site =
        read_with("x_m: 10, y_m: 25", "footprint_points: [[10, 25], [20, 25], [20, 35], [10, 25]]");
    assert_int_equal(site.receptor[0].nfootprint, 3); /* the repeated corner is dropped */
    assert_close(site.receptor[0].at.y_m, 25.0, 1e-12, 0);
    size_t nearest = sg_site_nearest_pile(&site, 0);
    assert_close(sg_site_distance_m(&site.receptor[0], site.pile[nearest].at), 25.0, 1e-12, 0);
    assert_int_equal(sg_site_nearest_pile(&site, 7), SIZE_MAX);
    sg_site_release(&site);
}

static void test_bent_line(void **state)
{
    (void)state;
    struct sg_site site = read_with("[[0, 0], [30, 0]]", "[[0, 0], [3, 0], [3, 3]]");
    assert_int_equal(site.npile, 10);
    assert_close(site.pile[5].chainage_m, 3.3, 1e-12, 0); /* 0.3 m round the corner */
    assert_close(site.pile[5].at.x_m, 3.0, 1e-12, 0);
    assert_close(site.pile[5].at.y_m, 0.3, 1e-9, 0);
    sg_site_release(&site);
}

static void test_boreholes_by_chainage(void **state)
{
    (void)state;
    struct sg_site site = read_with(
        "  - name: B1\n", "  - {name: B2, chainage_m: 24, layers: [{soil: sand, spt_N: 20}]}\n"
                          "  - name: B1\n    chainage_m: 6\n");
    assert_int_equal(site.nborehole, 2);
    assert_string_equal(site.borehole[0].layer[0].soil->state, "medium-dense"); /* from N */
    assert_true(isinf(site.borehole[0].layer[0].base_m));
    assert_int_equal(site.pile[0].borehole, 1);
    assert_int_equal(site.pile[49].borehole, 0);
    for (size_t i = 0; i < site.npile; i++) /* 15 m is as near to both; the lower one holds */
        assert_int_equal(site.pile[i].borehole, site.pile[i].chainage_m <= 15.0 ? 1 : 0);
    sg_site_release(&site);
}

static void test_layers(void **state)
{
    (void)state;
    struct sg_site site = read_good(site_text);
    const struct sg_borehole *hole = &site.borehole[0];
    assert_ptr_equal(sg_site_layer(hole, 0.0), &hole->layer[0]);
    assert_ptr_equal(sg_site_layer(hole, 12.0), &hole->layer[1]);
    assert_null(sg_site_layer(hole, 20.5));
    assert_close(sg_layer_n(&hole->layer[1]), 40.0, 0, 0);
    struct sg_layer bare = { 0, 5, sg_soil_find("sand", "medium-dense"), SG_UNSET };
    assert_non_null(bare.soil);
    assert_close(sg_layer_n(&bare), 0.5 * (bare.soil->n_low + bare.soil->n_high), 1e-15, 0);
    struct sg_layer rock = { 0, 5, sg_soil_find("rock", "weak"), SG_UNSET };
    assert_non_null(rock.soil);
    assert_unset(sg_layer_n(&rock));
    sg_site_release(&site);
}

static void test_one_ground(void **state)
{
    (void)state;
    char *text =
        site_text_with("boreholes:\n  - name: B1\n    layers:\n", "water_depth_m: 2\nground:\n");
    struct sg_site site = read_good(text);
    assert_int_equal(site.nborehole, 1);
    assert_close(site.borehole[0].water_depth_m, 2.0, 0, 0);
    assert_unset(site.borehole[0].chainage_m);
    sg_site_release(&site);
    sg_free(text);
}

static void test_listed_piles(void **state)
{
    (void)state;
    struct sg_site site =
        read_with("line_points: [[0, 0], [30, 0]]",
                  "piles: [{name: A, x_m: 0, y_m: 0}, {name: B, x_m: 3, y_m: 4, toe_depth_m: 9, "
                  "section: hat}]");
    assert_int_equal(site.npile, 2);
    assert_close(site.pile[1].chainage_m, 5.0, 1e-15, 0);
    assert_close(site.pile[0].toe_depth_m, 12.0, 0, 0);
    assert_close(site.pile[1].toe_depth_m, 9.0, 0, 0);
    assert_string_equal(site.pile[1].section, "hat");
    assert_string_equal(site.pile[0].section, "U");
    sg_site_release(&site);
}

/* U sections 400 to 750 mm: common practice, no source. */
static void test_width_outside_practice(void **state)
{
    (void)state;
    static const struct {
        const char *width;
        size_t warnings;
    } row[] = {
        { "section_width_m: 0.4", 0 },
        { "section_width_m: 0.75", 0 },
        { "section_width_m: 0.39", 1 },
        { "section_width_m: 0.76", 1 },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        struct sg_site site = read_with("section_width_m: 0.6", row[i].width);
        assert_int_equal(site.nwarning, row[i].warnings);
        if (row[i].warnings > 0)
            assert_non_null(strstr(site.warning[0], "s.yaml:11: section_width_m"));
        sg_site_release(&site);
    }
}

static void test_method_figures(void **state)
{
    (void)state;
    struct sg_site site = read_with(
        "    energy_kJ: 28\n",
        "    energy_kJ: 28\n    blows_per_min: 42\n    driven_to_refusal: true\n"
        "    second_model: none\n    sound: {lwa_dB: 120, provenance: \"invented\"}\n"
        "    plant:\n      - {name: pump, laeq_10m_dB: 70, provenance: \"invented\", count: 2, "
        "on_time_percent: 90}\n");
    const struct sg_method *m = &site.method[0];
    assert_close(m->blows_per_min, 42.0, 0, 0);
    assert_true(m->driven_to_refusal);
    assert_null(m->second);
    assert_int_equal(m->rig_sound.kind, SG_SOURCE_LWA);
    assert_close(m->rig_sound.level_db, 120.0, 0, 0);
    assert_close(m->rig_sound.on_time_percent, 50.0, 0, 0);
    assert_int_equal(m->nplant, 1);
    assert_int_equal(m->plant[0].kind, SG_SOURCE_LAEQ_10M);
    assert_close(m->plant[0].count, 2.0, 0, 0);
    sg_site_release(&site);
}

/* FHWA 2006 Table 9.1 (recalled): crane 81 dB(A) at 50 ft, in use 16 %. The user's own plant comes
 * first; the pairing with the technique is common practice. */
static void test_usual_plant(void **state)
{
    (void)state;
    struct sg_site site = read_with(
        "    energy_kJ: 28\n", "    energy_kJ: 28\n    usual_plant: true\n    plant:\n"
                               "      - {name: pump, laeq_10m_dB: 70, provenance: \"invented\", "
                               "on_time_percent: 90}\n");
    const struct sg_method *m = &site.method[0];
    assert_int_equal(m->technique, SG_IMPACT);
    assert_int_equal(m->nplant, 2);
    assert_string_equal(m->plant[0].name, "pump");
    assert_string_equal(m->plant[1].source->id, "fhwa-crane");
    assert_int_equal(m->plant[1].kind, SG_SOURCE_LMAX_50FT);
    assert_close(m->plant[1].level_db, 81.0, 0, 0);
    assert_close(m->plant[1].on_time_percent, 16.0, 0, 0);
    assert_non_null(strstr(m->plant[1].provenance, "common practice"));
    /* as high above the ground as plant of the user's that gives no height */
    assert_close(m->plant[1].end_height_m, m->plant[0].end_height_m, 0, 0);
    sg_site_release(&site);
}

static void test_constants(void **state)
{
    (void)state;
    const struct sg_model *model = sg_model_default(SG_IMPACT);
    assert_non_null(model);
    assert_true(model->ncoefficient > 0);
    char to[300];
    snprintf(to, sizeof(to),
             "energy_kJ: 28\n    constants: {\"%s\": 2.5}\n    constants_source: trial",
             model->coefficient[0].symbol);
    struct sg_site site = read_with("energy_kJ: 28", to);
    assert_int_equal(site.method[0].nconstant, 1);
    assert_close(site.method[0].constant[0].value, 2.5, 0, 0);
    assert_string_equal(site.method[0].constants_source, "trial");
    sg_site_release(&site);
}

static void test_odd_names_are_kept(void **state)
{
    (void)state;
    static const char *const names[][2] = {
        { "name: \"<script>alert(1)</script>\"", "<script>alert(1)</script>" },
        { "name: \"=cmd|' /C calc'!A0\"", "=cmd|' /C calc'!A0" },
        { "name: 'a \"quoted\" & b'", "a \"quoted\" & b" },
        { "name: \"M\xc3\xbchle \xe6\x9d\xad\"", "M\xc3\xbchle \xe6\x9d\xad" },
        { "name: \"100%s%n\"", "100%s%n" },
    };
    for (size_t i = 0; i < SG_COUNT(names); i++) {
        struct sg_site site = read_with("name: House", names[i][0]);
        assert_string_equal(site.receptor[0].name, names[i][1]);
        sg_site_release(&site);
    }
}

static void test_anchor(void **state)
{
    (void)state;
    struct sg_site site = read_with("[[0, 0], [30, 0]]", "[&start [0, 0], [30, 0], *start]");
    assert_int_equal(site.npile, 100);
    sg_site_release(&site);
}

/* The file that the project ships as its example. */
static void test_example(void **state)
{
    (void)state;
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = sg_site_read("receptors/canal-wall/site.yaml", &site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    assert_true(site.npile >= 250);
    assert_int_equal(site.nborehole, 3);
    assert_int_equal(site.nmethod, 4);
    assert_true(site.nreceptor > 0);
    assert_int_equal(site.sound_ground, SG_SOUND_MIXED);
    assert_close(site.soft_fraction, 0.4, 0, 0);
    sg_site_release(&site);
    sg_errors_release(&errors);
}

/* ---- what is refused ---- */

#define PIECES 5
struct bad {
    const char *from, *to;
    const char *piece[PIECES + 1];
};

static const struct bad bad_values[] = {
    /* keys */
    { "energy_kJ: 28", "energy_kj: 28", { ":19:5:", "'energy_kj'", "meant: energy_kJ?" } },
    { "title:", "titel:", { ":1:1:", "top level", "'titel'", "meant: title?", "allowed: " } },
    { "work_h: 9", "work: 9", { ":22:", "hours", "'work'", "meant: work_h?" } },
    { "crs: local-metre\n", "", { "s.yaml:1:1: crs: is missing", "EPSG:n" } },
    { "    energy_kJ: 28\n",
      "",
      { ":17:5:", "methods.energy_kJ: is missing", "0.001 to 5000 kJ" } },
    { "  toe_depth_m: 12\n", "", { ":9:3:", "wall.toe_depth_m: is missing" } },
    { "    technique: impact\n", "", { ":17:5:", "methods.technique: is missing", "press-in" } },
    { "crs: local-metre\n",
      "crs: local-metre\ncrs: local-metre\n",
      { ":3:1:", "crs: is given a second time", "each key once" } },
    { "limits:\n", "limits:\n  ? [a]\n  : [b]\n", { ":24:5:", "limits", "allowed: residential" } },
    { "title: Test wall\n", "<<: {title: x}\n", { ":1:1:", "'<<'" } },
    /* numbers */
    { "energy_kJ: 28",
      "energy_kJ: -3",
      { "s.yaml:19:16:", "methods.energy_kJ", "'-3'", "too small", "from 0.001 to 5000 kJ" } },
    { "energy_kJ: 28", "energy_kJ: 28 kJ", { ":19:16:", "'28 kJ'", "unit stands in the key" } },
    { "energy_kJ: 28", "energy_kJ: \"2,8\"", { ":19:16:", "'2,8'", "comma", "5000 kJ" } },
    { "energy_kJ: 28", "energy_kJ: nan", { ":19:16:", "'nan'", "is not a number", "5000 kJ" } },
    { "energy_kJ: 28", "energy_kJ: .inf", { ":19:16:", "'.inf'", "is not a number", "5000 kJ" } },
    { "energy_kJ: 28", "energy_kJ: 1e999", { ":19:16:", "'1e999'", "too large", "5000 kJ" } },
    { "energy_kJ: 28", "energy_kJ: 0x1C", { ":19:16:", "'0x1C'" } },
    { "energy_kJ: 28", "energy_kJ:", { ":19:15:", "methods.energy_kJ", "missing its value" } },
    { "energy_kJ: 28", "energy_kJ: [28]", { ":19:16:", "'[...]'", "not a single value" } },
    { "on_time_percent: 50",
      "on_time_percent: 101",
      { ":21:22:", "methods.on_time_percent", "'101'", "too large", "0.1 to 100 %" } },
    { "section_width_m: 0.6", "section_width_m: 600", { ":11:20:", "'600'", "0.05 to 10 m" } },
    { "crs: local", "percentile: 99.5\ncrs: local", { ":2:13:", "percentile", "50 to 99 %" } },
    { "building_class: listed",
      "building_class: listed, storeys: 2.5",
      { ":15:", "receptors.list.storeys", "'2.5'", "not a whole number" } },
    { "building_class: listed",
      "building_class: listed, published_floor: yes",
      { ":15:", "receptors.list.published_floor", "'yes'", "true or false" } },
    /* words */
    { "use: residential",
      "use: residental",
      { ":15:", "receptors.list.use", "'residental'", "meant: residential?", "school" } },
    { "technique: impact", "technique: impakt", { ":18:16:", "'impakt'", "meant: impact?" } },
    { "soil: clay", "soil: clai", { ":6:", "soil", "'clai'", "meant: clay?", "allowed: sand" } },
    { "state: soft", "state: sofft", { ":6:", "state", "'sofft'", "meant: soft?", "very-stiff" } },
    { "state: dense, spt_N: 40", "spt_N: 40, state: \"\"", { NULL } },
    { "state: dense, spt_N: 40", "water: 1", { ":7:", "'water'" } },
    { "state: dense, spt_N: 40", "state: \"\"", { ":7:", "state: is missing", "spt_N" } },
    { "section: U", "section: V", { ":10:12:", "wall.section", "'V'", "Z-single" } },
    { "[DIN4150-3-short]",
      "[DIN4150-3-shor]",
      { ":24:17:", "limits", "'DIN4150-3-shor'", "meant: DIN4150-3-short?", "allowed: " } },
    { "  residential: [", "  residental: [", { ":24:3:", "limits", "meant: residential?" } },
    { "[DIN4150-3-short]", "DIN4150-3-short", { ":24:16:", "limits", "is not a list" } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    sound: {source: bs5228-c3-88}",
      { ":20:21:", "source", "'bs5228-c3-88'", "meant: ", "allowed: " } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    model: no-such-model-at-all",
      { ":20:12:", "model", "'no-such-model-at-all'", "allowed: " } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    variant: no-such-row-at-all",
      { ":20:14:", "methods.variant", "'no-such-row-at-all'", "allowed: " } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    constants: {no-such: 1}\n    constants_source: x",
      { ":20:17:", "methods.constants", "'no-such'", "allowed: " } },
    { "building_class: listed",
      "building_class: listed, foundation: no-such-one",
      { ":15:", "foundation", "'no-such-one'", "allowed: " } },
    /* CRS */
    { "crs: local-metre",
      "crs: EPSG:4326",
      { ":2:6:", "crs", "'EPSG:4326'", "degrees", "metres" } },
    { "crs: local-metre",
      "crs: EPSG:2263",
      { ":2:6:", "'EPSG:2263'", "does not count in metres" } },
    { "crs: local-metre", "crs: EPSG:999999", { ":2:6:", "not a CRS of the EPSG data set" } },
    { "crs: local-metre", "crs: EPSG:12a", { ":2:6:", "not understood", "EPSG:n" } },
    { "crs: local-metre", "crs: UTM 32", { ":2:6:", "'UTM 32'", "not understood", "local-metre" } },
    { "crs: local-metre", "crs: EPSG:5703", { ":2:6:", "not a projected CRS" } }, /* a height */
    /* what belongs together */
    { "energy_kJ: 28", "energy_kJ: 28\n    constants: {k: 1}", { "constants_source: is missing" } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    jetting_reduction_dB: 5",
      { "jetting_reduction_source: is missing" } },
    { "energy_kJ: 28", "energy_kJ: 28\n    sound: {lwa_dB: 120}", { "methods.sound.provenance" } },
    { "energy_kJ: 28",
      "energy_kJ: 28\n    sound: {lwa_dB: 120, laeq_10m_dB: 90, provenance: x}",
      { ":20:12:", "given in 2 ways", "one of source" } },
    { "energy_kJ: 28", "energy_kJ: 28\n    plant: [{on_time_percent: 5}]", { "given in 0 ways" } },
    { "building_class: listed",
      "building_class: listed, own_ppv_limit_mm_s: 3",
      { ":15:", "own_limit_source: is missing" } },
    { "building_class: listed",
      "building_class: listed, floor_factor: 3",
      { ":15:", "transfer_source: is missing" } },
    { "x_m: 10, y_m: 25, ", "", { ":15:", "no position", "'House'" } },
    { "work_h: 9", "work_h: 11", { ":22:", "hours.work_h", "'11'", "10 h" } },
    { "\"08:00\"", "\"8 o'clock\"", { ":22:", "hours.start", "HH:MM" } },
    { "\"08:00\"", "\"24:01\"", { ":22:", "hours.start", "'24:01'" } },
    { "limits:\n", "sound: {ground: mixed}\nlimits:\n", { ":23:8:", "soft_fraction: is missing" } },
    { "boreholes:\n", "water_depth_m: 2\nboreholes:\n", { ":3:16:", "beside boreholes" } },
    { "  section: U\n", "  piles: [{name: A, x_m: 1, y_m: 1}]\n", { ":9:3:", "given in 2 ways" } },
    { "  line_points: [[0, 0], [30, 0]]\n", "", { "given in 0 ways", "pile_table" } },
    { "  - name: B1\n",
      "  - {name: B2, layers: [{soil: peat, state: soft}]}\n  - name: B1\n",
      { ":4:5:", "boreholes.chainage_m: is missing" } },
    /* layers */
    { "base_m: 20", "base_m: 2", { ":7:18:", "base_m: '2'", "more than 3 m" } },
    { "base_m: 3, ", "", { ":6:9:", "base_m: is missing", "only the last layer" } },
    /* shapes and sizes */
    { "[[0, 0], [30, 0]]", "[[0, 0]]", { ":9:16:", "too few entries" } },
    { "[[0, 0], [30, 0]]", "[[0, 0], [30]]", { ":9:25:", "a point is not two numbers" } },
    { "[[0, 0], [30, 0]]", "[[0, 0], [0.1, 0]]", { ":11:20:", "room for 0 piles" } },
    { "[[0, 0], [30, 0]]", "[[0, 0], [90000000, 0]]", { "room for 150000000 piles", "1000000" } },
    { "[[0, 0], [30, 0]]", "[[0, 0], [30000, 0]]", { ":9:3:", "the piles span", "20000 m" } },
    { "x_m: 10, y_m: 25",
      "x_m: 25, y_m: 9010",
      { ":15:", "'House'", "farther than 5000 m", "swapped" } },
    /* names */
    { "name: House", "name: \"a\\nb\"", { ":15:", "receptors.list.name", "'a?b'", "line break" } },
    { "name: House", "name: \"a\\0b\"", { ":15:", "receptors.list.name", "NUL" } },
    { "name: House", "name: \"a\\eb\"", { ":15:", "receptors.list.name", "control character" } },
    { "name: House", "name: \"\"", { ":15:", "receptors.list.name", "is empty" } },
    { "methods:\n",
      "methods:\n  - {name: Impact, technique: press-in, minutes_per_pile: 1, "
      "on_time_percent: 1}\n",
      { ":18:11:", "'Impact'", "second method", "line 17" } },
    /* the text itself */
    { "title: Test wall\n", "title: [\n", { "s.yaml:", "is not YAML" } },
    { "title: Test wall\n", "title: \"\xff\"\n", { "s.yaml:1:", "is not YAML" } },
    { "limits:\n", "---\nlimits:\n", { ":24:1:", "a second document" } },
    { "title: Test wall\n", "title: &a [*a]\n", { ":1:8:", "inside itself" } },
    { "title: Test wall\n",
      "title: [[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]\n",
      { ":1:", "nested too deeply" } },
};

static void test_bad_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < SG_COUNT(bad_values); i++) {
        const struct bad *b = &bad_values[i];
        char *text = site_text_with(b->from, b->to);
        struct sg_site site = SG_SITE_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        sg_status status = sg_site_read_memory(text, strlen(text), "s.yaml", &site, &errors);
        if (!b->piece[0]) { /* looks odd and is right */
            assert_int_equal(status, SG_OK);
        } else {
            if (sg_ok(status))
                print_error("taken: %s\n", b->to);
            assert_false(sg_ok(status));
            assert_int_equal(status, errors.first);
            assert_message(&errors, b->piece);
            assert_null(site.title); /* nothing half-written */
        }
        sg_site_release(&site);
        sg_errors_release(&errors);
        sg_free(text);
    }
}

static void test_all_errors_in_order(void **state)
{
    (void)state;
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    char *text = site_text_with("energy_kJ: 28", "energy_kJ: -1\n    blows_per_min: x");
    char *title = strstr(text, "title"), *width = strstr(text, "0.6"),
         *hours = strstr(text, "work_h: 9");
    assert_non_null(title);
    assert_non_null(width);
    assert_non_null(hours);
    title[0] = 'b';
    width[2] = 'z';
    hours[8] = 'x';
    sg_status status = sg_site_read_memory(text, strlen(text), "s.yaml", &site, &errors);
    assert_false(sg_ok(status));
    static const char *const start[] = {
        "s.yaml:1:1: title: is missing",
        "s.yaml:1:1: top level: 'bitle'",
        "s.yaml:11:20: wall.section_width_m: '0.z'",
        "s.yaml:19:16: methods.energy_kJ: '-1'",
        "s.yaml:20:20: methods.blows_per_min: 'x'",
        "s.yaml:23:",
    };
    assert_int_equal(errors.count, SG_COUNT(start));
    for (size_t i = 0; i < SG_COUNT(start); i++) {
        bool found = false; /* the two of line 1 may stand either way round */
        for (size_t j = 0; j < errors.count; j++)
            found |= strncmp(errors.text[j], start[i], strlen(start[i])) == 0 &&
                     (i < 2 ? j < 2 : j == i);
        if (!found)
            print_error("not in its place: %s\n", start[i]);
        assert_true(found);
    }
    sg_errors_release(&errors);
    sg_free(text);
}

static void test_missing_and_empty_file(void **state)
{
    (void)state;
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    assert_int_equal(sg_site_read("no-such-folder/site.yaml", &site, &errors), SG_ERR_IO);
    assert_message(&errors, (const char *[]){ "no-such-folder/site.yaml", "No such file", NULL });
    sg_errors_release(&errors);
    assert_int_equal(sg_site_read("tests", &site, &errors), SG_ERR_IO);
    assert_message(&errors, (const char *[]){ "not a regular file", NULL });
    sg_errors_release(&errors);
    assert_int_equal(sg_site_read_memory("", 0, "s.yaml", &site, &errors), SG_ERR_INPUT);
    assert_message(&errors, (const char *[]){ "s.yaml: is empty", NULL });
    sg_errors_release(&errors);
    assert_int_equal(sg_site_read_memory("- a\n", 4, "s.yaml", &site, &errors), SG_ERR_INPUT);
    assert_message(&errors, (const char *[]){ "s.yaml:1:1:", "is not a map", NULL });
    sg_errors_release(&errors);
}

static void test_missing_tables(void **state)
{
    (void)state;
    static const char *const from[] = { "line_points: [[0, 0], [30, 0]]", "list:\n    - {" };
    static const char *const to[] = { "line: none.geojson",
                                      "footprints: none.gpkg\n  list:\n    - {" };
    for (size_t i = 0; i < SG_COUNT(to); i++) {
        struct sg_site site = SG_SITE_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        char *text = site_text_with(from[i], to[i]);
        assert_int_equal(sg_site_read_memory(text, strlen(text), "folder/s.yaml", &site, &errors),
                         SG_ERR_IO);
        assert_message(&errors, (const char *[]){ "folder/s.yaml:", "'folder/none.", "No such file",
                                                  "allowed: ", NULL });
        sg_errors_release(&errors);
        sg_free(text);
    }
}

/* ---- memory ---- */

/* Makes the first, second, ... allocation fail until a run needs no more of them. */
static void test_memory_runs_out(void **state)
{
    (void)state;
    size_t n = 1;
    for (; n < 10000; n++) {
        struct sg_site site = SG_SITE_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        sg_alloc_fail_at(n);
        sg_status status =
            sg_site_read_memory(site_text, strlen(site_text), "s.yaml", &site, &errors);
        sg_alloc_fail_at(0);
        if (sg_ok(status))
            assert_int_equal(site.npile, 50);
        else
            assert_null(site.title);
        sg_site_release(&site);
        sg_errors_release(&errors);
        if (sg_ok(status))
            break;
        assert_int_equal(status, SG_ERR_NOMEM);
    }
    assert_in_range(n, 3, 9999);
}

/* ---- the table of fields ---- */

static void test_fields(void **state)
{
    (void)state;
    assert_true(sg_field_count() > 80);
    assert_null(sg_field_at(sg_field_count()));
    for (size_t i = 0; i < sg_field_count(); i++) {
        const struct sg_field *f = sg_field_at(i);
        size_t count;
        assert_true(f->key[0] != '\0' && f->meaning[0] != '\0');
        assert_true((f->kind == SG_FIELD_CHOICE) == (f->choice != NULL));
        if (f->kind == SG_FIELD_NUMBER || f->kind == SG_FIELD_COUNT)
            assert_true(f->min < f->max);
        const struct sg_field *first = sg_block_fields(f->block, &count);
        assert_in_range(i, (size_t)(first - sg_field_at(0)),
                        (size_t)(first - sg_field_at(0)) + count - 1);
        for (size_t j = 0; j < i; j++)
            assert_false(sg_same(sg_field_at(j)->block, f->block) &&
                         sg_same(sg_field_at(j)->key, f->key));
    }
}

static const struct sg_field *field(const char *block, const char *key)
{
    for (size_t i = 0; i < sg_field_count(); i++) {
        if (sg_same(sg_field_at(i)->block, block) && sg_same(sg_field_at(i)->key, key))
            return sg_field_at(i);
    }
    fail_msg("no field %s.%s", block, key);
    return NULL;
}

/* The choice lists are the catalogue's words, all of them and in its order. */
static void test_choices_are_the_vocabulary(void **state)
{
    (void)state;
    const char *const *word = field("methods", "technique")->choice;
    for (unsigned i = 0; i < SG_TECHNIQUE_END; i++)
        assert_string_equal(word[i], sg_technique_id((enum sg_technique)i));
    assert_null(word[SG_TECHNIQUE_END]);
    static const char *(*const id[])(unsigned) = { sg_use_id, sg_class_id, sg_area_id };
    static const char *const key[] = { "use", "building_class", "area" };
    for (size_t k = 0; k < SG_COUNT(key); k++) {
        unsigned bit = 0;
        for (word = field("receptors.list", key[k])->choice; id[k](1u << bit); bit++)
            assert_string_equal(word[bit], id[k](1u << bit));
        assert_true(bit > 3);
        assert_null(word[bit]);
    }
    size_t sections = 0;
    for (word = field("wall", "section")->choice; word[sections]; sections++)
        assert_non_null(sg_section_find(word[sections]));
    assert_int_equal(sections, sg_section_count());
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_small_site),
        cmocka_unit_test(test_limit_sets),
        cmocka_unit_test(test_distances),
        cmocka_unit_test(test_footprint_in_list),
        cmocka_unit_test(test_bent_line),
        cmocka_unit_test(test_boreholes_by_chainage),
        cmocka_unit_test(test_layers),
        cmocka_unit_test(test_one_ground),
        cmocka_unit_test(test_listed_piles),
        cmocka_unit_test(test_width_outside_practice),
        cmocka_unit_test(test_method_figures),
        cmocka_unit_test(test_usual_plant),
        cmocka_unit_test(test_constants),
        cmocka_unit_test(test_odd_names_are_kept),
        cmocka_unit_test(test_anchor),
        cmocka_unit_test(test_example),
        cmocka_unit_test(test_bad_values),
        cmocka_unit_test(test_all_errors_in_order),
        cmocka_unit_test(test_missing_and_empty_file),
        cmocka_unit_test(test_missing_tables),
        cmocka_unit_test(test_memory_runs_out),
        cmocka_unit_test(test_fields),
        cmocka_unit_test(test_choices_are_the_vocabulary),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
