/* limits.h - verdicts: a value against a limit. One checker for predictions and measurements.
 * Pure. */
#ifndef STILLGROUND_LIMITS_H
#define STILLGROUND_LIMITS_H

#include "stillground/value.h"

enum sg_verdict_state {
    SG_WITHIN,           /* upper value at most the limit */
    SG_LIKELY_WITHIN,    /* central at most the limit, upper over it */
    SG_OVER,             /* central over the limit */
    SG_NOT_DETERMINABLE, /* cannot be said; the reason is given */
    SG_VERDICT_END
};
const char *sg_verdict_id(enum sg_verdict_state state); /* "within", "likely within", ... */

/* Who is judged, and what somebody had to decide. */
struct sg_judged {
    unsigned building_class, use, area; /* one bit each; 0 = not known */
    enum sg_period period;
    double ambient_db;     /* for categories by ambient level; unset = not known */
    const char *category;  /* chosen category; NULL = by ambient */
    const char *factor_id; /* a factor of the set to be used; NULL = defaults */
    double factor;         /* its value; unset = its default */
};

struct sg_verdict {
    enum sg_verdict_state state;
    const struct sg_limit_set *set;
    const struct sg_limit_row *row; /* NULL when no row applies */
    enum sg_period period;          /* of the day that was judged */
    bool outside_scope;             /* the document does not concern the technique */
    double limit;                   /* in the row's unit; unset when not determinable */
    double frequency_hz;            /* it was read at; unset = holds at all */
    const char *frequency_from;
    double factor;                     /* applied to the row's value; 1 = none */
    double value_central, value_upper; /* in the row's unit and position */
    double ratio_central, ratio_upper; /* value / limit; for levels 10^((L - limit) / 20) */
    unsigned marks;                    /* of the value and of the limit */
    char reason[240];                  /* one sentence; "" when within and nothing to add */
};

/* Whether a row covers the receptor at all (class, use, area, period, category). What is not
 * known of the receptor is covered only by rows that hold for all of it. In a set without evening
 * rows the evening is judged with the night rows. A judged period of SG_ANY_TIME is covered by
 * every row. */
bool sg_limit_covers(const struct sg_limit_set *set, const struct sg_limit_row *row,
                     const struct sg_judged *judged);

/* The noise category that goes with an ambient level in a period: by the rounded ambient against
 * the value of the first category (below, equal, above: first, second, third). NULL when it cannot
 * be told. */
const char *sg_limit_category(const struct sg_limit_set *set, const struct sg_judged *judged,
                              enum sg_period period);

/* The rows to judge a technique at a receptor by: those that cover both and are not on_request.
 * When none does, the answer is one row that says why (or NULL, which sg_judge explains), so that
 * no set passes in silence. At most max rows are put into out; returns how many there are, at
 * least 1. */
size_t sg_limit_rows(const struct sg_limit_set *set, const struct sg_judged *judged,
                     enum sg_technique technique, const struct sg_limit_row **out, size_t max);

/* The limit of a row at a frequency, in the row's unit (SG_ERR_DOMAIN below a curve that has no
 * value there; SG_ERR_MISSING when the curve depends on frequency and none is given). */
sg_status sg_limit_at(const struct sg_limit_row *row, double frequency_hz, double *out);
/* The lowest value over a band; *at_hz is where. low == high reads one frequency. */
sg_status sg_limit_lowest(const struct sg_limit_row *row, double low_hz, double high_hz,
                          double *out, double *at_hz);

/* Judges one value against one row. The value must be at the row's position and of its quantity, or
 * the verdict is "not determinable" with the reason. row may be NULL: then the reason says why no
 * row of the set covers the receptor. */
void sg_judge(const struct sg_limit_set *set, const struct sg_limit_row *row,
              const struct sg_judged *judged, const struct sg_value *value, struct sg_verdict *out,
              struct sg_working *working);

/* Of two verdicts on the same receptor, the one that governs: over before not determinable before
 * likely within before within, then the higher upper ratio. Negative when a governs. */
int sg_verdict_compare(const struct sg_verdict *a, const struct sg_verdict *b);

#endif
