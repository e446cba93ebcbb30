/* model.h - published relations of vibration and distance as data, and published cases to check
 * them by. vibration.h evaluates them. */
#ifndef STILLGROUND_MODEL_H
#define STILLGROUND_MODEL_H

#include "stillground/vocabulary.h"

/* ---- vibration models ------------------------------------------------------------------------ */

/* The shapes that published relations take; vibration.h evaluates them.
 * power:  v = K (W / W_ref)^m (r_ref / r)^n exp(-alpha (r - r_ref))
 * log:    lg v = a + b s - c s^2,  s = lg(sqrt(W) / r), clamped at the turning point
 * roller: v = K sqrt(n_d) A^1.5 / (x + L_d)^n
 * level:  L = L_0 - n lg(r / r_ref) - m alpha (r - r_ref)   (dB)
 * larger: the larger of other models, all of the power form */
enum sg_form {
    SG_FORM_POWER,
    SG_FORM_LOG,
    SG_FORM_ROLLER,
    SG_FORM_LEVEL,
    SG_FORM_LARGER,
    SG_FORM_END
};

/* What a coefficient does in its form. */
enum sg_role {
    SG_ROLE_K,
    SG_ROLE_M,
    SG_ROLE_N,
    SG_ROLE_W_REF,
    SG_ROLE_R_REF,
    SG_ROLE_ALPHA,
    SG_ROLE_A,
    SG_ROLE_B,
    SG_ROLE_C,
    SG_ROLE_STEADY_SHARE, /* steady driving as a share of start-up and run-down */
    SG_ROLE_F_REF,        /* frequency that alpha is stated at; alpha grows in proportion */
    SG_ROLE_END
};

/* How far out in the scatter a coefficient stands. */
enum sg_level { SG_LEVEL_ANY, SG_LEVEL_CENTRAL, SG_LEVEL_MIDDLE, SG_LEVEL_UPPER, SG_LEVEL_END };
const char *sg_level_id(enum sg_level level);

/* One published constant. key names the row it belongs to in the document's table (a ground group,
 * a phase, a propagation class, a machine), NULL when the document has one value for all. */
struct sg_coefficient {
    enum sg_role role;
    const char *symbol; /* as printed: "k_p", "n", "PPV_ref" */
    const char *key;
    enum sg_level level;
    double value;
    const char *unit;
    struct sg_cite cite;
};

/* What chooses the row (`key`) of a role's coefficients. */
enum sg_key_by {
    SG_KEY_NONE,
    SG_KEY_GROUND,      /* sg_ground_group_id of the layer at the toe */
    SG_KEY_PHASE,       /* sg_phase_id */
    SG_KEY_PROPAGATION, /* "I", "II", "III", "IV" */
    SG_KEY_VARIANT,     /* a name the user chooses: a machine of a table, a source kind */
    SG_KEY_END
};

/* What the upper value of a model means, printed beside it. */
enum sg_upper {
    SG_UPPER_BOUND,      /* an upper bound; no central value is stated, so both are the same */
    SG_UPPER_EXCEEDANCE, /* exceeded in a stated share of cases */
    SG_UPPER_SD,         /* mean plus a number of standard deviations */
    SG_UPPER_RANGE,      /* typical and upper range of a table */
    SG_UPPER_TYPICAL,    /* a typical worst case; one value only */
    SG_UPPER_SITE,       /* from a measurement on the site */
    SG_UPPER_END
};

enum sg_distance_kind {
    SG_DISTANCE_PLAN,
    SG_DISTANCE_TOE
}; /* along the ground / slope to the toe */

/* Range of one input within which the source's data lie. */
struct sg_range {
    const char *input; /* "distance_m", "energy_J", "toe_depth_m", "cycle_energy_J", ... */
    double low, high;
    struct sg_cite cite;
};

/* One of the curves of which the larger counts. A part without a variant always counts; of those
 * with one, the part the user (or the default) names. */
struct sg_part {
    const char *variant;
    const char *model, *model_variant;
};

struct sg_model {
    const char *id, *title;
    enum sg_quantity quantity;
    unsigned techniques; /* SG_TECHNIQUE_BITs it may be used for by default; 0 = hand use */
    enum sg_form form;
    enum sg_distance_kind distance;
    bool uses_energy;          /* W enters the formula: energy_J per blow or per cycle */
    bool phases;               /* tells start-up and run-down from steady driving */
    enum sg_key_by k_by, n_by; /* what chooses the rows of K and of n */
    const char
        *default_variant[SG_TECHNIQUE_END]; /* SG_KEY_VARIANT: row taken when none is named */
    const struct sg_coefficient *coefficient;
    size_t ncoefficient;
    const struct sg_range *range;
    size_t nrange;
    enum sg_upper upper;
    double exceedance_percent
        [3];        /* central, middle, upper row: share of cases above; NaN = not stated */
    bool tentative; /* "tentative, screening" wherever it is shown */
    bool proposal;  /* an engineering proposal, not a published model */
    const struct sg_part *part; /* SG_FORM_LARGER */
    size_t npart;
    const char *formula;     /* one line, with the symbols as printed */
    const char *const *note; /* cautions; NULL-terminated */
    struct sg_cite cite;
};
size_t sg_model_count(void);
const struct sg_model *sg_model_at(size_t index);
const struct sg_model *sg_model_find(const char *id);
const char *sg_upper_text(enum sg_upper upper);
/* Default and second-opinion model of a technique (second may be NULL). */
const struct sg_model *sg_model_default(enum sg_technique technique);
const struct sg_model *sg_model_second(enum sg_technique technique);

/* ---- published cases ------------------------------------------------------------------------- */

/* A published answer, worked out anew by the command `verify` and by the tests. */
struct sg_case {
    const char *id;
    const char *relation; /* a model id, "level-sum" or "level-mean" */
    const char *inputs;   /* key=value pairs; or levels, or levels x durations */
    enum sg_level level;  /* row of the model; SG_LEVEL_ANY = its central row */
    double expected, tolerance;
    const char *unit; /* "in/s", "mm/s" or "dB" */
    struct sg_cite cite;
};
size_t sg_case_count(void);
const struct sg_case *sg_case_at(size_t index);

#endif
