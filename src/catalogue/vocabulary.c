/* vocabulary.c - the words by which the trade, the files and the program know things. */
#include "stillground/catalogue.h"

#include "words.h"

struct quantity {
    const char *id, *unit;
    int decimals;
    const char *meaning;
};

static const struct quantity quantities[SG_Q_END] = {
#define SG_QUANTITY(name, id, unit, decimals, meaning) { id, unit, decimals, meaning },
#include "stillground/quantities.def"
#undef SG_QUANTITY
};

const char *sg_quantity_id(enum sg_quantity quantity)
{
    return (unsigned)quantity < SG_Q_END ? quantities[quantity].id : "?";
}

const char *sg_quantity_unit(enum sg_quantity quantity)
{
    return (unsigned)quantity < SG_Q_END ? quantities[quantity].unit : "?";
}

const char *sg_quantity_meaning(enum sg_quantity quantity)
{
    return (unsigned)quantity < SG_Q_END ? quantities[quantity].meaning : "?";
}

int sg_quantity_decimals(enum sg_quantity quantity, double value)
{
    int decimals = (unsigned)quantity < SG_Q_END ? quantities[quantity].decimals : 3;
    return decimals < 0 ? sg_ppv_decimals(value) : decimals;
}

bool sg_quantity_is_level(enum sg_quantity quantity)
{
    const char *unit = sg_quantity_unit(quantity);
    return (unit[0] == 'd' && unit[1] == 'B') || (unit[0] == 'V' && unit[1] == 'd');
}

/* ---- lists of words, by index ---- */

static const char *const techniques[SG_TECHNIQUE_END] = {
    "impact", "vibratory", "press-in", "press-in-jetting", "press-in-augering",
};
static const char *const phases[SG_PHASE_END] = { "all", "steady", "start-stop" };
static const char *const positions[SG_POSITION_END] = {
    "free-field", "boundary", "facade", "foundation", "floor", "topmost-floor", "on-asset", "room",
};
static const char *const characters[SG_CHARACTER_END] = { "short-term", "continuous" };
static const char *const periods[SG_PERIOD_END] = { "day", "evening", "night", "any" };
static const char *const groups[SG_GROUND_GROUP_END] = { "soft", "medium", "hard", "refusal" };
static const char *const levels[SG_LEVEL_END] = { "any", "central", "middle", "upper" };
static const char *const purposes[SG_PURPOSE_END] = {
    "damage", "people", "equipment", "rail", "utility", "noise", "fresh-concrete",
};
static const char *const axes_words[] = {
    [SG_AXES_LARGEST] = "largest component",
    [SG_AXES_RESULTANT] = "resultant",
    [SG_AXES_VERTICAL] = "vertical",
    [SG_AXES_HORIZONTAL] = "horizontal",
    [SG_AXES_NONE] = "none",
};
static const char *const source_kinds[SG_SOURCE_KIND_END] = {
    "LWA", "LAeq at 10 m", "Lmax at 50 ft",
};

const char *sg_technique_id(enum sg_technique technique)
{
    return sg_word_at(techniques, SG_COUNT(techniques), (unsigned)technique);
}

sg_status sg_technique_find(const char *id, enum sg_technique *out)
{
    unsigned index;
    sg_status status = sg_word_index(techniques, SG_COUNT(techniques), id, &index);
    if (status == SG_OK)
        *out = (enum sg_technique)index;
    return status;
}

const char *sg_phase_id(enum sg_phase phase)
{
    return sg_word_at(phases, SG_COUNT(phases), (unsigned)phase);
}

const char *sg_position_id(enum sg_position position)
{
    return sg_word_at(positions, SG_COUNT(positions), (unsigned)position);
}

sg_status sg_position_find(const char *id, enum sg_position *out)
{
    unsigned index;
    sg_status status = sg_word_index(positions, SG_COUNT(positions), id, &index);
    if (status == SG_OK)
        *out = (enum sg_position)index;
    return status;
}

const char *sg_character_id(enum sg_character character)
{
    return sg_word_at(characters, SG_COUNT(characters), (unsigned)character);
}

const char *sg_period_id(enum sg_period period)
{
    return sg_word_at(periods, SG_COUNT(periods), (unsigned)period);
}

const char *sg_ground_group_id(enum sg_ground_group group)
{
    return sg_word_at(groups, SG_COUNT(groups), (unsigned)group);
}

const char *sg_level_id(enum sg_level level)
{
    return sg_word_at(levels, SG_COUNT(levels), (unsigned)level);
}

const char *sg_purpose_id(enum sg_purpose purpose)
{
    return sg_word_at(purposes, SG_COUNT(purposes), (unsigned)purpose);
}

const char *sg_axes_id(enum sg_axes axes)
{
    return sg_word_at(axes_words, SG_COUNT(axes_words), (unsigned)axes);
}

const char *sg_source_kind_id(enum sg_source_kind kind)
{
    return sg_word_at(source_kinds, SG_COUNT(source_kinds), (unsigned)kind);
}

/* ---- lists of words, by bit ---- */

static const char *const classes[] = {
    "industrial",     "framed",         "modern-house", "older-house", "listed",       "fragile",
    "rail-structure", "rail-equipment", "pipe-steel",   "pipe-rigid",  "pipe-masonry", "retaining-wall",
};
static const char *const uses[] = {
    "residential", "school", "hospital", "worship", "office", "industry", "laboratory", "rail", "utility",
};
static const char *const areas[] = {
    "industrial", "commercial", "mixed", "residential", "pure-residential", "care",
};
_Static_assert(1u << SG_COUNT(classes) == SG_CLASS_END, "a word for every class");
_Static_assert(1u << SG_COUNT(uses) == SG_USE_END, "a word for every use");
_Static_assert(1u << SG_COUNT(areas) == SG_AREA_END, "a word for every area");

const char *sg_class_id(unsigned class_bit)
{
    return sg_word_of_bit(classes, SG_COUNT(classes), class_bit);
}

sg_status sg_class_find(const char *id, unsigned *out)
{
    return sg_word_bit(classes, SG_COUNT(classes), id, out);
}

const char *sg_use_id(unsigned use_bit)
{
    return sg_word_of_bit(uses, SG_COUNT(uses), use_bit);
}

sg_status sg_use_find(const char *id, unsigned *out)
{
    return sg_word_bit(uses, SG_COUNT(uses), id, out);
}

const char *sg_area_id(unsigned area_bit)
{
    return sg_word_of_bit(areas, SG_COUNT(areas), area_bit);
}

sg_status sg_area_find(const char *id, unsigned *out)
{
    return sg_word_bit(areas, SG_COUNT(areas), id, out);
}
