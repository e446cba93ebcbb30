/* recording_rows.h - the first columns of every table about recordings, and the walk over their
 * parts. Inside src/report only.
 */
#ifndef REPORT_RECORDING_ROWS_H
#define REPORT_RECORDING_ROWS_H

#include "stillground/monitoring.h"

/* Which recording, sensor and part. */
#define SG_PART_COLUMNS                                                                            \
    { "recording", "recording", 0, false }, { "sensor", NULL, 0, true },                           \
        { "part", NULL, 0, false }, { "start_s", "from\ns", 1, true },                             \
    {                                                                                              \
        "duration_s", "for\ns", 1, true                                                            \
    }
void sg_rows_part(struct sg_table *table, const struct sg_taken *taken,
                  const struct sg_measured *m);
const char *sg_rows_axis(enum sg_axis axis); /* "-" when it is not known */
const char *sg_rows_file(const char *path);  /* the name without its folder */

/* What was measured, the limit it was held against and the verdict. */
#define SG_JUDGED_COLUMNS                                                                          \
    { "limit_set", "limit set", 0, false }, { "limit_label", "limit", 0, false },                  \
        { "limit_row", NULL, 0, false }, { "clause", NULL, 0, false },                             \
        { "period", NULL, 0, false }, { "quantity", "quan-\ntity", 0, false },                     \
        { "axis", "axis", 0, false }, { "value", "value", -1, true },                              \
        { "frequency_hz", "at\nHz", 1, true }, { "limit", "limit\nvalue", -1, true },              \
        { "unit", NULL, 0, false }, { NULL, "to\nlimit", 0, false }, { "ratio", NULL, 3, true },   \
        { "verdict", "verdict", 0, false },                                                        \
    {                                                                                              \
        "marks", "marks", 0, false                                                                 \
    }
/* Those cells; the marks in them. */
unsigned sg_rows_judged(struct sg_table *table, const struct sg_recorded_verdict *v);

typedef void sg_rows_fn(struct sg_table *table, const struct sg_taken *taken,
                        const struct sg_kept *k);
/* Every kept part of vibration, or of sound. */
void sg_rows_each(const struct sg_taken_list *list, bool sound, sg_rows_fn *fn,
                  struct sg_table *table);

/* LEX,8h when an exposure was asked for. */
double sg_rows_lex_db(const struct sg_taken *taken, const struct sg_sound_figures *f);

#endif
