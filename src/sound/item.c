/* item.c - one item of plant at one receptor: conversion of its level, the law, screen, facade,
 * count.
 *
 * Sources: BS 5228-1:2009+A1:2014 Annex F, FTA 2018 Eq. 7-1, FHWA 2006 (grades in the catalogue).
 */
#include "laws.h"

#include <math.h>

/* Sound powers are A-weighted totals; nearer than this the point source is meaningless. */
#define NEAREST_M 1.0

double sg_sound_reference_m(enum sg_source_kind kind)
{
    switch (kind) {
    case SG_SOURCE_LAEQ_10M:
        return sg_sound_number(SG_SOUND_ACTIVITY_AT_M);
    case SG_SOURCE_LMAX_50FT:
        return sg_sound_number(SG_SOUND_MAXIMUM_AT_FT) * SG_M_PER_FOOT;
    case SG_SOURCE_LWA:
    case SG_SOURCE_KIND_END:
        break;
    }
    return 1.0;
}

double sg_sound_power(enum sg_source_kind kind, double level_db, struct sg_working *working)
{
    if (kind == SG_SOURCE_LWA)
        return level_db;
    const struct sg_sound_number_row *half_space = sg_sound_number_at(SG_SOUND_HALF_SPACE_DB);
    double slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double at_m = sg_sound_reference_m(kind);
    double power_db = level_db + slope * log10(at_m) + half_space->value;
    sg_working_add(working, &half_space->cite, "sound power, half space",
                   "LWA = %g + %g lg(%g) + %g = %.3f dB(A)", level_db, slope, at_m,
                   half_space->value, power_db);
    return power_db;
}

bool sg_sound_bridged(enum sg_sound_method method, enum sg_source_kind kind)
{
    return (method == SG_SOUND_FTA) != (kind == SG_SOURCE_LMAX_50FT);
}

enum sg_grade sg_sound_method_grade(enum sg_sound_method method, const struct sg_sound_path *path)
{
    enum sg_sound_number used[] = {
        SG_SOUND_HARD_SLOPE_DB,
        method == SG_SOUND_FTA ? SG_SOUND_GROUND_SLOPE_DB : SG_SOUND_HALF_SPACE_DB,
        path->facade ? SG_SOUND_FACADE_DB : SG_SOUND_HARD_SLOPE_DB,
        path->soft_fraction > 0 ? SG_SOUND_SOFT_SLOPE_DB : SG_SOUND_HARD_SLOPE_DB,
    };
    enum sg_grade grade = SG_GRADE_SEEN;
    for (size_t i = 0; i < SG_COUNT(used); i++)
        grade = sg_grade_worse(grade, sg_sound_number_at(used[i])->cite.grade);
    return grade;
}

static sg_status check(enum sg_sound_method method, const struct sg_sound_item *item,
                       const struct sg_sound_path *path)
{
    if (method != SG_SOUND_BS5228 && method != SG_SOUND_FTA)
        return SG_ERR_USAGE;
    if ((unsigned)item->kind >= SG_SOURCE_KIND_END)
        return SG_ERR_INPUT;
    if (!sg_is_set(item->level_db))
        return SG_ERR_MISSING;
    if (!isfinite(item->level_db) || !isfinite(item->count) || !(item->count > 0))
        return SG_ERR_INPUT;
    if (!(path->soft_fraction >= 0 && path->soft_fraction <= 1))
        return SG_ERR_INPUT;
    if (!(path->ground_factor >= 0 && path->ground_factor <= 1))
        return SG_ERR_INPUT;
    if (!(path->screening_db >= 0) || !isfinite(path->screening_db))
        return SG_ERR_INPUT;
    if (!isfinite(path->distance_m) || !(path->distance_m >= NEAREST_M))
        return SG_ERR_DOMAIN;
    return SG_OK;
}

/* Screen, facade and count, the same for every method. */
static double finish(double level_db, const struct sg_sound_item *item,
                     const struct sg_sound_path *path, struct sg_working *working)
{
    if (path->screening_db > 0) {
        sg_working_add(working, NULL, "screen, as given", "%.3f - %g = %.3f dB(A)", level_db,
                       path->screening_db, level_db - path->screening_db);
        level_db -= path->screening_db;
    }
    if (path->facade) {
        const struct sg_sound_number_row *facade = sg_sound_number_at(SG_SOUND_FACADE_DB);
        sg_working_add(working, &facade->cite, "1 m in front of a facade", "%.3f + %g = %.3f dB(A)",
                       level_db, facade->value, level_db + facade->value);
        level_db += facade->value;
    }
    if (item->count > 1 || item->count < 1) {
        double count_db = 10.0 * log10(item->count);
        sg_working_add(working, NULL, "number of items",
                       "%.3f + 10 lg(%g) = %.3f + %.3f = %.3f dB(A)", level_db, item->count,
                       level_db, count_db, level_db + count_db);
        level_db += count_db;
    }
    return level_db;
}

void sg_sound_introduce(const struct sg_sound_item *item, const char *note,
                        struct sg_working *working)
{
    bool said = item->provenance && item->provenance[0] != '\0';
    const char *by =
        item->cite ? (said ? " (" : "") : (said ? " (given by the user: " : " (given by the user");
    sg_working_add(working, item->cite, item->name ? item->name : "item", "%s = %g dB(A)%s%s%s%s",
                   sg_source_kind_id(item->kind), item->level_db, by, said ? item->provenance : "",
                   by[0] ? ")" : "", note);
}

static void introduce(enum sg_sound_method method, const struct sg_sound_item *item,
                      struct sg_working *working)
{
    const char *note = "";
    if (sg_sound_bridged(method, item->kind))
        note = item->kind == SG_SOURCE_LMAX_50FT
                   ? "; a maximum level used as the level while running"
                   : "; not a maximum level, used as the emission level";
    sg_sound_introduce(item, note, working);
}

sg_status sg_sound_item_at(enum sg_sound_method method, const struct sg_sound_item *item,
                           const struct sg_sound_path *path, double *out_db,
                           struct sg_working *working)
{
    sg_status status = check(method, item, path);
    if (!sg_ok(status))
        return status;
    introduce(method, item, working);
    double level_db = method == SG_SOUND_FTA ? sg_fta_level(item, path, working)
                                             : sg_bs5228_level(item, path, working);
    sg_working_add(working, NULL, "level at the receptor", "%.3f dB(A) at %g m", level_db,
                   path->distance_m);
    *out_db = finish(level_db, item, path, working);
    if (path->distance_m > sg_sound_number(SG_SOUND_VALID_TO_M))
        return SG_WARN_RANGE;
    return SG_OK;
}
