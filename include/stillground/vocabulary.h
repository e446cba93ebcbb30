/* vocabulary.h - documents that are cited, and the words that every room shares: quantities,
 * techniques, positions, classes, uses, areas, periods. Every number carries a citation with its
 * grade. */
#ifndef STILLGROUND_VOCABULARY_H
#define STILLGROUND_VOCABULARY_H

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

#endif
