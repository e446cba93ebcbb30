#define _DEFAULT_SOURCE /* mkstemps */
/* test_fit_pairs.c - tables of measurements understood: headers, units, what must stay apart;
 * measured intervals brought together with a pile log; the file of a law. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "stillground/fit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char path[] = "/tmp/sg-fit-XXXXXX.csv", second[] = "/tmp/sg-log-XXXXXX.csv";

static void write_text(const char *name, const char *text)
{
    FILE *file = fopen(name, "wb");
    assert_non_null(file);
    assert_int_equal(fputs(text, file) >= 0, 1);
    assert_int_equal(fclose(file), 0);
}

static int make_names(void **state)
{
    (void)state;
    int a = mkstemps(path, 4), b = mkstemps(second, 4);
    if (a < 0 || b < 0)
        return 1;
    (void)close(a);
    (void)close(b);
    return 0;
}

static int drop_names(void **state)
{
    (void)state;
    (void)remove(path);
    (void)remove(second);
    return 0;
}

static sg_status read_pairs(const char *text, const struct sg_pairs_options *options,
                            struct sg_pairs *out, char *said, size_t size)
{
    struct sg_grid grid = SG_GRID_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    write_text(path, text);
    sg_status status = sg_grid_read(path, &grid, &errors);
    if (status == SG_OK)
        status = sg_pairs_from_table(&grid, options, out, &errors);
    said[0] = '\0';
    if (errors.count > 0 && strlen(errors.text[0]) < size)
        memcpy(said, errors.text[0], strlen(errors.text[0]) + 1);
    sg_grid_release(&grid);
    sg_errors_release(&errors);
    return status;
}

static void assert_read(const char *text, double distance_m, double value, double energy_J)
{
    const struct sg_pairs_options none = { .column = NULL };
    struct sg_pairs pairs = SG_PAIRS_INIT;
    char said[600];
    if (read_pairs(text, &none, &pairs, said, sizeof(said)) != SG_OK)
        fail_msg("'%s': %s", text, said);
    assert_int_equal(pairs.count, 1);
    assert_close(pairs.pair[0].distance_m, distance_m, 1e-12, 0);
    assert_close(pairs.pair[0].value, value, 1e-12, 0);
    if (sg_is_set(energy_J))
        assert_close(pairs.pair[0].energy_J, energy_J, 1e-9, 0);
    else
        assert_unset(pairs.pair[0].energy_J);
    sg_pairs_release(&pairs);
}

/* The same value under many headers. Units by definition: 1 ft = 0.3048 m, 1 in = 25.4 mm. */
static void test_headers(void **state)
{
    (void)state;
    assert_read("distance_m,ppv_mm_s\n30.48,2.54\n", 30.48, 2.54, SG_UNSET);
    assert_read("Distance (ft),PPV (in/s)\n100,0.1\n", 30.48, 2.54, SG_UNSET);
    assert_read("R [m];PPV [mm/s]\n30,48;2,54\n", 30.48, 2.54, SG_UNSET);
    assert_read("\xef\xbb\xbf# note\n\"Dist, m\";\"v, mm/s\"\r\n30.48;2.54\r\n", 30.48, 2.54,
                SG_UNSET);
    assert_read("ppv_cm_s\tdistance_km\n0.254\t0.03048\n", 30.48, 2.54, SG_UNSET);
    assert_read("d_ft,Peak particle velocity (ips),Hammer energy (ft-lb)\n100,0.1,20000\n", 30.48,
                2.54, 20000 * SG_J_PER_FOOT_POUND);
    assert_read("distance_m,ppv,unit,energy_kJ\n30.48,0.1,in/s,28\n", 30.48, 2.54, 28000);
    assert_read("distance_m,laeq_dB,colour\n30,72.5,red\n", 30, 72.5, SG_UNSET);
    assert_read("No.,Distance from source (m),Vert PPV (mm/s),PPV limit (mm/s)\n1,30.48,2.54,5\n",
                30.48, 2.54, SG_UNSET);
    assert_read("scaled distance (m/sqrt(J)),ppv_mm_s\n0.5,2\n", 0.5, 2, SG_UNSET);
}

static void assert_refused(const char *text, const char *words)
{
    const struct sg_pairs_options none = { .column = NULL };
    struct sg_pairs pairs = SG_PAIRS_INIT;
    char said[600];
    assert_int_not_equal(read_pairs(text, &none, &pairs, said, sizeof(said)), SG_OK);
    if (!strstr(said, words))
        fail_msg("'%s' said '%s', not '%s'", text, said, words);
}

static void test_refusals(void **state)
{
    (void)state;
    assert_refused("distance,ppv_mm_s\n10,2\n", "does not say its unit");
    assert_refused("distance_m,ppv\n10,2\n", "does not say its unit");
    assert_refused("distance_m,ppv_mm_s\n10,0\n", ":2:4: ppv_mm_s: '0' is zero");
    assert_refused("distance_m,ppv_mm_s\n10,1\n12,-2\n", ":3:4: ppv_mm_s: '-2' is below zero");
    assert_refused("distance_m,ppv_mm_s\n0,1\n", "distance_m: '0' is zero");
    assert_refused("distance_m,ppv_mm_s\n10,nan\n", "ppv_mm_s");
    assert_refused("distance_m,ppv_mm_s\n10,\n", "is empty");
    assert_refused("distance_m,ppv_mm_s\n10,<0.1\n", "is a bound");
    assert_refused("distance_m,ppv_mm_s\n10 m,2\n", "one unit for all");
    assert_refused("distance_m,ppv,unit\n10,2,mm/s\n20,0.05,in/s\n", "mixed units");
    assert_refused("distance_m,ppv_mm_s,vmax_mm_s\n10,2,3\n", "could both be the value");
    assert_refused("distance_m,vertical PPV (mm/s),radial PPV (mm/s)\n10,2,3\n", "could both be");
    assert_refused("distance_m,laeq_mm\n10,2\n", "value");
    assert_refused("distance_m;ppv_mm_s\n10,5;2.5\n", "distance_m");
    assert_refused("distance_m,ppv_mm_s,phase\n10,2,steady\n12,4,start-stop\n",
                   "not fitted together");
    assert_refused("distance_m,ppv_mm_s,pile_type\n10,2,H\n12,4,tube\n", "not fitted together");
    assert_refused("distance_m,ppv_mm_s,position\n10,2,free-field\n12,4,floor\n",
                   "--pool position");
    assert_refused("distance_m,temperature\n10,2\n", "no column of measured values");
}

static void test_choices(void **state)
{
    const char *only[] = { "phase=steady" }, *pool[] = { "axis" };
    const char *column[] = { "value=peak:in/s", "distance=far:ft" };
    struct sg_pairs_options options = { .only = only,
                                        .nonly = 1,
                                        .pool = pool,
                                        .npool = 1,
                                        .column = column,
                                        .ncolumn = 2,
                                        .group = "receptor" };
    struct sg_pairs pairs = SG_PAIRS_INIT;
    char said[600];
    (void)state;
    assert_int_equal(read_pairs("far,peak,ppv_mm_s,phase,axis,receptor\n10,1,9,steady,V,A\n"
                                "20,1,9,start-stop,V,A\n30,2,9,steady,L,B\n",
                                &options, &pairs, said, sizeof(said)),
                     SG_OK);
    assert_int_equal(pairs.count, 2);
    assert_int_equal(pairs.left_out, 1);
    assert_close(pairs.pair[1].distance_m, 30 * SG_M_PER_FOOT, 1e-12, 0);
    assert_close(pairs.pair[1].value, 2 * SG_MM_PER_INCH, 1e-12, 0);
    assert_string_equal(pairs.pair[1].group, "B");
    sg_pairs_release(&pairs);
}

/* ---- the pile log ---------------------------------------------------------------------------- */

static void test_times(void **state)
{
    double a = 0, b = 0;
    bool zoned = false;
    (void)state;
    /* 2000-03-01T00:00Z is 951868800 s of Unix time (POSIX.1, seconds since the Epoch) */
    assert_int_equal(sg_parse_time("2000-03-01T00:00:00Z", &a, &zoned), SG_OK);
    assert_true(zoned);
    assert_close(a, 951868800.0, 0, 0);
    assert_int_equal(sg_parse_time("2000-03-01 01:30:00.5+01:30", &b, &zoned), SG_OK);
    assert_close(b - a, 0.5, 1e-9, 0);
    assert_int_equal(sg_parse_time("2000-02-29T23:59", &b, &zoned), SG_OK);
    assert_false(zoned);
    assert_close(a - b, 60.0, 0, 0);
    static const char *const wrong[] = { "2023-02-29T00:00", "01.03.2000 10:00",    "2000-03-01",
                                         "2000-03-01T25:00", "2000-03-01T10:00 pm", "" };
    for (size_t i = 0; i < SG_COUNT(wrong); i++)
        assert_int_equal(sg_parse_time(wrong[i], &b, &zoned), SG_ERR_INPUT);
}

static const struct sg_pile log_piles[] = { { .name = "P1", .at = { 0, 0 } },
                                            { .name = "P2", .at = { 3, 0 } } };
static const struct sg_receptor log_receptors[] = { { .name = "R", .at = { 0, 4 } } };

static sg_status join(const char *measured, const char *log, const struct sg_pairs_options *options,
                      struct sg_pairs *out, char *said, size_t size)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_grid a = SG_GRID_INIT, b = SG_GRID_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    site.pile = log_piles;
    site.npile = 2;
    site.receptor = log_receptors;
    site.nreceptor = 1;
    write_text(path, measured);
    write_text(second, log);
    assert_int_equal(sg_grid_read(path, &a, &errors), SG_OK);
    assert_int_equal(sg_grid_read(second, &b, &errors), SG_OK);
    sg_status status = sg_pairs_from_log(&a, &b, &site, options, out, &errors);
    said[0] = '\0';
    if (errors.count > 0 && strlen(errors.text[0]) < size)
        memcpy(said, errors.text[0], strlen(errors.text[0]) + 1);
    sg_grid_release(&a);
    sg_grid_release(&b);
    sg_errors_release(&errors);
    return status;
}

#define MEASURED                                                                                   \
    "time,receptor,position,axis,ppv_mm_s,frequency_Hz,phase\n"                                    \
    "2026-05-04T09:02:00,R,free-field,V,2.0,30,\n"                                                 \
    "2026-05-04T09:05:00,R,free-field,V,3.0,30,\n"                                                 \
    "2026-05-04T09:15:00,R,free-field,V,9.0,30,\n"                                                 \
    "2026-05-04T09:25:00,R,free-field,V,1.0,30,\n"
#define LOG                                                                                        \
    "time_start,time_end,pile,toe_depth_m,energy_kJ,phase\n"                                       \
    "2026-05-04T09:00:00,2026-05-04T09:10:00,P1,10,20,steady\n"                                    \
    "2026-05-04T09:20:00,2026-05-04T09:30:00,P2,8,30,steady\n"

/* By hand: 09:05 is half way down P1, 4 m off; 09:15 belongs to no pile; P2 stands 5 m off. */
static void test_log(void **state)
{
    struct sg_pairs_options options = { .column = NULL };
    struct sg_pairs pairs = SG_PAIRS_INIT;
    char said[600];
    (void)state;
    assert_int_equal(join(MEASURED, LOG, &options, &pairs, said, sizeof(said)), SG_OK);
    assert_int_equal(pairs.count, 2);
    assert_int_equal(pairs.left_out, 1);
    assert_close(pairs.pair[0].value, 3.0, 0, 0);
    assert_close(pairs.pair[0].distance_m, 4.0, 1e-15, 0);
    assert_close(pairs.pair[0].toe_depth_m, 5.0, 1e-12, 0);
    assert_close(pairs.pair[0].energy_J, 20000, 1e-12, 0);
    assert_close(pairs.pair[1].distance_m, 5.0, 1e-15, 0);
    assert_string_equal(pairs.pair[1].pile, "P2");
    sg_pairs_release(&pairs);
    options.every_value = true;
    options.to_toe = true;
    assert_int_equal(join(MEASURED, LOG, &options, &pairs, said, sizeof(said)), SG_OK);
    assert_int_equal(pairs.count, 3);
    assert_int_equal(pairs.distance, SG_DISTANCE_TOE);
    assert_close(pairs.pair[1].distance_m, sqrt(16.0 + 25.0), 1e-12, 0);
    sg_pairs_release(&pairs);
}

static void test_log_refusals(void **state)
{
    const struct sg_pairs_options none = { .column = NULL };
    static const char *const bad[][2] = {
        { "time_start,time_end,pile\n2026-05-04T09:00,2026-05-04T10:00,P9\n",
          "no pile of the site" },
        { "time_start,time_end,pile\n2026-05-04T09:00Z,2026-05-04T10:00Z,P1\n", "offset from UTC" },
        { "time_start,time_end,pile\n2026-05-04T09:00,2026-05-04T08:00,P1\n", "before the start" },
        { "time_start,time_end,pile\n2026-05-04T09:00,2026-05-04T10:00,P1\n"
          "2026-05-04T09:00,2026-05-04T10:00,P2\n",
          "two piles are logged" },
        { "time_start,time_end,pile\n2025-05-04T09:00,2025-05-04T10:00,P1\n",
          "no value was measured" },
        { "time_start,pile\n2025-05-04T09:00,P1\n", "column time_end is missing" },
    };
    struct sg_pairs pairs = SG_PAIRS_INIT;
    char said[600];
    (void)state;
    for (size_t i = 0; i < SG_COUNT(bad); i++) {
        assert_int_not_equal(join(MEASURED, bad[i][0], &none, &pairs, said, sizeof(said)), SG_OK);
        if (!strstr(said, bad[i][1]))
            fail_msg("said '%s', not '%s'", said, bad[i][1]);
    }
}

/* ---- the file of a law ----------------------------------------------------------------------- */

static struct sg_site_law sample_law(void)
{
    static const struct sg_law_point point[] = { { 5, 9.1, SG_UNSET }, { 56, 0.37, SG_UNSET } };
    static const char *const warning[] = { "it says \"look\" \\ here" };
    struct sg_site_law law = SG_SITE_LAW_INIT;
    law.name = "Trial: \"north\"";
    law.quantity = SG_Q_PPV;
    law.technique = SG_PRESS_IN_JETTING;
    law.phase = SG_PHASE_STEADY;
    law.intercept = 1.855424123456789;
    law.slope = -1.2743081;
    law.scatter = 0.05896812345;
    law.dof = 6;
    law.centre = 1.2235791;
    law.mean_variance = 0.125;
    law.slope_variance = 1.05385;
    law.pile_scatter = law.scatter;
    law.percentile = 99;
    law.low_m = 5;
    law.high_m = 56;
    law.npoint = 8;
    law.method = "ordinary least squares";
    law.provenance = "data.csv: only phase=steady";
    law.warning = warning;
    law.nwarning = 1;
    law.point = point;
    law.npoint_kept = 2;
    return law;
}

static void test_law_round_trip(void **state)
{
    struct sg_site_law law = sample_law(), read = SG_SITE_LAW_INIT;
    struct sg_text text = SG_TEXT_INIT, again = SG_TEXT_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    (void)state;
    sg_site_law_put(&law, &text);
    write_text(path, sg_text_string(&text));
    if (sg_site_law_read(path, &read, &errors) != SG_OK)
        fail_msg("%s", errors.text[0]);
    sg_site_law_put(&read, &again);
    assert_string_equal(sg_text_string(&again), sg_text_string(&text));
    assert_true(memcmp(&read.intercept, &law.intercept, sizeof(double)) == 0);
    assert_int_equal(read.technique, law.technique);
    assert_string_equal(read.warning[0], law.warning[0]);
    sg_site_law_release(&read);
    sg_text_release(&text);
    sg_text_release(&again);
}

/* One key spoilt at a time: said with its line, and the law that was there stays. */
static void test_law_refusals(void **state)
{
    static const char *const spoil[][3] = {
        { "slope: -", "slope: ", "slope" },
        { "quantity: ppv", "quantity: ppw", "quantity: 'ppw' is not known" },
        { "scatter: 0.", "scatter: x0.", "scatter" },
        { "\ncentre", "\ncenter", "meant: centre" },
        { "pile_scatter: 0.0", "pile_scatter: 0.5", "root of the squares" },
        { "percentile: 99", "percentile: 150", "percentile" },
        { "site_law: 1", "site_law: 2", "site_law" },
        { "[5, 9", "[0, 9", "not above zero" },
        { "upper: prediction\n", "", "upper: is missing" },
    };
    struct sg_site_law law = sample_law(), read;
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    sg_site_law_put(&law, &text);
    for (size_t i = 0; i < SG_COUNT(spoil); i++) {
        struct sg_errors errors = SG_ERRORS_INIT;
        struct sg_text bad = SG_TEXT_INIT;
        const char *whole = sg_text_string(&text), *at = strstr(whole, spoil[i][0]);
        assert_non_null(at);
        sg_text_put_bytes(&bad, whole, (size_t)(at - whole));
        sg_text_put(&bad, spoil[i][1]);
        sg_text_put(&bad, at + strlen(spoil[i][0]));
        write_text(path, sg_text_string(&bad));
        read = law;
        assert_int_not_equal(sg_site_law_read(path, &read, &errors), SG_OK);
        assert_true(errors.count > 0);
        bool found = false;
        for (size_t k = 0; k < errors.count; k++)
            found |= strstr(errors.text[k], spoil[i][2]) != NULL;
        if (!found)
            fail_msg("said '%s', not '%s'", errors.text[0], spoil[i][2]);
        assert_int_equal(read.npoint, law.npoint);
        sg_errors_release(&errors);
        sg_text_release(&bad);
    }
    sg_text_release(&text);
}

/* v = 30 r^-1.3 reaches 5 mm/s at 3.968 m (the project's reference, practice, section 3.4), and the
 * distance put back gives the limit to 1e-9. Without scatter the upper line is the same. */
static void test_law_turned_round(void **state)
{
    struct sg_site_law law = sample_law();
    struct sg_drive drive = SG_DRIVE_INIT;
    struct sg_law curve;
    double distance_m = 0;
    (void)state;
    law.intercept = log10(30.0);
    law.slope = -1.3;
    drive.technique = law.technique;
    drive.site_law = &law;
    assert_int_equal(sg_law_prepare(NULL, &drive, SG_LEVEL_CENTRAL, &curve, NULL), SG_OK);
    assert_int_equal(sg_law_distance(&curve, 5.0, &distance_m), SG_OK);
    assert_close(distance_m, 3.968, 0, 0.5e-3);
    assert_close(sg_law_at(&curve, distance_m), 5.0, 1e-9, 0);
    assert_int_equal(sg_law_prepare(NULL, &drive, SG_LEVEL_UPPER, &curve, NULL), SG_OK);
    assert_int_equal(sg_law_distance(&curve, 5.0, &distance_m), SG_OK);
    assert_close(sg_law_at(&curve, distance_m), 5.0, 1e-9, 0);
    assert_int_equal(sg_law_distance(&curve, 1e-9, &distance_m), SG_ERR_NO_SOLUTION);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_headers),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_choices),
        cmocka_unit_test(test_times),
        cmocka_unit_test(test_log),
        cmocka_unit_test(test_log_refusals),
        cmocka_unit_test(test_law_round_trip),
        cmocka_unit_test(test_law_refusals),
        cmocka_unit_test(test_law_turned_round),
    };
    return cmocka_run_group_tests(tests, make_names, drop_names);
}
