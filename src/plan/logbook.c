/* logbook.c - measured values over days. A value over its limit goes into the register, every value
 * into the count of its day; a complaint takes the worst value near it along, whatever that is.
 */
#include "stillground/logbook.h"

#include "plan_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DAY_S 86400.0

/* Room for one more in a list of the arena; NULL without memory. */
static void *one_more(struct sg_arena *arena, void *list, size_t count, size_t *capacity,
                      size_t size)
{
    if (count < *capacity)
        return list;
    size_t more = *capacity > 0 ? 2 * *capacity : 16;
    char *grown = sg_arena_alloc(arena, more, size);
    if (!grown)
        return NULL;
    if (count > 0)
        memcpy(grown, list, count * size);
    *capacity = more;
    return grown;
}

sg_status sg_logbook_open(const struct sg_site *site, const struct sg_complaint *complaint,
                          size_t ncomplaint, struct sg_logbook *out)
{
    struct sg_logbook book = { .arena = SG_ARENA_INIT,
                               .site = site,
                               .complaint = complaint,
                               .ncomplaint = ncomplaint,
                               .near_s = SG_LOGBOOK_NEAR_S };
    book.beside = sg_arena_alloc(&book.arena, ncomplaint + 1, sizeof *book.beside);
    if (!book.beside)
        return SG_ERR_NOMEM;
    memset(book.beside, 0, (ncomplaint + 1) * sizeof *book.beside);
    *out = book;
    return SG_OK;
}

void sg_logbook_release(struct sg_logbook *book)
{
    sg_arena_release(&book->arena);
    *book = (struct sg_logbook){ .arena = SG_ARENA_INIT };
}

/* ---- one value ------------------------------------------------------------------------------- */

static struct sg_logbook_group *group_of(struct sg_logbook *w, size_t receptor,
                                         const struct sg_verdict *v)
{
    for (size_t i = 0; i < w->ngroup; i++) {
        struct sg_logbook_group *g = &w->group[i];
        if (g->receptor == receptor && sg_same(g->set->id, v->set->id) &&
            sg_same(g->row->id, v->row->id))
            return g;
    }
    struct sg_logbook_group *list =
        one_more(&w->arena, w->group, w->ngroup, &w->group_capacity, sizeof *list);
    if (!list)
        return NULL;
    w->group = list;
    w->group[w->ngroup] = (struct sg_logbook_group){
        .receptor = receptor, .set = v->set, .row = v->row, .share_level = SG_UNSET
    };
    return &w->group[w->ngroup++];
}

static int graver(enum sg_verdict_state a, enum sg_verdict_state b)
{
    static const int order[SG_VERDICT_END] = {
        [SG_WITHIN] = 0, [SG_LIKELY_WITHIN] = 1, [SG_NOT_DETERMINABLE] = 2, [SG_OVER] = 3
    };
    return order[a] - order[b];
}

static sg_status count_day(struct sg_logbook *w, struct sg_logbook_group *g, double local_s,
                           enum sg_verdict_state state)
{
    long day = (long)floor(local_s / DAY_S);
    for (size_t i = g->nday; i-- > 0;) {
        if (g->day[i].day != day)
            continue;
        if (graver(state, g->day[i].state) > 0)
            g->day[i].state = state;
        return SG_OK;
    }
    struct sg_day_state *list =
        one_more(&w->arena, g->day, g->nday, &g->day_capacity, sizeof *list);
    if (!list)
        return SG_ERR_NOMEM;
    g->day = list;
    g->day[g->nday++] = (struct sg_day_state){ day, state };
    return SG_OK;
}

static sg_status keep_level(struct sg_logbook *w, struct sg_logbook_group *g, double level)
{
    double *list = one_more(&w->arena, g->level, g->nlevel, &g->level_capacity, sizeof *list);
    if (!list)
        return SG_ERR_NOMEM;
    g->level = list;
    g->level[g->nlevel++] = level;
    return SG_OK;
}

static sg_status count(struct sg_logbook *w, const struct sg_logbook_moment *at,
                       const struct sg_recorded_verdict *v)
{
    struct sg_logbook_group *g = group_of(w, at->receptor, &v->verdict);
    sg_status status = SG_OK;
    if (!g)
        return SG_ERR_NOMEM;
    if (g->readings++ == 0 || sg_verdict_compare(&v->verdict, &g->worst.verdict) < 0)
        g->worst = *v;
    g->over += v->verdict.state == SG_OVER;
    g->open += v->verdict.state == SG_NOT_DETERMINABLE;
    g->marks |= v->verdict.marks;
    if (sg_is_set(at->local_s))
        status = count_day(w, g, at->local_s, v->verdict.state);
    else
        g->undated++;
    if (sg_ok(status) && g->row->rule == SG_RULE_PERCENTILE && sg_is_set(v->value.central))
        status = keep_level(w, g, v->value.central);
    return status;
}

/* ---- the register ---------------------------------------------------------------------------- */

/* The complaint nearest to a moment, within reach; NULL when there is none. */
static const struct sg_complaint *complaint_near(const struct sg_logbook *w,
                                                 const struct sg_logbook_moment *at)
{
    const struct sg_complaint *nearest = NULL;
    for (size_t i = 0; sg_is_set(at->local_s) && i < w->ncomplaint; i++) {
        const struct sg_complaint *c = &w->complaint[i];
        double gap = fabs(c->local_s - at->local_s);
        if (c->receptor == at->receptor && gap <= w->near_s &&
            (!nearest || gap < fabs(nearest->local_s - at->local_s)))
            nearest = c;
    }
    return nearest;
}

static sg_status enter(struct sg_logbook *w, const struct sg_logbook_entry *made)
{
    struct sg_logbook_entry *list =
        one_more(&w->arena, w->entry, w->nentry, &w->entry_capacity, sizeof *list);
    if (!list)
        return SG_ERR_NOMEM;
    w->entry = list;
    w->entry[w->nentry++] = *made;
    return SG_OK;
}

sg_status sg_logbook_take(struct sg_logbook *w, const struct sg_logbook_moment *at,
                          const struct sg_recorded_verdict *verdict, size_t number)
{
    const struct sg_complaint *complaint = complaint_near(w, at);
    struct sg_logbook_entry *beside = complaint ? &w->beside[complaint - w->complaint] : NULL;
    sg_status status = SG_OK;
    for (size_t i = 0; i < number && sg_ok(status); i++) {
        const struct sg_recorded_verdict *v = &verdict[i];
        struct sg_logbook_entry made = { .at = *at, .v = *v };
        if (!v->verdict.row || v->verdict.outside_scope || !sg_is_set(v->value.central))
            continue;
        made.complaint = complaint ? complaint->text : NULL;
        if (beside &&
            (!beside->v.verdict.set || sg_verdict_compare(&v->verdict, &beside->v.verdict) < 0))
            *beside = made;
        status = count(w, at, v);
        if (sg_ok(status) && v->verdict.state == SG_OVER)
            status = enter(w, &made);
    }
    return status;
}

/* A set in use at a receptor by which a complaint is looked into whatever the value. */
static const struct sg_limit_set *asking(const struct sg_logbook *w, size_t receptor)
{
    size_t count = 0;
    const char *const *list = sg_site_limit_sets(w->site, &w->site->receptor[receptor], &count);
    for (size_t i = 0; i < count; i++) {
        const struct sg_limit_set *set = sg_site_limit_set(w->site, list[i]);
        if (set && set->complaint_triggers)
            return set;
    }
    return NULL;
}

/* Every complaint has a line, with what was measured near it or with nothing. */
static sg_status enter_complaints(struct sg_logbook *w)
{
    sg_status status = SG_OK;
    for (size_t i = 0; i < w->ncomplaint && sg_ok(status); i++) {
        struct sg_logbook_entry made = w->beside[i];
        const struct sg_complaint *c = &w->complaint[i];
        if (made.v.verdict.set && made.v.verdict.state == SG_OVER)
            continue; /* is in the register, with the complaint beside it */
        if (!made.v.verdict.set)
            made.at = (struct sg_logbook_moment){ c->receptor, c->local_s, SG_UNSET, "", NULL };
        made.complaint = c->text;
        status = enter(w, &made);
    }
    for (size_t i = 0; i < w->nentry; i++)
        if (w->entry[i].complaint)
            w->entry[i].asks = asking(w, w->entry[i].at.receptor);
    return status;
}

/* ---- at the end ------------------------------------------------------------------------------ */

static int by_day(const void *a, const void *b)
{
    const struct sg_day_state *one = a, *two = b;
    return (one->day > two->day) - (one->day < two->day);
}

static int text_order(const char *a, const char *b)
{
    return strcmp(a ? a : "", b ? b : "");
}

/* By time; without one, at the end. Then by receptor, set and row, so that the order is one. */
static int by_time(const void *a, const void *b)
{
    const struct sg_logbook_entry *one = a, *two = b;
    double t = sg_is_set(one->at.local_s) ? one->at.local_s : SG_INFINITY;
    double u = sg_is_set(two->at.local_s) ? two->at.local_s : SG_INFINITY;
    if (t < u || t > u)
        return t < u ? -1 : 1;
    if (one->at.receptor != two->at.receptor)
        return one->at.receptor < two->at.receptor ? -1 : 1;
    int order = text_order(one->at.source, two->at.source);
    const struct sg_verdict *v = &one->v.verdict, *x = &two->v.verdict;
    if (order == 0)
        order = text_order(v->set ? v->set->id : NULL, x->set ? x->set->id : NULL);
    if (order == 0)
        order = text_order(v->row ? v->row->id : NULL, x->row ? x->row->id : NULL);
    double into = one->at.into_s - two->at.into_s;
    return order != 0 ? order : (into > 0) - (into < 0);
}

static void count_days(struct sg_logbook_group *g)
{
    if (g->nday > 0)
        qsort(g->day, g->nday, sizeof *g->day, by_day);
    sg_day_tally_of(g->set, g->row, g->day, g->nday, &g->tally);
}

/* A rule of a set counts the days on which any of its rows is passed at the receptor. */
static sg_status join_rows(struct sg_logbook *w, struct sg_logbook_group *g)
{
    size_t room = 0, count = 0;
    if (!sg_days_by_set(g->set, g->row))
        return SG_OK;
    for (size_t i = 0; i < w->ngroup; i++)
        room += w->group[i].nday;
    struct sg_day_state *joined = sg_alloc(room + 1, sizeof *joined);
    if (!joined)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < w->ngroup; i++) {
        const struct sg_logbook_group *other = &w->group[i];
        if (other->receptor == g->receptor && other->set == g->set &&
            sg_days_by_set(other->set, other->row))
            count = sg_day_states_join(joined, count, other->day, other->nday);
    }
    sg_day_tally_join(&g->tally, joined, count);
    sg_free(joined);
    return SG_OK;
}

/* Days or a share decide where the row says so; else the worst single value. */
static void conclude(struct sg_logbook_group *g)
{
    g->share_level = sg_level_exceeded(g->level, g->nlevel, g->row->percent);
    g->state = g->worst.verdict.state;
    if (sg_days_decide(g->set, g->row))
        g->state = g->undated > 0 && g->over > 0 && g->tally.state == SG_WITHIN
                       ? SG_NOT_DETERMINABLE
                       : g->tally.state;
    else if (sg_is_set(g->share_level) && sg_is_set(g->worst.verdict.limit))
        g->state = g->share_level > g->worst.verdict.limit ? SG_OVER
                   : g->open > 0                           ? SG_NOT_DETERMINABLE
                                                           : SG_WITHIN;
}

sg_status sg_logbook_close(struct sg_logbook *w)
{
    sg_status status = enter_complaints(w);
    for (size_t i = 0; i < w->ngroup; i++)
        count_days(&w->group[i]);
    for (size_t i = 0; i < w->ngroup && sg_ok(status); i++)
        status = join_rows(w, &w->group[i]);
    for (size_t i = 0; i < w->ngroup; i++)
        conclude(&w->group[i]);
    if (sg_ok(status) && w->nentry > 0)
        qsort(w->entry, w->nentry, sizeof *w->entry, by_time);
    return status;
}

enum sg_verdict_state sg_logbook_worst(const struct sg_logbook *w)
{
    enum sg_verdict_state worst = w->ngroup > 0 ? w->group[0].state : SG_NOT_DETERMINABLE;
    for (size_t i = 1; i < w->ngroup; i++)
        worst = graver(w->group[i].state, worst) > 0 ? w->group[i].state : worst;
    return worst;
}
