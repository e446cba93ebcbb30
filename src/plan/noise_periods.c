/* noise_periods.c - day, evening, night and all three in one: the works alone, other sites, ambient
 * noise, corrections by the rule of the site file, LAE, LAFmax, LA10.
 *
 * Sources: clock 07-19-23-07 and Lden, ISO 1996-2; LAE = LAeq + 10 lg(T / 1 s) is a definition; the
 * rows of rules carry theirs. */
#include "plan_internal.h"

#include <math.h>

#define PERIODS 3

static const double period_h[SG_PERIOD_END] = { [SG_DAY] = 12, [SG_EVENING] = 4, [SG_NIGHT] = 8 };

static double joined(double a_db, double b_db)
{
    double pair[] = { a_db, b_db };
    return sg_level_sum(pair, SG_COUNT(pair));
}

static void empty(struct sg_noise_period *p)
{
    for (size_t c = 0; c < SG_RATING_COLUMN_END; c++)
        p->correction_db[c] = SG_UNSET;
    p->other_db = p->ambient_db = p->all_sites_db = p->total_db = p->rise_db = SG_UNSET;
    p->rating_db = p->lae_db = p->lafmax_db = p->la10_db = SG_UNSET;
    p->works = SG_VALUE_INIT;
    p->works.quantity = SG_Q_LAEQ;
}

/* ---- with other noise ---- */

static void with_others(const struct sg_receptor *r, struct sg_noise_period *p,
                        struct sg_working *working)
{
    p->other_db = sg_noise_other_db(r, p->period);
    p->ambient_db = sg_noise_ambient_db(r, p->period);
    p->all_sites_db = joined(p->works.central, p->other_db);
    if (sg_is_set(p->other_db))
        sg_working_add(working, NULL, "with other sites",
                       "10 lg(10^(%.3f / 10) + 10^(%.3f / 10)) = %.3f dB(A)", p->works.central,
                       p->other_db, p->all_sites_db);
    if (!sg_is_set(p->ambient_db))
        return;
    double before = joined(p->other_db, p->ambient_db);
    p->total_db = joined(p->all_sites_db, p->ambient_db);
    p->rise_db = p->total_db - before;
    sg_working_add(
        working, NULL, "total with the ambient noise",
        "10 lg(10^(%.3f / 10) + 10^(%.3f / 10)) = %.3f dB(A), %.3f dB over what is there "
        "without these works",
        p->all_sites_db, p->ambient_db, p->total_db, p->rise_db);
}

/* ---- rating ---- */

/* What steps make of the level of the period, as one number: by the hours of operation in the
 * period as the rule's document has it, which need not be those of the table. */
static double steps_db(const struct sg_site *site, struct sg_noise_period *p,
                       const struct sg_rating_row *row, struct sg_working *working)
{
    struct sg_value value;
    struct sg_sound_span span = { .worked_h = p->worked_h, .averaging_h = p->averaging_h };
    const struct sg_time_window *window = sg_noise_rule_window(site->rating, row->period);
    if (window)
        span.worked_h = fmin(site->hours.work_h,
                             sg_shift_within_h(&site->hours, window->start_h, window->end_h));
    if (!(span.worked_h > 0)) {
        p->rating_why = "the rule counts this work with the day";
        return SG_UNSET;
    }
    span.steps = row;
    sg_sound_value(site, p->method, p->receptor, p->works.position, &span, &value, NULL, working);
    return value.central - p->works.central;
}

/* What it makes that the loudest items alone are at work, and all the time. */
static double loudest_db(const struct sg_site *site, const struct sg_noise_period *p,
                         struct sg_working *working)
{
    struct sg_value value;
    struct sg_sound_span span = { .worked_h = p->worked_h, .averaging_h = p->averaging_h };
    span.loudest = sg_noise_loudest_of(site->rating);
    if (!(span.loudest > 0))
        return 0;
    sg_sound_value(site, p->method, p->receptor, p->works.position, &span, &value, NULL, working);
    return value.central - p->works.central;
}

static void rate(const struct sg_site *site, struct sg_noise_period *p, struct sg_working *working)
{
    const struct sg_plant *rig = &site->method[p->method].rig_sound;
    struct sg_rating_of of = { .technique = site->method[p->method].technique,
                               .period = p->period,
                               .operated_h = SG_UNSET,
                               .tonal_db = rig->tonal_db,
                               .onset_db_s = rig->onset_db_s > 0 ? rig->onset_db_s : SG_UNSET,
                               .onset_rise_db =
                                   rig->onset_rise_db > 0 ? rig->onset_rise_db : SG_UNSET,
                               .passed_short_only = site->passed_short_only };
    const struct sg_rating_row *steps =
        sg_rating_steps(site->rating, p->period == SG_EVENING ? SG_NIGHT : p->period);
    double sum = 0;
    if (!site->rating || !sg_is_set(p->works.central))
        return;
    for (size_t c = 0; c < SG_RATING_COLUMN_END; c++) {
        enum sg_rating_column column = (enum sg_rating_column)c;
        double db = sg_rating_column_db(site->rating, column, &of, &p->rating_why, working);
        if (column == SG_RATING_TIME && steps && sg_is_set(db))
            db += steps_db(site, p, steps, working);
        if (column == SG_RATING_GENERAL && sg_is_set(db))
            db += loudest_db(site, p, working);
        p->correction_db[c] = db;
        sum += db;
    }
    if (!sg_is_set(sum))
        return;
    p->rating_db = p->works.central + sum;
    p->rating_marks = sg_noise_step_marks(&site->method[p->method], steps);
    sg_working_add(working, NULL, "rating level",
                   "%s: LAeq %.3f, tonal %+.3f, impulse %+.3f, time %+.3f, general %+.3f = %.3f "
                   "dB(A)",
                   site->rating, p->works.central, p->correction_db[SG_RATING_TONAL],
                   p->correction_db[SG_RATING_IMPULSE], p->correction_db[SG_RATING_TIME],
                   p->correction_db[SG_RATING_GENERAL], p->rating_db);
}

/* ---- one period ---- */

static void la10(const struct sg_site *site, struct sg_noise_period *p, struct sg_working *working)
{
    const struct sg_sound_number_row *row = sg_sound_number_at(SG_SOUND_LA10_DB);
    p->la10_why = site->fta_sound ? p->works.why
                                  : "LA10 from LAeq is a relation of the United States handbook, "
                                    "used with sound.method: fta only";
    if (!site->fta_sound || !sg_is_set(p->works.central))
        return;
    p->la10_db = p->works.central + row->value;
    sg_working_add(working, &row->cite, "LA10, estimate", "%.3f + %g = %.3f dB(A)",
                   p->works.central, row->value, p->la10_db);
}

static void fill(const struct sg_site *site, const struct sg_outcome *outcome,
                 enum sg_period period, struct sg_noise_period *p, struct sg_working *working)
{
    struct sg_sound_span span = sg_sound_span_of(&site->hours, period, period_h[period]);
    const struct sg_receptor *r = &site->receptor[outcome->receptor];
    *p = (struct sg_noise_period){ .method = outcome->method,
                                   .receptor = outcome->receptor,
                                   .period = period,
                                   .worked_h = span.worked_h,
                                   .averaging_h = span.averaging_h };
    empty(p);
    sg_sound_value(site, p->method, p->receptor, r->position, &span, &p->works, NULL, NULL);
    if (!sg_is_set(p->works.central))
        return;
    double share_db = 10.0 * log10(span.worked_h / span.averaging_h);
    double seconds = span.averaging_h * 3600.0;
    sg_working_add(working, NULL, sg_period_id(period),
                   "%.4g h worked of %.4g h: %.3f dB(A) while work goes on, %+.3f dB, LAeq = %.3f "
                   "dB(A)",
                   span.worked_h, span.averaging_h, p->works.central - share_db, share_db,
                   p->works.central);
    with_others(r, p, working);
    rate(site, p, working);
    p->lae_db = p->works.central + 10.0 * log10(seconds);
    sg_working_add(working, NULL, "LAE of the period", "%.3f + 10 lg(%.6g s / 1 s) = %.3f dB(A)",
                   p->works.central, seconds, p->lae_db);
    p->lafmax_db = outcome->lafmax.central;
    la10(site, p, working);
}

/* A period without work adds nothing, but other noise goes on in it: then it has to be known. */
static double in_all(const struct sg_noise_period *part, size_t count, const struct sg_receptor *r,
                     int which, double share_db)
{
    double level[SG_PERIOD_END] = { SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET };
    bool known = true;
    for (unsigned period = SG_DAY; period <= SG_NIGHT; period++) {
        enum sg_period at = (enum sg_period)period;
        double other = which > 0 ? sg_noise_other_db(r, at) : SG_UNSET;
        double ambient = which > 1 ? sg_noise_ambient_db(r, at) : SG_UNSET;
        known = known && (which < 2 || sg_is_set(ambient));
        level[period] = joined(other, ambient);
        for (size_t i = 0; i < count; i++) {
            if (part[i].period == at)
                level[period] = joined(level[period], part[i].works.central + share_db);
        }
    }
    return known ? sg_sound_lden(level[SG_DAY], level[SG_EVENING], level[SG_NIGHT]) : SG_UNSET;
}

static bool any_other(const struct sg_receptor *r)
{
    return sg_is_set(sg_noise_other_db(r, SG_DAY)) || sg_is_set(sg_noise_other_db(r, SG_EVENING)) ||
           sg_is_set(sg_noise_other_db(r, SG_NIGHT));
}

static void fill_all(const struct sg_site *site, const struct sg_noise_period *part, size_t count,
                     struct sg_noise_period *out, struct sg_working *working)
{
    const struct sg_receptor *r = &site->receptor[part[0].receptor];
    *out = (struct sg_noise_period){ .method = part[0].method,
                                     .receptor = part[0].receptor,
                                     .period = SG_ANY_TIME,
                                     .averaging_h = 24 };
    empty(out);
    for (size_t i = 0; i < count; i++)
        out->worked_h += part[i].worked_h;
    /* each period alone may hold all of its hours in work, not all of them together */
    double most_h = fmin(out->worked_h, site->hours.work_h);
    double share_db = 10.0 * log10(most_h / out->worked_h);
    out->worked_h = most_h;
    out->works = part[0].works;
    out->works.central = in_all(part, count, r, 0, share_db);
    out->works.upper = out->works.central + (part[0].works.upper - part[0].works.central);
    if (!sg_is_set(out->works.central))
        return;
    if (any_other(r))
        out->all_sites_db = in_all(part, count, r, 1, share_db);
    out->total_db = in_all(part, count, r, 2, share_db);
    sg_working_add(working, &sg_sound_number_at(SG_SOUND_EVENING_DB)->cite, "Lden",
                   "12 h of day, 4 h of evening + %g dB, 8 h of night + %g dB: %.3f dB(A) of the "
                   "works",
                   sg_sound_number(SG_SOUND_EVENING_DB), sg_sound_number(SG_SOUND_NIGHT_DB),
                   out->works.central);
    if (share_db < 0)
        sg_working_add(working, NULL, "Lden, hours",
                       "%.4g h of work in the hours of the shift: each period %+.3f dB in it",
                       most_h, share_db);
}

sg_status sg_noise_periods_of(const struct sg_site *site, const struct sg_outcome *outcome,
                              struct sg_arena *arena, struct sg_noise_period **out, size_t *count,
                              struct sg_working *working)
{
    unsigned periods = sg_periods_of(&site->hours);
    struct sg_noise_period *list = sg_arena_alloc(arena, PERIODS + 1, sizeof(*list));
    size_t n = 0;
    if (!list)
        return SG_ERR_NOMEM;
    for (unsigned p = SG_DAY; p <= SG_NIGHT; p++) {
        if (periods & (1u << p))
            fill(site, outcome, (enum sg_period)p, &list[n++], working);
    }
    if (n > 0) {
        fill_all(site, list, n, &list[n], working);
        n++;
    }
    *out = list;
    *count = n;
    return SG_OK;
}

sg_status sg_noise_periods_make(const struct sg_study *study, struct sg_arena *arena,
                                struct sg_noise_period **out, size_t *count)
{
    size_t pairs = study->nmethod * study->nreceptor, n = 0;
    struct sg_noise_period *list = sg_arena_alloc(arena, pairs * (PERIODS + 1) + 1, sizeof(*list));
    if (!list)
        return SG_ERR_NOMEM;
    for (size_t r = 0; r < study->nreceptor; r++) {
        for (size_t m = 0; m < study->nmethod; m++) {
            struct sg_noise_period *some = NULL;
            size_t nsome = 0;
            sg_status status = sg_noise_periods_of(study->site, sg_study_outcome(study, m, r),
                                                   arena, &some, &nsome, NULL);
            if (!sg_ok(status))
                return status;
            for (size_t i = 0; i < nsome; i++)
                list[n++] = some[i];
        }
    }
    *out = list;
    *count = n;
    return SG_OK;
}
