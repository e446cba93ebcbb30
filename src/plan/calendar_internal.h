/* calendar_internal.h - what the two files of the calendar's values share. */
#ifndef PLAN_CALENDAR_INTERNAL_H
#define PLAN_CALENDAR_INTERNAL_H

#include "plan_internal.h"
#include "stillground/programme.h"

struct sg_calendar_entry { /* a limit, by one pile's method */
    size_t level;
    struct sg_sound_span span;                         /* of LAeq */
    double central, upper, ratio_central, ratio_upper; /* levels: of the works alone */
    double beside_db;                                  /* noise of others beside them; 0 = none */
    double dose_central, dose_upper; /* of a shift that is all at this pile; unset = no dose */
};
struct sg_calendar_pile {
    struct sg_calendar_entry *entry;
    size_t count;
    struct sg_outcome outcome; /* its verdicts are gone */
};

struct sg_calendar_filling {
    const struct sg_site *site;
    struct sg_site view; /* with the hours of the slot that is read */
    const struct sg_schedule *schedule;
    struct sg_arena *arena;
    struct sg_receptor_calendar *out;
    size_t levels;                 /* capacity */
    struct sg_calendar_pile *pile; /* [shape * piles + pile] */
    size_t *shape;                 /* one a slot: same clock, same kind of day, judged alike */
    size_t nshape;
    bool failed;
};

/* Energy of some hours of work, of a level that stands for the work in a span; the level of a sum
 * over some hours; the larger of two that may be unset. */
double sg_calendar_energy(const struct sg_sound_span *span, double level_db, double hours);
double sg_calendar_level_from(double sum, double span_h);
double sg_calendar_larger(double a, double b);
/* The limits at the pile of a piece of work; the hours by which a slot is judged; the part of a
 * shift that a piece takes. */
const struct sg_calendar_pile *sg_calendar_entries_at(const struct sg_calendar_filling *f,
                                                      const struct sg_piece *piece);
struct sg_hours sg_calendar_hours_of(const struct sg_calendar_filling *f,
                                     const struct sg_slot *slot);
double sg_calendar_share_of(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                            const struct sg_piece *piece);
bool sg_calendar_is_vdv(const struct sg_limit_row *row);

/* Every limit over all slots: hours, days, and its rule over days. */
sg_status sg_calendar_count_levels(struct sg_calendar_filling *f, struct sg_arena *scratch);

#endif
