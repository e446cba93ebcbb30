/* make.c - a fit from end to end: what is refused, the line, what is said about it.
 *
 * The rules of count, spread and slope are an engineering proposal (common practice, no source);
 * they stand in fit.h. */
#include "fit_internal.h"

#include <math.h>

#define ONE_DISTANCE 1e-9 /* lg units */

const char *sg_fit_kind_id(enum sg_fit_kind kind)
{
    static const char *const ids[] = { "ordinary", "robust", "mixed", "update" };
    return kind < SG_FIT_KIND_END ? ids[kind] : NULL;
}

void sg_fit_release(struct sg_fit *fit)
{
    if (fit)
        sg_arena_release(&fit->arena);
}

struct making {
    const struct sg_pairs *pairs;
    const struct sg_fit_options *options;
    struct sg_fit fit;
    struct sg_errors *errors;
    double *x, *y, *weight;
    size_t *group;
    size_t warnings_most;
};

static sg_status refuse(struct making *m, sg_status status, const char *why)
{
    struct sg_place at = { m->pairs->file[0] ? m->pairs->file : NULL, 0, 0 };
    return sg_errors_add(m->errors, status, at.file ? &at : NULL, "%s", why);
}

SG_PRINTF(2, 3)
static void warn(struct making *m, const char *format, ...)
{
    struct sg_text text = SG_TEXT_INIT;
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    const char *copy = sg_arena_copy(&m->fit.arena, sg_text_string(&text), text.length);
    if (copy && m->fit.nwarning < m->warnings_most)
        m->fit.warning[m->fit.nwarning++] = copy;
    sg_text_release(&text);
}

/* ---- the values ---- */

static sg_status check_pair(struct making *m, const struct sg_pair *p)
{
    bool level = sg_quantity_is_level(m->pairs->quantity);
    const char *what = NULL;
    if (!(p->distance_m > 0) || !isfinite(p->distance_m))
        what = "the distance is not a number above zero";
    else if (!isfinite(p->value))
        what = "the value is not a number";
    else if (!level && !(p->value > 0))
        what = "the value is zero or negative and has no logarithm";
    else if (m->options->scaled && !m->pairs->scaled_only && !(p->energy_J > 0))
        what = "the energy is needed for a scaled distance and is not given";
    if (!what)
        return SG_OK;
    return sg_errors_add(m->errors, SG_ERR_INPUT, p->place.file ? &p->place : NULL,
                         "%s; allowed: numbers above zero", what);
}

static sg_status take(struct making *m)
{
    const struct sg_pairs *pairs = m->pairs;
    struct sg_arena *arena = &m->fit.arena;
    bool level = sg_quantity_is_level(pairs->quantity);
    sg_status status = SG_OK;
    m->x = sg_arena_alloc(arena, pairs->count, sizeof(double));
    m->y = sg_arena_alloc(arena, pairs->count, sizeof(double));
    m->weight = sg_arena_alloc(arena, pairs->count, sizeof(double));
    m->group = sg_arena_alloc(arena, pairs->count, sizeof(size_t));
    m->fit.point = sg_arena_alloc(arena, pairs->count, sizeof(*m->fit.point));
    m->warnings_most = 16;
    m->fit.warning = sg_arena_alloc(arena, m->warnings_most, sizeof(*m->fit.warning));
    if (!m->x || !m->y || !m->weight || !m->group || !m->fit.point || !m->fit.warning)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < pairs->count; i++) {
        const struct sg_pair *p = &pairs->pair[i];
        sg_status one = check_pair(m, p);
        status = status == SG_OK ? one : status;
        m->x[i] = log10(p->distance_m);
        if (m->options->scaled && !pairs->scaled_only)
            m->x[i] -= 0.5 * log10(p->energy_J);
        m->y[i] = level ? p->value : log10(p->value);
        m->weight[i] = 1;
    }
    return status;
}

static void find_groups(struct making *m)
{
    for (size_t i = 0; i < m->pairs->count; i++) {
        size_t k = 0;
        while (k < i && !sg_same(m->pairs->pair[k].group, m->pairs->pair[i].group))
            k++;
        m->group[i] = k < i ? m->group[k] : m->fit.ngroup++;
    }
}

static sg_status check_set(struct making *m)
{
    double low = SG_INFINITY, high = -SG_INFINITY;
    size_t n = m->pairs->count;
    bool fixed = sg_is_set(m->options->fixed_slope);
    for (size_t i = 0; i < n; i++) {
        low = fmin(low, m->x[i]);
        high = fmax(high, m->x[i]);
    }
    m->fit.span = pow(10.0, high - low);
    if (high - low < ONE_DISTANCE && !fixed && m->options->kind != SG_FIT_UPDATE)
        return refuse(m, SG_ERR_INPUT,
                      "all values were measured at one distance: no slope can be fitted; allowed: "
                      "two distances or more, or a slope that is given");
    if (m->options->kind == SG_FIT_UPDATE && !m->options->prior)
        return refuse(m, SG_ERR_MISSING, "an update needs a published relation to start from");
    if (m->options->kind != SG_FIT_MIXED)
        return SG_OK;
    find_groups(m);
    if (m->fit.ngroup < 2)
        return refuse(m, SG_ERR_INPUT,
                      "one group only: the scatter cannot be parted; allowed: values of two "
                      "receptors (sites, ...) or more");
    if (m->fit.ngroup == n)
        return refuse(m, SG_ERR_INPUT,
                      "every group has one value: the scatter cannot be parted; allowed: several "
                      "values a group");
    return SG_OK;
}

/* ---- the line ---- */

static sg_status draw_line(struct making *m, struct sg_line *line)
{
    struct sg_axis_data data = { m->x,          m->y,
                                 m->group,      m->pairs->count,
                                 m->fit.ngroup, m->options->fixed_slope };
    line->weight = NULL;
    switch (m->options->kind) {
    case SG_FIT_ROBUST:
        line->weight = m->weight;
        return sg_line_robust(&data, line);
    case SG_FIT_MIXED:
        return sg_line_mixed(&data, line);
    case SG_FIT_UPDATE:
        sg_line_update(&data, m->options->prior, line);
        return SG_OK;
    case SG_FIT_ORDINARY:
    case SG_FIT_KIND_END:
    default:
        sg_line_ordinary(&data, line);
        return SG_OK;
    }
}

/* The parts of the scatter: estimated, or set by the user. */
static sg_status part_scatter(struct making *m, const struct sg_line *line, struct sg_site_law *law)
{
    double shared = m->options->shared_scatter, pile = m->options->pile_scatter, s = law->scatter;
    law->shared_scatter = sg_is_set(line->shared) ? line->shared : 0.0;
    law->pile_scatter = sg_is_set(line->pile) ? line->pile : s;
    if (sg_is_set(shared) && sg_is_set(pile)) {
        law->scatter = hypot(shared, pile);
        law->dof = SG_INFINITY;
    } else if (sg_is_set(shared) || sg_is_set(pile)) {
        double given = sg_is_set(shared) ? shared : pile;
        if (given > s)
            return refuse(m, SG_ERR_INPUT,
                          "the part of the scatter that is given is more than the whole scatter "
                          "of the fit; allowed: at most that, or both parts");
        double rest = sqrt(s * s - given * given);
        shared = sg_is_set(shared) ? given : rest;
        pile = sg_is_set(pile) ? given : rest;
    } else {
        return SG_OK;
    }
    law->shared_scatter = shared;
    law->pile_scatter = pile;
    return SG_OK;
}

static void set_range(struct making *m, struct sg_site_law *law)
{
    law->low_m = law->energy_low_J = SG_INFINITY;
    law->high_m = law->energy_high_J = 0;
    for (size_t i = 0; i < m->pairs->count; i++) {
        const struct sg_pair *p = &m->pairs->pair[i];
        law->low_m = fmin(law->low_m, p->distance_m);
        law->high_m = fmax(law->high_m, p->distance_m);
        law->energy_low_J = fmin(law->energy_low_J, p->energy_J);
        law->energy_high_J = fmax(law->energy_high_J, p->energy_J);
    }
    if (!m->options->scaled || !(law->energy_high_J > 0))
        law->energy_low_J = law->energy_high_J = SG_UNSET;
}

static const char *method_text(struct making *m, const struct sg_line *line)
{
    static const char *const how[] = { "ordinary least squares",
                                       "robust line (Theil-Sen start, Huber weights)",
                                       "mixed model by restricted maximum likelihood",
                                       "update of a published relation" };
    struct sg_text text = SG_TEXT_INIT;
    sg_text_printf(&text, "%s, %zu values", how[m->options->kind], m->pairs->count);
    if (m->options->kind == SG_FIT_UPDATE)
        sg_text_printf(&text,
                       "; prior: %s, scatter %.3f, %g %% of its variance between sites, "
                       "slope +- %g, worth %g values",
                       m->options->prior->name, m->options->prior->scatter,
                       100.0 * m->options->prior->site_share, m->options->prior->slope_scatter,
                       m->options->prior->weight);
    if (m->options->kind == SG_FIT_MIXED)
        sg_text_printf(&text, " in %zu groups", m->fit.ngroup);
    if (sg_is_set(m->options->fixed_slope))
        sg_text_printf(&text, "; slope held at %g", line->slope);
    if (sg_is_set(m->options->shared_scatter) || sg_is_set(m->options->pile_scatter))
        sg_text_put(&text, "; parts of the scatter set by the user");
    const char *copy = sg_arena_copy(&m->fit.arena, sg_text_string(&text), text.length);
    sg_text_release(&text);
    return copy ? copy : "";
}

static void keep_points(struct making *m, struct sg_site_law *law)
{
    enum { MOST = 2000 };
    size_t n = m->pairs->count < MOST ? m->pairs->count : MOST;
    struct sg_law_point *point = sg_arena_alloc(&m->fit.arena, n, sizeof(*point));
    for (size_t i = 0; point && i < n; i++) {
        const struct sg_pair *p = &m->pairs->pair[i];
        point[i] = (struct sg_law_point){ p->distance_m, p->value, SG_UNSET };
        if (m->pairs->scaled_only) /* the scaled distance is the distance at 1 J */
            point[i].energy_J = 1.0;
        else if (m->options->scaled)
            point[i].energy_J = p->energy_J;
    }
    law->point = point;
    law->npoint_kept = point ? n : 0;
}

static sg_status make_law(struct making *m, const struct sg_line *line)
{
    struct sg_site_law *law = &m->fit.law;
    law->quantity = m->pairs->quantity;
    law->scaled = m->options->scaled || m->pairs->scaled_only;
    law->distance = m->pairs->distance;
    law->intercept = line->intercept;
    law->slope = line->slope;
    law->scatter = line->scatter;
    law->dof = line->dof;
    law->centre = line->centre;
    law->mean_variance = line->mean_variance;
    law->slope_variance = line->slope_variance;
    law->npoint = m->pairs->count;
    law->method = method_text(m, line);
    const char *provenance =
        sg_arena_printf(&m->fit.arena, "%s%s%s", m->pairs->file, m->pairs->selection[0] ? ": " : "",
                        m->pairs->selection);
    law->provenance = provenance ? provenance : "";
    set_range(m, law);
    keep_points(m, law);
    return part_scatter(m, line, law);
}

/* ---- what is said about it ---- */

static void judge_points(struct making *m, const struct sg_line *line)
{
    const struct sg_site_law *law = &m->fit.law;
    bool leverage = m->options->kind == SG_FIT_ORDINARY;
    for (size_t i = 0; i < m->pairs->count; i++) {
        struct sg_fit_point *p = &m->fit.point[i];
        double off = m->x[i] - line->centre;
        double h = leverage ? line->mean_variance + line->slope_variance * off * off : 0.0;
        *p = (struct sg_fit_point){ .x = m->x[i], .y = m->y[i], .weight = m->weight[i] };
        p->residual = m->y[i] - line->intercept - line->slope * m->x[i];
        double sd = line->scatter * sqrt(fmax(1.0 - h, 1e-12));
        p->standardised = sd > 0 ? p->residual / sd : 0.0;
        p->outlier =
            sg_site_law_wild(p->residual, line->scatter, h, leverage ? law->dof : SG_INFINITY);
        m->fit.noutlier += p->outlier;
    }
}

static void warn_slope(struct making *m, const struct sg_site_law *law)
{
    if (m->fit.slope_fixed)
        return;
    if (!(law->slope < 0)) {
        warn(m, "the fitted value does not fall with distance: it must not be used as a law");
    } else if (sg_quantity_is_level(law->quantity)) {
        double steep = -sg_sound_number(SG_SOUND_SOFT_SLOPE_DB);
        if (law->slope < steep || law->slope > -10.0)
            warn(m,
                 "the level falls by %.1f dB a tenfold distance, outside 10 (a long line of "
                 "sources) to %.0f (soft ground): look for a source or a screen between",
                 -law->slope, -steep);
    } else if (law->slope < SG_FIT_STEEPEST || law->slope > SG_FIT_FLATTEST) {
        warn(m,
             "the slope %.2f lies outside %.1f to %.1f, where those of piling are found: look "
             "at the data",
             law->slope, SG_FIT_STEEPEST, SG_FIT_FLATTEST);
    }
}

/* Several values of one receptor lean the same way: then they say less than their number. */
static void warn_repeats(struct making *m)
{
    size_t n = m->pairs->count, named = 0, kinds = 0;
    for (size_t i = 0; i < n; i++) {
        const char *name = m->pairs->pair[i].receptor;
        size_t k = 0;
        while (k < i && !sg_same(m->pairs->pair[k].receptor, name))
            k++;
        named += name[0] != '\0';
        kinds += name[0] != '\0' && k == i;
    }
    if (m->options->kind != SG_FIT_MIXED && kinds > 1 && named > kinds &&
        !sg_is_set(m->options->shared_scatter))
        warn(m,
             "%zu values come from %zu receptors: what is a receptor's own is taken for scatter "
             "from pile to pile; the mixed fit (a group for each receptor) tells them apart",
             named, kinds);
}

/* A line on plain distance through values of unlike energies holds for their mixture only. */
static void warn_energies(struct making *m)
{
    double low = SG_INFINITY, high = 0;
    for (size_t i = 0; i < m->pairs->count; i++) {
        low = fmin(low, m->pairs->pair[i].energy_J);
        high = fmax(high, m->pairs->pair[i].energy_J);
    }
    if (!m->options->scaled && !m->pairs->scaled_only && low > 0 &&
        high > SG_FIT_ENERGY_SPAN_WARN * low)
        warn(m,
             "the values have energies from %.4g to %.4g J, and the line is on plain distance: it "
             "holds for that mixture of energies only; a line on scaled distance tells them apart",
             low, high);
}

static void warn_all(struct making *m)
{
    const struct sg_site_law *law = &m->fit.law;
    size_t n = m->pairs->count;
    bool free_line = !m->fit.slope_fixed && m->options->kind != SG_FIT_UPDATE;
    if (n < SG_FIT_POINTS_LAW && free_line)
        warn(m,
             "%zu values: too few for a line of their own (%u is the least in practice); "
             "printed for a look, not kept as a law; a given slope or an update can be kept",
             n, SG_FIT_POINTS_LAW);
    else if (n < SG_FIT_POINTS_WARN)
        warn(m, "%zu values: few; use the prediction limit (Student t), not a parallel line", n);
    if (m->fit.span < SG_FIT_SPAN_WARN && free_line)
        warn(m,
             "the distances span a factor of %.2f only, less than %g: the slope is hardly known; "
             "measure farther apart, or hold the slope at a published value",
             m->fit.span, SG_FIT_SPAN_WARN);
    warn_slope(m, law);
    warn_repeats(m);
    warn_energies(m);
    if (m->fit.noutlier > 0)
        warn(m,
             "%zu of the values lie%s far from the line; shown, not dropped: find out what "
             "happened there",
             m->fit.noutlier, m->fit.noutlier == 1 ? "s" : "");
    if (m->options->kind == SG_FIT_ROBUST)
        warn(m, "a robust line gives wild values little weight: its limits are approximate, and "
                "what the wild values stand for happens on this site");
    if (m->options->kind == SG_FIT_MIXED && m->fit.ngroup < 5)
        warn(m, "%zu groups only: the shared part of the scatter is hardly known", m->fit.ngroup);
    if (!(law->scatter > 1e-9))
        warn(m, "the values lie on the line without scatter: measured values do not");
}

sg_status sg_fit_make(const struct sg_pairs *pairs, const struct sg_fit_options *options,
                      struct sg_fit *out, struct sg_errors *errors)
{
    struct making m = { .pairs = pairs, .options = options, .fit = SG_FIT_INIT, .errors = errors };
    struct sg_line line = { .weight = NULL };
    sg_status status = SG_OK;
    m.fit.kind = options->kind;
    m.fit.count = pairs->count;
    m.fit.slope_fixed = sg_is_set(options->fixed_slope);
    if (pairs->count < SG_FIT_POINTS_MIN)
        status = refuse(&m, SG_ERR_INPUT,
                        pairs->count == 0 ? "no value is left to fit; allowed: three or more"
                        : pairs->count == 1
                            ? "one value is no basis for a law; allowed: three or more"
                            : "two values say nothing of scatter; allowed: three or more");
    if (status == SG_OK)
        status = take(&m);
    if (status == SG_OK)
        status = check_set(&m);
    if (status == SG_OK)
        status = draw_line(&m, &line);
    if (status == SG_OK)
        status = make_law(&m, &line);
    if (status != SG_OK) {
        sg_arena_release(&m.fit.arena);
        return status;
    }
    m.fit.x_mean = sg_mean(m.x, pairs->count);
    for (size_t i = 0; i < pairs->count; i++)
        m.fit.s_xx += (m.x[i] - m.fit.x_mean) * (m.x[i] - m.fit.x_mean);
    m.fit.r_squared = line.r_squared;
    m.fit.slope_error =
        m.fit.slope_fixed ? SG_UNSET : m.fit.law.scatter * sqrt(line.slope_variance);
    m.fit.intercept_error =
        m.fit.law.scatter *
        sqrt(line.mean_variance + line.slope_variance * line.centre * line.centre);
    judge_points(&m, &line);
    warn_all(&m);
    m.fit.law.warning = m.fit.warning;
    m.fit.law.nwarning = m.fit.nwarning;
    *out = m.fit;
    return SG_OK;
}
