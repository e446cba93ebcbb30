/* test_sources.c - the list of sound source levels and the numbers of the sound laws: ids,
 * citations, grades, and rows against the figures of the documents.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "close.h"
#include "stillground/catalogue.h"

static void test_source_ids_are_unique_and_cited(void **state)
{
    (void)state;
    assert_true(sg_source_count() > 100);
    for (size_t i = 0; i < sg_source_count(); i++) {
        const struct sg_source *source = sg_source_at(i);
        assert_ptr_equal(sg_source_find(source->id), source); /* the first of its name is itself */
        assert_true(strlen(source->title) > 0);
        assert_non_null(sg_document_find(source->cite.document));
        assert_true(strlen(source->cite.locus) > 0);
        assert_true(source->kind < SG_SOURCE_KIND_END);
        assert_int_equal(source->techniques & ~SG_ANY_TECHNIQUE, 0);
        assert_true(!sg_is_set(source->level_db) ||
                    (source->level_db >= 50 && source->level_db <= 145));
        assert_true(!sg_is_set(source->usage_percent) ||
                    (source->usage_percent > 0 && source->usage_percent <= 100));
    }
    assert_null(sg_source_at(sg_source_count()));
    assert_null(sg_source_find("hk-no-such"));
    assert_null(sg_source_find(NULL));
}

/* The counts may go down as copies are read, never up unseen. */
static void test_unverified_rows_are_counted(void **state)
{
    (void)state;
    size_t unverified = 0, blank = 0, numbers = 0;
    for (size_t i = 0; i < sg_source_count(); i++) {
        const struct sg_source *source = sg_source_at(i);
        assert_int_not_equal(source->cite.grade, SG_GRADE_MEMORY_LOW);
        unverified += sg_grade_unverified(source->cite.grade) ? 1 : 0;
        blank += sg_is_set(source->level_db) ? 0 : 1;
    }
    for (int i = 0; i < SG_SOUND_NUMBER_END; i++) {
        const struct sg_sound_number_row *row = sg_sound_number_at((enum sg_sound_number)i);
        assert_non_null(row);
        assert_non_null(row->id);
        assert_true(sg_is_set(row->value) && row->value > 0);
        assert_non_null(sg_document_find(row->cite.document));
        assert_int_not_equal(row->cite.grade, SG_GRADE_MEMORY_LOW);
        numbers += sg_grade_unverified(row->cite.grade) ? 1 : 0;
        for (int j = 0; j < i; j++)
            assert_string_not_equal(row->id, sg_sound_number_at((enum sg_sound_number)j)->id);
    }
    assert_null(sg_sound_number_at(SG_SOUND_NUMBER_END));
    assert_int_equal(unverified, 80); /* FHWA 24, FTA 26 + 4, BS 5228-1 26 */
    assert_int_equal(blank, 6);       /* blank rows of the Hong Kong piling table */
    assert_int_equal(numbers, 27);    /* five of them of Hong Kong, one LA10 */
}

static void check_source(const char *id, enum sg_source_kind kind, double level_db,
                         double usage_percent)
{
    const struct sg_source *source = sg_source_find(id);
    assert_non_null(source);
    assert_int_equal(source->kind, kind);
    assert_close(source->level_db, level_db, 0, 0);
    if (usage_percent > 0)
        assert_close(source->usage_percent, usage_percent, 0, 0);
    else
        assert_unset(source->usage_percent);
}

static void test_sources_as_printed(void **state)
{
    (void)state;
    /* Hong Kong, percussive piling memorandum, Table 2 (secondary page) */
    check_source("hk-drop-hammer-sheet-pile", SG_SOURCE_LWA, 129, 0);
    check_source("hk-diesel-hammer-steel-pile", SG_SOURCE_LWA, 132, 0);
    check_source("hk-steam-double-sheet-pile", SG_SOURCE_LWA, 135, 0);
    assert_unset(sg_source_find("hk-hydraulic-single-sheet-pile")->level_db);
    /* BS 5228-1 Annex C (recalled) */
    check_source("bs5228-c3-8", SG_SOURCE_LAEQ_10M, 88, 0);
    check_source("bs5228-c4-38", SG_SOURCE_LAEQ_10M, 78, 0);
    check_source("bs5228-c3-14", SG_SOURCE_LAEQ_10M, 83, 0);
    /* FHWA 2006 Table 9.1, measured means (recalled) */
    check_source("fhwa-impact-pile-driver", SG_SOURCE_LMAX_50FT, 101, 20);
    check_source("fhwa-crane", SG_SOURCE_LMAX_50FT, 81, 16);
    /* FTA 2018 Table 7-1 and its 2006 edition (recalled) */
    check_source("fta2018-sonic-pile-driver", SG_SOURCE_LMAX_50FT, 95, 0);
    check_source("fta2006-sonic-pile-driver", SG_SOURCE_LMAX_50FT, 96, 0);
    assert_string_equal(sg_source_kind_id(SG_SOURCE_LWA), "LWA");
    assert_string_equal(sg_source_kind_id(SG_SOURCE_LMAX_50FT), "Lmax at 50 ft");
    /* rows known from uncertain memory only are left out */
    assert_null(sg_source_find("bs5228-c3-3"));
    assert_null(sg_source_find("bs5228-c3-9"));
}

/* Pairs of plant and technique: common practice, no source. What they name must be published, stand
 * for supporting plant and print a usage factor, so that no level and no share is made up. */
static void test_usual_plant_is_published(void **state)
{
    unsigned seen = 0;
    (void)state;
    for (size_t i = 0; i < sg_usual_plant_count(); i++) {
        const struct sg_usual_plant *row = sg_usual_plant_at(i);
        const struct sg_source *source = sg_source_find(row->source);
        assert_non_null(source);
        assert_int_equal(source->techniques, 0);
        assert_true(source->usage_percent > 0 && source->usage_percent <= 100);
        assert_true(sg_is_set(source->level_db));
        assert_true(row->count > 0 && row->why[0] != '\0' && row->techniques != 0);
        assert_int_equal(row->cite.grade, SG_GRADE_PRACTICE);
        assert_non_null(sg_document_find(row->cite.document));
        seen |= row->techniques;
    }
    assert_int_equal(seen, SG_ANY_TECHNIQUE);
    assert_null(sg_usual_plant_at(sg_usual_plant_count()));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_source_ids_are_unique_and_cited),
        cmocka_unit_test(test_unverified_rows_are_counted),
        cmocka_unit_test(test_sources_as_printed),
        cmocka_unit_test(test_usual_plant_is_published),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
