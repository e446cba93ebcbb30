/* limit_set.h - the data model of limits: sets, rows, curves, factors, windows of the day. limits.h
 * holds values against them. */
#ifndef STILLGROUND_LIMIT_SET_H
#define STILLGROUND_LIMIT_SET_H

#include "stillground/vocabulary.h"

enum sg_purpose {
    SG_FOR_DAMAGE,
    SG_FOR_PEOPLE,
    SG_FOR_EQUIPMENT,
    SG_FOR_RAIL,
    SG_FOR_UTILITY,
    SG_FOR_NOISE,
    SG_FOR_CONCRETE, /* fresh concrete */
    SG_PURPOSE_END
};
const char *sg_purpose_id(enum sg_purpose purpose);

/* How a curve runs between its nodes. A step holds each value from its node up to the next; the
 * last two run from each node at one displacement (value grows with f) or at one acceleration
 * (value falls with f) of a sine. */
enum sg_interpolation {
    SG_STEP,
    SG_LINEAR,
    SG_LOG_LOG,
    SG_CONST_DISPLACEMENT,
    SG_CONST_ACCELERATION,
    SG_INTERPOLATION_END
};
const char *sg_interpolation_id(enum sg_interpolation interpolation); /* "steps", "linear", ... */
/* What holds below the first node. */
enum sg_below { SG_BELOW_EXTEND, SG_BELOW_DISPLACEMENT, SG_BELOW_NONE, SG_BELOW_END };
const char *sg_below_id(enum sg_below below);

struct sg_node {
    double frequency_hz, value;
};

/* Which axis or sum the limit is stated on. */
enum sg_axes {
    SG_AXES_LARGEST,
    SG_AXES_RESULTANT,
    SG_AXES_VERTICAL,
    SG_AXES_HORIZONTAL,
    SG_AXES_NONE,
    SG_AXES_END
};
const char *sg_axes_id(enum sg_axes axes);

/* How a value is held against a row. */
enum sg_rule {
    SG_RULE_MAXIMUM,  /* one value; with a curve, at its own frequency */
    SG_RULE_BANDS,    /* a spectrum, band by band; one value with a frequency will not do */
    SG_RULE_DOSE,     /* a dose over the period */
    SG_RULE_TWO_STEP, /* at most the lower value: kept; over the upper: not; between: by the dose */
    SG_RULE_PERCENTILE, /* a level that a share of the readings may pass */
    SG_RULE_RISE,       /* a level above the ambient or background level, not below a floor */
    SG_RULE_DIFFERENCE, /* measured values only: so much over what was predicted */
    SG_RULE_END
};
const char *sg_rule_id(enum sg_rule rule); /* "maximum", "bands", "dose", "two-step", ... */

/* Where the frequency comes from at which a curve is read. */
enum sg_frequency_rule {
    SG_FREQUENCY_NONE,
    SG_FREQUENCY_AT_PEAK,
    SG_FREQUENCY_PULSE,
    SG_FREQUENCY_BANDS,
    SG_FREQUENCY_FILTER, /* a weighting filter stands for it */
    SG_FREQUENCY_RULE_END
};
const char *sg_frequency_rule_id(enum sg_frequency_rule rule);

/* Sources other than piling that a row or a set is written for. Bits. */
enum sg_other_source {
    SG_OTHER_BLASTING = 1u << 0,
    SG_OTHER_TRAFFIC = 1u << 1,
    SG_OTHER_RAIL = 1u << 2,
    SG_OTHER_COMPACTION = 1u << 3,
    SG_OTHER_END = 1u << 4
};
const char *sg_other_id(unsigned bit);
sg_status sg_other_find(const char *id, unsigned *out);

/* What a document asks for beside its numbers. Bits. */
enum sg_requirement {
    SG_NEEDS_SURVEY = 1u << 0,   /* condition survey before the works */
    SG_NEEDS_ENGINEER = 1u << 1, /* the value is set by a structural engineer or surveyor */
    SG_NEEDS_OWNER = 1u << 2,    /* consent of the owner */
    SG_NEEDS_MONITORING = 1u << 3,
    SG_NEEDS_NOTICE = 1u << 4, /* those affected, or the authority, are told beforehand */
    SG_NEEDS_END = 1u << 5
};
const char *sg_requirement_id(unsigned bit);
sg_status sg_requirement_find(const char *id, unsigned *out);

/* What passing a value asks for. */
enum sg_exceed { SG_EXCEED_REVIEW, SG_EXCEED_ALERT, SG_EXCEED_STOP, SG_EXCEED_END };
const char *sg_exceed_id(enum sg_exceed exceed);

/* Whether the edition is in force. */
enum sg_set_status {
    SG_SET_CURRENT,
    SG_SET_SUPERSEDED,
    SG_SET_DRAFT,
    SG_SET_UNKNOWN,
    SG_SET_STATUS_END
};
const char *sg_set_status_id(enum sg_set_status status);

/* Estimates from a predicted peak velocity that a document leaves room for. Bits. */
enum sg_bridge {
    SG_BRIDGE_KB = 1u << 0,  /* largest KB_F from peak velocity, frequency and c_F */
    SG_BRIDGE_VDV = 1u << 1, /* dose from peak velocity, frequency, duration and blow count */
    SG_BRIDGE_LV = 1u << 2,  /* velocity level from peak velocity and crest factor */
    SG_BRIDGE_VL = 1u << 3,  /* Japanese vibration level from peak velocity and frequency */
    SG_BRIDGE_END = 1u << 4
};
const char *sg_bridge_id(unsigned bit);
sg_status sg_bridge_find(const char *id, unsigned *out);

/* A stretch of days of work and the values of a two-step row in it: more than `from` (0 = from the
 * first day) up to and with `to`. Between two stretches that do not touch, the values run linearly
 * when the row says so. */
struct sg_days_piece {
    double from, to, lower, upper, dose;
};

/* Clock windows; end before start runs over midnight. */
enum sg_window_kind {
    SG_WINDOW_DAY,
    SG_WINDOW_EVENING,
    SG_WINDOW_NIGHT,
    SG_WINDOW_REST,
    SG_WINDOW_PERMITTED,
    SG_WINDOW_END
};
const char *sg_window_kind_id(enum sg_window_kind kind);
enum {
    SG_WORKING_DAYS = 1u << 0,
    SG_SATURDAY = 1u << 1,
    SG_HOLIDAY = 1u << 2, /* and Sunday */
    SG_ALL_DAYS = 7u
};
struct sg_time_window {
    enum sg_window_kind kind;
    double start_h, end_h;
    unsigned days;
    const char *zone; /* "1"; NULL = everywhere */
    double most_h;    /* SG_WINDOW_PERMITTED: hours a day at most; 0 = not stated */
    struct sg_cite cite;
};

/* How the quantity is read: everything that must be the same before two figures are compared. */
struct sg_reading_rule {
    const char *weighting; /* "KB", "Wb", "none"; NULL = not stated */
    double reference;      /* of levels, in reference_unit; 0 = no level */
    const char *reference_unit;
    double tau_s;                        /* time constant of the detector; 0 = none */
    double low_hz, high_hz;              /* band; 0 = not stated */
    const char *statistic;               /* "largest value", "L10 of 100 readings at 5 s", ... */
    double block_s;                      /* length of the blocks (takts); 0 = none */
    double rating_day_h, rating_night_h; /* what a dose is referred to; 0 = none */
    double rest_weight;                  /* of exposure in rest hours; 0 = none */
};

/* One limit: for whom, where, on what, when, how much. value fields are in the quantity's unit. */
struct sg_limit_row {
    const char *id;    /* unique in the set: "line-2-foundation" */
    const char *label; /* "dwellings, foundation" */
    enum sg_purpose purpose;
    unsigned classes, uses, areas; /* whom it covers */
    enum sg_position position;
    enum sg_quantity quantity;
    enum sg_axes axes;
    unsigned characters; /* bit 1 << enum sg_character */
    unsigned techniques; /* SG_TECHNIQUE_BITs it covers */
    enum sg_period period;
    const char *category;       /* noise category of the set ("A", "B", "C"), NULL = none */
    double averaging_h;         /* LAeq averaging time, h; 0 = none */
    const struct sg_node *node; /* one node and SG_BELOW_EXTEND = the same at every frequency */
    size_t nnode;
    enum sg_interpolation interpolation;
    enum sg_below below;
    double below_displacement_mm; /* SG_BELOW_DISPLACEMENT: zero-to-peak */
    enum sg_grade below_grade;    /* how well that displacement is known */
    const char *effect;           /* what is expected above it */
    bool on_request;              /* judged only when asked for: a step of a scale that is not the
                                  * limit, a source or place that no prediction is made for */
    struct sg_cite cite;
    /* zero in all of these: a plain maximum */
    enum sg_rule rule;
    double above_hz; /* no value above this frequency; 0 = the last one holds on */
    double percent;  /* SG_RULE_PERCENTILE: share of the readings that may be above */
    double upper_value, dose_value;   /* SG_RULE_TWO_STEP; the node is the lower value */
    const struct sg_days_piece *days; /* two-step values by days of work, instead of those */
    size_t ndays;
    bool days_linear;
    double days_above, days_to; /* holds for more, and for at most, so many days; 0 = any */
    bool by_background;         /* SG_RULE_RISE: over the background level, not the ambient one */
    double rise_db;             /* SG_RULE_RISE: limit = that level + this; the node is the floor,
                                 * 0 = none. SG_RULE_DIFFERENCE: of a level, over the predicted one
                                 * */
    double times_predicted;     /* SG_RULE_DIFFERENCE: of what is no level */
    double count_days, of_days; /* passed only on so many days of any so many running; 0 = as the
                                 * set says */
    bool passed_at;             /* a value equal to the limit passes it too */
    double from_h, to_h; /* clock hours that a limit on noise holds for, an end before the start is
                          * on the next day; equal = those of the period. A prediction is held
                          * against such a row when the shift touches it, on_request or not */
    unsigned on_days;    /* SG_WORKING_DAYS, ...: days it holds for; 0 = all */
    unsigned other_sources; /* SG_OTHER bits: what else, or only, it is written for */
};

/* A factor that somebody must choose; applied only as said. */
struct sg_limit_factor {
    const char *id;         /* "continuous" */
    double low, high, dflt; /* multiplies the limit */
    unsigned characters;    /* applied by default to these; 0 = only when asked for */
    unsigned classes;       /* rows of these classes only; 0 = every row */
    const char *meaning, *decided_by;
    struct sg_cite cite;
};

/* A factor that somebody chose; value unset = its default. */
struct sg_chosen_factor {
    const char *id;
    double value;
};

/* Which noise a limit is held against. */
enum sg_noise_of {
    SG_NOISE_OF_WORKS,     /* of these works alone */
    SG_NOISE_OF_ALL_SITES, /* with that of other sites */
    SG_NOISE_OF_TOTAL,     /* with that of other sites and the ambient noise */
    SG_NOISE_OF_END
};
const char *sg_noise_of_id(enum sg_noise_of noise); /* "works", "all-sites", "total" */

struct sg_limit_set {
    const char *id, *title, *jurisdiction;
    const char *document; /* its key in the reference list */
    const char *edition;
    const char *legal;       /* "statute", "standard", "guidance", "owner" */
    double ambient_round_db; /* categories go by the ambient level rounded to this; 0 = none */
    bool rows_are_levels;    /* rows are steps of one scale (perceptible, ...), not alternatives */
    unsigned excluded;       /* SG_TECHNIQUE_BITs the document takes out of its scope */
    const char *excluded_why;
    /* character of each technique under this document */
    enum sg_character character[SG_TECHNIQUE_END];
    const struct sg_limit_row *row;
    size_t nrow;
    const struct sg_limit_factor *factor;
    size_t nfactor;
    const char *const *note; /* cautions, NULL-terminated */
    /* all of these may be left zero */
    enum sg_set_status status;
    enum sg_frequency_rule frequency;
    struct sg_reading_rule reading;
    const struct sg_time_window *window;
    size_t nwindow;
    double consecutive_days;          /* at most so many running; 0 = not stated */
    double count_days[2], of_days[2]; /* counts as passed on so many days of any so many running */
    double rare_per_day; /* two-step: at most so many events a day are rare; 0 = not stated */
    double short_up_to_per_min;      /* faster repetition counts as continuous; 0 = not stated */
    double minor_times, major_times; /* damage grows to these from so many times the value */
    bool complaint_triggers;         /* a complaint is looked into whatever the value */
    bool by_choice;                  /* every row waits for somebody's choice */
    const char *rating; /* rule of noise_rules.h by which levels are rated first; NULL = LAeq */
    enum sg_noise_of noise_of;
    double action_above_db; /* measures are ordered more than this over the value; 0 = not stated */
    unsigned bridges;       /* SG_BRIDGE bits that its text leaves room for */
    const char *bridge_refused; /* why the others will not do, with the clause */
    enum sg_exceed exceed;
    const char *tolerance; /* "isolated passing by up to 30 % ..."; NULL = none */
    unsigned requires;     /* SG_NEEDS bits */
    const char *const
        *disagreement; /* between sources, and what is used; NULL-terminated or NULL */
};
size_t sg_limit_set_count(void);
const struct sg_limit_set *sg_limit_set_at(size_t index);
const struct sg_limit_set *sg_limit_set_find(const char *id);

#endif
