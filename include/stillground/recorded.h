/* recorded.h - recordings against the limits of a site: measured figures as values, through the
 * checker that serves predictions. Plan room; pure.
 */
#ifndef STILLGROUND_RECORDED_H
#define STILLGROUND_RECORDED_H

#include "stillground/event.h"
#include "stillground/plan.h"

/* What the sidecar or the user says about a recording. */
struct sg_recorded_as {
    enum sg_technique technique;
    enum sg_position position;
    double distance_m;  /* unset = not known */
    double residual_db; /* sound level without the works; unset or 0 = not known */
    unsigned periods;   /* bits 1 << enum sg_period; 0 = those of the site's working hours */
    /* when it was measured, by the clock: a set's own windows then tell the period */
    bool clocked;
    double clock_h;
    unsigned day;   /* SG_WORKING_DAYS, SG_SATURDAY or SG_HOLIDAY */
    bool both_sums; /* a table with the peak of components and that of the sum: each has its rows */
    const struct sg_value *predicted; /* there and for the technique, for rules on the difference */
    size_t npredicted;
    double exposure_h; /* for doses: how long the vibration lasts in the period judged; 0 or unset =
                        * as long as the site's works do */
};

struct sg_recorded_verdict {
    struct sg_value value; /* that governs among the axes */
    struct sg_verdict verdict;
    enum sg_axis axis; /* SG_AXIS_NONE: a sum, or sound */
};
struct sg_recorded {
    struct sg_arena arena; /* owns everything below, and texts inside verdicts */
    struct sg_recorded_verdict *item;
    size_t count, capacity;
};
#define SG_RECORDED_INIT ((struct sg_recorded){ .arena = SG_ARENA_INIT })
void sg_recorded_release(struct sg_recorded *recorded);

/* Judges one sensor over one interval against every limit that applies to a receptor: vibration
 * against vibration limits, sound against noise limits. Quality findings that could hide an
 * exceedance make a verdict "not determinable" unless it is "over" already. Adds to *out. */
sg_status sg_recorded_judge(const struct sg_site *site, size_t receptor,
                            const struct sg_recorded_as *as, const struct sg_measured *measured,
                            struct sg_recorded *out);
/* The same for one figure of a table, such as a logger's: `value` with quantity, axes, frequency,
 * what `as` says is put in. seconds is what it was measured over (0 = not known), dose a KB_FTr
 * beside a KB_F (NULL = none). Rows on other quantities are passed over. */
sg_status sg_recorded_judge_value(const struct sg_site *site, size_t receptor,
                                  const struct sg_recorded_as *as, const struct sg_value *value,
                                  double seconds, const struct sg_dose_value *dose,
                                  struct sg_recorded *out);
/* Codes of the findings that could hide an exceedance, "Q01, Q05"; "" when there are none. */
void sg_recorded_hiding(const struct sg_quality_found *found, char *text, size_t size);

#endif
