/* cover.c - which rows of a set a receptor and a technique are judged by. */
#include <math.h>
#include <stdio.h>

#include "limits/curve.h"

/* What a row may be limited to, in the order in which a reason is looked for. */
enum dimension { BY_CLASS, BY_USE, BY_AREA, BY_PERIOD, BY_CATEGORY, BY_DAYS, DIMENSION_END };

static bool covers_bit(unsigned row, unsigned all, unsigned judged)
{
    return (row & all) == all || (row & judged) != 0;
}

static bool covers_period(const struct sg_limit_set *set, const struct sg_limit_row *row,
                          enum sg_period period)
{
    if (row->period == SG_ANY_TIME || period == SG_ANY_TIME || row->period == period) {
        return true;
    }
    if (period != SG_EVENING || row->period != SG_NIGHT) {
        return false;
    }
    for (size_t i = 0; i < set->nrow; i++) {
        if (set->row[i].period == SG_EVENING) {
            return false;
        }
    }
    return true;
}

/* The n-th category of a period, in the order of the rows. */
static const struct sg_limit_row *category_row(const struct sg_limit_set *set,
                                               enum sg_period period, size_t n)
{
    for (size_t i = 0; i < set->nrow; i++) {
        const struct sg_limit_row *row = &set->row[i];
        if (row->category == NULL || row->period != period) {
            continue;
        }
        if (n == 0) {
            return row;
        }
        n--;
    }
    return NULL;
}

const char *sg_limit_category(const struct sg_limit_set *set, const struct sg_judged *judged,
                              enum sg_period period)
{
    if (judged->category != NULL) {
        return judged->category;
    }
    const struct sg_limit_row *first = category_row(set, period, 0);
    double step_db = set->ambient_round_db;
    if (first == NULL || first->nnode == 0 || !sg_is_set(judged->ambient_db) || !(step_db > 0.0)) {
        return NULL;
    }
    double ambient_db = step_db * floor(judged->ambient_db / step_db + 0.5);
    double value_db = first->node[0].value;
    size_t n = ambient_db < value_db ? 0 : ambient_db > value_db ? 2 : 1;
    const struct sg_limit_row *row = category_row(set, period, n);
    return row != NULL ? row->category : NULL;
}

/* Without a number of days the rows for few days are judged, which say that it is missing. */
static bool covers_days(const struct sg_limit_row *row, double days)
{
    if (row->days_above > 0.0) {
        return days > row->days_above;
    }
    return !(row->days_to > 0.0) || !(days > row->days_to);
}

static bool covers_one(const struct sg_limit_set *set, const struct sg_limit_row *row,
                       const struct sg_judged *judged, enum dimension by)
{
    switch (by) {
    case BY_CLASS:
        return covers_bit(row->classes, SG_ANY_CLASS, judged->building_class);
    case BY_USE:
        return covers_bit(row->uses, SG_ANY_USE, judged->use);
    case BY_AREA:
        return covers_bit(row->areas, SG_ANY_AREA, judged->area);
    case BY_PERIOD:
        return covers_period(set, row, judged->period);
    case BY_CATEGORY:
        return row->category == NULL ||
               sg_same(row->category, sg_limit_category(set, judged, row->period));
    case BY_DAYS:
        return covers_days(row, judged->days);
    case DIMENSION_END:
        break;
    }
    return false;
}

static bool covers_up_to(const struct sg_limit_set *set, const struct sg_limit_row *row,
                         const struct sg_judged *judged, enum dimension last)
{
    for (int by = BY_CLASS; by <= (int)last; by++) {
        if (!covers_one(set, row, judged, (enum dimension)by)) {
            return false;
        }
    }
    return true;
}

bool sg_limit_covers(const struct sg_limit_set *set, const struct sg_limit_row *row,
                     const struct sg_judged *judged)
{
    return covers_up_to(set, row, judged, BY_DAYS);
}

enum sg_character sg_limit_character(const struct sg_limit_set *set, enum sg_technique technique,
                                     const struct sg_judged *judged)
{
    bool fast = technique == SG_IMPACT && set->short_up_to_per_min > 0.0 &&
                judged->blows_per_min > set->short_up_to_per_min;
    return fast ? SG_CONTINUOUS : set->character[technique];
}

bool sg_limit_holds_for(const struct sg_limit_set *set, const struct sg_limit_row *row,
                        const struct sg_judged *judged, enum sg_technique technique)
{
    if ((unsigned)technique >= SG_TECHNIQUE_END) {
        return false;
    }
    return (row->techniques & SG_TECHNIQUE_BIT(technique)) != 0 &&
           (row->characters & (1u << sg_limit_character(set, technique, judged))) != 0;
}

static size_t collect(const struct sg_limit_set *set, const struct sg_judged *judged,
                      const enum sg_technique *technique, const struct sg_limit_row **out,
                      size_t max)
{
    size_t count = 0;
    for (size_t i = 0; i < set->nrow; i++) {
        const struct sg_limit_row *row = &set->row[i];
        if (row->on_request || !sg_limit_covers(set, row, judged)) {
            continue;
        }
        if (technique != NULL && !sg_limit_holds_for(set, row, judged, *technique)) {
            continue;
        }
        if (count < max) {
            out[count] = row;
        }
        count++;
    }
    return count;
}

size_t sg_limit_rows(const struct sg_limit_set *set, const struct sg_judged *judged,
                     enum sg_technique technique, const struct sg_limit_row **out, size_t max)
{
    bool outside = (set->excluded & SG_TECHNIQUE_BIT(technique)) != 0;
    size_t count = outside ? 0 : collect(set, judged, &technique, out, max);
    if (count > 0) {
        return count;
    }
    if (collect(set, judged, NULL, out, max < 1 ? 0 : 1) == 0 && max > 0) {
        out[0] = NULL;
    }
    return 1;
}

static const char *judged_name(const struct sg_judged *judged, enum dimension by)
{
    switch (by) {
    case BY_CLASS:
        return judged->building_class != 0 ? sg_class_id(judged->building_class) : NULL;
    case BY_USE:
        return judged->use != 0 ? sg_use_id(judged->use) : NULL;
    case BY_AREA:
        return judged->area != 0 ? sg_area_id(judged->area) : NULL;
    case BY_PERIOD:
        return sg_period_id(judged->period);
    case BY_CATEGORY:
        return judged->category;
    case BY_DAYS:
    case DIMENSION_END:
        break;
    }
    return NULL;
}

void sg_limit_why_none(const struct sg_limit_set *set, const struct sg_judged *judged, char *text,
                       size_t size)
{
    static const char *const dimension_name[DIMENSION_END] = { "building class", "use",
                                                               "area type",      "period",
                                                               "noise category", "number of days" };
    for (int by = BY_CLASS; by < DIMENSION_END; by++) {
        bool any = false;
        for (size_t i = 0; i < set->nrow && !any; i++) {
            any = !set->row[i].on_request &&
                  covers_up_to(set, &set->row[i], judged, (enum dimension)by);
        }
        if (any) {
            continue;
        }
        const char *name = judged_name(judged, (enum dimension)by);
        if (name != NULL) {
            snprintf(text, size, "%s has no value for the %s '%s'", set->id, dimension_name[by],
                     name);
        } else if (by == BY_CATEGORY) {
            snprintf(text, size,
                     "the ambient noise level, which decides the category of %s, is not known",
                     set->id);
        } else {
            snprintf(text, size, "%s asks for the %s, which is not known", set->id,
                     dimension_name[by]);
        }
        return;
    }
    snprintf(text, size,
             set->by_choice ? "a row of %s is chosen by hand only (row=...)"
                            : "no row of %s was chosen",
             set->id);
}
