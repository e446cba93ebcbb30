/* document.c - the self-contained document: one HTML file, no network, no scripts. Parts stand in
 * the order in which a reader asks: what comes out, for what, how, how sure, who answers for it;
 * calculation sheets and complete tables behind it, as numbered appendices. Contents follow what
 * permit offices commonly ask for (common practice, no source).
 */
#include "internal.h"

void sg_document_escape(struct sg_text *out, const char *text)
{
    struct sg_text clean = SG_TEXT_INIT;
    sg_report_put_clean(&clean, text, true);
    sg_text_put_html(out, sg_text_string(&clean));
    out->failed = out->failed || clean.failed;
    sg_text_release(&clean);
}

sg_status sg_document_table(struct sg_table *table, sg_status status, struct sg_text *out)
{
    if (sg_ok(status))
        sg_table_put_html(table, out);
    sg_table_release(table);
    return sg_ok(status) && out->failed ? SG_ERR_NOMEM : status;
}

struct part {
    const char *id, *title;
};

enum part_id {
    SUMMARY,
    INPUTS,
    RECEPTORS,
    COMPARE,
    PLOTS,
    MATRIX,
    STANDOFFS,
    WALL,
    MONITORING,
    NOTICES,
    NOISE,
    SOURCES,
    MARKS,
    CAUTIONS,
    SIGNATURES,
    BODY_END, /* appendices from here on */
    CALCULATION = BODY_END,
    PREDICTIONS,
    VERDICTS,
    PART_END
};

static const struct part parts[PART_END] = {
    [SUMMARY] = { "summary", "Summary" },
    [INPUTS] = { "inputs", "What was put in" },
    [RECEPTORS] = { "who", "Receptors" },
    [COMPARE] = { "methods", "Methods side by side" },
    [PLOTS] = { "drawings", "Drawings" },
    [MATRIX] = { "outcome", "Worst verdict at each receptor" },
    [STANDOFFS] = { "distances", "Stand-off distances" },
    [WALL] = { "wall", "Methods along the wall, and the programme" },
    [MONITORING] = { "monitoring", "Monitoring" },
    [NOTICES] = { "notices", "Notifications" },
    [NOISE] = { "noise", "Noise" },
    [SOURCES] = { "sources", "Sources and how well they are known" },
    [MARKS] = { "marks", "Marks" },
    [CAUTIONS] = { "cautions", "Cautions" },
    [SIGNATURES] = { "signatures", "Review and signature" },
    [CALCULATION] = { "calculation", "Worked calculation" },
    [PREDICTIONS] = { "values", "All predicted values" },
    [VERDICTS] = { "limits", "All values against all limits" },
};

static void put_heading(enum part_id part, struct sg_text *out)
{
    const struct part *p = &parts[part];
    int appendix = (int)part - (int)BODY_END + 1;
    if (appendix < 1)
        sg_text_printf(out, "<h2 id=\"part-%s\">%d. %s</h2>\n", p->id, (int)part + 1, p->title);
    else
        sg_text_printf(out, "<h2 id=\"part-%s\" class=\"appendix\">Appendix %d. %s</h2>\n", p->id,
                       appendix, p->title);
}

static void put_head(const struct sg_site *site, struct sg_text *out)
{
    sg_text_put(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                     "<title>");
    sg_document_escape(out, site->title);
    sg_text_put(out, "</title>\n<style>\n");
    sg_report_put_css(out);
    sg_text_put(out, "</style>\n</head>\n<body>\n<header>\n<h1>");
    sg_document_escape(out, site->title);
    sg_text_put(out, "</h1>\n<p class=\"sub\">Ground vibration and noise from installing piles: "
                     "prediction and comparison of methods</p>\n");
    if (site->note != NULL && site->note[0] != '\0') {
        sg_text_put(out, "<p class=\"invented\">");
        sg_document_escape(out, site->note);
        sg_text_put(out, "</p>\n");
    }
    sg_text_put(out, "</header>\n<main>\n");
}

static void put_contents(struct sg_text *out)
{
    sg_text_put(out, "<nav aria-label=\"Contents\"><ol>\n");
    for (int i = 0; i < (int)PART_END; i++) {
        if (i == (int)BODY_END)
            sg_text_put(out, "</ol>\n<p>Appendices</p>\n<ol>\n");
        sg_text_printf(out, "<li><a href=\"#part-%s\">%s</a></li>\n", parts[i].id, parts[i].title);
    }
    sg_text_put(out, "</ol></nav>\n");
}

/* A drawing in its figure. Without gnuplot the figure says so; a folder that cannot be written
 * to is a failure all the same. */
sg_status sg_document_plot(sg_status made, struct sg_plot *plot, const char *keep_dir,
                           struct sg_text *out, struct sg_errors *errors)
{
    struct sg_errors ours = SG_ERRORS_INIT;
    sg_status status = made;
    if (sg_ok(status) && keep_dir != NULL)
        status = sg_plot_keep(plot, keep_dir, errors);
    if (!sg_ok(status))
        goto done;
    sg_text_put(out, "<figure>\n");
    sg_status drawn = sg_plot_draw(plot, out, &ours);
    if (drawn == SG_ERR_NOMEM || (!sg_ok(drawn) && ours.count == 0)) {
        status = SG_ERR_NOMEM;
        goto done;
    }
    if (!sg_ok(drawn)) {
        sg_text_put(out, "<p class=\"box\">This drawing is missing: ");
        sg_document_escape(out, ours.text[0]);
        sg_text_put(out, "</p>\n");
    }
    sg_text_put(out, "<figcaption>");
    sg_document_escape(out, plot->title);
    sg_text_put(out, ". ");
    sg_document_escape(out, plot->description);
    sg_text_put(out, "</figcaption>\n</figure>\n");
done:
    sg_plot_release(plot);
    sg_errors_release(&ours);
    return status;
}

static sg_status put_plots(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                           struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_plan_script(study, &plot);
    status = sg_document_plot(status, &plot, keep_dir, out, errors);
    if (sg_ok(status)) {
        status = sg_plot_distance_script(study, &plot);
        status = sg_document_plot(status, &plot, keep_dir, out, errors);
    }
    if (sg_ok(status)) {
        status = sg_plot_receptors_script(study, &plot);
        status = sg_document_plot(status, &plot, keep_dir, out, errors);
    }
    if (sg_ok(status)) {
        status = sg_plot_curves_script(study, &plot);
        status = sg_document_plot(status, &plot, keep_dir, out, errors);
    }
    return status;
}

typedef sg_status table_maker(const struct sg_study *study, struct sg_table *out);

static sg_status put_made(table_maker *make, const struct sg_study *study, struct sg_text *out)
{
    struct sg_table table;
    sg_status status = make(study, &table);
    return sg_document_table(&table, status, out);
}

static sg_status put_hours(const struct sg_study *study, struct sg_text *out)
{
    struct sg_table table;
    sg_status status = sg_table_hours(study, &table);
    if (sg_ok(status) && table.nrow > 0)
        return sg_document_table(&table, status, out);
    sg_table_release(&table);
    return status;
}

/* All values; behind them what laws of the site changed, where there are any. */
static sg_status put_predictions(const struct sg_study *study, const char *keep_dir,
                                 struct sg_text *out, struct sg_errors *errors)
{
    sg_status status = put_made(sg_table_predictions, study, out);
    return sg_ok(status) ? sg_document_laws(study, keep_dir, out, errors) : status;
}

/* One part below its heading. */
static sg_status put_part(enum part_id part, const struct sg_study *study, const char *keep_dir,
                          struct sg_text *out, struct sg_errors *errors)
{
    sg_status status;
    switch (part) {
    case SUMMARY:
        sg_document_summary(study, out);
        return SG_OK;
    case INPUTS:
        sg_document_inputs(study, out);
        return SG_OK;
    case RECEPTORS:
        return sg_document_receptors(study, out);
    case COMPARE:
        status = put_made(sg_table_comparison, study, out);
        if (sg_ok(status))
            status = put_made(sg_table_programme, study, out);
        return sg_ok(status) ? put_hours(study, out) : status;
    case PLOTS:
        return put_plots(study, keep_dir, out, errors);
    case MATRIX:
        return sg_document_matrix(study, out);
    case STANDOFFS:
        return put_made(sg_table_standoffs, study, out);
    case WALL:
        return sg_document_wall(study, keep_dir, out, errors);
    case MONITORING:
        return sg_document_monitoring(study, out);
    case NOTICES:
        return sg_document_notices(study, out);
    case NOISE:
        return sg_document_noise(study, keep_dir, out, errors);
    case CALCULATION:
        return sg_document_working(study, out, errors);
    case PREDICTIONS:
        return put_predictions(study, keep_dir, out, errors);
    case VERDICTS:
        return put_made(sg_table_verdicts, study, out);
    case SOURCES:
        return sg_document_sources(study, out);
    case MARKS:
        sg_document_marks(out);
        return SG_OK;
    case CAUTIONS:
        sg_document_cautions(out);
        return SG_OK;
    case SIGNATURES:
        sg_document_signatures(study->site, out);
        return SG_OK;
    case PART_END:
        break;
    }
    return SG_ERR_BUG;
}

sg_status sg_document_put(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                          struct sg_errors *errors)
{
    struct sg_text made = SG_TEXT_INIT;
    sg_status status = SG_OK;
    put_head(study->site, &made);
    for (int part = 0; part < (int)PART_END && sg_ok(status); part++) {
        bool wide = part == (int)MONITORING || part == (int)PREDICTIONS || part == (int)VERDICTS;
        sg_text_put(&made, wide ? "<section class=\"landscape\">\n" : "");
        put_heading((enum part_id)part, &made);
        status = put_part((enum part_id)part, study, keep_dir, &made, errors);
        sg_text_put(&made, wide ? "</section>\n" : "");
        if (part == (int)SUMMARY)
            put_contents(&made);
    }
    sg_text_put(&made, "</main>\n</body>\n</html>\n");
    if (sg_ok(status))
        sg_text_put_bytes(out, sg_text_string(&made), made.length);
    if (sg_ok(status) && (made.failed || out->failed))
        status = SG_ERR_NOMEM;
    sg_text_release(&made);
    return status;
}
