/* day_rules_table.c - the programme against rules over days: so many of any so many running at a
 * receptor, and days of work one after the other.
 */
#include "internal.h"
#include "stillground/report_works.h"

static void put_day(struct sg_table *table, bool is, long day)
{
    struct sg_text text = SG_TEXT_INIT;
    if (is)
        sg_civil_put(&text, day);
    sg_table_text(table, sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static enum sg_verdict_state state_of(const struct sg_day_rule *rule)
{
    if (rule->reached)
        return SG_OVER;
    return (double)rule->most_likely >= rule->needed ? SG_LIKELY_WITHIN : SG_WITHIN;
}

static void put_rule(struct sg_table *table, const char *receptor, const struct sg_level_count *l,
                     const struct sg_day_rule *rule)
{
    sg_table_text(table, receptor);
    sg_table_text(table, l->set->id);
    sg_table_text(table, l->row->label);
    sg_table_text(table, l->row->id);
    sg_table_printf(table, "%g of any %g days running", rule->needed, rule->of);
    sg_table_number(table, (double)rule->most);
    sg_table_number(table, (double)rule->most_likely);
    put_day(table, rule->reached, rule->reached_on);
    sg_table_text(table, sg_verdict_id(state_of(rule)));
}

/* The longest run of days of work, and the day on which it passes `most`. */
static size_t longest_run(const struct sg_schedule *s, double most, long *passed_on)
{
    size_t run = 0, longest = 0;
    for (size_t i = 0; i < s->nslot; i++) {
        long gap = i > 0 ? s->slot[i].day - s->slot[i - 1].day : 2;
        if (gap == 0)
            continue;
        run = gap == 1 ? run + 1 : 1;
        if ((double)run > most && !((double)longest > most))
            *passed_on = s->slot[i].day;
        longest = run > longest ? run : longest;
    }
    return longest;
}

static bool in_use(const struct sg_calendar *c, const struct sg_limit_set *set)
{
    for (size_t r = 0; r < c->nreceptor; r++) {
        size_t count = 0;
        const char *const *list =
            sg_site_limit_sets(c->site, &c->site->receptor[c->receptor[r].receptor], &count);
        for (size_t i = 0; i < count; i++)
            if (sg_site_limit_set(c->site, list[i]) == set)
                return true;
    }
    return false;
}

static void put_running(struct sg_table *table, const struct sg_calendar *c,
                        const struct sg_limit_set *set)
{
    long passed_on = 0;
    double most = set->consecutive_days;
    if (!(most > 0) || !in_use(c, set))
        return;
    size_t longest = longest_run(c->schedule, most, &passed_on);
    bool over = (double)longest > most;
    sg_table_text(table, "the works");
    sg_table_text(table, set->id);
    sg_table_text(table, "days of work");
    sg_table_text(table, "");
    sg_table_printf(table, "at most %g days running", most);
    sg_table_number(table, (double)longest);
    sg_table_number(table, (double)longest);
    put_day(table, over, passed_on);
    sg_table_text(table, sg_verdict_id(over ? SG_OVER : SG_WITHIN));
}

sg_status sg_table_day_rules(const struct sg_calendar *calendar, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "limit_set", "limit set", 0, false },
        { "limit_label", "limit", 0, false },
        { "limit_row", NULL, 0, false },
        { "rule", "rule", 0, false },
        { "most_central", "most days,\ncentral", 0, true },
        { "most_upper", "most days,\nupper", 0, true },
        { "reached_on", "reached on", 0, false },
        { "verdict", "verdict", 0, false },
    };
    const struct sg_site *site = calendar->site;
    sg_table_init(out, "day-rules", "Rules over days", columns, SG_COUNT(columns));
    for (size_t r = 0; r < calendar->nreceptor; r++) {
        const struct sg_receptor_calendar *c = &calendar->receptor[r];
        for (size_t i = 0; i < c->nlevel; i++)
            for (size_t k = 0; k < c->level[i].tally.nrule; k++)
                put_rule(out, site->receptor[c->receptor].name, &c->level[i],
                         &c->level[i].tally.rule[k]);
    }
    for (size_t i = 0; i < site->nown_set; i++)
        put_running(out, calendar, site->own_set[i]);
    for (size_t i = 0; i < sg_limit_set_count(); i++)
        put_running(out, calendar, sg_limit_set_at(i));
    sg_table_note(out, "The rule of a set counts the days on which any of its values is passed. A "
                       "day counts by its central value; with the days on which only the upper "
                       "value is over the limit the number may be the upper one.");
    return sg_report_table_status(out);
}
