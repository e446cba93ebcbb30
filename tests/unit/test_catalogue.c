/* test_catalogue.c - the small tables: ground, sections, suitability, frequencies, transfer,
 * notification, words. Sources are named beside the values; the tables' own rows carry the rest. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "close.h"
#include "stillground/catalogue.h"
#include "stillground/vibration.h"

/* Terzaghi and Peck 1948, recalled: sand is loose from N 4, medium dense from 10, dense from 30,
 * very
 * dense from 50; clay soft from 2, firm from 4, stiff from 8, very stiff from 15, hard from 30. */
static void test_states_by_n(void **state)
{
    (void)state;
    static const struct {
        const char *soil;
        double n;
        const char *state;
    } rows[] = {
        { "sand", 3.9, "very-loose" },  { "sand", 4, "loose" },       { "sand", 9.9, "loose" },
        { "sand", 10, "medium-dense" }, { "sand", 30, "dense" },      { "sand", 50, "very-dense" },
        { "sand", 400, "very-dense" },  { "clay", 1.9, "very-soft" }, { "clay", 2, "soft" },
        { "clay", 4, "firm" },          { "clay", 8, "stiff" },       { "clay", 15, "very-stiff" },
        { "clay", 30, "hard" },
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        const struct sg_soil *soil = sg_soil_by_n(rows[i].soil, rows[i].n);
        assert_non_null(soil);
        assert_string_equal(soil->state, rows[i].state);
    }
    assert_null(sg_soil_by_n("cheese", 5));
    assert_null(sg_soil_find("sand", "hard"));
}

/* BS 5228-2 Table E.2, recalled: k_p 1 for soft and loose, 1.5 for stiff and medium dense, 3 for
 * very
 * stiff, dense and fill with large obstructions. */
static void test_soil_factor_by_ground(void **state)
{
    (void)state;
    static const struct {
        const char *soil, *state;
        double k_p;
    } rows[] = {
        { "clay", "soft", 1 },         { "sand", "loose", 1 },
        { "peat", "soft", 1 },         { "fill", "loose", 1 },
        { "clay", "stiff", 1.5 },      { "sand", "medium-dense", 1.5 },
        { "fill", "compacted", 1.5 },  { "clay", "very-stiff", 3 },
        { "sand", "dense", 3 },        { "fill", "obstructed", 3 },
        { "gravel", "very-dense", 3 },
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        struct sg_drive drive = SG_DRIVE_INIT;
        struct sg_law law;
        const struct sg_soil *soil = sg_soil_find(rows[i].soil, rows[i].state);
        assert_non_null(soil);
        drive.energy_J = 1;
        drive.toe_depth_m = 1;
        drive.ground = soil->group;
        assert_int_equal(sg_law_prepare(sg_model_find("bs5228-2-percussive"), &drive,
                                        SG_LEVEL_CENTRAL, &law, NULL),
                         SG_OK);
        assert_close(law.k, rows[i].k_p, 0, 0);
    }
}

static void test_soil_rows(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_soil_count(); i++) {
        const struct sg_soil *soil = sg_soil_at(i);
        assert_ptr_equal(sg_soil_find(soil->soil, soil->state), soil);
        assert_in_range(soil->propagation_class, 1, 4);
        assert_true(!sg_is_set(soil->n_low) || soil->n_low < soil->n_high);
        assert_non_null(sg_document_find(soil->cite.document));
    }
    assert_null(sg_soil_at(sg_soil_count()));
}

/* Widths of one driven unit, common practice, no source: U 400 to 750 mm, Z 575 to 708 mm single,
 * twice that as a pair, hat 900 mm. */
static void test_section_widths(void **state)
{
    (void)state;
    static const struct {
        const char *id;
        double low_m, high_m;
    } rows[] = { { "U", 0.400, 0.750 },
                 { "Z-single", 0.575, 0.708 },
                 { "Z-double", 1.150, 1.416 },
                 { "hat", 0.900, 0.900 } };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        const struct sg_section_row *row = sg_section_find(rows[i].id);
        assert_non_null(row);
        assert_close(row->width_min_m, rows[i].low_m, 0, 1e-12);
        assert_close(row->width_max_m, rows[i].high_m, 0, 1e-12);
        assert_int_equal(row->cite.grade, SG_GRADE_PRACTICE);
    }
    assert_null(sg_section_find("W"));
}

/* Every technique has a word on every kind of ground. Bands: common practice, no source. */
static void test_suitability_is_complete(void **state)
{
    (void)state;
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        for (unsigned k = 0; k < SG_SOIL_KIND_END; k++) {
            const struct sg_suitability_row *row =
                sg_suitability_find((enum sg_technique)t, (enum sg_soil_kind)k);
            assert_non_null(row);
            assert_true(row->n_suitable <= row->n_marginal);
        }
    }
    assert_close(sg_suitability_find(SG_PRESS_IN_JETTING, SG_SOIL_GRANULAR)->n_suitable, 50, 0, 0);
    assert_close(sg_suitability_find(SG_PRESS_IN_AUGERING, SG_SOIL_GRANULAR)->n_suitable, 180, 0,
                 0);
}

/* FTA 2006 Table 10-1 [seen]. */
static void test_transfer_rows(void **state)
{
    (void)state;
    static const struct {
        const char *id;
        double level_db, factor;
    } rows[] = {
        { "wood-frame", -5, 0.562 },
        { "masonry-1-2-storey", -7, 0.447 },
        { "masonry-3-4-storey", -10, 0.316 },
        { "large-masonry-footings", -13, 0.224 },
        { "rock", 0, 1 },
        { "per-floor-1-5", -2, 0.794 },
        { "per-floor-5-10", -1, 0.891 },
        { "floor-resonance", 6, 1.995 },
        { "efficient-propagation", 10, 3.162 },
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        const struct sg_transfer_row *row = sg_transfer_find(rows[i].id);
        assert_non_null(row);
        assert_close(row->level_db, rows[i].level_db, 0, 0);
        assert_close(sg_factor_from_db(row->level_db), rows[i].factor, 0, 0.0005);
    }
}

/* Municipal method table of the Japanese acts [seen]; press-in with augering is not in it. */
static void test_notifications(void **state)
{
    (void)state;
    static const bool needed[SG_TECHNIQUE_END] = { [SG_IMPACT] = true, [SG_VIBRATORY] = true };
    assert_int_equal(sg_notification_count(), 2 * SG_TECHNIQUE_END);
    for (size_t i = 0; i < sg_notification_count(); i++) {
        const struct sg_notification_row *row = sg_notification_at(i);
        assert_int_equal(row->needed, needed[row->technique]);
        assert_int_equal(row->confirmed, row->technique != SG_PRESS_IN_AUGERING);
    }
}

static void test_frequencies(void **state)
{
    (void)state;
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        for (unsigned g = 0; g < SG_GROUND_GROUP_END; g++) {
            const struct sg_frequency_row *row =
                sg_frequency_find((enum sg_technique)t, (enum sg_ground_group)g);
            assert_non_null(row);
            assert_true(row->low_hz > 0 && row->low_hz < row->high_hz);
        }
    }
}

/* Words go there and back; what is not a word is not found. */
static void test_words(void **state)
{
    (void)state;
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        enum sg_technique found;
        assert_int_equal(sg_technique_find(sg_technique_id((enum sg_technique)t), &found), SG_OK);
        assert_int_equal(found, t);
    }
    for (unsigned p = 0; p < SG_POSITION_END; p++) {
        enum sg_position found;
        assert_int_equal(sg_position_find(sg_position_id((enum sg_position)p), &found), SG_OK);
        assert_int_equal(found, p);
    }
    for (unsigned bit = 1; bit < SG_CLASS_END; bit <<= 1) {
        unsigned found;
        assert_int_equal(sg_class_find(sg_class_id(bit), &found), SG_OK);
        assert_int_equal(found, bit);
    }
    for (unsigned bit = 1; bit < SG_USE_END; bit <<= 1) {
        unsigned found;
        assert_int_equal(sg_use_find(sg_use_id(bit), &found), SG_OK);
        assert_int_equal(found, bit);
    }
    unsigned none = 77;
    assert_int_equal(sg_area_find("", &none), SG_ERR_UNKNOWN);
    assert_int_equal(none, 77);
    assert_null(sg_class_id(3));
}

static void test_quantities(void **state)
{
    (void)state;
    for (unsigned q = 0; q < SG_Q_END; q++) {
        assert_string_not_equal(sg_quantity_id((enum sg_quantity)q), "?");
        assert_true(strlen(sg_quantity_unit((enum sg_quantity)q)) > 0);
    }
    assert_true(sg_quantity_is_level(SG_Q_LAEQ));
    assert_true(sg_quantity_is_level(SG_Q_LV_US));
    assert_false(sg_quantity_is_level(SG_Q_PPV));
    assert_false(sg_quantity_is_level(SG_Q_VDV));
}

/* Keys of the reference list are unique and in order, so that a duplicate cannot hide. */
static void test_documents(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_document_count(); i++) {
        const struct sg_document *document = sg_document_at(i);
        assert_ptr_equal(sg_document_find(document->key), document);
        if (i > 0)
            assert_true(strcmp(sg_document_at(i - 1)->key, document->key) < 0);
    }
}

static void test_cases_are_cited(void **state)
{
    (void)state;
    assert_true(sg_case_count() >= 50);
    for (size_t i = 0; i < sg_case_count(); i++) {
        const struct sg_case *c = sg_case_at(i);
        assert_non_null(sg_document_find(c->cite.document));
        assert_true(c->tolerance > 0);
        assert_false(sg_grade_unverified(c->cite.grade));
    }
}

/* Lines that stand earlier, one after the other, are taken back; anything else stays. */
static void test_working_folds(void **state)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    (void)state;
    sg_working_add(&working, NULL, "first", "%d", 1);
    sg_working_add(&working, NULL, "second", "%d", 2);
    sg_working_add(&working, NULL, "third", "%d", 3);
    assert_false(sg_working_fold(&working, 3)); /* nothing to take back */
    sg_working_add(&working, NULL, "second", "%d", 2);
    sg_working_add(&working, NULL, "third", "%d", 4);
    assert_false(sg_working_fold(&working, 3)); /* another figure */
    assert_int_equal(working.count, 5);
    sg_working_add(&working, NULL, "second", "%d", 2);
    sg_working_add(&working, NULL, "third", "%d", 3);
    assert_true(sg_working_fold(&working, 5));
    assert_int_equal(working.count, 5);
    assert_false(sg_working_fold(NULL, 0));
    sg_arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_states_by_n),
        cmocka_unit_test(test_soil_factor_by_ground),
        cmocka_unit_test(test_soil_rows),
        cmocka_unit_test(test_section_widths),
        cmocka_unit_test(test_suitability_is_complete),
        cmocka_unit_test(test_transfer_rows),
        cmocka_unit_test(test_notifications),
        cmocka_unit_test(test_frequencies),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_quantities),
        cmocka_unit_test(test_documents),
        cmocka_unit_test(test_cases_are_cited),
        cmocka_unit_test(test_working_folds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
