/* day_tally.h - days on which a value was passed, counted by the rule of the limit: so many of any
 * so many running, and days running. One count for measured and for predicted days. Limits room;
 * pure.
 */
#ifndef STILLGROUND_DAY_TALLY_H
#define STILLGROUND_DAY_TALLY_H

#include "stillground/limits.h"

/* The worst verdict of a day. */
struct sg_day_state {
    long day; /* since 1970-01-01 */
    enum sg_verdict_state state;
};
struct sg_day_rule {
    double needed, of;  /* passed on so many of any so many days running */
    size_t most;        /* days over within any such stretch, those for certain */
    size_t most_likely; /* with days that are likely within or not determinable */
    bool reached;
    long reached_on; /* the day that makes up the number */
};
struct sg_day_tally {
    size_t known, over, open; /* days; open: neither over nor within */
    size_t longest_over;      /* days over, one after the other */
    size_t longest_known;     /* days with any verdict, one after the other */
    struct sg_day_rule rule[2];
    size_t nrule;
    /* Of the rules; SG_WITHIN without one. Days that nobody measured are not counted as over. */
    enum sg_verdict_state state;
};
/* day: sorted, each once. row may be NULL: the rules of the set alone. */
void sg_day_tally_of(const struct sg_limit_set *set, const struct sg_limit_row *row,
                     const struct sg_day_state *day, size_t count, struct sg_day_tally *out);
/* Whether days decide over the row, and single values do not. */
bool sg_days_decide(const struct sg_limit_set *set, const struct sg_limit_row *row);

/* Whether the rules over days are those of the set: they count the days on which any of its rows is
 * passed, not those of each row by itself. */
bool sg_days_by_set(const struct sg_limit_set *set, const struct sg_limit_row *row);
/* Days of one row put among those of others: every day once, with its worst state. Both sorted;
 * `into` has room for all. Returns how many there are. */
size_t sg_day_states_join(struct sg_day_state *into, size_t count, const struct sg_day_state *from,
                          size_t more);
/* The rules of a tally again, over days joined from all rows of the set. */
void sg_day_tally_join(struct sg_day_tally *tally, const struct sg_day_state *day, size_t count);

#endif
