/* test_report_document.c - plots and the document, with names that try to break out: well-formed
 * markup, nothing executable, the same bytes twice. gnuplot must be installed (`make deps`).
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "markup.h"
#include "small_study.h"
#include "stillground/report.h"

typedef sg_status plotter(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                          struct sg_errors *errors);

static void draw(plotter *plot, const struct sg_study *study, const char *keep_dir,
                 struct sg_text *svg)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = plot(study, keep_dir, svg, &errors);
    if (!sg_ok(status))
        fail_msg("plot: %s", errors.count > 0 ? errors.text[0] : sg_status_text(status));
    sg_errors_release(&errors);
}

static void assert_good_svg(const char *svg)
{
    assert_true(markup_well_formed(svg));
    assert_true(markup_ids_once(svg));
    assert_int_equal(strncmp(svg, "<svg ", 5), 0);
    assert_non_null(strstr(svg, "role=\"img\""));
    assert_non_null(strstr(svg, "<desc id="));
    assert_null(strstr(svg, "<script"));
    assert_null(strstr(svg, "<!--"));
    assert_null(strstr(svg, "Gnuplot"));
    assert_null(strstr(svg, "nan,"));
}

static void assert_plot(plotter *plot, const char *must_hold)
{
    struct small_study small;
    struct sg_text first = SG_TEXT_INIT, second = SG_TEXT_INIT;
    small_study_make(&small);
    draw(plot, &small.study, NULL, &first);
    draw(plot, &small.study, NULL, &second);
    assert_good_svg(sg_text_string(&first));
    assert_string_equal(sg_text_string(&first), sg_text_string(&second));
    assert_non_null(strstr(sg_text_string(&first), must_hold));
    sg_text_release(&first);
    sg_text_release(&second);
}

static void test_distance(void **state)
{
    (void)state;
    assert_plot(sg_plot_distance, "Impact 'A' &lt;b>");
}

static void test_receptors(void **state)
{
    (void)state;
    assert_plot(sg_plot_receptors, "&lt;script>");
}

static void test_plan(void **state)
{
    (void)state;
    assert_plot(sg_plot_plan, "1 O'Brien \"&lt;script>alert(1)&lt;/s");
}

static void test_curves(void **state)
{
    (void)state;
    assert_plot(sg_plot_curves, "Impact 'A' &lt;b>: ");
}

/* The scripts that are left behind draw the same thing from the folder they lie in. */
static void test_kept_files(void **state)
{
    static const char *const names[] = { "distance", "receptors", "plan", "limit-curves" };
    static plotter *const plots[] = { sg_plot_distance, sg_plot_receptors, sg_plot_plan,
                                      sg_plot_curves };
    static const char *const endings[] = { "gp", "dat", "svg" };
    struct small_study small;
    char folder[] = "/tmp/stillground-test-XXXXXX";
    char text[256];
    (void)state;
    assert_non_null(mkdtemp(folder));
    small_study_make(&small);
    for (size_t i = 0; i < SG_COUNT(names); i++) {
        struct sg_text svg = SG_TEXT_INIT;
        draw(plots[i], &small.study, folder, &svg);
        sg_text_release(&svg);
        snprintf(text, sizeof text, "cd %s && gnuplot -d %s.gp 2>/dev/null", folder, names[i]);
        assert_int_equal(system(text), 0);
        for (size_t k = 0; k < SG_COUNT(endings); k++) {
            snprintf(text, sizeof text, "%s/%s.%s", folder, names[i], endings[k]);
            assert_int_equal(unlink(text), 0); /* was there */
        }
    }
    assert_int_equal(rmdir(folder), 0);
}

static void test_folder_cannot_be_made(void **state)
{
    struct small_study small;
    struct sg_text svg = SG_TEXT_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    (void)state;
    small_study_make(&small);
    assert_int_equal(sg_plot_plan(&small.study, "/dev/null/plots", &svg, &errors), SG_ERR_IO);
    assert_int_equal(errors.count, 1);
    assert_int_equal(svg.length, 0);
    assert_int_equal(sg_document_put(&small.study, "/dev/null/plots", &svg, &errors), SG_ERR_IO);
    assert_int_equal(svg.length, 0);
    sg_errors_release(&errors);
}

static void put_document(struct sg_text *out)
{
    struct small_study small;
    struct sg_errors errors = SG_ERRORS_INIT;
    small_study_make(&small);
    sg_status status = sg_document_put(&small.study, NULL, out, &errors);
    if (!sg_ok(status))
        fail_msg("document: %s", errors.count > 0 ? errors.text[0] : sg_status_text(status));
    sg_errors_release(&errors);
}

static void test_document(void **state)
{
    struct sg_text first = SG_TEXT_INIT, second = SG_TEXT_INIT;
    (void)state;
    put_document(&first);
    put_document(&second);
    const char *html = sg_text_string(&first);
    assert_string_equal(html, sg_text_string(&second));
    assert_true(markup_well_formed(html));
    assert_true(markup_ids_once(html));
    assert_int_equal(strncmp(html, "<!DOCTYPE html>\n<html lang=\"en\">", 32), 0);
    assert_null(strstr(html, "<script"));
    assert_null(strstr(html, "src="));
    assert_null(strstr(html, "url(http"));
    assert_null(strstr(html, "This drawing is missing"));
    assert_non_null(strstr(html, "&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert_non_null(strstr(html, "no factor to the &lt;floor&gt; was given"));
    assert_non_null(strstr(html, "Invented &lt;site&gt; &amp; &quot;wall&quot;"));
    sg_text_release(&first);
    sg_text_release(&second);
}

static void test_document_has_its_parts(void **state)
{
    static const char *const parts[] = {
        "part-summary",  "part-inputs",    "part-who",     "part-methods",     "part-drawings",
        "part-outcome",  "part-distances", "part-notices", "part-calculation", "part-values",
        "part-limits",   "part-sources",   "part-marks",   "part-cautions",    "part-signatures",
        "calculation-1", "Prepared by",    "worst grade",
    };
    struct sg_text text = SG_TEXT_INIT;
    (void)state;
    put_document(&text);
    for (size_t i = 0; i < SG_COUNT(parts); i++)
        assert_non_null(strstr(sg_text_string(&text), parts[i]));
    /* calculation sheets and complete tables are appendices behind the signatures */
    const char *signatures = strstr(sg_text_string(&text), "id=\"part-signatures\"");
    assert_non_null(signatures);
    assert_non_null(strstr(signatures, "Appendix 1. Worked calculation"));
    assert_non_null(strstr(signatures, "Appendix 2. All predicted values"));
    assert_non_null(strstr(signatures, "Appendix 3. All values against all limits"));
    for (const char *const *caution = sg_cautions(); *caution != NULL; caution++) {
        struct sg_text escaped = SG_TEXT_INIT;
        sg_text_put_html(&escaped, *caution);
        assert_non_null(strstr(sg_text_string(&text), sg_text_string(&escaped)));
        sg_text_release(&escaped);
    }
    sg_text_release(&text);
}

/* Without gnuplot the document is made all the same, and says what is missing. */
static void test_document_without_gnuplot(void **state)
{
    struct sg_text text = SG_TEXT_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct small_study small;
    const char *path = getenv("PATH");
    char *kept = strdup(path == NULL ? "/usr/bin:/bin" : path);
    (void)state;
    assert_non_null(kept);
    assert_int_equal(setenv("PATH", "/nonexistent", 1), 0);
    put_document(&text);
    small_study_make(&small);
    sg_status status = sg_plot_plan(&small.study, NULL, &text, &errors);
    assert_int_equal(setenv("PATH", kept, 1), 0);
    free(kept);
    assert_int_equal(status, SG_ERR_IO);
    assert_int_equal(errors.count, 1);
    assert_non_null(strstr(sg_text_string(&text), "gnuplot is not installed"));
    assert_true(markup_well_formed(sg_text_string(&text)));
    sg_errors_release(&errors);
    sg_text_release(&text);
}

/* The same but for the worked calculation, whose lines the document does not make itself. */
static void assert_same_document(const char *made, const char *whole)
{
    const char *made_end = strstr(made, "id=\"part-calculation\"");
    const char *whole_end = strstr(whole, "id=\"part-calculation\"");
    const char *made_rest = strstr(made, "id=\"part-values\"");
    const char *whole_rest = strstr(whole, "id=\"part-values\"");
    assert_true(made_end != NULL && whole_end != NULL && made_rest != NULL && whole_rest != NULL);
    assert_int_equal(made_end - made, whole_end - whole);
    assert_memory_equal(made, whole, (size_t)(whole_end - whole));
    assert_string_equal(made_rest, whole_rest);
}

/* Every allocation fails once: the document is then refused, or it is the whole document. */
static void test_document_when_memory_runs_out(void **state)
{
    struct sg_text whole = SG_TEXT_INIT;
    struct small_study small;
    const char *path = getenv("PATH");
    char *kept = strdup(path == NULL ? "/usr/bin:/bin" : path);
    size_t refused = 0, whole_in_a_row = 0;
    (void)state;
    assert_non_null(kept);
    assert_int_equal(setenv("PATH", "/nonexistent", 1), 0); /* no plots: this is about memory */
    put_document(&whole);
    small_study_make(&small);
    for (size_t n = 1; n < 100000 && whole_in_a_row < 5; n += n < 200 ? 1 : 13) {
        struct sg_text text = SG_TEXT_INIT;
        sg_alloc_fail_at(n);
        sg_status status = sg_document_put(&small.study, NULL, &text, NULL);
        sg_alloc_fail_at(0);
        if (sg_ok(status))
            assert_same_document(sg_text_string(&text), sg_text_string(&whole));
        else
            assert_int_equal(status, SG_ERR_NOMEM);
        refused += !sg_ok(status);
        whole_in_a_row = sg_ok(status) ? whole_in_a_row + 1 : 0;
        sg_text_release(&text);
    }
    assert_int_equal(setenv("PATH", kept, 1), 0);
    free(kept);
    assert_true(refused > 100);
    assert_int_equal(whole_in_a_row, 5);
    sg_text_release(&whole);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_distance),
        cmocka_unit_test(test_receptors),
        cmocka_unit_test(test_plan),
        cmocka_unit_test(test_curves),
        cmocka_unit_test(test_kept_files),
        cmocka_unit_test(test_folder_cannot_be_made),
        cmocka_unit_test(test_document),
        cmocka_unit_test(test_document_has_its_parts),
        cmocka_unit_test(test_document_without_gnuplot),
        cmocka_unit_test(test_document_when_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
