/* logbook.h - measured values over days: what passed which limit when and why, on how many days, by
 * which share of the readings, with complaints beside them; and measured beside predicted. Plan
 * room; pure.
 */
#ifndef STILLGROUND_LOGBOOK_H
#define STILLGROUND_LOGBOOK_H

#include "stillground/day_tally.h"
#include "stillground/recorded.h"

/* Somebody complained. */
struct sg_complaint {
    double local_s; /* clock time, seconds since 1970-01-01T00:00 */
    size_t receptor;
    const char *text;
};

/* Where and when verdicts were reached; texts are borrowed. */
struct sg_logbook_moment {
    size_t receptor;
    double local_s;     /* unset = no date is known */
    double into_s;      /* into the recording; unset = not a recording */
    const char *source; /* file */
    const char *cause;  /* "blow at 3.2 s"; NULL = not known */
};

/* A line of the register: a value over its limit, or what was measured when somebody complained. */
struct sg_logbook_entry {
    struct sg_logbook_moment at;
    struct sg_recorded_verdict v;    /* verdict.set NULL: nothing was measured near the complaint */
    const char *complaint;           /* NULL = none near it */
    const struct sg_limit_set *asks; /* that has complaints looked into; NULL = none */
};

/* One limit at one receptor over all that was measured. */
struct sg_logbook_group {
    size_t receptor;
    const struct sg_limit_set *set;
    const struct sg_limit_row *row;
    struct sg_recorded_verdict worst;
    size_t readings, over, open, undated;
    struct sg_day_state *day;
    size_t nday, day_capacity;
    double *level; /* of rows that a share of the readings may pass */
    size_t nlevel, level_capacity;
    struct sg_day_tally tally;
    double share_level; /* the level that the share passes; unset = no such row */
    unsigned marks;
    enum sg_verdict_state state; /* of the row's rule over all of it */
};

struct sg_logbook {
    struct sg_arena arena; /* owns entries, groups and what the verdicts point to */
    const struct sg_site *site;
    const struct sg_complaint *complaint;
    size_t ncomplaint;
    double near_s;                   /* a value so near in time to a complaint belongs to it */
    struct sg_logbook_entry *beside; /* one a complaint: the worst near it */
    struct sg_logbook_entry
        *entry; /* after closing in order of time, those without one at the end */
    size_t nentry, entry_capacity;
    struct sg_logbook_group *group;
    size_t ngroup, group_capacity;
};
/* Half an hour (common practice, no source). */
#define SG_LOGBOOK_NEAR_S 1800.0
/* complaint is borrowed. Release with sg_logbook_release. */
sg_status sg_logbook_open(const struct sg_site *site, const struct sg_complaint *complaint,
                          size_t ncomplaint, struct sg_logbook *out);
/* Verdicts of one moment; what they point to must outlive the book. */
sg_status sg_logbook_take(struct sg_logbook *book, const struct sg_logbook_moment *at,
                          const struct sg_recorded_verdict *verdict, size_t count);
/* Counts the days, reads the shares and sorts the register. */
sg_status sg_logbook_close(struct sg_logbook *book);
void sg_logbook_release(struct sg_logbook *book);
/* The worst over all groups, by the rule of each; SG_NOT_DETERMINABLE without one. */
enum sg_verdict_state sg_logbook_worst(const struct sg_logbook *book);

/* ---- measured beside predicted --------------------------------------------------------------- */

/* What the site's methods of a technique bring to a receptor: the highest of them. */
struct sg_foreseen {
    struct sg_value value[4]; /* PPV in the free field and at `position`, LAeq, LAFmax */
    size_t count;
};
sg_status sg_foresee(const struct sg_site *site, size_t receptor, enum sg_technique technique,
                     enum sg_position position, struct sg_arena *arena, struct sg_foreseen *out,
                     struct sg_errors *errors);

/* The highest measured figure of a kind beside what was predicted. */
struct sg_beside {
    size_t receptor;
    enum sg_technique technique;
    enum sg_position position;
    struct sg_value measured, predicted; /* predicted.central unset: none was made */
    const char *source;
    double ratio; /* measured / predicted upper; of levels 10^(difference / 20) */
    enum sg_verdict_state state;
    char reason[160];
};
struct sg_beside_list {
    struct sg_arena arena;
    struct sg_beside *item;
    size_t count, capacity;
};
#define SG_BESIDE_LIST_INIT ((struct sg_beside_list){ .arena = SG_ARENA_INIT })
/* Keeps the highest by receptor, technique, position, quantity and source; foreseen is that of the
 * receptor, technique and position. */
sg_status sg_beside_take(struct sg_beside_list *list, size_t receptor,
                         const struct sg_recorded_as *as, const struct sg_value *measured,
                         const char *source, const struct sg_foreseen *foreseen);
void sg_beside_release(struct sg_beside_list *list);

#endif
