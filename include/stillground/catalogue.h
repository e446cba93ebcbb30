/* catalogue.h - published numbers as data: documents, quantities, techniques, soils, sections,
 * prediction models, sound sources, limit sets. Every number carries a citation with its grade.
 *
 * The rows live in src/catalogue/, one file a model or a limit set, listed in models.def and
 * limits.def. Nothing here computes; vibration.h, sound.h and limits.h read these rows.
 */
#ifndef STILLGROUND_CATALOGUE_H
#define STILLGROUND_CATALOGUE_H

#include "stillground/base.h"

/* ---- documents ------------------------------------------------------------------------------- */

struct sg_document {
    const char *key;     /* "bs5228-2", used by struct sg_cite */
    const char *title;   /* author or body, title */
    const char *edition; /* year and edition */
    const char *extent;  /* what of it was read, and how */
};
size_t sg_document_count(void);
const struct sg_document *sg_document_at(size_t index);
const struct sg_document *sg_document_find(const char *key); /* NULL when not known */

/* ---- vocabulary ------------------------------------------------------------------------------ */

/* What is predicted or measured. Rows: id, unit, decimals, meaning (see quantities.def). */
enum sg_quantity {
#define SG_QUANTITY(name, id, unit, decimals, meaning) SG_Q_##name,
#include "stillground/quantities.def"
#undef SG_QUANTITY
    SG_Q_END
};
const char *sg_quantity_id(enum sg_quantity quantity);
const char *sg_quantity_unit(enum sg_quantity quantity);
const char *sg_quantity_meaning(enum sg_quantity quantity);
int sg_quantity_decimals(enum sg_quantity quantity, double value);
bool sg_quantity_is_level(enum sg_quantity quantity); /* in dB: ratios are differences */

enum sg_technique {
    SG_IMPACT,
    SG_VIBRATORY,
    SG_PRESS_IN,
    SG_PRESS_IN_JETTING,
    SG_PRESS_IN_AUGERING,
    SG_TECHNIQUE_END
};
const char *sg_technique_id(enum sg_technique technique); /* "impact", "press-in-jetting", ... */
sg_status sg_technique_find(const char *id, enum sg_technique *out);
#define SG_TECHNIQUE_BIT(technique) (1u << (technique))
#define SG_ANY_TECHNIQUE ((1u << SG_TECHNIQUE_END) - 1u)
#define SG_ANY_PRESS_IN                                                                            \
    (SG_TECHNIQUE_BIT(SG_PRESS_IN) | SG_TECHNIQUE_BIT(SG_PRESS_IN_JETTING) |                       \
     SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING))

/* Parts of the installation of one pile that a model may tell apart. */
enum sg_phase { SG_PHASE_ALL, SG_PHASE_STEADY, SG_PHASE_START_STOP, SG_PHASE_END };
const char *sg_phase_id(enum sg_phase phase); /* "all", "steady", "start-stop" */

/* Where a value holds, or where a limit is stated. */
enum sg_position {
    SG_AT_FREE_FIELD,
    SG_AT_BOUNDARY, /* of the working site */
    SG_AT_FACADE,   /* 1 m in front of it; sound */
    SG_AT_FOUNDATION,
    SG_AT_FLOOR,         /* middle of an occupied floor */
    SG_AT_TOPMOST_FLOOR, /* horizontal, in the plane of the topmost floor */
    SG_AT_ASSET,         /* on the rail structure, cabinet, pipe or wall itself */
    SG_AT_ROOM,          /* in the air of an occupied room; sound */
    SG_POSITION_END
};
const char *sg_position_id(enum sg_position position);
sg_status sg_position_find(const char *id, enum sg_position *out);

/* How a vibration acts in time; limit documents use two columns or two tables for it. */
enum sg_character { SG_SHORT_TERM, SG_CONTINUOUS, SG_CHARACTER_END };
const char *sg_character_id(enum sg_character character);

/* What stands at a receptor. Bits, so that a limit row can cover several. */
enum sg_class {
    SG_CLASS_INDUSTRIAL = 1u << 0,     /* heavy commercial, industrial */
    SG_CLASS_FRAMED = 1u << 1,         /* reinforced concrete, steel or timber frame */
    SG_CLASS_MODERN_HOUSE = 1u << 2,   /* recent dwelling, gypsum board */
    SG_CLASS_OLDER_HOUSE = 1u << 3,    /* older dwelling, plaster, masonry */
    SG_CLASS_LISTED = 1u << 4,         /* protected or historic, sound condition */
    SG_CLASS_FRAGILE = 1u << 5,        /* ruin, cracked or strained, extremely susceptible */
    SG_CLASS_RAIL_STRUCTURE = 1u << 6, /* track structure, tunnel, viaduct */
    SG_CLASS_RAIL_EQUIPMENT = 1u << 7, /* signalling, overhead-line mast, telecom */
    SG_CLASS_PIPE_STEEL = 1u << 8,     /* buried, welded steel */
    SG_CLASS_PIPE_RIGID = 1u << 9,     /* buried, clay, concrete, metal with joints */
    SG_CLASS_PIPE_MASONRY = 1u << 10,  /* buried, masonry or plastic */
    SG_CLASS_RETAINING_WALL = 1u << 11,
    SG_CLASS_END = 1u << 12
};
#define SG_ANY_HOUSE ((unsigned)SG_CLASS_MODERN_HOUSE | (unsigned)SG_CLASS_OLDER_HOUSE)
#define SG_ANY_PIPE                                                                                \
    ((unsigned)SG_CLASS_PIPE_STEEL | (unsigned)SG_CLASS_PIPE_RIGID |                               \
     (unsigned)SG_CLASS_PIPE_MASONRY)
#define SG_ANY_BUILDING                                                                            \
    ((unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED | SG_ANY_HOUSE |                    \
     (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE)
#define SG_ANY_CLASS ((unsigned)SG_CLASS_END - 1u)
const char *sg_class_id(unsigned class_bit); /* "older-house"; NULL when not one bit */
sg_status sg_class_find(const char *id, unsigned *out);

/* What people do at a receptor. Bits as above. */
enum sg_use {
    SG_USE_RESIDENTIAL = 1u << 0,
    SG_USE_SCHOOL = 1u << 1,
    SG_USE_HOSPITAL = 1u << 2,
    SG_USE_WORSHIP = 1u << 3,
    SG_USE_OFFICE = 1u << 4,
    SG_USE_INDUSTRY = 1u << 5,
    SG_USE_LABORATORY = 1u << 6,
    SG_USE_RAIL = 1u << 7,
    SG_USE_UTILITY = 1u << 8,
    SG_USE_END = 1u << 9
};
#define SG_ANY_USE ((unsigned)SG_USE_END - 1u)
const char *sg_use_id(unsigned use_bit);
sg_status sg_use_find(const char *id, unsigned *out);

/* Planning area around a receptor, for noise values that depend on it. Bits as above. */
enum sg_area {
    SG_AREA_INDUSTRIAL = 1u << 0,
    SG_AREA_COMMERCIAL = 1u << 1,
    SG_AREA_MIXED = 1u << 2,
    SG_AREA_RESIDENTIAL = 1u << 3,      /* mainly residential */
    SG_AREA_PURE_RESIDENTIAL = 1u << 4, /* purely residential */
    SG_AREA_CARE = 1u << 5,             /* hospital, spa, care */
    SG_AREA_END = 1u << 6
};
#define SG_ANY_AREA ((unsigned)SG_AREA_END - 1u)
const char *sg_area_id(unsigned area_bit);
sg_status sg_area_find(const char *id, unsigned *out);

enum sg_period { SG_DAY, SG_EVENING, SG_NIGHT, SG_ANY_TIME, SG_PERIOD_END };
const char *sg_period_id(enum sg_period period);

/* ---- ground ---------------------------------------------------------------------------------- */

enum sg_soil_kind {
    SG_SOIL_GRANULAR,
    SG_SOIL_COHESIVE,
    SG_SOIL_FILL,
    SG_SOIL_ORGANIC,
    SG_SOIL_ROCK,
    SG_SOIL_KIND_END
};

/* Strength of the ground as the piling relations group it (their soil factor's rows). */
enum sg_ground_group {
    SG_GROUND_SOFT,    /* soft cohesive, loose granular, loose fill, organic */
    SG_GROUND_MEDIUM,  /* stiff cohesive, medium dense granular, compacted fill */
    SG_GROUND_HARD,    /* very stiff cohesive, dense granular, rock, fill with large obstructions */
    SG_GROUND_REFUSAL, /* any pile driven to refusal */
    SG_GROUND_GROUP_END
};
const char *
sg_ground_group_id(enum sg_ground_group group); /* "soft", "medium", "hard", "refusal" */

/* One soil name with one state: how site files name ground. */
struct sg_soil {
    const char *soil;  /* "sand" */
    const char *state; /* "medium-dense" */
    enum sg_soil_kind kind;
    enum sg_ground_group group;
    int propagation_class; /* 1..4, weak to hard rock (attenuation exponent tables) */
    double n_low, n_high;  /* SPT N that goes with the state; n_high may be INFINITY */
    struct sg_cite cite;   /* of the N range */
};
size_t sg_soil_count(void);
const struct sg_soil *sg_soil_at(size_t index);
const struct sg_soil *sg_soil_find(const char *soil, const char *state);
const struct sg_soil *sg_soil_by_n(const char *soil, double spt_n); /* state from N */

/* Ground suitability of a technique by SPT N (common practice). */
struct sg_suitability_row {
    enum sg_technique technique;
    enum sg_soil_kind kind;
    double n_suitable; /* suitable up to this N */
    double n_marginal; /* marginal up to this N, unsuitable above */
    double n_least;    /* below this N the aid is not needed (0 = none) */
    const char *note;
    struct sg_cite cite;
};
size_t sg_suitability_count(void);
const struct sg_suitability_row *sg_suitability_at(size_t index);
const struct sg_suitability_row *sg_suitability_find(enum sg_technique, enum sg_soil_kind);

/* Whether a technique passes obstructions: cobbles, boulders, remains in fill (common practice). */
enum sg_passes { SG_PASSES, SG_PASSES_WITH_CARE, SG_PASSES_NOT };
struct sg_obstruction_row {
    enum sg_technique technique;
    enum sg_passes passes;
    const char *note;
    struct sg_cite cite;
};
const struct sg_obstruction_row *sg_obstruction_find(enum sg_technique technique); /* never NULL */

/* The first piles of a wall pressed in have no finished neighbours to react against: a stand with
 * weights serves them (common practice). */
struct sg_reaction_row {
    size_t piles_low, piles_high;
    const char *note;
    struct sg_cite cite;
};
const struct sg_reaction_row *sg_reaction(void);

/* A rule that somebody must be told, or asked, so long before the works. */
enum sg_lead { SG_LEAD_CALENDAR_DAYS, SG_LEAD_CLEAR_DAYS, SG_LEAD_WORKING_DAYS };
struct sg_notice_row {
    const char *id, *jurisdiction, *rule;
    enum sg_lead kind;
    double days;
    unsigned techniques; /* SG_TECHNIQUE_BITs it is about */
    bool rail;           /* only with rail assets among the receptors */
    bool change;         /* of a change that raises a level, not of the start */
    const char *note;
    struct sg_cite cite;
};
size_t sg_notice_count(void);
const struct sg_notice_row *sg_notice_at(size_t index);

/* Section families that a wall is built of, with the widths in common use. */
struct sg_section_row {
    const char *id;     /* "U", "Z-single", "Z-double", "hat", "tube", "H" */
    double width_min_m; /* of one driven unit along the wall */
    double width_max_m;
    const char *note;
    struct sg_cite cite;
};
size_t sg_section_count(void);
const struct sg_section_row *sg_section_at(size_t index);
const struct sg_section_row *sg_section_find(const char *id);

/* Frequencies at which ground vibration from a technique is found. */
struct sg_frequency_row {
    enum sg_technique technique;
    int group; /* enum sg_ground_group at the toe, or -1 = any */
    double low_hz, high_hz;
    struct sg_cite cite;
};
const struct sg_frequency_row *sg_frequency_find(enum sg_technique, enum sg_ground_group);
size_t sg_frequency_count(void);
const struct sg_frequency_row *sg_frequency_at(size_t index);

/* Change of level on the way from the ground into a building, dB. */
struct sg_transfer_row {
    const char *id; /* "wood-frame", "masonry-1-2-storey", "per-floor-1-5", ... */
    double level_db;
    bool coupling; /* ground to foundation, by kind of building */
    const char *meaning;
    struct sg_cite cite;
};
size_t sg_transfer_count(void);
const struct sg_transfer_row *sg_transfer_at(size_t index);
const struct sg_transfer_row *sg_transfer_find(const char *id);

/* Whether a technique is specified construction work that must be notified, and the lead time. */
struct sg_notification_row {
    enum sg_technique technique;
    const char *jurisdiction; /* "Japan" */
    const char *act;          /* "Noise Regulation Act" */
    bool needed;
    bool confirmed; /* false = not read in the table itself */
    const char *note;
    struct sg_cite cite;
};
size_t sg_notification_count(void);
const struct sg_notification_row *sg_notification_at(size_t index);

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

/* ---- sound sources --------------------------------------------------------------------------- */

enum sg_source_kind {
    SG_SOURCE_LWA,       /* A-weighted sound power level, dB re 1 pW */
    SG_SOURCE_LAEQ_10M,  /* LAeq at 10 m during the activity, dB re 20 uPa */
    SG_SOURCE_LMAX_50FT, /* Lmax (slow) at 50 ft, dB re 20 uPa */
    SG_SOURCE_KIND_END
};
const char *sg_source_kind_id(enum sg_source_kind kind);

struct sg_source {
    const char *id; /* "hk-drop-hammer-sheet-pile" */
    const char *title;
    enum sg_source_kind kind;
    double level_db;      /* as printed; unset = the row exists but is blank */
    double usage_percent; /* printed usage factor; unset = none */
    unsigned techniques;  /* driving techniques it stands for; 0 = supporting plant */
    struct sg_cite cite;
};
size_t sg_source_count(void);
const struct sg_source *sg_source_at(size_t index);
const struct sg_source *sg_source_find(const char *id);

/* Published numbers of the sound laws. */
enum sg_sound_number {
    SG_SOUND_HALF_SPACE_DB, /* level = LWA - 20 lg r - this, over hard ground */
    SG_SOUND_HARD_SLOPE_DB, /* per tenfold distance */
    SG_SOUND_SOFT_SLOPE_DB,
    SG_SOUND_SOFT_OFFSET_DB, /* soft ground, from the level at 10 m */
    SG_SOUND_SOFT_POWER_DB,  /* soft ground, from the sound power: 25 lg R + this */
    SG_SOUND_SOFT_FROM_M,
    SG_SOUND_ACTIVITY_AT_M, /* reference distance of LAeq at 10 m */
    SG_SOUND_MAXIMUM_AT_FT, /* reference distance of Lmax at 50 ft */
    SG_SOUND_VALID_TO_M,
    SG_SOUND_FACADE_DB,
    SG_SOUND_SCREEN_VISIBLE_DB,
    SG_SOUND_SCREEN_HIDDEN_DB,
    SG_SOUND_HAUL_DB,
    SG_SOUND_HAUL_ANGLE_DEG,
    SG_SOUND_GROUND_SOFT,     /* G of soft ground at low height */
    SG_SOUND_GROUND_SLOPE_DB, /* per tenfold distance and unit of G */
    SG_SOUND_GROUND_LOW_FT,
    SG_SOUND_GROUND_HIGH_FT,
    SG_SOUND_SHIELD_BROKEN_DB,
    SG_SOUND_SHIELD_GAPS_DB,
    SG_SOUND_SHIELD_SOLID_DB,
    SG_SOUND_SHIELD_BOTH_DB,
    SG_SOUND_SHIELD_BUILDING_DB,
    SG_SOUND_SHIELD_CURTAIN_DB,
    SG_SOUND_SOURCE_SD_DB,
    SG_SOUND_METHOD_SD_DB,
    SG_SOUND_COVERAGE,   /* upper = central + this times the combined deviation */
    SG_SOUND_EVENING_DB, /* Lden */
    SG_SOUND_NIGHT_DB,
    SG_SOUND_RESIDUAL_DB, /* nearer than this to the residual sound: no correction */
    SG_SOUND_HK_BUILDING_DB,
    SG_SOUND_HK_HOURS_LONG,
    SG_SOUND_HK_HOURS_MIDDLE,
    SG_SOUND_HK_HOURS_SHORT,
    SG_SOUND_HK_STEP_DB,
    SG_SOUND_NIOSH_DB,
    SG_SOUND_OSHA_DB,
    SG_SOUND_NUMBER_END
};
struct sg_sound_number_row {
    const char *id; /* "facade" */
    double value;
    const char *unit;
    const char *meaning;
    struct sg_cite cite;
};
/* Never NULL for a number of the list. */
const struct sg_sound_number_row *sg_sound_number_at(enum sg_sound_number number);
double sg_sound_number(enum sg_sound_number number);

/* ---- limit sets ------------------------------------------------------------------------------ */

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
    double rise_db;             /* SG_RULE_RISE: limit = that level + this; the node is the floor */
    unsigned other_sources;     /* SG_OTHER bits: what else, or only, it is written for */
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
    unsigned bridges;                /* SG_BRIDGE bits that its text leaves room for */
    const char *bridge_refused;      /* why the others will not do, with the clause */
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
