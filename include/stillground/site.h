/* site.h - the site and everything named in it, as read from one YAML file and the tables it names.
 *
 * Positions are metres in one plane: the CRS of the site file, or a local grid. Depths are metres
 * below ground, positive downward. Unset numbers are NaN. Everything lives in the site's arena.
 */
#ifndef STILLGROUND_SITE_H
#define STILLGROUND_SITE_H

#include "stillground/calendar.h"
#include "stillground/calibration.h"
#include "stillground/catalogue.h"
#include "stillground/scene.h"
#include "stillground/site_law.h"

struct sg_point {
    double x_m, y_m;
};

struct sg_layer {
    double top_m, base_m; /* depth below ground; base of the last layer = INFINITY when open */
    const struct sg_soil *soil;
    double spt_n; /* unset when not given; then the state stands for it */
};

struct sg_borehole {
    const char *name;
    double chainage_m;    /* along the wall line; unset = holds everywhere */
    double water_depth_m; /* unset = not met */
    const struct sg_layer *layer;
    size_t nlayer;
};

/* A standard penetration test that stopped short: kept, never averaged away. */
struct sg_refusal {
    size_t borehole;
    double depth_m;
    double blows, penetration_m; /* penetration unset = only a lower bound was recorded */
    double spt_n;                /* extrapolated to 300 mm */
};

struct sg_pile {
    const char *name;
    struct sg_point at;
    double chainage_m; /* along the wall line, from its start */
    double toe_depth_m;
    const char *section;  /* section family id, "" = not given */
    size_t borehole;      /* index of the borehole that stands for it */
    struct sg_place from; /* where it, or the line it stands on, was read */
};

/* Transfer from the ground beside a building into it. Unset factors = none given. */
struct sg_building_transfer {
    const struct sg_transfer_row *foundation; /* coupling by foundation type, NULL = none */
    double foundation_factor;                 /* the user's own, instead of the row */
    double floor_factor;                      /* the user's own, foundation to floor */
    bool use_published_floor; /* per-floor attenuation and resonance from the table */
    double floor;             /* that is judged: 0 = on the foundation, 1 = first, ... */
    const char *source;       /* provenance of the user's own factors */
};

struct sg_receptor {
    const char *name;
    unsigned use, building_class, area; /* one bit each; area 0 = not given */
    struct sg_point at; /* given point, or the footprint's point nearest to the wall */
    const struct sg_point *footprint; /* closed ring without the repeated point; NULL = a point */
    size_t nfootprint;
    enum sg_position position; /* where its sound level is judged: facade or free field */
    double storeys;            /* above ground, 0 = not a building */
    struct sg_building_transfer transfer;
    double dominant_frequency_hz; /* of the ground motion there; unset = the method's band */
    double ambient_day_db, ambient_evening_db,
        ambient_night_db; /* LAeq without the works; unset = none */
    double height_m;      /* of the point above the ground, for octave bands */
    double screening_db;  /* reduction by a screen between works and receptor, 0 = none */
    /* LAeq of other sites' works, and rating background levels (LA90); 0 or unset = none */
    double other_day_db, other_evening_db, other_night_db;
    double background_day_db, background_evening_db, background_night_db;
    const char *windows; /* towards the works, for percussive piling; NULL or "" = not given */
    const char *percussive_screen; /* "none", "building" or "barrier" */
    const char *const *limit_set;  /* own list instead of the use's; NULL = by use */
    size_t nlimit_set;
    double own_ppv_limit_mm_s; /* the owner's value; unset = none */
    const char *own_limit_source;
    struct sg_place from; /* where it was read */
};

struct sg_plant {                   /* supporting plant of a method */
    const struct sg_source *source; /* NULL when the level is the user's own */
    const char *name;
    enum sg_source_kind kind;
    double level_db;
    const char *provenance; /* of a user's level */
    double count;
    double on_time_percent;              /* of the working time */
    const double *octave_db;             /* sound power in SG_BANDS octaves; NULL = none */
    double start_height_m, end_height_m; /* of the source, over the drive; unset = not given */
    double blow_lae_10m_db; /* one blow at 10 m; unset = none; then level_db follows from it */
    double blow_decay_ms;   /* of the blow's energy; unset = not known */
    double tonal_db;        /* adjustment for tones; unset or 0 = none */
    double onset_db_s, onset_rise_db; /* of its impulses, measured; unset or 0 = not known */
};

struct sg_constant { /* a model constant the user replaces */
    const char *symbol;
    double value;
};

struct sg_method {
    const char *name;
    enum sg_technique technique;
    /* rig; unset when not given */
    double energy_kJ; /* per blow */
    double blows_per_min;
    double frequency_Hz; /* driving frequency */
    double eccentric_moment_kgm;
    double cycle_energy_kJ; /* per cycle of vibration */
    bool variable_moment;   /* weights are moved out of phase at start and stop */
    double press_force_kN;
    double water_flow_l_min;
    const char *auger; /* "" = none; free text */
    /* vibration */
    const struct sg_model *model, *second; /* NULL second = none */
    const char *variant;                   /* row of the model's table, NULL = its default */
    const struct sg_constant *constant;
    size_t nconstant;
    const char *constants_source;
    double reference_ppv_mm_s,
        reference_distance_m;       /* of relations that start from a measurement */
    double damping_per_m, exponent; /* of those; unset = the relation's */
    double jetting_reduction_dB;    /* 0 unless justified */
    const char *jetting_reduction_source;
    bool driven_to_refusal;
    const struct sg_site_law *law; /* takes the place of the relation; borrowed, NULL = none */
    const struct sg_site_law *sound_law; /* takes the place of the sources' levels; the same */
    /* sound */
    struct sg_plant rig_sound; /* level unset = none known */
    const struct sg_plant *plant;
    size_t nplant;
    bool usual_plant; /* the last of them usually stand beside the technique */
    /* time */
    double minutes_per_pile;
    double on_time_percent; /* share of the shift in which piles are installed */
    double minutes_soft, minutes_medium, minutes_hard;   /* instead, by the hardest ground met; 0 or
                                                        * unset = minutes_per_pile */
    double cost_per_pile;                                /* in any currency; 0 = not given */
    double working_width_m, headroom_m, topple_radius_m; /* 0 or unset = not given */
    const char *platform, *spoil;                        /* in words; "" or NULL = not given */
    bool extract;                                        /* piles are taken out, not put in */
};

struct sg_use_limits { /* which limit sets apply to receptors of a use */
    unsigned use;
    const char *const *limit_set;
    size_t nlimit_set;
};

enum sg_sound_ground { SG_SOUND_HARD, SG_SOUND_SOFT, SG_SOUND_MIXED };

struct sg_hours { /* the working day, clock hours 0..24 */
    double start_h, end_h;
    double work_h; /* net of breaks */
    double days_per_week;
    unsigned weekdays; /* bit 0 = Monday: days on which it begins; 0 = the first of a week */
};

/* Part of a day in which work is done. An end before the start lies on the next day. */
struct sg_shift {
    const char *name;
    double start_h, end_h; /* clock hours 0..24 */
    double work_h;         /* net of breaks */
    unsigned weekdays;     /* bit 0 = Monday */
};
/* Hours on each of some days: no work (quiet), or work on some piles only (possession). */
struct sg_window {
    const char *name;
    long first_day, last_day; /* days since 1970-01-01, both included */
    double start_h, end_h;
    double from_m, to_m; /* possessions: chainage of the piles */
};
struct sg_programme {
    long start_day;
    struct sg_zone zone;
    const struct sg_shift *shift;
    size_t nshift;
    const long *holiday; /* sorted */
    size_t nholiday;
    const struct sg_window *quiet, *possession;
    size_t nquiet, npossession;
    size_t rigs;
    bool backward; /* from the wall's end to its start */
    double set_up_minutes, change_over_minutes;
    size_t least_run; /* neighbouring piles by one method */
};

/* Part of a crew's day: so many hours at so short a distance from the rig. Parts with the same name
 * belong to one day. */
struct sg_crew_part {
    const char *name;
    const char *rule; /* of noise_rules.h */
    double distance_m, hours;
};

/* What the user wants of the monitoring plan. */
struct sg_monitoring {
    double amber_percent, red_percent; /* of the limit */
    double cover_m; /* one monitor stands for receptors so near to it; unset = own only */
};
struct sg_outdoor; /* outdoor.h */

/* Factors of one limit set that somebody chose, for every receptor. */
struct sg_site_factors {
    const char *limit_set;
    const struct sg_chosen_factor *chosen;
    const char *const *decided_by; /* of each */
    size_t nchosen;
};

/* c_F, with which KB is estimated from a peak velocity; 0 = the published range. */
struct sg_kb_choice {
    double cf_low, cf_high;
    const char *decided_by;
};

struct sg_site {
    struct sg_arena arena; /* owns everything below */
    const char *file;
    const char *title, *note;
    const char *crs;   /* "EPSG:25832" or "local-metre" */
    double percentile; /* wanted for upper values, 50..99 */
    const struct sg_borehole *borehole;
    size_t nborehole;
    const struct sg_pile *pile;
    size_t npile;
    const struct sg_receptor *receptor;
    size_t nreceptor;
    const struct sg_method *method;
    size_t nmethod;
    const struct sg_use_limits *limits;
    size_t nlimits;
    const struct sg_limit_set *const *own_set; /* read from limit_files */
    size_t nown_set;
    const struct sg_site_factors *factors; /* one a set that has any */
    size_t nfactors;
    struct sg_kb_choice kb;
    struct sg_hours hours;
    const struct sg_programme *programme; /* NULL = none given */
    struct sg_monitoring monitoring;
    enum sg_sound_ground sound_ground;
    double soft_fraction;     /* of mixed ground, 0..1 */
    bool fta_sound;           /* sound by the form of FTA and FHWA, not by activity levels */
    const char *rating;       /* rule by which levels are rated beside the limits; NULL = none */
    bool passed_short_only;   /* day values are passed for a short time only, as somebody found */
    double hoarding_height_m; /* tried out as a measure by octave bands; 0 or unset = none */
    const struct sg_crew_part *crew;
    size_t ncrew;
    bool octave_bands; /* sound by octave bands in the scene, not by activity levels */
    const struct sg_outdoor *outdoor; /* the scene made ready; set by plan, NULL until then */
    const struct sg_scene *scene;     /* never NULL once read; points only of a case file */
    double
        boundary_distance_m; /* working line to site boundary, for boundary limits; unset = none */
    const char *prepared_by, *checked_by; /* competent persons; "" = a slot is left open */
    const char *jurisdiction;             /* for notification hints; "" = all that are known */
    const struct sg_refusal *refusal;     /* of boreholes read from a file */
    size_t nrefusal;
    const char *const *warning; /* what was read and looks wrong; each with its file and line */
    size_t nwarning;
};
#define SG_SITE_INIT ((struct sg_site){ .arena = SG_ARENA_INIT, .percentile = 95.0 })

/* Reads a site file and every table it names. All that is wrong is reported in errors in one call;
 * then the status is an SG_ERR_* and out is left as it was. Release with sg_site_release. */
sg_status sg_site_read(const char *path, struct sg_site *out, struct sg_errors *errors);
/* The same with values put over those of the file: "hours.work_h=8",
 * "methods.Impact hammer.energy_kJ=20"; names or numbers from 1 enter lists. */
sg_status sg_site_read_with(const char *path, const char *const *set, size_t nset,
                            struct sg_site *out, struct sg_errors *errors);
void sg_site_release(struct sg_site *site);

/* Reads a case file of the octave-band method: the keys of `scene:`, sources and receptors. Only
 * file, scene and warnings of the site are filled. */
sg_status sg_scene_read(const char *path, struct sg_site *out, struct sg_errors *errors);

/* The layer at a depth under a pile; NULL when no ground was given there. */
const struct sg_layer *sg_site_layer(const struct sg_borehole *borehole, double depth_m);
/* SPT N of a layer: given, or the middle of its state's range; unset for rock without N. */
double sg_layer_n(const struct sg_layer *layer);

/* Plan distance from a pile to a receptor: to its point, or to the nearest edge of its footprint;
 * 0 inside a footprint. */
double sg_site_distance_m(const struct sg_receptor *receptor, struct sg_point from);
/* Index of the pile nearest to a receptor; SIZE_MAX when there are no piles. */
size_t sg_site_nearest_pile(const struct sg_site *site, size_t receptor);
/* Limit sets that apply to a receptor. Returns the list, *count its length. */
const char *const *sg_site_limit_sets(const struct sg_site *site,
                                      const struct sg_receptor *receptor, size_t *count);

/* ---- files beside the site file -------------------------------------------------------------- */

/* A text table (CSV, TSV) whose columns are nobody's here: header and cells as they stand. */
struct sg_grid {
    struct sg_arena arena;
    const char *file;
    const char *const *head;      /* ncolumn names */
    const char *const *cell;      /* row by row; "" = empty */
    const struct sg_place *place; /* of each cell */
    size_t ncolumn, nrow;
};
#define SG_GRID_INIT ((struct sg_grid){ .arena = SG_ARENA_INIT, .file = "" })
sg_status sg_grid_read(const char *path, struct sg_grid *out, struct sg_errors *errors);
void sg_grid_release(struct sg_grid *grid);

/* Reads a law fitted to this site (written by the command `fit`). Unknown keys are errors. */
sg_status sg_site_law_read(const char *path, struct sg_site_law *out, struct sg_errors *errors);
/* The factors chosen for a set; NULL = none. */
const struct sg_site_factors *sg_site_factors_of(const struct sg_site *site, const char *limit_set);
/* A limit set by its id: of the site's own files first, then the built-in ones; NULL = none. */
const struct sg_limit_set *sg_site_limit_set(const struct sg_site *site, const char *id);

/* ---- limit sets of the user ------------------------------------------------------------------ */

/* One set a file, in the form that `limits --format yaml ID` writes. Everything that is wrong is
 * reported in one run. The set lives in the arena. */
sg_status sg_limit_file_read(const char *path, struct sg_arena *arena,
                             const struct sg_limit_set **out, struct sg_errors *errors);
sg_status sg_limit_file_read_memory(const char *bytes, size_t length, const char *path,
                                    struct sg_arena *arena, const struct sg_limit_set **out,
                                    struct sg_errors *errors);

/* The set as YAML; what is written reads back identical. */
void sg_limit_file_put(const struct sg_limit_set *set, struct sg_text *out);

/* ---- the table of fields: one row a key, from which the checks, the reference page and the JSON
 * Schema are made ------------------------------------------------------------------------------ */

enum sg_field_kind {
    SG_FIELD_TEXT,
    SG_FIELD_NUMBER,
    SG_FIELD_COUNT,
    SG_FIELD_BOOL,
    SG_FIELD_CHOICE,
    SG_FIELD_FILE,
    SG_FIELD_LIST,
    SG_FIELD_MAP,
    SG_FIELD_BLOCK,
    SG_FIELD_BLOCKS,
    SG_FIELD_BLOCKS_OR_FILE
}; /* a list of maps, or one map of block "KEY.file" */

struct sg_field {
    const char *block; /* "" = top level, "receptors", "methods.plant", ... */
    const char *key;   /* with its unit: "toe_depth_m" */
    enum sg_field_kind kind;
    const char *unit;          /* "" = none */
    double min, max;           /* of numbers; also of list lengths */
    const char *dflt;          /* as text; NULL = required; "" = optional without default */
    const char *const *choice; /* SG_FIELD_CHOICE: allowed words, NULL-terminated */
    size_t offset;             /* internal: where the value goes */
    const char *meaning;
};
size_t sg_field_count(void);
const struct sg_field *sg_field_at(size_t index);

/* ---- the calibration beside a recording ------------------------------------------------------ */

/* Reads the sidecar of a recording; everything in *out lives in *arena, which the caller releases.
 * All that is wrong is reported with its place; then *out and *arena stay as they were. */
sg_status sg_calibration_read(const char *path, struct sg_arena *arena, struct sg_calibration *out,
                              struct sg_errors *errors);
/* Its keys: blocks "" and "channels". */
size_t sg_calibration_field_count(void);
const struct sg_field *sg_calibration_field_at(size_t index);

#endif
