/* internal.h - what the files of the report room share with each other; nobody else includes it. */
#ifndef STILLGROUND_REPORT_INTERNAL_H
#define STILLGROUND_REPORT_INTERNAL_H

#include "stillground/report.h"

/* ---- texts ----------------------------------------------------------------------------------- */

/* One code point from a valid or broken UTF-8 text; *step bytes were used (at least 1). Broken
 * bytes give U+FFFD one by one. */
uint32_t sg_report_code_point(const char *text, size_t *step);
/* Columns that a text takes on a terminal. */
size_t sg_report_width(const char *text);
/* Appends a text with broken bytes replaced by U+FFFD; with `one_line`, controls become spaces. */
void sg_report_put_clean(struct sg_text *out, const char *text, bool one_line);
/* Cut to a number of characters, the last an ellipsis. */
void sg_report_put_cut(struct sg_text *out, const char *text, size_t most);
/* A cleaned, single-quoted gnuplot string. */
void sg_report_put_quoted(struct sg_text *out, const char *text);

/* ---- tables ---------------------------------------------------------------------------------- */

/* The cell as it is printed (a missing number is a dash). */
void sg_report_cell_put(const struct sg_table *table, size_t row, size_t column,
                        struct sg_text *out);
const struct sg_cell *sg_report_cell(const struct sg_table *table, size_t row, size_t column);
int sg_report_cell_decimals(const struct sg_table *table, size_t row, size_t column);

void sg_report_put_text_table(const struct sg_table *table, struct sg_text *out);
void sg_report_put_csv_table(const struct sg_table *table, struct sg_text *out);
sg_status sg_report_put_json(const struct sg_table *const *table, size_t count,
                             struct sg_text *out);
/* SG_ERR_NOMEM when anything failed on the way, SG_ERR_BUG when a row is not full. */
sg_status sg_report_table_status(const struct sg_table *table);

/* ---- marks ----------------------------------------------------------------------------------- */

/* The marks of a value together with what its grade says. */
unsigned sg_report_value_marks(const struct sg_value *value);
size_t sg_report_mark_count(void);
char sg_report_mark_letter(size_t index);
const char *sg_report_mark_meaning(size_t index);
/* Next cell: the letters of a set of marks. */
void sg_report_put_marks(struct sg_table *table, unsigned marks);
/* The same, remembered for the legend. */
void sg_report_put_seen_marks(struct sg_table *table, unsigned marks, unsigned *seen);
/* Next cell: a text, which is released. */
void sg_report_put_text(struct sg_table *table, struct sg_text *text);
/* Adds the legend of the marks that occur as a note; nothing when there are none. */
void sg_report_marks_note(struct sg_table *table, unsigned marks);

/* A value against its limit as the trade says it, in the next cell: a ratio, or decibels over (+)
 * or under (-) the limit. */
void sg_report_put_against(struct sg_table *table, const struct sg_verdict *verdict, double value,
                           double ratio);

/* The noise that a verdict goes by ("works", "total", ...) and, in percent, how probable it is that
 * its limit is passed; two cells, empty where it is none of noise. */
void sg_report_put_noise(struct sg_table *table, const struct sg_verdict *verdict);

/* ---- plots ----------------------------------------------------------------------------------- */

/* One plot before it is drawn. In the script the data are named @DATA, so that the same script runs
 * with the data inline and with the data in a file beside it. */
struct sg_plot {
    const char *id; /* file name without extension, prefix of ids in the SVG */
    const char *title, *description;
    double width_px, height_px;
    struct sg_text data; /* numbers only; blocks are parted by two empty lines */
    struct sg_text script;
    struct sg_arena arena;
};
#define SG_PLOT_INIT                                                                               \
    ((struct sg_plot){ .data = SG_TEXT_INIT, .script = SG_TEXT_INIT, .arena = SG_ARENA_INIT })
void sg_plot_release(struct sg_plot *plot);
/* Leaves id.gp and id.dat in a folder (made when it is not there). */
sg_status sg_plot_keep(const struct sg_plot *plot, const char *keep_dir, struct sg_errors *errors);
sg_status sg_plot_draw(const struct sg_plot *plot, struct sg_text *svg, struct sg_errors *errors);
/* Keeps (when keep_dir is given), draws and releases. */
sg_status sg_plot_finish(struct sg_plot *plot, const char *keep_dir, struct sg_text *svg,
                         struct sg_errors *errors);

sg_status sg_plot_distance_script(const struct sg_study *study, struct sg_plot *out);
sg_status sg_plot_receptors_script(const struct sg_study *study, struct sg_plot *out);
sg_status sg_plot_curves_script(const struct sg_study *study, struct sg_plot *out);
/* A tic's text: cut, and with the per cent sign doubled, for tics take it for a format. */
void sg_plot_put_tic(const char *name, size_t most, struct sg_text *script);
/* Octave bands of each item at the receptor that governs; measures at it. Nothing to draw:
 * SG_ERR_MISSING. */
sg_status sg_plot_spectrum_script(const struct sg_study *study, size_t method, struct sg_plot *out);
sg_status sg_plot_measures_script(const struct sg_study *study, size_t method, struct sg_plot *out);
sg_status sg_plot_plan_script(const struct sg_study *study, struct sg_plot *out);

sg_status sg_plot_fit_script(const struct sg_site_law *law, const struct sg_fit_view *view,
                             struct sg_plot *out);

struct sg_plan;
struct sg_calendar;
sg_status sg_plot_strip_script(const struct sg_plan *plan, struct sg_plot *out);
sg_status sg_plot_calendar_script(const struct sg_calendar *calendar, struct sg_plot *out);

/* Runs gnuplot over a script; its standard output goes to out. */
sg_status sg_gnuplot_run(const char *script, size_t length, struct sg_text *out,
                         struct sg_errors *errors);
/* Turns what gnuplot wrote into an SVG element that can stand inside a page beside others. */
sg_status sg_svg_tidy(const struct sg_plot *plot, const char *raw, struct sg_text *svg,
                      struct sg_errors *errors);

/* ---- built in -------------------------------------------------------------------------------- */

void sg_report_put_style_gp(struct sg_text *out);
void sg_report_put_css(struct sg_text *out);

/* ---- document -------------------------------------------------------------------------------- */

/* Parts of the document, in the order in which they stand. */
void sg_document_summary(const struct sg_study *study, struct sg_text *out);
void sg_document_inputs(const struct sg_study *study, struct sg_text *out);
sg_status sg_document_receptors(const struct sg_study *study, struct sg_text *out);
sg_status sg_document_matrix(const struct sg_study *study, struct sg_text *out);
sg_status sg_document_sources(const struct sg_study *study, struct sg_text *out);
void sg_document_marks(struct sg_text *out);
void sg_document_cautions(struct sg_text *out);
void sg_document_signatures(const struct sg_site *site, struct sg_text *out);
/* Noise: periods, contributions with their spectrum, measures, duties. */
sg_status sg_document_noise(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                            struct sg_errors *errors);
sg_status sg_document_working(const struct sg_study *study, struct sg_text *out,
                              struct sg_errors *errors);
sg_status sg_document_laws(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                           struct sg_errors *errors);
sg_status sg_document_wall(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                           struct sg_errors *errors);
sg_status sg_document_monitoring(const struct sg_study *study, struct sg_text *out);
sg_status sg_document_notices(const struct sg_study *study, struct sg_text *out);
/* A drawing in its figure; releases it. Without gnuplot the figure says so. */
sg_status sg_document_plot(sg_status made, struct sg_plot *plot, const char *keep_dir,
                           struct sg_text *out, struct sg_errors *errors);
/* A table as HTML; releases it. */
sg_status sg_document_table(struct sg_table *table, sg_status status, struct sg_text *out);
/* Escaped text after clean-up. */
void sg_document_escape(struct sg_text *out, const char *text);

/* What a table of one rig at the hours of the site does not tell of its programme. */
void sg_report_programme_note(struct sg_table *table, const struct sg_site *site);

#endif
