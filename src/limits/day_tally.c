/* day_tally.c - days on which a value was passed, counted by the rule of the limit: Wales, SI
 * 2023/256, 10 of any 15 days; BS 5228-1, Annex E, 10 of 15 or 40 of 6 months.
 */
#include "stillground/day_tally.h"

#include <math.h>

static bool by_row(const struct sg_limit_row *row)
{
    return row != NULL && row->count_days > 0.0;
}

bool sg_days_decide(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    return by_row(row) || (set != NULL && set->count_days[0] > 0.0);
}

static void add_rule(struct sg_day_tally *out, double needed, double of)
{
    if (needed > 0.0 && of > 0.0 && out->nrule < SG_COUNT(out->rule)) {
        out->rule[out->nrule++] = (struct sg_day_rule){ .needed = needed, .of = of };
    }
}

static void find_rules(const struct sg_limit_set *set, const struct sg_limit_row *row,
                       struct sg_day_tally *out)
{
    if (by_row(row)) {
        add_rule(out, row->count_days, row->of_days);
        return;
    }
    for (size_t i = 0; set != NULL && i < SG_COUNT(set->count_days); i++) {
        add_rule(out, set->count_days[i], set->of_days[i]);
    }
}

/* How many days of a kind end with day `last` and lie within `of` days. */
static size_t within(const struct sg_day_state *day, size_t last, double of, bool open_too)
{
    size_t count = 0;
    for (size_t i = last + 1; i-- > 0 && (double)(day[last].day - day[i].day) < of;) {
        bool over = day[i].state == SG_OVER;
        count += over || (open_too && day[i].state != SG_WITHIN);
    }
    return count;
}

static void apply(struct sg_day_rule *rule, const struct sg_day_state *day, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        size_t over = within(day, i, rule->of, false), likely = within(day, i, rule->of, true);
        rule->most = over > rule->most ? over : rule->most;
        rule->most_likely = likely > rule->most_likely ? likely : rule->most_likely;
        if (!rule->reached && (double)over >= rule->needed) {
            rule->reached = true;
            rule->reached_on = day[i].day;
        }
    }
}

static void count_runs(const struct sg_day_state *day, size_t count, struct sg_day_tally *out)
{
    size_t over = 0, known = 0;
    for (size_t i = 0; i < count; i++) {
        bool next = i > 0 && day[i].day == day[i - 1].day + 1;
        known = next ? known + 1 : 1;
        over = day[i].state != SG_OVER ? 0 : next ? over + 1 : 1;
        out->longest_known = known > out->longest_known ? known : out->longest_known;
        out->longest_over = over > out->longest_over ? over : out->longest_over;
        out->over += day[i].state == SG_OVER;
        out->open += day[i].state == SG_LIKELY_WITHIN || day[i].state == SG_NOT_DETERMINABLE;
    }
    out->known = count;
}

/* The rules over these days, and what they make of them. */
static void judge(const struct sg_day_state *day, size_t count, struct sg_day_tally *out)
{
    bool unknown = false;
    out->state = SG_WITHIN;
    for (size_t i = 0; i < count; i++) {
        unknown = unknown || day[i].state == SG_NOT_DETERMINABLE;
    }
    for (size_t i = 0; i < out->nrule; i++) {
        struct sg_day_rule *rule = &out->rule[i];
        *rule = (struct sg_day_rule){ .needed = rule->needed, .of = rule->of };
        apply(rule, day, count);
        if (rule->reached) {
            out->state = SG_OVER;
        } else if ((double)rule->most_likely >= rule->needed && out->state != SG_OVER) {
            out->state = unknown ? SG_NOT_DETERMINABLE : SG_LIKELY_WITHIN;
        }
    }
}

void sg_day_tally_of(const struct sg_limit_set *set, const struct sg_limit_row *row,
                     const struct sg_day_state *day, size_t count, struct sg_day_tally *out)
{
    *out = (struct sg_day_tally){ .state = SG_WITHIN };
    find_rules(set, row, out);
    count_runs(day, count, out);
    judge(day, count, out);
}

/* ---- rows together --------------------------------------------------------------------------- */

bool sg_days_by_set(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    return !by_row(row) && sg_days_decide(set, row);
}

static int gravity(enum sg_verdict_state state)
{
    return state == SG_OVER ? 3 : state == SG_NOT_DETERMINABLE ? 2 : state == SG_LIKELY_WITHIN;
}

size_t sg_day_states_join(struct sg_day_state *into, size_t count, const struct sg_day_state *from,
                          size_t more)
{
    for (size_t i = 0; i < more; i++) {
        size_t at = count;
        while (at > 0 && into[at - 1].day > from[i].day) {
            at--;
        }
        if (at > 0 && into[at - 1].day == from[i].day) {
            struct sg_day_state *there = &into[at - 1];
            there->state =
                gravity(from[i].state) > gravity(there->state) ? from[i].state : there->state;
            continue;
        }
        for (size_t k = count; k > at; k--) {
            into[k] = into[k - 1];
        }
        into[at] = from[i];
        count++;
    }
    return count;
}

void sg_day_tally_join(struct sg_day_tally *tally, const struct sg_day_state *day, size_t count)
{
    judge(day, count, tally);
}
