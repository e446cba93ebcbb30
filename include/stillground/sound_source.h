/* sound_source.h - published sound sources and the numbers of the sound laws; sound.h reads
 * them. */
#ifndef STILLGROUND_SOUND_SOURCE_H
#define STILLGROUND_SOUND_SOURCE_H

#include "stillground/vocabulary.h"

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

/* Supporting plant that usually stands beside a technique. */
struct sg_usual_plant {
    unsigned techniques;
    const char *source; /* id of a published source that prints a usage factor */
    double count;
    const char *why;
    struct sg_cite cite; /* of the pairing, not of the level */
};
size_t sg_usual_plant_count(void);
const struct sg_usual_plant *sg_usual_plant_at(size_t index);

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
    SG_SOUND_LA10_DB,         /* LA10 over LAeq */
    SG_SOUND_HK_SENSITIVE_DB, /* off the acceptable level of hospitals, schools */
    SG_SOUND_HK_BARRIER_DB,   /* off the corrected level, fully screened */
    SG_SOUND_HK_BETWEEN_DB,   /* off it, a building in between */
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

#endif
