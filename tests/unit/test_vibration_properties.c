/* test_vibration_properties.c - what must hold whatever the constants: fall with distance, scaling
 * with energy, inverse then forward, marks, ranges, refusals, the registry itself. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/vibration.h"

/* A drive with every input that any model asks for. */
static struct sg_drive full_drive(const struct sg_model *model)
{
    struct sg_drive drive = SG_DRIVE_INIT;
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        if (model->techniques & SG_TECHNIQUE_BIT(t))
            drive.technique = (enum sg_technique)t;
    }
    drive.energy_J = 30e3;
    drive.toe_depth_m = 5;
    drive.drums = 2;
    drive.drum_amplitude_mm = 0.8;
    drive.drum_width_m = 2;
    drive.reference_value = 8;
    drive.reference_distance_m = 5;
    drive.frequency_hz = 15;
    drive.propagation_class = 3;
    if (model->k_by == SG_KEY_VARIANT && !model->default_variant[drive.technique])
        drive.variant = model->coefficient[0].key;
    return drive;
}

static const char *const energy_symbol[] = { "E_1" };
static const double energy_value[] = { 20e3 };

static struct sg_law law_of(const struct sg_model *model, struct sg_drive drive,
                            enum sg_level level)
{
    struct sg_law law;
    if (sg_same(model->id, "caltrans-energy-scaling")) {
        drive.constant_symbol = energy_symbol;
        drive.constant_value = energy_value;
        drive.nconstant = 1;
    }
    assert_int_equal(sg_law_prepare(model, &drive, level, &law, NULL), SG_OK);
    return law;
}

static bool is_scaling(const struct sg_model *model)
{
    return sg_same(model->id, "caltrans-energy-scaling");
}

static void test_falls_with_distance(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        struct sg_law law = law_of(model, full_drive(model), SG_LEVEL_UPPER);
        for (double x = 1; x < 1000 && !is_scaling(model); x *= 1.3)
            assert_true(sg_law_at(&law, 1.3 * x) <= sg_law_at(&law, x));
    }
}

static void test_upper_is_not_below_central(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        struct sg_law central = law_of(model, full_drive(model), SG_LEVEL_CENTRAL);
        struct sg_law upper = law_of(model, full_drive(model), SG_LEVEL_UPPER);
        for (double x = 6; x < 200; x *= 2)
            assert_true(sg_law_at(&upper, x) >= sg_law_at(&central, x));
    }
}

/* Where the relation holds the square root of energy, twice the energy is root two. */
static void test_energy_doubles(void **state)
{
    (void)state;
    size_t tried = 0;
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        if (!model->uses_energy || model->form != SG_FORM_POWER)
            continue;
        struct sg_drive drive = full_drive(model);
        struct sg_law once = law_of(model, drive, SG_LEVEL_CENTRAL);
        drive.energy_J *= 2;
        struct sg_law twice = law_of(model, drive, SG_LEVEL_CENTRAL);
        if (once.m > 0.5)
            continue; /* dynamic compaction: W^0.85 */
        assert_close(sg_law_at(&twice, 17) / sg_law_at(&once, 17), 1.4142135623730951, 1e-12, 0);
        tried++;
    }
    assert_true(tried >= 6);
}

static void test_inverse_then_forward(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        if (is_scaling(model))
            continue;
        struct sg_law law = law_of(model, full_drive(model), SG_LEVEL_UPPER);
        for (double x = 6; x < 500; x *= 1.7) {
            double value = sg_law_at(&law, x), distance_m;
            assert_int_equal(sg_law_distance(&law, value, &distance_m), SG_OK);
            assert_close(sg_law_at(&law, distance_m), value, 1e-9, 1e-12);
        }
    }
}

/* v = 30 r^-1.3 is 5 mm/s at 3.968 m (derived; a check value for stand-off distances). */
static void test_inverse_of_a_known_law(void **state)
{
    (void)state;
    struct sg_law law = {
        .form = SG_FORM_POWER, .k = 30, .n = 1.3, .r_ref = 1, .w_ref = 1, .energy_J = 1, .factor = 1
    };
    double distance_m;
    assert_int_equal(sg_law_distance(&law, 5, &distance_m), SG_OK);
    assert_close(distance_m, 3.968, 0, 0.0005);
}

static void test_no_solution_is_said(void **state)
{
    (void)state;
    struct sg_law law = {
        .form = SG_FORM_POWER, .k = 7, .n = 1, .r_ref = 1, .w_ref = 1, .energy_J = 1, .factor = 1
    };
    double distance_m = -1;
    assert_int_equal(sg_law_distance(&law, 8, &distance_m), SG_ERR_NO_SOLUTION);
    assert_close(distance_m, SG_NEAREST_M, 0, 0); /* kept at every distance allowed */
    distance_m = -1;
    assert_int_equal(sg_law_distance(&law, 1e-9, &distance_m), SG_ERR_NO_SOLUTION);
    assert_close(distance_m, -1, 0, 0); /* written only on success */
}

static void test_refused_below_one_metre(void **state)
{
    (void)state;
    const struct sg_model *model = sg_model_find("press-in-2002-tentative");
    struct sg_drive drive = full_drive(model);
    struct sg_value value;
    static const double bad[] = { 0.999999, 0, -3, SG_UNSET };
    for (size_t i = 0; i < SG_COUNT(bad); i++) {
        assert_int_equal(sg_vibration_at(model, &drive, bad[i], &value, NULL, NULL), SG_ERR_DOMAIN);
        assert_false(sg_is_set(value.central));
        assert_non_null(value.why);
    }
    assert_int_equal(sg_vibration_at(model, &drive, 1.0, &value, NULL, NULL), SG_OK);
    assert_null(value.why);
}

/* Each end of each stated range: on it no mark, beyond it the value is given and marked. */
static void test_range_marks(void **state)
{
    (void)state;
    const struct sg_model *model = sg_model_find("bs5228-2-percussive");
    struct sg_value value;
    static const struct {
        double energy_J, toe_m, x_m;
        bool inside;
    } rows[] = {
        { 30e3, 5, 111, true }, { 30e3, 5, 111.001, false }, { 30e3, 5, 1, true },
        { 85e3, 5, 10, true },  { 85001, 5, 10, false },     { 1500, 5, 10, true },
        { 1499, 5, 10, false }, { 30e3, 27, 10, true },      { 30e3, 27.001, 10, false },
        { 30e3, 1, 10, true },  { 30e3, 0.999, 10, false },
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        struct sg_drive drive = full_drive(model);
        drive.energy_J = rows[i].energy_J;
        drive.toe_depth_m = rows[i].toe_m;
        sg_status status = sg_vibration_at(model, &drive, rows[i].x_m, &value, NULL, NULL);
        assert_int_equal(status, rows[i].inside ? SG_OK : SG_WARN_RANGE);
        assert_int_equal((value.marks & SG_MARK_RANGE) != 0, !rows[i].inside);
        assert_true(sg_is_set(value.central));
    }
}

static void test_marks_travel(void **state)
{
    (void)state;
    struct sg_value value;
    const struct sg_model *press = sg_model_find("press-in-2002-tentative");
    struct sg_drive drive = full_drive(press);
    sg_vibration_at(press, &drive, 10, &value, NULL, NULL);
    assert_true(value.marks & SG_MARK_TENTATIVE);
    assert_true(value.marks & SG_MARK_UNVERIFIED);
    const struct sg_model *auger = sg_model_find("press-in-augering-proposal");
    sg_vibration_at(auger, &drive, 1.5, &value, NULL, NULL);
    assert_true(value.marks & SG_MARK_PROPOSAL);
    assert_true(value.marks & SG_MARK_NEAR_FIELD);
    const struct sg_model *seen = sg_model_find("fta-ppv");
    drive = full_drive(seen);
    sg_vibration_at(seen, &drive, 10, &value, NULL, NULL);
    assert_false(value.marks & SG_MARK_UNVERIFIED);
}

/* The wanted percentile picks a printed row; nothing is interpolated (BS 5228-2 Table E.1). */
static void test_percentile_picks_a_row(void **state)
{
    (void)state;
    const struct sg_model *model = sg_model_find("bs5228-2-vibratory");
    static const struct {
        double percentile;
        enum sg_level level;
    } rows[] = {
        { 50, SG_LEVEL_CENTRAL }, { 60, SG_LEVEL_MIDDLE }, { 66.7, SG_LEVEL_MIDDLE },
        { 66.8, SG_LEVEL_UPPER }, { 95, SG_LEVEL_UPPER },  { 99, SG_LEVEL_UPPER },
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        double exceedance;
        assert_int_equal(sg_model_upper_level(model, rows[i].percentile, &exceedance),
                         rows[i].level);
    }
    struct sg_drive drive = full_drive(model);
    struct sg_value value;
    drive.percentile = 99;
    sg_vibration_at(model, &drive, 10, &value, NULL, NULL);
    assert_non_null(strstr(value.upper_text, "goes no further"));
}

/* A constant the user replaces takes effect and is marked; a symbol that is not there is refused */
static void test_user_constants(void **state)
{
    (void)state;
    const struct sg_model *model = sg_model_find("press-in-2002-tentative");
    static const char *const k[] = { "k" }, *const wrong[] = { "kk" };
    static const double four[] = { 4 };
    struct sg_drive drive = full_drive(model);
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_value value;
    drive.constant_symbol = k;
    drive.constant_value = four;
    drive.nconstant = 1;
    sg_vibration_at(model, &drive, 8, &value, NULL, NULL);
    assert_close(value.central, 0.5, 1e-15, 0);
    assert_true(value.marks & SG_MARK_USER);
    drive.constant_symbol = wrong;
    assert_int_equal(sg_vibration_at(model, &drive, 8, &value, NULL, &errors), SG_ERR_UNKNOWN);
    assert_int_equal(errors.count, 1);
    sg_errors_release(&errors);
}

static void test_missing_inputs(void **state)
{
    (void)state;
    struct sg_drive drive = SG_DRIVE_INIT;
    struct sg_law law;
    static const char *const ids[] = { "bs5228-2-percussive", "bs5228-2-compaction-steady",
                                       "din4150-1-propagation", "caltrans-energy-scaling" };
    for (size_t i = 0; i < SG_COUNT(ids); i++)
        assert_int_equal(
            sg_law_prepare(sg_model_find(ids[i]), &drive, SG_LEVEL_CENTRAL, &law, NULL),
            SG_ERR_MISSING);
    drive.variant = "no-such-plant";
    assert_int_equal(sg_law_prepare(sg_model_find("fta-ppv"), &drive, SG_LEVEL_CENTRAL, &law, NULL),
                     SG_ERR_UNKNOWN);
}

/* FTA 2006 sect. 10.2 [seen]: wood frame, first floor over a basement: -5 - 2 + 6 = -1 dB. */
static void test_into_building(void **state)
{
    (void)state;
    double total_db = sg_transfer_find("wood-frame")->level_db +
                      sg_transfer_find("per-floor-1-5")->level_db +
                      sg_transfer_find("floor-resonance")->level_db;
    assert_close(total_db, -1, 0, 1e-12);
    struct sg_value ground = SG_VALUE_INIT, inside;
    struct sg_into_building into = { sg_factor_from_db(-5), sg_factor_from_db(4), "table", "table",
                                     SG_GRADE_SEEN };
    ground.central = 2;
    ground.upper = 3;
    assert_int_equal(sg_vibration_into(&ground, &into, SG_AT_FLOOR, &inside, NULL), SG_OK);
    assert_close(inside.upper, 3 * sg_factor_from_db(-1), 1e-12, 0);
    into.floor_factor = SG_UNSET;
    assert_int_equal(sg_vibration_into(&ground, &into, SG_AT_FLOOR, &inside, NULL),
                     SG_ERR_UNDETERMINED);
    assert_false(sg_is_set(inside.central));
    into.foundation_factor = SG_UNSET;
    assert_int_equal(sg_vibration_into(&ground, &into, SG_AT_FOUNDATION, &inside, NULL), SG_OK);
    assert_close(inside.upper, 3, 0, 0); /* no credit without a factor */
}

static void test_bands(void **state)
{
    (void)state;
    struct sg_value value = SG_VALUE_INIT;
    struct sg_drive drive = SG_DRIVE_INIT;
    drive.technique = SG_VIBRATORY;
    drive.phase = SG_PHASE_STEADY;
    sg_vibration_band(&drive, 28, false, &value);
    assert_close(value.frequency_low_hz, 28, 0, 0);
    drive.phase = SG_PHASE_START_STOP;
    sg_vibration_band(&drive, 28, false, &value);
    assert_true(value.frequency_low_hz < 10); /* sweeps through resonances */
    sg_vibration_band(&drive, 38, true, &value);
    assert_close(value.frequency_low_hz, 38, 0, 0); /* variable moment does not sweep */
}

/* The registry: ids unique, documents known, notes ended, defaults present, nothing of the lowest
 * grade; and an explicit count of what was not checked on paper, which may only go down. */
static void test_registry(void **state)
{
    (void)state;
    size_t unverified = 0;
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        assert_ptr_equal(sg_model_find(model->id), model);
        assert_non_null(sg_document_find(model->cite.document));
        assert_true(strlen(model->formula) > 0);
        for (size_t k = 0; k < model->ncoefficient; k++) {
            const struct sg_coefficient *c = &model->coefficient[k];
            assert_non_null(sg_document_find(c->cite.document));
            assert_int_not_equal(c->cite.grade, SG_GRADE_MEMORY_LOW);
            unverified += sg_grade_unverified(c->cite.grade) ? 1 : 0;
        }
        for (size_t k = 0; k < model->nrange; k++)
            assert_true(model->range[k].low < model->range[k].high);
        for (size_t k = 0; k < model->npart; k++)
            assert_non_null(sg_model_find(model->part[k].model));
    }
    assert_true(unverified <= 90);
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        assert_non_null(sg_model_default((enum sg_technique)t));
        assert_non_null(sg_model_second((enum sg_technique)t));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_falls_with_distance),
        cmocka_unit_test(test_upper_is_not_below_central),
        cmocka_unit_test(test_energy_doubles),
        cmocka_unit_test(test_inverse_then_forward),
        cmocka_unit_test(test_inverse_of_a_known_law),
        cmocka_unit_test(test_no_solution_is_said),
        cmocka_unit_test(test_refused_below_one_metre),
        cmocka_unit_test(test_range_marks),
        cmocka_unit_test(test_marks_travel),
        cmocka_unit_test(test_percentile_picks_a_row),
        cmocka_unit_test(test_user_constants),
        cmocka_unit_test(test_missing_inputs),
        cmocka_unit_test(test_into_building),
        cmocka_unit_test(test_bands),
        cmocka_unit_test(test_registry),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
