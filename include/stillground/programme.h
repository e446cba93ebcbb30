/* programme.h - when which pile is worked on, and what that brings to every receptor on every day.
 * Pure: days and clock times come from the site file, no clock is read.
 */
#ifndef STILLGROUND_PROGRAMME_H
#define STILLGROUND_PROGRAMME_H

#include "stillground/choice.h"
#include "stillground/day_tally.h"

/* A shift on a day, or a possession. A shift that ends after midnight belongs to the day on which
 * it begins. */
struct sg_slot {
    long day; /* since 1970-01-01 */
    const char *name;
    bool possession;
    double start_h, end_h; /* clock */
    double span_h;         /* real hours from start to end: clocks may change in between */
    double work_h;         /* net of breaks and quiet windows */
    size_t first_piece, npiece;
};
/* A pile, or a part of it, worked on in a slot. */
struct sg_piece {
    size_t slot, rig, pile, method;
    double hours; /* of the shift, pauses within the pile's work included */
    bool last;    /* the pile is done with it */
};
struct sg_schedule {
    struct sg_arena arena;
    struct sg_slot *slot; /* those with work, in order of time */
    size_t nslot;
    struct sg_piece *piece;
    size_t npiece;
    size_t left; /* piles that found no time (possessions too short, ten years) */
    size_t days; /* days with work */
};
#define SG_SCHEDULE_INIT ((struct sg_schedule){ .arena = SG_ARENA_INIT })
/* method: one a pile. SG_ERR_MISSING when the site file has no programme. */
sg_status sg_schedule_make(const struct sg_site *site, const size_t *method,
                           struct sg_schedule *out, struct sg_errors *errors);
void sg_schedule_release(struct sg_schedule *schedule);

/* A receptor in a slot. Unset where nothing supports it. */
struct sg_slot_value {
    double ppv_central, ppv_upper; /* free field, highest of the piles worked on */
    double laeq, laeq_upper;       /* over the slot's real span, all rigs */
    double lafmax;
    /* estimates from the velocity, over the slot, at the place of the limit that asks for them, the
     * largest where several do; unset where none does or the estimate cannot be made */
    double vdv_central, vdv_upper; /* m/s^1.75 */
    double kb_central, kb_upper;   /* KB_FTr */
    double ratio;                  /* highest upper value / limit */
};
/* A limit over the whole programme. */
struct sg_level_count {
    const struct sg_limit_set *set; /* NULL = the owner's own value */
    const struct sg_limit_row *row;
    double limit;              /* the lowest that was read */
    size_t days;               /* on which the upper value is over it */
    double hours;              /* of work that is over it; LAeq: hours of the days over it */
    size_t days_central;       /* on which the central value is */
    long first_day;            /* over it; meaningless with no days */
    size_t longest_in_row;     /* working days one after the other */
    size_t worst_window;       /* most days over it within 15 days on end */
    struct sg_day_tally tally; /* by the rule of the limit; a day on which only the upper value is
                                * over it is likely within */
};
struct sg_receptor_calendar {
    size_t receptor;
    struct sg_slot_value *value; /* one a slot */
    struct sg_level_count *level;
    size_t nlevel;
    const char *no_vdv, *no_kb; /* why there is none; NULL = there is one */
};
struct sg_calendar {
    struct sg_arena arena;
    const struct sg_site *site;
    const struct sg_schedule *schedule;
    struct sg_receptor_calendar *receptor; /* one a receptor */
    size_t nreceptor;
};
#define SG_CALENDAR_INIT ((struct sg_calendar){ .arena = SG_ARENA_INIT })
sg_status sg_calendar_make(const struct sg_site *site, const struct sg_schedule *schedule,
                           struct sg_calendar *out, sg_progress *progress, void *payload,
                           struct sg_errors *errors);
void sg_calendar_release(struct sg_calendar *calendar);

/* The last day on which a notice is in time for works that begin on a day. Holidays: sorted; only
 * for working days, which are Monday to Friday. */
long sg_notice_day(enum sg_lead kind, double days, long start_day, const long *holiday,
                   size_t nholiday);
/* Most days marked within `window` days on end; days sorted. */
size_t sg_days_within(const long *day, size_t count, long window);

#endif
