/* document_parts.c - the smaller parts of the document: the matrix of verdicts, marks, cautions,
 * the hand calculation, the place for the persons who answer for it.
 */
#include "internal.h"

#include <string.h>

/* ---- receptors against methods --------------------------------------------------------------- */

static void put_matrix_cell(struct sg_table *table, const struct sg_outcome *outcome)
{
    if (outcome->governing == SIZE_MAX) {
        sg_table_text(table, "no limit applies");
        sg_table_text(table, "-");
        return;
    }
    const struct sg_verdict *governing = &outcome->verdict[outcome->governing];
    sg_table_text(table, sg_verdict_id(governing->state));
    sg_report_put_against(table, governing, governing->value_upper, governing->ratio_upper);
}

/* Two columns a method: verdict and value against limit. */
static struct sg_column *matrix_columns(const struct sg_study *study, struct sg_arena *arena)
{
    struct sg_column *column = sg_arena_alloc(arena, 2 + 2 * study->nmethod, sizeof *column);
    if (column == NULL)
        return NULL;
    column[0] = (struct sg_column){ "receptor", "receptor", 0, false };
    column[1] = (struct sg_column){ "number", "no.", 0, true };
    for (size_t i = 0; i < study->nmethod; i++) {
        const char *name = study->site->method[i].name;
        column[2 + 2 * i] = (struct sg_column){ "verdict", name, 0, false };
        column[3 + 2 * i] = (struct sg_column){ "upper", "upper\nto limit", 0, false };
    }
    return column;
}

sg_status sg_document_matrix(const struct sg_study *study, struct sg_text *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_table table;
    sg_status status = SG_ERR_NOMEM;
    struct sg_column *column = matrix_columns(study, &arena);
    if (column == NULL)
        goto done;
    sg_table_init(&table, "matrix", "Worst verdict and its upper value against the limit", column,
                  2 + 2 * study->nmethod);
    for (size_t receptor = 0; receptor < study->nreceptor; receptor++) {
        sg_table_text(&table, study->site->receptor[receptor].name);
        sg_table_number(&table, (double)(receptor + 1));
        for (size_t method = 0; method < study->nmethod; method++)
            put_matrix_cell(&table, sg_study_outcome(study, method, receptor));
    }
    sg_table_note(&table, "Order of severity: over, not determinable, likely within, within. x is "
                          "value over limit, dB is value minus limit.");
    status = sg_document_table(&table, sg_report_table_status(&table), out);
done:
    sg_arena_release(&arena);
    return status;
}

/* ---- marks, cautions, signatures ------------------------------------------------------------- */

void sg_document_marks(struct sg_text *out)
{
    sg_text_put(out, "<dl>\n");
    for (size_t i = 0; i < sg_report_mark_count(); i++) {
        sg_text_printf(out, "<dt>%c</dt><dd>", sg_report_mark_letter(i));
        sg_document_escape(out, sg_report_mark_meaning(i));
        sg_text_put(out, "</dd>\n");
    }
    sg_text_put(out, "</dl>\n");
}

void sg_document_cautions(struct sg_text *out)
{
    sg_text_put(out, "<ul>\n");
    for (const char *const *caution = sg_cautions(); *caution != NULL; caution++) {
        sg_text_put(out, "<li>");
        sg_document_escape(out, *caution);
        sg_text_put(out, "</li>\n");
    }
    sg_text_put(out, "</ul>\n");
}

static void put_person(const char *what, const char *name, struct sg_text *out)
{
    sg_text_printf(out, "<tr><th scope=\"row\">%s</th><td>", what);
    sg_document_escape(out, name == NULL ? "" : name);
    sg_text_put(out, "</td><td></td><td></td><td></td></tr>\n");
}

void sg_document_signatures(const struct sg_site *site, struct sg_text *out)
{
    sg_text_put(out, "<p>Not valid before a competent person has reviewed and signed it. Dates "
                     "and signatures are left open.</p>\n<table class=\"sign\">\n"
                     "<caption>Competent persons</caption>\n<thead><tr><th scope=\"col\">role</th>"
                     "<th scope=\"col\">name</th><th scope=\"col\">qualification</th>"
                     "<th scope=\"col\">date</th><th scope=\"col\">signature</th></tr></thead>\n"
                     "<tbody>\n");
    put_person("Prepared by", site->prepared_by, out);
    put_person("Checked by", site->checked_by, out);
    put_person("Approved by", "", out);
    sg_text_put(out, "</tbody>\n</table>\n");
}

/* ---- the hand calculation -------------------------------------------------------------------- */

static void put_steps(const struct sg_working *working, const char *title, size_t method,
                      struct sg_text *out)
{
    sg_text_printf(out,
                   "<div class=\"wide\"><table class=\"calc\" id=\"calculation-%zu\">\n"
                   "<caption>",
                   method + 1);
    sg_document_escape(out, title);
    sg_text_put(out, "</caption>\n<thead><tr><th scope=\"col\">step</th><th scope=\"col\">what"
                     "</th><th scope=\"col\">working</th><th scope=\"col\">source</th></tr>"
                     "</thead>\n<tbody>\n");
    for (size_t i = 0; i < working->count; i++) {
        const struct sg_step *step = &working->step[i];
        sg_text_printf(out, "<tr><th scope=\"row\">%zu</th><td>", i + 1);
        sg_document_escape(out, step->what);
        sg_text_put(out, "</td><td>");
        sg_document_escape(out, step->working);
        sg_text_put(out, "</td><td>");
        sg_document_escape(out, step->source);
        sg_text_put(out, "</td></tr>\n");
    }
    sg_text_put(out, "</tbody>\n</table></div>\n");
}

static sg_status explain_method(const struct sg_study *study, size_t method, size_t receptor,
                                struct sg_text *out, struct sg_errors *errors)
{
    const struct sg_site *site = study->site;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    struct sg_outcome outcome;
    memset(&outcome, 0, sizeof outcome);
    sg_status status =
        sg_outcome_explain(site, method, receptor, &outcome, &arena, &working, errors);
    const char *title =
        sg_arena_printf(&arena, "%s, %s", site->method[method].name, site->receptor[receptor].name);
    if (sg_ok(status) && title == NULL)
        status = SG_ERR_NOMEM;
    if (sg_ok(status))
        put_steps(&working, title, method, out);
    sg_arena_release(&arena);
    return sg_ok(status) ? SG_OK : status;
}

sg_status sg_document_working(const struct sg_study *study, struct sg_text *out,
                              struct sg_errors *errors)
{
    sg_status status = SG_OK;
    sg_text_put(out, "<p>For each method the calculation at the receptor that governs it, line by "
                     "line, so that it can be repeated by hand.</p>\n");
    for (size_t i = 0; i < study->nmethod && sg_ok(status); i++) {
        const struct sg_method_summary *summary = &study->summary[i];
        if (summary->governing_receptor == SIZE_MAX)
            continue;
        status = explain_method(study, summary->method, summary->governing_receptor, out, errors);
    }
    return status;
}
