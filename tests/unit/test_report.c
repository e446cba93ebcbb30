/* test_report.c - tables in every notation, marks, files, the JSON Schema.
 * Sources: RFC 4180 (CSV), RFC 8259 (JSON), RFC 3629 (UTF-8), JSON Schema draft 2020-12; the guard
 * before = + - @ in text cells is common practice, no source.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "close.h"
#include "markup.h"
#include "small_study.h"
#include "stillground/report.h"

static const struct sg_column columns[] = {
    { "name", "name", 0, false },
    { "ppv_upper_mm_s", "PPV\nmm/s", -1, true },
    { "laeq_db", "LAeq, dB(A)", 1, true },
};

static void fill(struct sg_table *table)
{
    sg_table_init(table, "t", "Title & <more>", columns, SG_COUNT(columns));
    sg_table_text(table, "O\"Hara, <script>");
    sg_table_number(table, 0.0456);
    sg_table_number(table, -3.25);
    sg_table_text(table, "=1+1");
    sg_table_number(table, 12.345);
    sg_table_number(table, SG_UNSET);
    sg_table_printf(table, "%s", "\xE6\x9D\xB1\xE4\xBA\xAC \xC3\x9F\xFF\nline");
    sg_table_number_to(table, 100.0, 0);
    sg_table_number(table, 70.04);
    sg_table_note(table, "note %d", 1);
    sg_table_note(table, "note %d", 1);
}

static void assert_put(enum sg_format format, const char *expected)
{
    struct sg_table table;
    struct sg_text text = SG_TEXT_INIT;
    fill(&table);
    const struct sg_table *const list[] = { &table };
    assert_int_equal(sg_table_put(list, 1, format, &text), SG_OK);
    assert_string_equal(sg_text_string(&text), expected);
    sg_text_release(&text);
    sg_table_release(&table);
}

/* Widths count columns of a terminal: two for each Han character, one for the replacement. */
static void test_text(void **state)
{
    (void)state;
    assert_put(SG_FORMAT_TABLE, "Title & <more>\n"
                                "\n"
                                "name                PPV  LAeq, dB(A)\n"
                                "                   mm/s\n"
                                "----------------  -----  -----------\n"
                                "O\"Hara, <script>  0.046         -3.2\n"
                                "=1+1              12.35            -\n"
                                "\xE6\x9D\xB1\xE4\xBA\xAC \xC3\x9F\xEF\xBF\xBD line        100"
                                "         70.0\n"
                                "\n"
                                "note 1\n");
}

static void test_csv(void **state)
{
    (void)state;
    assert_put(SG_FORMAT_CSV,
               "name,ppv_upper_mm_s,laeq_db\r\n"
               "\"O\"\"Hara, <script>\",0.046,-3.2\r\n"
               "\"'=1+1\",12.35,\r\n"
               "\"\xE6\x9D\xB1\xE4\xBA\xAC \xC3\x9F\xEF\xBF\xBD\nline\",100,70.0\r\n");
}

static void test_csv_guards_text_only(void **state)
{
    static const char *const dangerous[] = { "=a", "+a", "-a", "@a", "-5" };
    (void)state;
    for (size_t i = 0; i < SG_COUNT(dangerous); i++) {
        struct sg_table table;
        struct sg_text text = SG_TEXT_INIT, expected = SG_TEXT_INIT;
        sg_table_init(&table, "t", "T", columns, 2);
        sg_table_text(&table, dangerous[i]);
        sg_table_number(&table, -5.0);
        const struct sg_table *const list[] = { &table };
        assert_int_equal(sg_table_put(list, 1, SG_FORMAT_CSV, &text), SG_OK);
        sg_text_printf(&expected, "name,ppv_upper_mm_s\r\n\"'%s\",-5.00\r\n", dangerous[i]);
        assert_string_equal(sg_text_string(&text), sg_text_string(&expected));
        sg_text_release(&text);
        sg_text_release(&expected);
        sg_table_release(&table);
    }
}

static json_t *parsed(const struct sg_text *text)
{
    json_error_t error;
    json_t *root = json_loads(sg_text_string(text), JSON_REJECT_DUPLICATES, &error);
    if (root == NULL)
        fail_msg("JSON: line %d: %s", error.line, error.text);
    return root;
}

static void test_json(void **state)
{
    struct sg_table table;
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    fill(&table);
    const struct sg_table *const list[] = { &table, &table };
    assert_int_equal(sg_table_put(list, 2, SG_FORMAT_JSON, &text), SG_OK);
    json_t *root = parsed(&text);
    assert_string_equal(json_string_value(json_object_get(root, "schema")), "stillground/1");
    json_t *tables = json_object_get(root, "tables");
    assert_int_equal(json_array_size(tables), 2);
    json_t *first = json_array_get(tables, 0);
    json_t *rows = json_object_get(first, "rows");
    assert_string_equal(json_string_value(json_object_get(first, "title")), "Title & <more>");
    assert_int_equal(json_array_size(json_object_get(first, "columns")), 3);
    assert_int_equal(json_array_size(rows), 3);
    json_t *row = json_array_get(rows, 0);
    assert_string_equal(json_string_value(json_object_get(row, "name")), "O\"Hara, <script>");
    /* full precision, not the printed one */
    assert_close(json_number_value(json_object_get(row, "ppv_upper_mm_s")), 0.0456, 0.0, 0.0);
    row = json_array_get(rows, 1);
    assert_string_equal(json_string_value(json_object_get(row, "name")), "=1+1");
    assert_true(json_is_null(json_object_get(row, "laeq_db")));
    row = json_array_get(rows, 2);
    assert_true(json_is_integer(json_object_get(row, "ppv_upper_mm_s")));
    assert_string_equal(json_string_value(json_object_get(row, "name")),
                        "\xE6\x9D\xB1\xE4\xBA\xAC \xC3\x9F\xEF\xBF\xBD\nline");
    json_decref(root);
    sg_text_release(&text);
    sg_table_release(&table);
}

static void test_html(void **state)
{
    struct sg_table table;
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    fill(&table);
    sg_table_text(&table, sg_verdict_id(SG_WITHIN)); /* a name, not a verdict */
    sg_table_text(&table, sg_verdict_id(SG_OVER));
    sg_table_number(&table, SG_UNSET);
    sg_table_put_html(&table, &text);
    const char *html = sg_text_string(&text);
    assert_true(markup_well_formed(html));
    assert_null(strstr(html, "<script>"));
    assert_non_null(strstr(html, "O&quot;Hara, &lt;script&gt;"));
    assert_non_null(strstr(html, "<caption>Title &amp; &lt;more&gt;</caption>"));
    assert_non_null(strstr(html, "PPV<br>mm/s"));
    assert_non_null(strstr(html, "class=\"n v-over\">over<"));
    assert_null(strstr(html, "v-within"));
    sg_text_release(&text);
    sg_table_release(&table);
}

static void test_row_must_be_full(void **state)
{
    struct sg_table table;
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    sg_table_init(&table, "t", "T", columns, 2);
    sg_table_text(&table, "only one");
    const struct sg_table *const list[] = { &table };
    assert_int_equal(sg_table_put(list, 1, SG_FORMAT_TABLE, &text), SG_ERR_BUG);
    assert_int_equal(text.length, 0);
    sg_table_release(&table);
}

/* Every allocation fails once; a table is then reported as failed, never printed in part. */
static void test_memory_runs_out(void **state)
{
    bool ran_through = false;
    struct sg_table full;
    struct sg_text whole = SG_TEXT_INIT;
    (void)state;
    fill(&full);
    const struct sg_table *const first[] = { &full };
    assert_int_equal(sg_table_put(first, 1, SG_FORMAT_TABLE, &whole), SG_OK);
    for (size_t n = 1; n < 200 && !ran_through; n++) {
        struct sg_table table;
        struct sg_text text = SG_TEXT_INIT;
        sg_alloc_fail_at(n);
        fill(&table);
        const struct sg_table *const list[] = { &table };
        sg_status status = sg_table_put(list, 1, SG_FORMAT_TABLE, &text);
        sg_alloc_fail_at(0);
        assert_true(status == SG_OK || status == SG_ERR_NOMEM);
        ran_through = status == SG_OK;
        if (ran_through)
            assert_string_equal(sg_text_string(&text), sg_text_string(&whole));
        sg_text_release(&text);
        sg_table_release(&table);
    }
    assert_true(ran_through);
    sg_text_release(&whole);
    sg_table_release(&full);
}

static void test_marks(void **state)
{
    struct sg_arena arena = SG_ARENA_INIT;
    (void)state;
    assert_string_equal(sg_marks_text(0, &arena), "");
    assert_string_equal(sg_marks_text(SG_MARK_RANGE | SG_MARK_UNVERIFIED, &arena), "RU");
    assert_string_equal(sg_marks_text(SG_MARK_TENTATIVE | SG_MARK_PROPOSAL | SG_MARK_NEAR_FIELD |
                                          SG_MARK_USER | SG_MARK_ESTIMATE,
                                      &arena),
                        "TPNGE");
    sg_arena_release(&arena);
}

static void test_cautions(void **state)
{
    size_t count = 0;
    (void)state;
    for (; sg_cautions()[count] != NULL; count++)
        assert_true(strlen(sg_cautions()[count]) > 40);
    assert_true(count >= 10);
}

/* ---- tables of a study ----------------------------------------------------------------------- */

static const struct sg_cell *cell(const struct sg_table *table, size_t row, const char *key)
{
    for (size_t i = 0; i < table->ncolumn; i++)
        if (sg_same(table->column[i].key, key))
            return &table->cell[row * table->ncolumn + i];
    fail_msg("no column %s", key);
    return NULL;
}

static void test_predictions(void **state)
{
    struct small_study small;
    struct sg_table table;
    (void)state;
    small_study_make(&small);
    assert_int_equal(sg_table_predictions(&small.study, &table), SG_OK);
    assert_int_equal(table.nrow, SMALL_METHODS * SMALL_RECEPTORS);
    assert_close(cell(&table, 0, "ppv_central_mm_s")->number, 4.0, 1e-12, 0.0);
    assert_close(cell(&table, 1, "ppv_central_mm_s")->number, 0.05, 1e-12, 0.0);
    assert_close(cell(&table, 0, "laeq_central_db")->number, 71.25, 1e-12, 0.0);
    assert_unset(cell(&table, 0, "ppv_second_central_mm_s")->number);
    assert_unset(cell(&table, 0, "lafmax_db")->number);
    /* the grade of a value shows without any mark of its own */
    assert_string_equal(cell(&table, 0, "ppv_marks")->text, "U");
    assert_string_equal(cell(&table, 0, "worst_verdict")->text, sg_verdict_id(SG_LIKELY_WITHIN));
    assert_true(table.nnote >= 2);
    assert_non_null(strstr(table.note[1], "U unverified"));
    sg_table_release(&table);
}

static void test_verdicts(void **state)
{
    struct small_study small;
    struct sg_table table;
    (void)state;
    small_study_make(&small);
    assert_int_equal(sg_table_verdicts(&small.study, &table), SG_OK);
    assert_int_equal(table.nrow, 2 * SMALL_METHODS * SMALL_RECEPTORS);
    assert_close(cell(&table, 0, "ratio_upper")->number, 1.6, 1e-12, 0.0);
    assert_string_equal(cell(&table, 0, "clause")->text, small.verdict[0][0].row->cite.locus);
    assert_string_equal(cell(&table, 0, "unit")->text, "mm/s");
    assert_non_null(strchr(cell(&table, 0, "marks")->text, 'R'));
    assert_string_equal(cell(&table, 1, "verdict")->text, sg_verdict_id(SG_NOT_DETERMINABLE));
    assert_string_equal(cell(&table, 1, "reason")->text, small_reason);
    assert_unset(cell(&table, 1, "limit")->number);
    sg_table_release(&table);
}

static void test_comparison_and_distances(void **state)
{
    struct small_study small;
    struct sg_table table;
    (void)state;
    small_study_make(&small);
    assert_int_equal(sg_table_comparison(&small.study, &table), SG_OK);
    assert_int_equal(table.nrow, 2 * SMALL_METHODS); /* vibration, then noise */
    assert_close(cell(&table, 0, "receptors_over")->number, SMALL_RECEPTORS, 0.0, 0.0);
    assert_close(cell(&table, 2, "receptors_within")->number, SMALL_RECEPTORS, 0.0, 0.0);
    assert_string_equal(cell(&table, 1, "verdict")->text, "no limit applies");
    sg_table_release(&table);
    assert_int_equal(sg_table_programme(&small.study, &table), SG_OK);
    assert_close(cell(&table, 0, "days")->number, 0.4, 1e-12, 0.0);
    assert_unset(cell(&table, 1, "days")->number);
    sg_table_release(&table);
    assert_int_equal(sg_table_standoffs(&small.study, &table), SG_OK);
    assert_int_equal(table.nrow, 2);
    assert_close(cell(&table, 0, "standoff_upper_m")->number, 20.0, 0.0, 0.0);
    sg_table_release(&table);
    assert_int_equal(sg_table_notifications(&small.study, &table), SG_OK);
    assert_true(table.nrow > 0);
    sg_table_release(&table);
}

/* ---- files ----------------------------------------------------------------------------------- */

static void assert_holds(const char *path, const char *expected)
{
    char found[64] = "";
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    size_t length = fread(found, 1, sizeof found - 1, file);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(length, strlen(expected));
    assert_string_equal(found, expected);
}

static void test_file(void **state)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    char folder[] = "/tmp/stillground-test-XXXXXX";
    char path[128], inside[160];
    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/file", folder);
    snprintf(inside, sizeof inside, "%s/none/file", folder);
    assert_int_equal(sg_file_write(path, "old", 3, &errors), SG_OK);
    assert_int_equal(sg_file_write(path, "new!", 4, &errors), SG_OK);
    assert_holds(path, "new!");
    assert_int_equal(sg_file_write(inside, "x", 1, &errors), SG_ERR_IO);
    assert_int_equal(errors.count, 1);
    assert_non_null(strstr(errors.text[0], inside));
    assert_int_equal(sg_file_write(folder, "x", 1, &errors), SG_ERR_IO);
    assert_int_equal(sg_file_write("/dev/null", "x", 1, &errors), SG_OK); /* not replaced */
    struct stat device;
    assert_int_equal(stat("/dev/null", &device), 0);
    assert_true(S_ISCHR(device.st_mode));
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(folder), 0); /* nothing was left beside */
    sg_errors_release(&errors);
}

/* A file beside cannot be made: the old one stays. Root may write everywhere, so a name that is too
 * long once the ending is there stands in for a folder without permission. */
static void test_file_keeps_the_old_one(void **state)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    char folder[] = "/tmp/stillground-test-XXXXXX";
    char name[256], path[400];
    (void)state;
    assert_non_null(mkdtemp(folder));
    memset(name, 'n', sizeof name);
    name[252] = '\0';
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fputs("old", file) >= 0, 1);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(sg_file_write(path, "new", 3, &errors), SG_ERR_IO);
    assert_holds(path, "old");
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(folder), 0);
    sg_errors_release(&errors);
}

/* ---- schema ---------------------------------------------------------------------------------- */

static size_t count_properties(json_t *schema)
{
    size_t count = 0;
    const char *key;
    json_t *value;
    json_t *ways = json_object_get(schema, "anyOf"), *way;
    size_t index;
    json_array_foreach(ways, index, way)
    {
        count += count_properties(way);
    }
    if (ways != NULL)
        return count;
    json_t *items = json_object_get(schema, "items");
    if (json_object_get(items, "properties") != NULL)
        schema = items;
    json_t *properties = json_object_get(schema, "properties");
    if (properties != NULL)
        assert_true(json_is_false(json_object_get(schema, "additionalProperties")));
    json_object_foreach(properties, key, value)
    {
        assert_true(json_is_string(json_object_get(value, "description")));
        assert_true(json_is_string(json_object_get(value, "type")) ||
                    json_array_size(json_object_get(value, "anyOf")) > 1);
        count += 1 + count_properties(value);
    }
    return count;
}

static void test_schema(void **state)
{
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    assert_int_equal(sg_schema_put(&text), SG_OK);
    json_t *root = parsed(&text);
    assert_string_equal(json_string_value(json_object_get(root, "$schema")),
                        "https://json-schema.org/draft/2020-12/schema");
    assert_int_equal(count_properties(root), sg_field_count());
    json_t *properties = json_object_get(root, "properties");
    json_t *required = json_object_get(root, "required");
    size_t top_required = 0;
    for (size_t i = 0; i < sg_field_count(); i++) {
        const struct sg_field *field = sg_field_at(i);
        if (field->block[0] != '\0')
            continue;
        assert_non_null(json_object_get(properties, field->key));
        top_required += field->dflt == NULL;
    }
    assert_int_equal(json_array_size(required), top_required);
    json_decref(root);
    sg_text_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text),
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_csv_guards_text_only),
        cmocka_unit_test(test_json),
        cmocka_unit_test(test_html),
        cmocka_unit_test(test_row_must_be_full),
        cmocka_unit_test(test_memory_runs_out),
        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_cautions),
        cmocka_unit_test(test_predictions),
        cmocka_unit_test(test_verdicts),
        cmocka_unit_test(test_comparison_and_distances),
        cmocka_unit_test(test_file),
        cmocka_unit_test(test_file_keeps_the_old_one),
        cmocka_unit_test(test_schema),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
