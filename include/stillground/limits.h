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

/* A dose that goes with a value, for the second step of a two-step row. */
struct sg_dose_value {
    double central, upper; /* KB_FTr, in the row's unit */
    unsigned marks;
};

/* Who is judged, and what somebody had to decide. Fields of the second half may be left zero, which
 * means "not known". */
struct sg_judged {
    unsigned building_class, use, area; /* one bit each; 0 = not known */
    enum sg_period period;
    double ambient_db;                     /* for categories by ambient level; unset = not known */
    const char *category;                  /* chosen category; NULL = by ambient */
    const char *factor_id;                 /* a factor of the set to be used; NULL = defaults */
    double factor;                         /* its value; unset = its default */
    const struct sg_chosen_factor *chosen; /* more of them */
    size_t nchosen;
    double days; /* of work with vibration at the receptor */
    double blows_per_min;
    double events_per_day;
    double background_db; /* rating background level */
    const struct sg_dose_value *dose;
    const struct sg_value *predicted; /* what was predicted there, for SG_RULE_DIFFERENCE */
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
    double beside_db;                  /* noise of others in a level; 0 or unset = none */
    double ratio_central, ratio_upper; /* value / limit; for levels 10^((L - limit) / 20) */
    unsigned marks;                    /* of the value and of the limit */
    char reason[360];                  /* one sentence; "" when within and nothing to add */
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

/* ---- what a row says by itself --------------------------------------------------------------- */

/* Character of a technique under a document: fast repetition can make blows continuous. */
enum sg_character sg_limit_character(const struct sg_limit_set *set, enum sg_technique technique,
                                     const struct sg_judged *judged);
/* The three values of a two-step row for so many days of work (0 = not known: a row without
 * stretches of days has its own). SG_ERR_MISSING without days, SG_ERR_DOMAIN where the document
 * has no value. */
sg_status sg_limit_steps(const struct sg_limit_row *row, double days, double *lower, double *upper,
                         double *dose);
/* The outcome of a two-step row for one pair of figures. A dose that is not known: unset. */
enum sg_verdict_state sg_two_step(double value, double dose, double lower, double upper,
                                  double dose_limit);

/* One third-octave (or other) band of a spectrum. */
struct sg_band_value {
    double frequency_hz, value;
};
/* Band by band: the worst band governs and stands in frequency_hz and value_*. Bands outside the
 * curve are passed over; not determinable when none is left. */
void sg_judge_bands(const struct sg_limit_set *set, const struct sg_limit_row *row,
                    const struct sg_judged *judged, const struct sg_value *like,
                    const struct sg_band_value *band, size_t count, struct sg_verdict *out,
                    struct sg_working *working);

/* ---- estimates from a peak velocity ---------------------------------------------------------- */

/* What an estimate is made with; unset = not known. */
struct sg_bridging {
    double cf_low, cf_high; /* c_F of KB; unset = the published range for the technique */
    double blows_per_min;   /* impact driving */
    double driving_h;       /* time in which the source works, within the period */
};
#define SG_BRIDGING_INIT ((struct sg_bridging){ SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET })

/* The quantity of a row estimated from a component peak velocity at the same position; always
 * marked SG_MARK_ESTIMATE. Refused (SG_ERR_UNDETERMINED, out->why with the clause) when the
 * document leaves no room for it. The derivations stand in bridge.c and in the working. */
sg_status sg_bridge_value(const struct sg_limit_set *set, const struct sg_limit_row *row,
                          const struct sg_value *ppv, const struct sg_bridging *with,
                          struct sg_value *out, struct sg_working *working);
/* eVDV = 1.4 a_w,rms t^0.25; SG_ERR_UNDETERMINED for impacts (crest factor). */
sg_status sg_evdv(double aw_rms_m_s2, double seconds, enum sg_technique technique, double *out,
                  const char **why);
/* |H| of the KB filter, and of a weighting of the vibration table, at a frequency. */
double sg_kb_magnitude(double frequency_hz);
double sg_band_weighting(const char *weighting,
                         double frequency_hz); /* "Wb", "JP vertical"; unset */
/* Fourth-power sum of doses, each repeated `times` times (NULL = once). */
double sg_dose_sum(const double *dose, const double *times, size_t count);
/* KB_FTm of takt maxima, and KB_FTr with rest hours; hours as they come. */
double sg_kb_mean(const double *takt_max, size_t count);
double sg_kb_rated(double mean, double hours, double rest_mean, double rest_hours,
                   double rest_weight, double rating_hours);
/* Level of the same quantity under another reference; both references in one unit. */
double sg_level_under(double level_db, double reference, double other_reference);

/* ---- measured series ------------------------------------------------------------------------- */

/* Whether `needed` different days of any `of` running are among the (unsorted) day numbers; *first
 * is the first day of such a stretch. day_tally.h counts them with the days that are open. */
bool sg_days_in_window(const double *day, size_t count, double needed, double of, double *first);
/* The longest run of days without a gap. */
double sg_longest_run(const double *day, size_t count);
/* The level that `percent` of the readings pass: at most that share is above it. Puts the levels in
 * falling order. Unset when empty. */
double sg_level_exceeded(double *level, size_t count, double percent);
/* Whether a clock time lies in a window (end before start runs over midnight; the start belongs to
 * it, the end does not). */
bool sg_in_window(const struct sg_time_window *window, double clock_h);
/* The period of a clock time by the windows of a set; SG_ANY_TIME when it has none. */
enum sg_period sg_period_at(const struct sg_limit_set *set, double clock_h);
/* The same on a day of a kind: the first window that holds on it. */
enum sg_period sg_period_on(const struct sg_limit_set *set, unsigned day, double clock_h);
/* Hours of a shift (end before start = the next day) inside windows of a kind, on days of a kind
 * (SG_WORKING_DAYS, ...) and in a zone (NULL = any zone's). day[1] is the kind of the day after,
 * which decides past midnight; sg_hours_within takes it to be of the same kind. */
double sg_hours_within_days(const struct sg_limit_set *set, enum sg_window_kind kind,
                            const unsigned day[2], const char *zone, double start_h, double end_h);
double sg_hours_within(const struct sg_limit_set *set, enum sg_window_kind kind, unsigned day,
                       const char *zone, double start_h, double end_h);
/* A shift against the permitted hours, hours a day and days running of a set. */
struct sg_worked_shift {
    double start_h, end_h, work_h, days_running;
    unsigned day;       /* SG_WORKING_DAYS, SG_SATURDAY or SG_HOLIDAY */
    const char *zone;   /* NULL = not known: the strictest zone */
    unsigned day_after; /* kind of the next day, for a shift over midnight; 0 = the same */
};
/* SG_WITHIN, SG_OVER with the reason, or SG_NOT_DETERMINABLE when the set says nothing of hours. */
enum sg_verdict_state sg_judge_shift(const struct sg_limit_set *set,
                                     const struct sg_worked_shift *shift, char *reason,
                                     size_t size);
/* Measured over predicted: over when it is more than `allowed` times the predicted upper value. */
enum sg_verdict_state sg_judge_difference(const struct sg_value *predicted,
                                          const struct sg_value *measured, double allowed,
                                          double *ratio, char *reason, size_t size);
/* Shares of a limit set by the user. */
enum sg_alert { SG_ALERT_NONE, SG_ALERT_AMBER, SG_ALERT_RED, SG_ALERT_UNKNOWN };
const char *sg_alert_id(enum sg_alert alert); /* "-", "amber", "red", "?" */
/* From the share on: amber and red are ratios value / limit; unset = not asked for. */
enum sg_alert sg_alert_of(const struct sg_verdict *verdict, double amber, double red);

/* Of two verdicts on the same receptor, the one that governs: over before not determinable before
 * likely within before within, then the higher upper ratio. Negative when a governs. */
int sg_verdict_compare(const struct sg_verdict *a, const struct sg_verdict *b);

#endif
