/* test_fit.c - lines through measured values, held against published answers and simulations. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "seeded.h"
#include "stillground/fit.h"

#include <string.h>

#define MOST 400

static struct sg_pair pair_at(double distance_m, double value)
{
    return (struct sg_pair){ .distance_m = distance_m,
                             .value = value,
                             .energy_J = SG_UNSET,
                             .toe_depth_m = SG_UNSET,
                             .frequency_hz = SG_UNSET,
                             .predicted = SG_UNSET,
                             .predicted_upper = SG_UNSET,
                             .receptor = "",
                             .position = "",
                             .pile = "",
                             .axis = "",
                             .phase = "",
                             .group = "" };
}

static struct sg_pairs pairs_of(struct sg_pair *pair, size_t count)
{
    struct sg_pairs pairs = SG_PAIRS_INIT;
    pairs.pair = pair;
    pairs.count = count;
    pairs.quantity = SG_Q_PPV;
    return pairs;
}

static sg_status fit(const struct sg_pairs *pairs, struct sg_fit_options options,
                     struct sg_fit *out, char *said, size_t size)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = sg_fit_make(pairs, &options, out, &errors);
    said[0] = '\0';
    if (errors.count > 0 && strlen(errors.text[0]) < size)
        memcpy(said, errors.text[0], strlen(errors.text[0]) + 1);
    sg_errors_release(&errors);
    return status;
}

static double value_at(const struct sg_fit *fit, double distance_m, double percentile,
                       enum sg_upper_line upper)
{
    struct sg_site_law law = fit->law;
    law.upper = upper;
    return sg_site_law_value(&law, sg_site_law_upper(&law, log10(distance_m), percentile));
}

static const double set_r[] = { 5, 7, 10, 14, 20, 28, 40, 56 };
static const double set_v[] = { 9.1, 5.2, 4.4, 2.3, 1.9, 0.98, 0.71, 0.37 };

static size_t reference_set(struct sg_pair *pair)
{
    for (size_t i = 0; i < SG_COUNT(set_r); i++)
        pair[i] = pair_at(set_r[i], set_v[i]);
    return SG_COUNT(set_r);
}

/* The project's reference, section 12 (computed there from the stated formulas): every figure that
 * is printed, to its last digit. */
static void test_regression_set(void **state)
{
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, reference_set(pair));
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
    assert_close(f.law.intercept, 1.855424, 0, 0.5e-6);
    assert_close(f.law.slope, -1.274308, 0, 0.5e-6);
    assert_close(pow(10.0, f.law.intercept), 71.6843, 0, 0.5e-4);
    assert_close(f.law.scatter, 0.058968, 0, 0.5e-6);
    assert_close(f.r_squared, 0.98664, 0, 0.5e-5);
    assert_close(f.x_mean, 1.223579, 0, 0.5e-6);
    assert_close(f.s_xx, 0.948897, 0, 0.5e-6);
    assert_close(sg_student_quantile(0.95, f.law.dof), 1.943180, 0, 0.5e-6);
    static const double want[][5] = { { 5, 9.2198, 10.5606, 11.5270, 12.6191 },
                                      { 10, 3.8117, 4.3660, 4.7656, 5.0754 },
                                      { 15, 2.2736, 2.6043, 2.8426, 3.0088 },
                                      { 100, 0.2027, 0.2322, 0.2534, 0.2876 } };
    for (size_t i = 0; i < SG_COUNT(want); i++) {
        double r = want[i][0], x = log10(r);
        double plus_s = pow(10.0, sg_site_law_line(&f.law, x) + f.law.scatter);
        /* half a unit of the last digit, and what the printing of the table itself may be off */
        assert_close(value_at(&f, r, 50, SG_LINE_PREDICTION), want[i][1], 0, 0.51e-4);
        assert_close(plus_s, want[i][2], 0, 0.51e-4);
        assert_close(value_at(&f, r, 95, SG_LINE_PARALLEL), want[i][3], 0, 0.51e-4);
        assert_close(value_at(&f, r, 95, SG_LINE_PREDICTION), want[i][4], 0, 0.51e-4);
    }
    sg_fit_release(&f);
}

/* NIST Statistical Reference Datasets, Norris (ozone calibration, 36 pairs), certified values for
 * simple linear regression; the data were recalled, and would not give the certified digits if one
 * of them were wrong. Here x is the distance's logarithm and y a level. */
static const double norris[][2] = {
    { 0.1, 0.2 },     { 338.8, 337.4 }, { 118.1, 118.2 }, { 888.0, 884.6 }, { 9.2, 10.1 },
    { 228.1, 226.5 }, { 668.5, 666.3 }, { 998.5, 996.3 }, { 449.1, 448.6 }, { 778.9, 777.0 },
    { 559.2, 558.2 }, { 0.3, 0.4 },     { 0.1, 0.6 },     { 778.1, 775.5 }, { 668.8, 666.9 },
    { 339.3, 338.0 }, { 448.9, 447.5 }, { 10.8, 11.6 },   { 557.7, 556.0 }, { 228.3, 228.1 },
    { 998.0, 995.8 }, { 888.8, 887.6 }, { 119.6, 120.2 }, { 0.3, 0.3 },     { 0.6, 0.3 },
    { 557.6, 556.8 }, { 339.3, 339.1 }, { 888.0, 887.2 }, { 998.5, 999.0 }, { 778.9, 779.0 },
    { 10.2, 11.1 },   { 117.6, 118.3 }, { 228.9, 229.2 }, { 668.4, 669.1 }, { 449.2, 448.9 },
    { 0.2, 0.5 }
};

static void test_norris(void **state)
{
    struct sg_pair pair[SG_COUNT(norris)];
    struct sg_pairs pairs = pairs_of(pair, SG_COUNT(norris));
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    pairs.quantity = SG_Q_LAEQ;
    for (size_t i = 0; i < SG_COUNT(norris); i++) /* x / 10 keeps 10^x within a double */
        pair[i] = pair_at(pow(10.0, norris[i][1] / 10.0), norris[i][0]);
    assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
    assert_close(f.law.intercept, -0.262323073774029, 1e-9, 0);
    assert_close(f.law.slope / 10.0, 1.00211681802045, 1e-12, 0);
    assert_close(f.law.scatter, 0.884796396144373, 1e-10, 0);
    assert_close(f.intercept_error, 0.232818234301152, 1e-10, 0);
    assert_close(f.slope_error / 10.0, 0.429796848199937e-3, 1e-10, 0);
    assert_close(f.r_squared, 0.999993745883712, 1e-12, 0);
    sg_fit_release(&f);
}

/* Yield of dyestuff, six batches of five (Davies and Goldsmith, Statistical Methods in Research and
 * Production, 1972, Table 6.3; recalled). Balanced, so REML equals the analysis of variance: mean
 * square between batches 11271.5, within 2451.25, hence 2451.25 and (11271.5 - 2451.25) / 5. */
static void test_dyestuff(void **state)
{
    static const double yield[6][5] = {
        { 1545, 1440, 1440, 1520, 1580 }, { 1540, 1555, 1490, 1560, 1495 },
        { 1595, 1550, 1605, 1510, 1560 }, { 1445, 1440, 1595, 1465, 1545 },
        { 1595, 1630, 1515, 1635, 1625 }, { 1520, 1455, 1450, 1480, 1445 }
    };
    static const char *const batch[] = { "A", "B", "C", "D", "E", "F" };
    struct sg_pair pair[30];
    struct sg_pairs pairs = pairs_of(pair, 30);
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    options.kind = SG_FIT_MIXED;
    options.fixed_slope = 0;
    pairs.quantity = SG_Q_LAEQ;
    for (size_t i = 0; i < 30; i++) {
        pair[i] = pair_at(10, yield[i / 5][i % 5]);
        pair[i].group = batch[i / 5];
    }
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_close(f.law.intercept, 1527.5, 1e-12, 0);
    assert_close(f.law.pile_scatter * f.law.pile_scatter, 2451.25, 1e-10, 0);
    assert_close(f.law.shared_scatter * f.law.shared_scatter, 1764.05, 1e-10, 0);
    sg_fit_release(&f);
}

/* ---- what is refused ------------------------------------------------------------------------- */

static void assert_refused(const struct sg_pairs *pairs, struct sg_fit_options options,
                           const char *words)
{
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    assert_int_not_equal(fit(pairs, options, &f, said, sizeof(said)), SG_OK);
    if (!strstr(said, words))
        fail_msg("said '%s', not '%s'", said, words);
}

static void test_refusals(void **state)
{
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, reference_set(pair));
    struct sg_fit_options plain = SG_FIT_OPTIONS_INIT, scaled = plain, mixed = plain;
    (void)state;
    scaled.scaled = true;
    mixed.kind = SG_FIT_MIXED;
    assert_refused(&pairs, scaled, "energy");
    assert_refused(&pairs, mixed, "one group");
    pairs.count = 2;
    assert_refused(&pairs, plain, "two values");
    pairs.count = 0;
    assert_refused(&pairs, plain, "no value");
    static const double bad[] = { 0.0, -1.0, __builtin_nan(""), __builtin_inf() };
    for (size_t i = 0; i < SG_COUNT(bad); i++) {
        pairs.count = reference_set(pair);
        pair[3].value = bad[i];
        assert_refused(&pairs, plain, "value");
        reference_set(pair);
        pair[3].distance_m = bad[i];
        assert_refused(&pairs, plain, "distance");
    }
    reference_set(pair);
    for (size_t i = 0; i < pairs.count; i++)
        pair[i].distance_m = 12;
    assert_refused(&pairs, plain, "one distance");
}

static bool warned(const struct sg_fit *f, const char *words)
{
    for (size_t i = 0; i < f->nwarning; i++) {
        if (strstr(f->warning[i], words))
            return true;
    }
    return false;
}

/* The suggested rules of count, span and slope (engineering proposal, no source). */
static void test_warnings(void **state)
{
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, 5);
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    reference_set(pair);
    assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
    assert_true(warned(&f, "too few for a line"));
    sg_fit_release(&f);
    for (size_t i = 0; i < 30; i++)
        pair[i] = pair_at(10.0 + 0.1 * (double)i, 5.0 * pow(10.0, 0.01 * (double)(i % 3)));
    pairs.count = 30;
    assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
    assert_false(warned(&f, "values: few"));
    assert_true(warned(&f, "factor of 1.29"));
    assert_true(warned(&f, "slope") || warned(&f, "fall with distance"));
    sg_fit_release(&f);
}

/* Held slope: a is the mean of y - b x, the scatter has n - 1 degrees of freedom. One distance
 * will do. */
static void test_fixed_slope(void **state)
{
    struct sg_pair pair[3] = { pair_at(10, 1.0), pair_at(10, 10.0), pair_at(10, 100.0) };
    struct sg_pairs pairs = pairs_of(pair, 3);
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    options.fixed_slope = -1.5;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_close(f.law.intercept, 2.5, 1e-14, 0);
    assert_close(f.law.scatter, 1.0, 1e-14, 0);
    assert_close(f.law.dof, 2.0, 0, 0);
    assert_close(sg_site_law_spread(&f.law, 2.0), sqrt(4.0 / 3.0), 1e-14, 0);
    sg_fit_release(&f);
}

/* One value a hundred times too high: ordinary and robust fits both show it and both keep it. */
static void test_outlier_is_shown(void **state)
{
    struct sg_pair pair[MOST];
    size_t n = reference_set(pair);
    struct sg_pairs pairs = pairs_of(pair, n);
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    (void)state;
    pair[4].value *= 100;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_true(f.point[4].outlier);
    assert_int_equal(f.count, n);
    sg_fit_release(&f);
    options.kind = SG_FIT_ROBUST;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_true(f.point[4].outlier);
    assert_true(f.point[4].weight < 0.5);
    assert_close(f.law.slope, -1.274308, 0, 0.15);
    assert_true(warned(&f, "shown, not dropped"));
    sg_fit_release(&f);
}

/* ---- simulations ----------------------------------------------------------------------------- */

/* 2000 sites of 10 values and one value more: 93 to 97 % of them keep their 95 % limit. */
static void test_coverage(void **state)
{
    struct seeded seeded = { 20260504 };
    struct sg_pair pair[10];
    struct sg_pairs pairs = pairs_of(pair, 10);
    char said[400];
    int kept = 0, parallel = 0, tolerant = 0;
    (void)state;
    for (int run = 0; run < 2000; run++) {
        struct sg_fit f = SG_FIT_INIT;
        for (size_t i = 0; i < 10; i++) {
            double x = 0.6 + 1.2 * seeded_uniform(&seeded);
            pair[i] =
                pair_at(pow(10.0, x), pow(10.0, 1.8 - 1.3 * x + 0.2 * seeded_normal(&seeded)));
        }
        assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
        double x = 0.4 + 1.6 * seeded_uniform(&seeded), mean = 1.8 - 1.3 * x;
        double y = mean + 0.2 * seeded_normal(&seeded);
        f.law.upper = SG_LINE_PREDICTION;
        kept += y <= sg_site_law_upper(&f.law, x, 95);
        f.law.upper = SG_LINE_PARALLEL;
        parallel += y <= sg_site_law_upper(&f.law, x, 95);
        if (run % 10 == 0) /* the tolerance limit lies above the true 95 % in 95 % of sites */
            tolerant += sg_fit_tolerance(&f.law, x, 95, 95) >= mean + 0.2 * 1.6448536;
        sg_fit_release(&f);
    }
    assert_in_range(kept, 1860, 1940);
    assert_true(parallel < kept);
    assert_in_range(tolerant, 180, 198);
}

/* Values of unlike energies on plain distance are fitted and told of; points of scaled distances
 * alone are kept for the plot (common practice, no source). */
static void test_energies(void **state)
{
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, reference_set(pair));
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    struct sg_fit f = SG_FIT_INIT;
    char said[400];
    size_t plain;
    (void)state;
    for (size_t i = 0; i < pairs.count; i++)
        pair[i].energy_J = 20e3;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    plain = f.nwarning;
    sg_fit_release(&f);
    pair[2].energy_J = 60e3;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_int_equal(f.nwarning, plain + 1);
    sg_fit_release(&f);
    options.scaled = true;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_int_equal(f.nwarning, plain);
    sg_fit_release(&f);
    for (size_t i = 0; i < pairs.count; i++)
        pair[i].energy_J = SG_UNSET;
    pairs.scaled_only = true;
    options.scaled = false;
    assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
    assert_int_equal(f.law.npoint_kept, pairs.count);
    assert_close(f.law.point[1].distance_m / sqrt(f.law.point[1].energy_J), 7.0, 1e-12, 0);
    sg_fit_release(&f);
}

/* The mixed model finds both parts again, on the mean of many sets. */
static void test_mixed_recovers(void **state)
{
    static const char *const names[] = {
        "a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l"
    };
    struct seeded seeded = { 77 };
    struct sg_pair pair[MOST];
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    double shared2 = 0, pile2 = 0, slope = 0;
    char said[400];
    enum { SETS = 300 };
    (void)state;
    options.kind = SG_FIT_MIXED;
    for (int set = 0; set < SETS; set++) {
        size_t n = 0;
        struct sg_fit f = SG_FIT_INIT;
        for (size_t g = 0; g < SG_COUNT(names); g++) {
            double u = 0.15 * seeded_normal(&seeded);
            for (size_t i = 0; i < 4 + g % 5; i++) {
                double x = 0.7 + seeded_uniform(&seeded);
                double y = 1.5 - 1.2 * x + u + 0.10 * seeded_normal(&seeded);
                pair[n] = pair_at(pow(10.0, x), pow(10.0, y));
                pair[n++].group = names[g];
            }
        }
        struct sg_pairs pairs = pairs_of(pair, n);
        assert_int_equal(fit(&pairs, options, &f, said, sizeof(said)), SG_OK);
        assert_int_equal(f.ngroup, SG_COUNT(names));
        shared2 += f.law.shared_scatter * f.law.shared_scatter / SETS;
        pile2 += f.law.pile_scatter * f.law.pile_scatter / SETS;
        slope += f.law.slope / SETS;
        sg_fit_release(&f);
    }
    assert_close(sqrt(shared2), 0.15, 0.04, 0);
    assert_close(sqrt(pile2), 0.10, 0.02, 0);
    assert_close(slope, -1.2, 0.01, 0);
}

/* ---- update of a published relation ---------------------------------------------------------- */

static const struct sg_prior prior = { .intercept = 1.5,
                                       .slope = -1.4,
                                       .scatter = 0.3,
                                       .site_share = 0.5,
                                       .slope_scatter = 0.3,
                                       .centre = 1.0,
                                       .weight = 4,
                                       .name = "prior" };

static void update_with(size_t n, double true_intercept, struct sg_fit *f)
{
    struct seeded seeded = { 4711 };
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, n);
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    char said[400];
    options.kind = SG_FIT_UPDATE;
    options.prior = &prior;
    for (size_t i = 0; i < n; i++) {
        double x = 0.6 + 0.8 * (double)i / (double)(n - 1);
        pair[i] = pair_at(pow(10.0, x),
                          pow(10.0, true_intercept - 1.4 * x + 0.1 * seeded_normal(&seeded)));
    }
    assert_int_equal(fit(&pairs, options, f, said, sizeof(said)), SG_OK);
}

/* A site three times quieter than the prior: three values bring the line most of the way, thirty
 * settle it; the limit falls each time. */
static void test_update(void **state)
{
    const double true_intercept = 1.5 - log10(3.0);
    struct sg_fit three = SG_FIT_INIT, thirty = SG_FIT_INIT;
    (void)state;
    update_with(3, true_intercept, &three);
    update_with(30, true_intercept, &thirty);
    double prior_y = 0.1, truth = prior_y - log10(3.0);
    double way3 = (prior_y - sg_site_law_line(&three.law, 1.0)) / (prior_y - truth);
    double way30 = (prior_y - sg_site_law_line(&thirty.law, 1.0)) / (prior_y - truth);
    assert_true(way3 > 0.5 && way3 < 1.0);
    assert_true(way30 > 0.9 && way30 < 1.1);
    double prior_upper = prior_y + 1.645 * prior.scatter;
    double upper3 = sg_site_law_upper(&three.law, 1.0, 95);
    double upper30 = sg_site_law_upper(&thirty.law, 1.0, 95);
    assert_true(upper3 < prior_upper);
    assert_true(upper30 < upper3);
    assert_close(three.law.dof, 7, 0, 0);
    sg_fit_release(&three);
    sg_fit_release(&thirty);
}

/* Two ways to the same answer: an update by all values at once has the line of ordinary least
 * squares in the limit of a prior that says nothing. */
static void test_empty_prior(void **state)
{
    struct sg_pair pair[MOST];
    struct sg_pairs pairs = pairs_of(pair, reference_set(pair));
    struct sg_prior empty = prior;
    struct sg_fit_options options = SG_FIT_OPTIONS_INIT;
    struct sg_fit plain = SG_FIT_INIT, update = SG_FIT_INIT;
    char said[400];
    (void)state;
    empty.site_share = 1.0 - 1e-9;
    empty.slope_scatter = 1e6;
    assert_int_equal(fit(&pairs, options, &plain, said, sizeof(said)), SG_OK);
    options.kind = SG_FIT_UPDATE;
    options.prior = &empty;
    assert_int_equal(fit(&pairs, options, &update, said, sizeof(said)), SG_OK);
    assert_close(update.law.slope, plain.law.slope, 1e-6, 0);
    assert_close(update.law.intercept, plain.law.intercept, 1e-6, 0);
    assert_close(update.law.slope_variance, plain.law.slope_variance, 1e-6, 0);
    assert_close(update.law.mean_variance, plain.law.mean_variance, 1e-6, 0);
    sg_fit_release(&plain);
    sg_fit_release(&update);
}

/* BS 5228-2:2009+A1:2014, Table E.1, vibratory: k_v 60, 126, 266 at 50, 33.3, 5 % (grades in the
 * catalogue): the scatter is lg(266 / 60) / 1.645; the slope is -1.3 start-up, -1.4 steady. */
static void test_prior_of_published(void **state)
{
    struct sg_drive drive = SG_DRIVE_INIT;
    struct sg_prior out;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_model *vibratory = sg_model_find("bs5228-2-vibratory");
    const struct sg_model *percussive = sg_model_find("bs5228-2-percussive");
    (void)state;
    assert_non_null(vibratory);
    assert_non_null(percussive);
    drive.technique = SG_VIBRATORY;
    drive.phase = SG_PHASE_STEADY;
    assert_int_equal(sg_prior_make(vibratory, &drive, false, 10, SG_UNSET, &out, &errors), SG_OK);
    assert_close(out.scatter, log10(266.0 / 60.0) / 1.6448536269514722, 1e-9, 0);
    assert_close(out.slope, -1.4, 1e-9, 0);
    assert_close(pow(10.0, out.intercept), 60.0, 1e-9, 0);
    drive.technique = SG_IMPACT;
    drive.energy_J = 28000;
    assert_int_equal(sg_prior_make(percussive, &drive, false, 10, SG_UNSET, &out, &errors),
                     SG_ERR_MISSING);
    assert_int_equal(sg_prior_make(percussive, &drive, false, 10, 0.25, &out, &errors), SG_OK);
    assert_close(out.slope, -1.3, 1e-9, 0);
    sg_errors_release(&errors);
}

/* ---- tolerance, trial ------------------------------------------------------------------------ */

/* One-sided normal tolerance factors, 95 % of values with 95 % confidence, n = 5, 10, 20, 30:
 * 4.203, 2.911, 2.396, 2.220 (ISO 16269-6, Annex; from memory, in every such table). */
static void test_tolerance_factors(void **state)
{
    static const double want[][2] = { { 5, 4.203 }, { 10, 2.911 }, { 20, 2.396 }, { 30, 2.220 } };
    (void)state;
    for (size_t i = 0; i < SG_COUNT(want); i++)
        assert_close(sg_tolerance_factor(want[i][0], want[i][0] - 1, 0.95, 0.95), want[i][1], 0,
                     0.6e-3);
    assert_unset(sg_tolerance_factor(0, 3, 0.95, 0.95));
}

/* The answer of the plan, tried: with so many values more at the receptor's distance the interval
 * is no wider than half, with one less it is. */
static void test_trial(void **state)
{
    struct sg_pair pair[MOST];
    size_t n = reference_set(pair);
    struct sg_pairs pairs = pairs_of(pair, n);
    struct sg_fit f = SG_FIT_INIT, more = SG_FIT_INIT;
    struct sg_trial trial;
    char said[400];
    double low, high;
    (void)state;
    assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &f, said, sizeof(said)), SG_OK);
    assert_int_equal(sg_trial_plan(&f, 12, SG_UNSET, 95, 0.5, &trial), SG_OK);
    sg_fit_mean_band(&f.law, log10(12), 95, &low, &high);
    assert_close(trial.now, 0.5 * (high - low), 1e-12, 0);
    for (int less = 0; less < 2; less++) {
        size_t m = trial.needed[SG_TRIAL_AT_RECEPTOR] - (size_t)less;
        assert_true(m > 0 && n + m < MOST);
        for (size_t i = 0; i < m; i++)
            pair[n + i] = pair_at(12, 3);
        pairs.count = n + m;
        assert_int_equal(fit(&pairs, SG_FIT_OPTIONS_INIT, &more, said, sizeof(said)), SG_OK);
        double scatter = more.law.scatter;
        sg_fit_mean_band(&more.law, log10(12), 95, &low, &high);
        double half = 0.5 * (high - low) / scatter * f.law.scatter; /* the scatter stays */
        assert_true(less ? half > trial.wanted : half <= trial.wanted);
        sg_fit_release(&more);
    }
    assert_int_equal(sg_trial_plan(&f, 0, SG_UNSET, 95, 0.5, &trial), SG_ERR_DOMAIN);
    sg_fit_release(&f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_energies),
        cmocka_unit_test(test_regression_set),
        cmocka_unit_test(test_norris),
        cmocka_unit_test(test_dyestuff),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_warnings),
        cmocka_unit_test(test_fixed_slope),
        cmocka_unit_test(test_outlier_is_shown),
        cmocka_unit_test(test_coverage),
        cmocka_unit_test(test_mixed_recovers),
        cmocka_unit_test(test_update),
        cmocka_unit_test(test_empty_prior),
        cmocka_unit_test(test_prior_of_published),
        cmocka_unit_test(test_tolerance_factors),
        cmocka_unit_test(test_trial),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
