/* judge.c - every limit that applies to a receptor, held against the value at its position. */
#include "plan_internal.h"

#include <stdio.h>
#include <string.h>

struct judging {
    const struct sg_site *site;
    const struct sg_receptor *receptor;
    struct sg_outcome *outcome;
    struct sg_arena *arena;
    struct sg_working *working;
    struct sg_verdict *verdict;
    size_t count, capacity;
};

/* Of three levels the one of a period. */
static double at_time(enum sg_period period, double day_db, double evening_db, double night_db)
{
    return period == SG_EVENING ? evening_db : period == SG_NIGHT ? night_db : day_db;
}

struct sg_judged sg_judged_of(const struct sg_receptor *receptor, enum sg_period period)
{
    struct sg_judged judged = {
        .building_class = receptor->building_class,
        .use = receptor->use,
        .area = receptor->area,
        .period = period,
        .ambient_db = at_time(period, receptor->ambient_day_db, receptor->ambient_evening_db,
                              receptor->ambient_night_db),
        .background_db = at_time(period, receptor->background_day_db,
                                 receptor->background_evening_db, receptor->background_night_db),
        .factor = SG_UNSET,
    };
    return judged;
}

void sg_judged_choose(const struct sg_site *site, const struct sg_limit_set *set,
                      struct sg_judged *judged)
{
    const struct sg_site_factors *factors = sg_site_factors_of(site, set->id);
    judged->chosen = factors ? factors->chosen : NULL;
    judged->nchosen = factors ? factors->nchosen : 0;
}

static void say_choices(const struct judging *j, const struct sg_limit_set *set)
{
    const struct sg_site_factors *factors = sg_site_factors_of(j->site, set->id);
    for (size_t i = 0; factors && i < factors->nchosen; i++)
        sg_working_add(j->working, NULL, "factor chosen", "%s, decided by %s",
                       factors->chosen[i].id, factors->decided_by[i]);
}

static struct sg_verdict *next_verdict(struct judging *j)
{
    if (j->count == j->capacity) {
        size_t capacity = j->capacity > 0 ? 2 * j->capacity : 16;
        struct sg_verdict *grown = sg_arena_alloc(j->arena, capacity, sizeof(*grown));
        if (!grown)
            return NULL;
        if (j->count > 0)
            memcpy(grown, j->verdict, j->count * sizeof(*grown));
        j->verdict = grown;
        j->capacity = capacity;
    }
    return &j->verdict[j->count++];
}

static bool by_frequency(const struct sg_limit_row *row)
{
    return row->nnode > 1 || row->below != SG_BELOW_EXTEND || row->above_hz > 0;
}

/* A moment's value at the row's position. */
static struct sg_value moved(struct judging *j, const struct sg_limit_row *row,
                             const struct sg_value *ppv, struct sg_working *working)
{
    struct sg_value value = *ppv;
    struct sg_into_building into = sg_building_of(j->receptor, row->purpose);
    if (sg_is_set(ppv->central))
        sg_vibration_into(ppv, &into, row->position, &value, working);
    return value;
}

/* The moment that comes closest to a row: a limit that falls with frequency may be passed by a
 * smaller value in softer ground, where the waves are slower. */
static size_t closest_moment(struct judging *j, const struct sg_limit_set *set,
                             const struct sg_limit_row *row, const struct sg_judged *judged)
{
    const struct sg_outcome *outcome = j->outcome;
    size_t closest = 0;
    struct sg_verdict best, here;
    for (size_t i = 0; i < outcome->nmoment; i++) {
        struct sg_value value = moved(j, row, &outcome->moment[i].ppv, NULL);
        sg_judge(set, row, judged, &value, &here, NULL);
        if (i == 0 || sg_verdict_compare(&here, &best) < 0) {
            best = here;
            closest = i;
        }
    }
    return closest;
}

static struct sg_value velocity_for(struct judging *j, const struct sg_limit_set *set,
                                    const struct sg_limit_row *row, const struct sg_judged *judged)
{
    const struct sg_outcome *outcome = j->outcome;
    size_t at = 0;
    if (by_frequency(row) && outcome->nmoment > 1)
        at = closest_moment(j, set, row, judged);
    if (at == 0)
        return moved(j, row, &outcome->ppv, j->working);
    const struct sg_moment *moment = &outcome->moment[at];
    sg_working_add(
        j->working, NULL, "moment that comes closest",
        "pile %s, %.3f m away, toe at %.2f m in %s ground, phase %s: %.4f, upper %.4f mm/s",
        j->site->pile[moment->pile].name, moment->distance_m, moment->drive.toe_depth_m,
        sg_ground_group_id(moment->drive.ground), sg_phase_id(moment->drive.phase),
        moment->ppv.central, moment->ppv.upper);
    return moved(j, row, &moment->ppv, j->working);
}

/* The value that a row is stated on, at the row's position and over its averaging time. Where no
 * quantity was computed that the row asks for, the checker says what is missing. */
static struct sg_value value_for(struct judging *j, const struct sg_limit_set *set,
                                 const struct sg_limit_row *row, const struct sg_judged *judged)
{
    size_t method = j->outcome->method, receptor = j->outcome->receptor;
    struct sg_value value;
    if (sg_noise_quantity(row->quantity)) {
        struct sg_noise_ask ask = sg_noise_ask_of(&j->site->hours, set, row, judged->period);
        sg_noise_value(j->site, method, receptor, &ask, &value, j->working);
        return value;
    }
    if (row->quantity == SG_Q_LAFMAX) {
        sg_sound_maximum(j->site, method, receptor, row->position, &value, j->working);
        return value;
    }
    if (row->position == SG_AT_BOUNDARY)
        value = sg_boundary_value(j->site, method, receptor, j->working);
    else
        value = velocity_for(j, set, row, judged);
    if (sg_bridged_quantity(row->quantity))
        value = sg_bridged_value(j->site, method, set, row, judged->period, &value, j->working);
    return value;
}

/* Says that no credit was taken, where a free-field value stands for another place. */
static void note_position(const struct judging *j, struct sg_verdict *verdict)
{
    const char *text = NULL;
    if (!verdict->row || verdict->reason[0] || verdict->state == SG_NOT_DETERMINABLE)
        return;
    if (verdict->row->position == SG_AT_FOUNDATION &&
        !sg_is_set(sg_building_of(j->receptor, verdict->row->purpose).foundation_factor))
        text = "free-field value taken as the foundation value, no credit";
    if (verdict->row->position == SG_AT_ASSET)
        text = "free-field value taken as the value on the asset, no credit";
    if (text)
        snprintf(verdict->reason, sizeof(verdict->reason), "%s", text);
}

/* What the document has done about a value that is passed: nothing yet, or measures. */
static void note_action(const struct sg_limit_set *set, struct sg_verdict *verdict)
{
    if (!(set->action_above_db > 0) || !sg_is_set(verdict->limit) ||
        verdict->state == SG_NOT_DETERMINABLE || verdict->reason[0] || !verdict->row ||
        verdict->row->quantity != SG_Q_LAEQ)
        return;
    double over_db = verdict->value_central - verdict->limit;
    bool may = verdict->value_upper - verdict->limit > set->action_above_db;
    if (over_db > set->action_above_db)
        snprintf(verdict->reason, sizeof(verdict->reason),
                 "more than %g dB over the value: the authority is to order measures",
                 set->action_above_db);
    else if (may)
        snprintf(verdict->reason, sizeof(verdict->reason),
                 "measures are ordered from more than %g dB over the value: the upper value is, "
                 "the central one is not",
                 set->action_above_db);
    else if (over_db > 0)
        snprintf(verdict->reason, sizeof(verdict->reason),
                 "over the value, by no more than the %g dB above which measures are ordered",
                 set->action_above_db);
}

/* How probable it is that a noise limit is exceeded, from the scatter behind the upper value. */
static void note_probability(struct judging *j, const struct sg_limit_row *row,
                             const struct sg_verdict *verdict)
{
    double share = sg_sound_exceedance(verdict->value_central, verdict->value_upper, verdict->limit,
                                       verdict->beside_db);
    if (row && row->purpose == SG_FOR_NOISE && sg_is_set(share))
        sg_working_add(j->working, NULL, "probability of exceeding",
                       "%.0f %% that %g dB(A) is exceeded, by the scatter behind the upper value",
                       100.0 * share, verdict->limit);
}

static sg_status judge_row(struct judging *j, const struct sg_limit_set *set,
                           const struct sg_limit_row *row, const struct sg_judged *judged)
{
    struct sg_verdict *verdict = next_verdict(j);
    if (!verdict)
        return SG_ERR_NOMEM;
    sg_working_add(j->working, NULL, "limit set", "%s, %s", set->id, set->title);
    say_choices(j, set);
    struct sg_value value = row ? value_for(j, set, row, judged) : j->outcome->ppv;
    struct sg_judged with_dose = *judged;
    struct sg_dose_value dose;
    if (row && row->rule == SG_RULE_TWO_STEP &&
        sg_bridged_dose(j->site, j->outcome->method, set, row, judged->period, &value, &dose,
                        j->working))
        with_dose.dose = &dose;
    sg_judge(set, row, &with_dose, &value, verdict, j->working);
    verdict->period = judged->period;
    verdict->beside_db = value.beside_db;
    if (sg_limit_set_find(set->id) != set) /* the user's own set, whatever it cites */
        verdict->marks |= SG_MARK_USER;
    bool component = row && row->quantity == SG_Q_PVS && value.quantity == SG_Q_PPV;
    if (!row || (value.quantity != row->quantity && !component)) { /* not in the row's unit */
        verdict->value_central = SG_UNSET;
        verdict->value_upper = SG_UNSET;
    }
    note_action(set, verdict);
    note_probability(j, row, verdict);
    note_position(j, verdict);
    return SG_OK;
}

static bool holds_for_character(const struct sg_limit_set *set, const struct sg_limit_row *row,
                                const struct sg_judged *judged, enum sg_technique technique)
{
    return row->characters & (1u << sg_limit_character(set, technique, judged));
}

/* A document often has one table for short and one for continuous vibration. When both are asked
 * for, the one that does not hold for the technique has nothing to add; a table for another purpose
 * is not its twin. */
bool sg_twin_speaks(const struct sg_site *site, enum sg_technique technique,
                    const struct sg_limit_set *set, const struct sg_limit_row *row,
                    const struct sg_judged *judged, const char *const *list, size_t nlist)
{
    const struct sg_limit_row *first = NULL;
    if (!row || holds_for_character(set, row, judged, technique))
        return false;
    for (size_t i = 0; i < nlist; i++) {
        const struct sg_limit_set *other = sg_site_limit_set(site, list[i]);
        if (!other || other == set || !sg_same(other->document, set->document))
            continue;
        sg_limit_rows(other, judged, technique, &first, 1);
        if (first && first->purpose == row->purpose &&
            holds_for_character(other, first, judged, technique))
            return true;
    }
    return false;
}

static sg_status judge_set(struct judging *j, const struct sg_limit_set *set, enum sg_period period,
                           const char *const *list, size_t nlist)
{
    size_t most = set->nrow + 1;
    const struct sg_limit_row **rows = sg_arena_alloc(j->arena, most, sizeof(*rows));
    if (!rows)
        return SG_ERR_NOMEM;
    struct sg_judged judged = sg_judged_of(j->receptor, period);
    sg_bridged_judged(j->site, j->outcome->method, &judged);
    sg_judged_choose(j->site, set, &judged);
    enum sg_technique technique = j->site->method[j->outcome->method].technique;
    size_t count = sg_limit_rows(set, &judged, technique, rows, most);
    sg_status status = SG_OK;
    if (count == 1 && sg_twin_speaks(j->site, technique, set, rows[0], &judged, list, nlist))
        return SG_OK;
    for (size_t i = 0; i < count && status == SG_OK; i++) {
        if (!sg_noise_clocked(rows[i]))
            status = judge_row(j, set, rows[i], &judged);
    }
    return status;
}

/* Days that are worked and that no row in question holds for: nothing is said of them, and that is
 * said. */
static sg_status judge_days_left(struct judging *j, const struct sg_limit_set *set,
                                 unsigned covered)
{
    unsigned left = sg_worked_kinds(&j->site->hours) & ~covered;
    enum sg_technique technique = j->site->method[j->outcome->method].technique;
    if (covered == 0 || left == 0 || (set->excluded & SG_TECHNIQUE_BIT(technique)))
        return SG_OK;
    struct sg_judged judged = sg_judged_of(j->receptor, SG_ANY_TIME);
    sg_status status = judge_row(j, set, NULL, &judged);
    if (status == SG_OK)
        snprintf(j->verdict[j->count - 1].reason, sizeof(j->verdict->reason),
                 "%s has no value for %s, which are worked too", set->id,
                 left == SG_SATURDAY                  ? "Saturdays"
                 : left == (SG_SATURDAY | SG_HOLIDAY) ? "Saturdays and Sundays"
                 : left == SG_HOLIDAY                 ? "Sundays"
                                                      : "all days");
    return status;
}

/* Rows with clock hours of their own, as far as they are worked. Where the ambient level does not
 * tell which of those on request holds, that is said once for the hours; judge_set says it of the
 * others. */
static sg_status judge_clocked(struct judging *j, const struct sg_limit_set *set)
{
    const struct sg_limit_row *unknown = NULL;
    enum sg_technique technique = j->site->method[j->outcome->method].technique;
    unsigned covered = 0;
    sg_status status = SG_OK;
    for (size_t i = 0; i < set->nrow && status == SG_OK; i++) {
        const struct sg_limit_row *row = &set->row[i];
        if (!sg_noise_clocked(row) || !(row->techniques & SG_TECHNIQUE_BIT(technique)) ||
            !sg_noise_clock_worked(&j->site->hours, row))
            continue;
        struct sg_judged judged = sg_judged_of(j->receptor, row->period);
        sg_judged_choose(j->site, set, &judged);
        if (sg_limit_covers(set, row, &judged)) {
            covered |= row->on_days != 0 ? row->on_days : (unsigned)SG_ALL_DAYS;
            status = judge_row(j, set, row, &judged);
        } else if (row->on_request && row->category &&
                   !sg_limit_category(set, &judged, row->period) &&
                   !(unknown && sg_noise_clock_same(unknown, row))) {
            unknown = row;
            covered |= row->on_days;
            status = judge_row(j, set, NULL, &judged);
        }
    }
    return status == SG_OK ? judge_days_left(j, set, covered) : status;
}

static bool has_clock(const struct sg_limit_set *set)
{
    for (size_t i = 0; i < set->nrow; i++) {
        if (sg_noise_clocked(&set->row[i]))
            return true;
    }
    return false;
}

bool sg_depends_on_period(const struct sg_limit_set *set)
{
    for (size_t i = 0; i < set->nrow; i++) {
        if (set->row[i].period != SG_ANY_TIME)
            return true;
    }
    return false;
}

static sg_status judge_periods(struct judging *j, const struct sg_limit_set *set,
                               const char *const *list, size_t nlist)
{
    unsigned periods = sg_periods_of_set(&j->site->hours, set);
    size_t before = j->count;
    if (!sg_depends_on_period(set))
        return judge_set(j, set, SG_ANY_TIME, list, nlist);
    sg_status status = judge_clocked(j, set);
    for (unsigned p = SG_DAY; p <= SG_NIGHT && status == SG_OK; p++) {
        if (periods & (1u << p))
            status = judge_set(j, set, (enum sg_period)p, list, nlist);
    }
    if (status != SG_OK || j->count > before || !has_clock(set))
        return status;
    struct sg_judged judged = sg_judged_of(j->receptor, SG_ANY_TIME);
    status = judge_row(j, set, NULL, &judged); /* no set passes in silence */
    if (status == SG_OK)
        snprintf(j->verdict[j->count - 1].reason, sizeof(j->verdict->reason),
                 "%s has no value for the hours and days that are worked", set->id);
    return status;
}

/* The value that the owner of a receptor has set, as a limit set of its own. */
sg_status sg_own_set(const struct sg_receptor *r, struct sg_arena *arena,
                     const struct sg_limit_set **out)
{
    struct sg_node *node = sg_arena_alloc(arena, 1, sizeof(*node));
    struct sg_limit_row *row = sg_arena_alloc(arena, 1, sizeof(*row));
    struct sg_limit_set *set = sg_arena_alloc(arena, 1, sizeof(*set));
    if (!node || !row || !set)
        return SG_ERR_NOMEM;
    *node = (struct sg_node){ 0, r->own_ppv_limit_mm_s };
    const char *source =
        r->own_limit_source && r->own_limit_source[0] ? r->own_limit_source : "site file";
    *row = (struct sg_limit_row){
        .id = "owner",
        .label = "the owner's own value",
        .purpose = SG_FOR_EQUIPMENT,
        .classes = SG_ANY_CLASS,
        .uses = SG_ANY_USE,
        .areas = SG_ANY_AREA,
        .position = SG_AT_FREE_FIELD,
        .quantity = SG_Q_PPV,
        .axes = SG_AXES_LARGEST,
        .characters = (1u << SG_SHORT_TERM) | (1u << SG_CONTINUOUS),
        .techniques = SG_ANY_TECHNIQUE,
        .period = SG_ANY_TIME,
        .node = node,
        .nnode = 1,
        .below = SG_BELOW_EXTEND,
        .effect = "over the value set by the owner",
        .cite = { "owner", source, SG_GRADE_USER },
    };
    *set = (struct sg_limit_set){ .id = "OWNER",
                                  .title = "Value set by the owner",
                                  .jurisdiction = "",
                                  .document = "owner",
                                  .edition = "",
                                  .legal = "owner",
                                  .excluded_why = "",
                                  .row = row,
                                  .nrow = 1 };
    *out = set;
    return SG_OK;
}

static sg_status judge_own(struct judging *j)
{
    const struct sg_limit_set *set = NULL;
    if (!sg_is_set(j->receptor->own_ppv_limit_mm_s))
        return SG_OK;
    struct sg_judged judged = sg_judged_of(j->receptor, SG_ANY_TIME);
    sg_status status = sg_own_set(j->receptor, j->arena, &set);
    return status == SG_OK ? judge_row(j, set, &set->row[0], &judged) : status;
}

enum kind { VIBRATION = 1, NOISE = 2 };

/* A set without a row for the receptor counts by the set's first row. */
static enum kind kind_of(const struct sg_verdict *verdict)
{
    const struct sg_limit_row *row = verdict->row;
    if (!row && verdict->set->nrow > 0)
        row = &verdict->set->row[0];
    return row && row->purpose == SG_FOR_NOISE ? NOISE : VIBRATION;
}

static size_t governing_of(const struct judging *j, unsigned kinds)
{
    size_t governing = SIZE_MAX;
    for (size_t i = 0; i < j->count; i++) {
        if (j->verdict[i].outside_scope || !(kinds & (unsigned)kind_of(&j->verdict[i])))
            continue; /* a document that does not concern the technique says nothing about it */
        if (governing == SIZE_MAX || sg_verdict_compare(&j->verdict[i], &j->verdict[governing]) < 0)
            governing = i;
    }
    return governing;
}

sg_status sg_outcome_judge(const struct sg_site *site, struct sg_arena *arena,
                           struct sg_outcome *out, struct sg_working *working)
{
    struct judging j = { .site = site,
                         .receptor = &site->receptor[out->receptor],
                         .outcome = out,
                         .arena = arena,
                         .working = working };
    size_t nlist;
    const char *const *list = sg_site_limit_sets(site, j.receptor, &nlist);
    sg_status status = judge_own(&j);
    for (size_t i = 0; i < nlist && status == SG_OK; i++) {
        const struct sg_limit_set *set = sg_site_limit_set(site, list[i]);
        if (set)
            status = judge_periods(&j, set, list, nlist);
    }
    if (status != SG_OK)
        return status;
    out->verdict = j.verdict;
    out->nverdict = j.count;
    out->governing = governing_of(&j, VIBRATION | NOISE);
    out->governing_vibration = governing_of(&j, VIBRATION);
    out->governing_noise = governing_of(&j, NOISE);
    return SG_OK;
}
