/* foreseen.c - what was predicted for a receptor, to stand beside what was measured there. Of
 * several methods of a technique the highest upper value counts: measured above it is above all of
 * them.
 */
#include "stillground/logbook.h"

#include "plan_internal.h"

#include <stdio.h>
#include <string.h>

static bool higher(const struct sg_value *one, const struct sg_value *than)
{
    return sg_is_set(one->upper) && !(one->upper <= than->upper);
}

static void take(struct sg_value *best, const struct sg_value *one)
{
    if (higher(one, best))
        *best = *one;
}

/* The ground's value at the place of the sensor, as predictions go into a building. */
static bool at_position(const struct sg_receptor *receptor, enum sg_position position,
                        const struct sg_value *ground, struct sg_value *out)
{
    enum sg_purpose purpose = position == SG_AT_FLOOR ? SG_FOR_PEOPLE : SG_FOR_DAMAGE;
    struct sg_into_building into = sg_building_of(receptor, purpose);
    *out = *ground;
    return sg_ok(sg_vibration_into(ground, &into, position, out, NULL)) && sg_is_set(out->upper);
}

sg_status sg_foresee(const struct sg_site *site, size_t receptor, enum sg_technique technique,
                     enum sg_position position, struct sg_arena *arena, struct sg_foreseen *out,
                     struct sg_errors *errors)
{
    struct sg_value ppv = SG_VALUE_INIT, laeq = SG_VALUE_INIT, lafmax = SG_VALUE_INIT, moved;
    *out = (struct sg_foreseen){ .count = 0 };
    for (size_t m = 0; m < site->nmethod; m++) {
        struct sg_outcome outcome;
        if (site->method[m].technique != technique)
            continue;
        sg_status status = sg_outcome_explain(site, m, receptor, &outcome, arena, NULL, errors);
        if (!sg_ok(status))
            return status;
        take(&ppv, &outcome.ppv);
        take(&laeq, &outcome.laeq);
        take(&lafmax, &outcome.lafmax);
    }
    if (sg_is_set(ppv.upper))
        out->value[out->count++] = ppv;
    if (sg_is_set(ppv.upper) && position != ppv.position &&
        at_position(&site->receptor[receptor], position, &ppv, &moved))
        out->value[out->count++] = moved;
    if (sg_is_set(laeq.upper))
        out->value[out->count++] = laeq;
    if (sg_is_set(lafmax.upper))
        out->value[out->count++] = lafmax;
    return SG_OK;
}

/* ---- measured beside predicted --------------------------------------------------------------- */

void sg_beside_release(struct sg_beside_list *list)
{
    sg_arena_release(&list->arena);
    *list = SG_BESIDE_LIST_INIT;
}

static struct sg_beside *beside_of(struct sg_beside_list *list, size_t receptor,
                                   const struct sg_recorded_as *as, enum sg_quantity quantity,
                                   const char *source)
{
    for (size_t i = 0; i < list->count; i++) {
        struct sg_beside *b = &list->item[i];
        if (b->receptor == receptor && b->technique == as->technique &&
            b->position == as->position && b->measured.quantity == quantity &&
            sg_same(b->source, source))
            return b;
    }
    if (list->count == list->capacity) {
        size_t more = list->capacity > 0 ? 2 * list->capacity : 16;
        struct sg_beside *grown = sg_arena_alloc(&list->arena, more, sizeof *grown);
        if (!grown)
            return NULL;
        if (list->count > 0)
            memcpy(grown, list->item, list->count * sizeof *grown);
        list->item = grown;
        list->capacity = more;
    }
    struct sg_beside *made = &list->item[list->count++];
    *made = (struct sg_beside){ receptor,      as->technique,       as->position,
                                SG_VALUE_INIT, SG_VALUE_INIT,       source,
                                SG_UNSET,      SG_NOT_DETERMINABLE, "" };
    made->measured.quantity = quantity;
    return made;
}

static const struct sg_value *foreseen_as(const struct sg_foreseen *foreseen,
                                          enum sg_quantity quantity, enum sg_position position)
{
    for (size_t i = 0; i < foreseen->count; i++)
        if (foreseen->value[i].quantity == quantity && foreseen->value[i].position == position)
            return &foreseen->value[i];
    return NULL;
}

sg_status sg_beside_take(struct sg_beside_list *list, size_t receptor,
                         const struct sg_recorded_as *as, const struct sg_value *measured,
                         const char *source, const struct sg_foreseen *foreseen)
{
    const struct sg_value *predicted = foreseen_as(foreseen, measured->quantity, as->position);
    if (!sg_is_set(measured->central))
        return SG_OK;
    struct sg_beside *b = beside_of(list, receptor, as, measured->quantity, source);
    if (!b)
        return SG_ERR_NOMEM;
    if (sg_is_set(b->measured.central) && measured->central <= b->measured.central)
        return SG_OK;
    b->measured = *measured;
    b->measured.position = as->position;
    if (!predicted) {
        snprintf(b->reason, sizeof b->reason, "no %s is predicted for %s with %s",
                 sg_quantity_id(measured->quantity), sg_position_id(as->position),
                 sg_technique_id(as->technique));
        return SG_OK;
    }
    b->predicted = *predicted;
    b->measured.axes = predicted->axes;
    b->state =
        sg_judge_difference(predicted, &b->measured, 1.0, &b->ratio, b->reason, sizeof b->reason);
    return SG_OK;
}
