/* rated.c - the level that a limit on noise goes by: LAeq over its averaging time, rated by its
 * document's rule, LA10, Ldn; of the works alone or with the noise that is there already.
 *
 * Sources: the rows of the rules carry theirs. Ldn: 15 h of day (07-22), 9 h of night with 10 dB
 * (ISO 1996-1); over 30 days with the share of days that are worked. */
#include "plan_internal.h"

#include <math.h>

static bool given(double db)
{
    return db > 0; /* a receptor put together by hand may leave a level at 0: none */
}

static double in_period(enum sg_period period, double day, double evening, double night)
{
    double db = period == SG_EVENING ? evening : period == SG_NIGHT ? night : day;
    return given(db) ? db : SG_UNSET;
}

double sg_noise_other_db(const struct sg_receptor *r, enum sg_period period)
{
    return in_period(period, r->other_day_db, r->other_evening_db, r->other_night_db);
}

double sg_noise_ambient_db(const struct sg_receptor *r, enum sg_period period)
{
    return in_period(period, r->ambient_day_db, r->ambient_evening_db, r->ambient_night_db);
}

bool sg_noise_quantity(enum sg_quantity quantity)
{
    return quantity == SG_Q_LAEQ || quantity == SG_Q_LA10 || quantity == SG_Q_LDN;
}

/* ---- the time that a set goes by ---- */

static const struct sg_time_window *window_of(const struct sg_limit_set *set, enum sg_period period)
{
    enum sg_window_kind kind = period == SG_EVENING ? SG_WINDOW_EVENING
                               : period == SG_NIGHT ? SG_WINDOW_NIGHT
                                                    : SG_WINDOW_DAY;
    for (size_t i = 0; set->rating && period != SG_ANY_TIME && i < set->nwindow; i++) {
        if (set->window[i].kind == kind)
            return &set->window[i];
    }
    return NULL;
}

const struct sg_time_window *sg_noise_rule_window(const char *rule, enum sg_period period)
{
    for (size_t i = 0; rule && i < sg_limit_set_count(); i++) {
        const struct sg_limit_set *set = sg_limit_set_at(i);
        if (sg_same(set->rating, rule) && window_of(set, period))
            return window_of(set, period);
    }
    return NULL;
}

unsigned sg_noise_periods_touched(const struct sg_hours *hours, const struct sg_limit_set *set)
{
    unsigned periods = 0;
    bool own = window_of(set, SG_DAY) && window_of(set, SG_NIGHT);
    for (unsigned p = SG_DAY; own && p <= SG_NIGHT; p++) {
        const struct sg_time_window *window = window_of(set, (enum sg_period)p);
        if (window && sg_shift_within_h(hours, window->start_h, window->end_h) > 0)
            periods |= 1u << p;
    }
    return own ? periods : sg_periods_of(hours);
}

double sg_noise_loudest_of(const char *rule)
{
    for (size_t i = 0; rule && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (sg_same(row->rule, rule) && row->form == SG_RATING_LOUDEST)
            return row->db[0];
    }
    return 0;
}

struct sg_noise_ask sg_noise_ask_of(const struct sg_hours *hours, const struct sg_limit_set *set,
                                    const struct sg_limit_row *row, enum sg_period period)
{
    struct sg_noise_ask ask = { .rule = set->rating,
                                .noise_of = set->noise_of,
                                .quantity = row->quantity,
                                .position = row->position,
                                .period = period };
    const struct sg_time_window *window = window_of(set, period);
    ask.span = sg_sound_span_of(hours, period, row->averaging_h);
    if (window || sg_noise_clocked(row)) {
        double within = window ? sg_shift_within_h(hours, window->start_h, window->end_h)
                               : sg_shift_within_h(hours, row->from_h, row->to_h);
        ask.span.averaging_h = row->averaging_h > 0 ? row->averaging_h : within;
        ask.span.worked_h = fmin(fmin(hours->work_h, within), ask.span.averaging_h);
    }
    ask.span.steps = sg_rating_steps(set->rating, period == SG_EVENING ? SG_NIGHT : period);
    ask.span.loudest = sg_noise_loudest_of(set->rating);
    return ask;
}

/* ---- rating ---- */

/* A rule with steps says nothing of a period that it has none for. */
static bool lacks_steps(const struct sg_noise_ask *ask)
{
    return !ask->span.steps && (sg_rating_steps(ask->rule, SG_DAY) != NULL);
}

double sg_noise_added_db(const struct sg_site *site, size_t method, const char *rule,
                         enum sg_period period, const char **why, unsigned *marks,
                         struct sg_working *working)
{
    const struct sg_plant *rig = &site->method[method].rig_sound;
    struct sg_rating_of of = { .technique = site->method[method].technique,
                               .period = period,
                               .operated_h = SG_UNSET,
                               .tonal_db = rig->tonal_db,
                               .onset_db_s = given(rig->onset_db_s) ? rig->onset_db_s : SG_UNSET,
                               .onset_rise_db =
                                   given(rig->onset_rise_db) ? rig->onset_rise_db : SG_UNSET,
                               .passed_short_only = site->passed_short_only };
    double sum = 0;
    for (unsigned c = 0; rule && c < SG_RATING_COLUMN_END; c++) {
        double db = sg_rating_column_db(rule, (enum sg_rating_column)c, &of, why, working);
        if (!sg_is_set(db))
            return SG_UNSET;
        sum += db;
    }
    for (size_t i = 0; rule && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        double db = sg_same(row->rule, rule) ? sg_rating_correction(row, &of, why) : 0;
        bool used = sg_is_set(db) ? fabs(db) > 0 : true;
        if (used && sg_grade_unverified(row->cite.grade))
            *marks |= SG_MARK_UNVERIFIED;
        if (used && row->form == SG_RATING_GIVEN)
            *marks |= SG_MARK_USER;
    }
    *why = NULL; /* steps were asked without hours */
    return sum;
}

/* 5 s maxima are read where a rule has steps; a mean level can only stand for them. */
unsigned sg_noise_step_marks(const struct sg_method *m, const struct sg_rating_row *steps)
{
    const struct sg_plant *rig = &m->rig_sound;
    bool maximum = rig->kind == SG_SOURCE_LMAX_50FT || sg_is_set(rig->blow_lae_10m_db);
    unsigned marks = 0;
    if (steps && m->technique == SG_IMPACT && !maximum)
        marks |= SG_MARK_ESTIMATE;
    if (steps && sg_grade_unverified(steps->cite.grade))
        marks |= SG_MARK_UNVERIFIED;
    return marks;
}

static void unset(struct sg_value *out, const char *why)
{
    out->central = out->upper = SG_UNSET;
    out->why = why;
}

static void rate(const struct sg_site *site, size_t method, const struct sg_noise_ask *ask,
                 struct sg_value *out, struct sg_working *working)
{
    const char *why = NULL;
    double added =
        sg_noise_added_db(site, method, ask->rule, ask->period, &why, &out->marks, working);
    if (lacks_steps(ask))
        why = "the rule has time corrections by day and by night; the limit names no period";
    if (!sg_is_set(added) || why) {
        unset(out, why);
        return;
    }
    out->marks |= sg_noise_step_marks(&site->method[method], ask->span.steps);
    if (fabs(added) > 0)
        sg_working_add(working, NULL, "rating level", "%.3f %+.3f = %.3f dB(A)", out->central,
                       added, out->central + added);
    out->central += added;
    out->upper += added;
}

/* ---- with other noise ---- */

static double joined(double a_db, double b_db)
{
    double pair[] = { a_db, b_db };
    return sg_level_sum(pair, SG_COUNT(pair));
}

static void join(const char *what, double db, struct sg_value *out, struct sg_working *working)
{
    if (!sg_is_set(db))
        return;
    double sum = joined(out->central, db);
    out->beside_db = joined(out->beside_db > 0 ? out->beside_db : SG_UNSET, db);
    sg_working_add(working, NULL, what, "%.3f and %.3f together = %.3f dB(A)", out->central, db,
                   sum);
    out->central = sum;
    out->upper = joined(out->upper, db);
    out->marks |= SG_MARK_USER;
}

static void with_others(const struct sg_receptor *r, const struct sg_noise_ask *ask,
                        struct sg_value *out, struct sg_working *working)
{
    double ambient_db = sg_noise_ambient_db(r, ask->period);
    if (ask->noise_of == SG_NOISE_OF_TOTAL && !sg_is_set(ambient_db)) {
        unset(out, "the limit is one of the total noise, and the ambient level is not known");
        return;
    }
    if (ask->noise_of != SG_NOISE_OF_WORKS)
        join("with other sites", sg_noise_other_db(r, ask->period), out, working);
    if (ask->noise_of == SG_NOISE_OF_TOTAL)
        join("with the ambient noise", ambient_db, out, working);
}

/* ---- other quantities ---- */

static void to_la10(const struct sg_site *site, struct sg_value *out, struct sg_working *working)
{
    const struct sg_sound_number_row *row = sg_sound_number_at(SG_SOUND_LA10_DB);
    if (!site->fta_sound) {
        unset(out, "LA10 from LAeq is a relation of the United States handbook; with sound.method: "
                   "fta it is used, the method chosen has none");
        return;
    }
    sg_working_add(working, &row->cite, "LA10", "%.3f + %g = %.3f dB(A)", out->central, row->value,
                   out->central + row->value);
    out->central += row->value;
    out->upper += row->value;
    out->beside_db += out->beside_db > 0 ? row->value : 0;
    out->marks |= SG_MARK_ESTIMATE | SG_MARK_UNVERIFIED;
}

/* Day and night of the day-night level, averaged over 24 h each. */
static void day_night(const struct sg_site *site, size_t method, size_t receptor,
                      const struct sg_noise_ask *ask, struct sg_value *out,
                      struct sg_working *working)
{
    const struct sg_hours *hours = &site->hours;
    double night_db = sg_sound_number(SG_SOUND_NIGHT_DB);
    double within[] = { sg_shift_within_h(hours, 7, 22), sg_shift_within_h(hours, 22, 7) };
    double worked = fmin(1, hours->work_h / sg_shift_h(hours));
    double central[2] = { SG_UNSET, SG_UNSET }, upper[2] = { SG_UNSET, SG_UNSET };
    struct sg_value value = SG_VALUE_INIT;
    for (size_t i = 0; i < 2; i++) {
        struct sg_sound_span span = { .worked_h = within[i] * worked, .averaging_h = 24 };
        if (!(within[i] > 0))
            continue;
        sg_sound_value(site, method, receptor, ask->position, &span, &value, NULL, working);
        central[i] = value.central + (i == 1 ? night_db : 0);
        upper[i] = value.upper + (i == 1 ? night_db : 0);
    }
    *out = value;
    if (!sg_is_set(value.central))
        return;
    double share = hours->days_per_week > 0 ? fmin(1, hours->days_per_week / 7) : 1;
    double sum = sg_level_sum(central, 2), share_db = 10.0 * log10(share);
    sg_working_add(working, NULL, "Ldn",
                   "07-22 and 22-07 (+ %g dB) over 24 h: %.3f dB(A); worked "
                   "on %g of 7 days: %.3f %+.3f = %.3f dB(A)",
                   night_db, sum, hours->days_per_week, sum, share_db, sum + share_db);
    out->central = sum + share_db;
    out->upper = sg_level_sum(upper, 2) + share_db;
}

void sg_noise_value(const struct sg_site *site, size_t method, size_t receptor,
                    const struct sg_noise_ask *ask, struct sg_value *out,
                    struct sg_working *working)
{
    static const char *const of[SG_NOISE_OF_END] = { "these works alone",
                                                     "these works and other sites",
                                                     "the total, ambient noise included" };
    sg_working_add(working, NULL, "limit goes by", "%s of %s%s%s", sg_quantity_id(ask->quantity),
                   of[ask->noise_of], ask->rule ? ", rated by " : "", ask->rule ? ask->rule : "");
    if (ask->quantity == SG_Q_LDN)
        day_night(site, method, receptor, ask, out, working);
    else
        sg_sound_value(site, method, receptor, ask->position, &ask->span, out, NULL, working);
    if (sg_is_set(out->central) && ask->rule)
        rate(site, method, ask, out, working);
    if (sg_is_set(out->central) && ask->noise_of != SG_NOISE_OF_WORKS)
        with_others(&site->receptor[receptor], ask, out, working);
    if (sg_is_set(out->central) && ask->quantity == SG_Q_LA10)
        to_la10(site, out, working);
    out->quantity = ask->quantity;
}
