/* ground.h - published rows about ground and practice: soils, suitability, sections, notices,
 * frequencies, the way into buildings. */
#ifndef STILLGROUND_GROUND_H
#define STILLGROUND_GROUND_H

#include "stillground/vocabulary.h"

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

#endif
