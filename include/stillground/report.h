/* report.h - results as text: tables (aligned text, CSV, JSON), plots, the HTML document; files are
 * written beside their place and renamed, so that a crash leaves the old one.
 * Byte-identical for the same input: no clock, no locale, stable order.
 */
#ifndef STILLGROUND_REPORT_H
#define STILLGROUND_REPORT_H

#include "stillground/fit.h"
#include "stillground/plan.h"

/* ---- tables ---------------------------------------------------------------------------------- */

enum sg_format { SG_FORMAT_TABLE, SG_FORMAT_CSV, SG_FORMAT_JSON };

struct sg_column {
    const char *key;  /* machine name with the unit: "ppv_upper_mm_s"; NULL = not in CSV, JSON */
    const char *head; /* for readers; may hold one '\n'; NULL = only in CSV and JSON */
    int decimals;     /* of numbers; -1 = velocity; texts ignore it */
    bool is_number;
};
/* A cell is a text or a number; numbers keep full precision for JSON. */
struct sg_cell {
    const char *text; /* NULL = a number */
    double number;    /* NaN prints "-" in tables, empty in CSV, null in JSON */
    int decimals;     /* -2 = the column's */
};
struct sg_table {
    const char *id, *title;
    const struct sg_column *column;
    size_t ncolumn;
    struct sg_cell *cell;   /* row by row */
    size_t nrow;            /* full rows */
    size_t ncell, capacity; /* internal: cells put so far, room for cells */
    const char **note;      /* printed under the table (not in CSV) */
    size_t nnote;
    struct sg_arena arena; /* owns cells' texts and notes */
    bool failed;
};
void sg_table_init(struct sg_table *table, const char *id, const char *title,
                   const struct sg_column *column, size_t ncolumn);
void sg_table_release(struct sg_table *table);
void sg_table_text(struct sg_table *table, const char *text); /* next cell; copied */
void sg_table_printf(struct sg_table *table, const char *format, ...) SG_PRINTF(2, 3);
void sg_table_number(struct sg_table *table, double number); /* next cell */
void sg_table_number_to(struct sg_table *table, double number, int decimals);
void sg_table_note(struct sg_table *table, const char *format, ...) SG_PRINTF(2, 3);

/* Aligned text of the table, RFC 4180 CSV with units in the header, JSON with a schema version. */
sg_status sg_table_put(const struct sg_table *const *table, size_t count, enum sg_format format,
                       struct sg_text *out);
/* One HTML table, everything escaped. */
void sg_table_put_html(const struct sg_table *table, struct sg_text *out);

/* The lines of a hand calculation: step, working, source. */
sg_status sg_table_working(const struct sg_working *working, const char *title,
                           struct sg_table *out);
/* The tables of a study, for predict, compare and the document alike. */
sg_status sg_table_predictions(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_verdicts(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_comparison(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_programme(const struct sg_study *study, struct sg_table *out);
/* Hours and days that limit sets permit beside the planned ones; no row when none states any. */
sg_status sg_table_hours(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_standoffs(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_notifications(const struct sg_study *study, struct sg_table *out);

/* ---- site laws ------------------------------------------------------------------------------- */

/* What a fit is looked at by. */
struct sg_fit_view {
    double percentile, confidence; /* percent */
    double limit;                  /* in the quantity's unit; unset = none */
    double share_percent;          /* of the limit */
    double energy_J;               /* for a law on scaled distance; unset = X itself is meant */
    const double *at_m;            /* distances */
    size_t nat;
    size_t piles;
    const struct sg_site *site; /* receptors drawn at their distance; NULL = none */
};
sg_status sg_table_fit(const struct sg_fit *fit, struct sg_table *out);
sg_status sg_table_fit_lines(const struct sg_fit *fit, const struct sg_fit_view *view,
                             struct sg_table *out);
sg_status sg_table_fit_points(const struct sg_fit *fit, const struct sg_pairs *pairs,
                              struct sg_table *out);
sg_status sg_table_fit_share(const struct sg_fit *fit, const struct sg_fit_view *view,
                             struct sg_table *out);
sg_status sg_table_fit_chance(const struct sg_fit *fit, const struct sg_fit_view *view,
                              struct sg_table *out);
sg_status sg_table_trial(const struct sg_fit *fit, const struct sg_trial *trial, size_t count,
                         struct sg_table *out);
sg_status sg_table_against(const struct sg_against *against, const char *model,
                           struct sg_table *out);
sg_status sg_table_against_points(const struct sg_against *against, const struct sg_pairs *pairs,
                                  struct sg_table *out);
/* What the laws of a study change: every receptor before and after; the chances of its limits. */
sg_status sg_table_law_changes(const struct sg_study *study, struct sg_table *out);
sg_status sg_table_law_chances(const struct sg_study *study, struct sg_table *out);
/* Points, line, limits, confidence of the mean; the limit and the receptors of the view. */
sg_status sg_plot_fit(const struct sg_site_law *law, const struct sg_fit_view *view,
                      const char *keep_dir, struct sg_text *svg, struct sg_errors *errors);

/* The one-letter codes of enum sg_mark, as "RU"; "" when none. Tables carry the legend. */
const char *sg_marks_text(unsigned marks, struct sg_arena *arena);
const char *const *sg_cautions(void); /* NULL-terminated; in plain words */

/* ---- files ----------------------------------------------------------------------------------- */

/* Writes path.tmp-PID-N beside and renames it; the old file stays on any failure. A device or a
 * pipe is written to as it is. */
sg_status sg_file_write(const char *path, const char *data, size_t length,
                        struct sg_errors *errors);

/* ---- JSON ------------------------------------------------------------------------------------ */

/* The JSON Schema (draft 2020-12) of the site file, from the table of fields. */
sg_status sg_schema_put(struct sg_text *out);

/* ---- plots and document ---------------------------------------------------------------------- */

/* SVG texts made by gnuplot (external). Each returns SG_ERR_IO when gnuplot is not there. keep_dir
 * (may be NULL): a folder where the .gp and .dat files are left for the reader. */
sg_status sg_plot_distance(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                           struct sg_errors *errors);
sg_status sg_plot_receptors(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                            struct sg_errors *errors);
sg_status sg_plot_curves(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                         struct sg_errors *errors);
sg_status sg_plot_plan(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                       struct sg_errors *errors);
/* The self-contained document. Without gnuplot the document says that plots are missing. */
sg_status sg_document_put(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                          struct sg_errors *errors);

#endif
