/* bridged.c - estimates for limits that are stated on another quantity than a peak velocity: the
 * time that the works have in a period, and the dose that goes with a two-step limit.
 */
#include "plan_internal.h"

#include <math.h>

/* Hours in which the source works within a period of the set: the share of the shift that falls
 * into it, times the net working time and the on-time of the rig. */
static double driving_h(const struct sg_site *site, const struct sg_method *method,
                        const struct sg_limit_set *set, enum sg_window_kind kind)
{
    const struct sg_hours *hours = &site->hours;
    double shift_h = hours->end_h - hours->start_h;
    shift_h += shift_h > 0 ? 0 : 24;
    double work_h = hours->work_h * method->on_time_percent / 100.0;
    double inside = sg_hours_within(set, kind, SG_WORKING_DAYS, NULL, hours->start_h, hours->end_h);
    return set->nwindow > 0 ? work_h * inside / shift_h : work_h;
}

static enum sg_window_kind kind_of(enum sg_period period)
{
    return period == SG_EVENING ? SG_WINDOW_EVENING
           : period == SG_NIGHT ? SG_WINDOW_NIGHT
                                : SG_WINDOW_DAY;
}

/* Without a window of its own the time of an evening is counted by the day's. */
enum sg_window_kind sg_window_of_period(const struct sg_limit_set *set, enum sg_period period)
{
    for (size_t i = 0; i < set->nwindow; i++) {
        if (set->window[i].kind == kind_of(period))
            return kind_of(period);
    }
    return period == SG_NIGHT ? SG_WINDOW_NIGHT : SG_WINDOW_DAY;
}

/* A row of the night stands for the evening where its set has neither evening rows nor hours. */
static enum sg_period period_in(const struct sg_limit_row *row, enum sg_period period)
{
    return row && row->period == SG_NIGHT ? SG_NIGHT : period;
}

/* Whether the set says from when to when each period lasts that its rows are stated for. */
static bool has_own_clock(const struct sg_limit_set *set)
{
    bool periods = false;
    for (size_t i = 0; i < set->nrow; i++) {
        enum sg_period period = set->row[i].period;
        bool found = period == SG_ANY_TIME;
        periods = periods || !found;
        for (size_t k = 0; k < set->nwindow && !found; k++)
            found = set->window[k].kind == kind_of(period);
        if (!found || sg_noise_quantity(set->row[i].quantity))
            return false;
    }
    return periods;
}

unsigned sg_periods_of_set(const struct sg_hours *hours, const struct sg_limit_set *set)
{
    unsigned periods = 0;
    bool own = has_own_clock(set);
    for (unsigned p = SG_DAY; own && p <= SG_NIGHT; p++) {
        if (sg_hours_within(set, kind_of((enum sg_period)p), SG_WORKING_DAYS, NULL, hours->start_h,
                            hours->end_h) > 0)
            periods |= 1u << p;
    }
    return periods != 0 ? periods : sg_noise_periods_touched(hours, set);
}

unsigned sg_periods_asked(const struct sg_hours *hours, const struct sg_limit_set *set,
                          unsigned asked)
{
    const struct sg_hours evening = { .start_h = 19, .end_h = 23 }; /* BS 5228-1, Table E.1 */
    unsigned periods = asked & ~(1u << SG_EVENING);
    if (asked == 0)
        return sg_periods_of_set(hours, set);
    if (periods == asked || !has_own_clock(set))
        return asked;
    unsigned touched = sg_periods_of_set(&evening, set);
    unsigned worked = touched & sg_periods_of_set(hours, set);
    return periods | (worked != 0 ? worked : touched);
}

bool sg_bridged_quantity(enum sg_quantity quantity)
{
    return quantity != SG_Q_PPV && quantity != SG_Q_PVS && quantity != SG_Q_VSC &&
           quantity != SG_Q_LAEQ && quantity != SG_Q_LAFMAX;
}

void sg_bridged_judged(const struct sg_site *site, size_t method, struct sg_judged *judged)
{
    const struct sg_method *m = &site->method[method];
    double days = sg_method_days(site, m);
    judged->days = sg_is_set(days) ? days : 0;
    if (m->technique == SG_IMPACT && sg_is_set(m->blows_per_min))
        judged->blows_per_min = m->blows_per_min;
}

struct sg_value sg_bridged_value(const struct sg_site *site, size_t method,
                                 const struct sg_limit_set *set, const struct sg_limit_row *row,
                                 enum sg_period period, const struct sg_value *ppv,
                                 struct sg_working *working)
{
    const struct sg_method *m = &site->method[method];
    struct sg_bridging with = SG_BRIDGING_INIT;
    struct sg_value value;
    with.blows_per_min = m->blows_per_min;
    with.driving_h = driving_h(site, m, set, sg_window_of_period(set, period_in(row, period)));
    bool chosen = site->kb.cf_low > 0 && row->quantity == SG_Q_KBF_MAX;
    if (chosen) {
        with.cf_low = site->kb.cf_low;
        with.cf_high = site->kb.cf_high;
        sg_working_add(working, NULL, "c_F chosen", "%.4g to %.4g, decided by %s", with.cf_low,
                       with.cf_high, site->kb.decided_by);
    }
    sg_bridge_value(set, row, ppv, &with, &value, working);
    value.marks |= chosen ? SG_MARK_USER : 0u;
    return value;
}

/* Every 30 s of the work is taken to reach the largest value, which is the most the dose can be. */
bool sg_bridged_dose(const struct sg_site *site, size_t method, const struct sg_limit_set *set,
                     const struct sg_limit_row *row, enum sg_period judged,
                     const struct sg_value *largest, struct sg_dose_value *out,
                     struct sg_working *working)
{
    const struct sg_method *m = &site->method[method];
    const struct sg_reading_rule *reading = &set->reading;
    enum sg_period period = period_in(row, judged);
    bool night = period == SG_NIGHT;
    double rating_h = night ? reading->rating_night_h : reading->rating_day_h;
    double all_h = driving_h(site, m, set, sg_window_of_period(set, period));
    double rest_h =
        night || !(reading->rest_weight > 0) ? 0 : driving_h(site, m, set, SG_WINDOW_REST);
    if (!sg_is_set(largest->central) || !(rating_h > 0) || !sg_is_set(all_h))
        return false;
    double plain_h = fmax(0, all_h - rest_h);
    out->central = sg_kb_rated(largest->central, plain_h, largest->central, rest_h,
                               reading->rest_weight, rating_h);
    out->upper = sg_kb_rated(largest->upper, plain_h, largest->upper, rest_h, reading->rest_weight,
                             rating_h);
    out->marks = SG_MARK_ESTIMATE;
    sg_working_add(
        working, NULL, "dose over the period (estimate)",
        "every 30 s at the largest value: %.4g x sqrt((%.4g h + %.3g x %.4g h of rest) / "
        "%.4g h) = %.4g, upper %.4g",
        largest->central, plain_h, reading->rest_weight, rest_h, rating_h, out->central,
        out->upper);
    return true;
}

/* ---- at the site boundary -------------------------------------------------------------------- */

/* The worst stage of any ground of the site at the boundary's distance from the working line. */
static sg_status worst_at(const struct sg_site *site, const struct sg_method *m,
                          const struct sg_constants *constants, struct sg_drive *out)
{
    struct sg_stages stages;
    double worst = -1, value = 0;
    size_t last = SIZE_MAX;
    for (size_t i = 0; i < site->npile; i++) {
        const struct sg_pile *pile = &site->pile[i];
        if (i > 0 && pile->borehole == last)
            continue;
        last = pile->borehole;
        const struct sg_borehole *borehole =
            pile->borehole < site->nborehole ? &site->borehole[pile->borehole] : NULL;
        sg_status status = sg_stages_make(site, m, m->model, constants, borehole, pile->toe_depth_m,
                                          &stages, NULL);
        if (!sg_ok(status))
            return status;
        size_t stage = sg_stages_worst(&stages, site->boundary_distance_m, &value);
        if (stages.count > 0 && value > worst) {
            worst = value;
            *out = stages.stage[stage].drive;
        }
    }
    return worst >= 0 ? SG_OK : SG_ERR_UNDETERMINED;
}

struct sg_value sg_boundary_value(const struct sg_site *site, size_t method, size_t receptor,
                                  struct sg_working *working)
{
    const struct sg_method *m = &site->method[method];
    struct sg_value value = SG_VALUE_INIT;
    struct sg_drive drive = SG_DRIVE_INIT;
    struct sg_constants constants;
    struct sg_arena arena = SG_ARENA_INIT;
    sg_status status = sg_constants_of(m, &arena, &constants);
    value.technique = m->technique;
    if (!sg_is_set(site->boundary_distance_m)) {
        value.why = "stated at the site boundary; boundary_distance_m is not given";
    } else if (!sg_ok(status) || !sg_ok(worst_at(site, m, &constants, &drive)) ||
               !sg_ok(sg_vibration_at(m->model, &drive, site->boundary_distance_m, &value, working,
                                      NULL))) {
        value.central = value.upper = SG_UNSET;
        value.why = value.why ? value.why : "no value could be worked out at the site boundary";
    } else {
        sg_vibration_band(&drive, m->frequency_Hz, m->variable_moment, &value);
    }
    value.model = m->model->id;
    value.position = SG_AT_BOUNDARY;
    value.receptor = receptor;
    sg_arena_release(&arena);
    return value;
}
