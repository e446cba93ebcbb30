/* mixed.c - scatter parted in two: what a group shares (a receptor, a site) and what changes from
 * value to value in it (the piles), by restricted maximum likelihood (REML).
 *
 *   y = X beta + u_group + e,  u ~ N(0, lambda s_e^2),  e ~ N(0, s_e^2)
 *
 * (Patterson and Thompson 1971; formulas derived here.) With d_g = 1 + n_g lambda, R_g the sum of a
 * group's residuals and C = (X' V^-1 X)^-1 at s_e = 1, the likelihood is stationary where
 *
 *   sum n_g / d_g - sum (X_g'1)' C (X_g'1) / d_g^2 = (N - p) sum (R_g / d_g)^2 / (y' P y)
 *
 * which is solved by halving; at the border lambda = 0 the shared part is nil. The degrees of
 * freedom of the whole scatter are Satterthwaite's, from the expected information of both parts. */
#include "fit_internal.h"

#include <math.h>

struct group {
    double n, x, y, r; /* sums: count, abscissae, ordinates, residuals */
};

struct mixed {
    const struct sg_axis_data *data;
    struct group *group;
    bool fixed;
    double p, x0;         /* coefficients; x is taken about x0 */
    double a, b;          /* line about x0 */
    double c00, c01, c11; /* C */
    double quadratic;     /* y' P y at s_e = 1 */
};

static double x_of(const struct mixed *m, size_t i)
{
    return m->data->x[i] - m->x0;
}

static double y_of(const struct mixed *m, size_t i)
{
    return m->fixed ? m->data->y[i] - m->data->fixed_slope * x_of(m, i) : m->data->y[i];
}

/* The line and C for one ratio of the parts. */
static void solve(struct mixed *m, double lambda)
{
    double a00 = 0, a01 = 0, a11 = 0, q0 = 0, q1 = 0;
    for (size_t i = 0; i < m->data->n; i++) {
        double x = x_of(m, i), y = y_of(m, i);
        a00 += 1;
        a01 += x;
        a11 += x * x;
        q0 += y;
        q1 += x * y;
    }
    for (size_t g = 0; g < m->data->ngroup; g++) {
        const struct group *s = &m->group[g];
        double w = lambda / (1.0 + s->n * lambda);
        a00 -= w * s->n * s->n;
        a01 -= w * s->n * s->x;
        a11 -= w * s->x * s->x;
        q0 -= w * s->n * s->y;
        q1 -= w * s->x * s->y;
    }
    double det = m->fixed ? a00 : a00 * a11 - a01 * a01;
    m->c00 = (m->fixed ? 1.0 : a11) / det;
    m->c01 = m->fixed ? 0.0 : -a01 / det;
    m->c11 = m->fixed ? 0.0 : a00 / det;
    m->a = m->c00 * q0 + m->c01 * q1;
    m->b = m->c01 * q0 + m->c11 * q1;
}

static void residuals(struct mixed *m, double lambda)
{
    double rss = 0;
    for (size_t g = 0; g < m->data->ngroup; g++)
        m->group[g].r = 0;
    for (size_t i = 0; i < m->data->n; i++) {
        double e = y_of(m, i) - m->a - m->b * x_of(m, i);
        m->group[m->data->group[i]].r += e;
        rss += e * e;
    }
    for (size_t g = 0; g < m->data->ngroup; g++)
        rss -= lambda / (1.0 + m->group[g].n * lambda) * m->group[g].r * m->group[g].r;
    m->quadratic = rss;
}

/* tr(P Z Z'). */
static double trace_one(const struct mixed *m, double lambda)
{
    double trace = 0;
    for (size_t g = 0; g < m->data->ngroup; g++) {
        const struct group *s = &m->group[g];
        double d = 1.0 + s->n * lambda;
        double h = m->c00 * s->n * s->n + 2 * m->c01 * s->n * s->x + m->c11 * s->x * s->x;
        trace += s->n / d - h / (d * d);
    }
    return trace;
}

/* Twice the slope of the likelihood with its sign turned: below zero means more shared part. */
static double score(struct mixed *m, double lambda)
{
    double sum = 0;
    solve(m, lambda);
    residuals(m, lambda);
    for (size_t g = 0; g < m->data->ngroup; g++) {
        double r = m->group[g].r / (1.0 + m->group[g].n * lambda);
        sum += r * r;
    }
    return trace_one(m, lambda) - ((double)m->data->n - m->p) * sum / m->quadratic;
}

#define LAMBDA_MOST 1e9

static double best_ratio(struct mixed *m)
{
    double low = 0, high = 1e-3;
    if (score(m, 0) >= 0)
        return 0;
    while (score(m, high) < 0 && high < LAMBDA_MOST) {
        low = high;
        high *= 4;
    }
    for (int i = 0; i < 200; i++) {
        double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high)
            break;
        if (score(m, middle) < 0)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

/* Satterthwaite's degrees of freedom of s_u^2 + s_e^2. The information is that of maximum
 * likelihood with the two parts as unknowns: half the traces of V^-1 dV V^-1 dV. */
static double freedom(const struct mixed *m, double lambda)
{
    double uu = 0, ue = 0, ee = 0, n = (double)m->data->n;
    for (size_t g = 0; g < m->data->ngroup; g++) {
        double ng = m->group[g].n, d = 1.0 + ng * lambda;
        uu += ng * ng / (d * d);
        ue += ng / (d * d);
        ee += ng - 1.0 + 1.0 / (d * d);
    }
    double det = uu * ee - ue * ue, ordinary = n - m->p;
    if (!(det > 0) || !(lambda > 0))
        return ordinary;
    double variance = 2.0 * (ee - 2.0 * ue + uu) / det; /* of the sum, in units of s_e^4 */
    double dof = 2.0 * (1.0 + lambda) * (1.0 + lambda) / variance * ordinary / n;
    double least = (double)m->data->ngroup - 1.0;
    dof = dof < least ? least : dof;
    return dof > ordinary ? ordinary : dof;
}

sg_status sg_line_mixed(const struct sg_axis_data *data, struct sg_line *out)
{
    struct mixed m = { .data = data, .fixed = sg_is_set(data->fixed_slope) };
    m.p = m.fixed ? 1.0 : 2.0;
    m.x0 = sg_mean(data->x, data->n);
    m.group = sg_alloc(data->ngroup, sizeof(*m.group));
    if (!m.group)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < data->n; i++) {
        struct group *g = &m.group[data->group[i]];
        g->n += 1;
        g->x += x_of(&m, i);
        g->y += y_of(&m, i);
    }
    double lambda = best_ratio(&m);
    score(&m, lambda);
    double own = m.quadratic / ((double)data->n - m.p), all = own * (1.0 + lambda);
    double slope = m.fixed ? data->fixed_slope : m.b;
    double off = m.fixed ? 0.0 : -m.c01 / m.c11;
    *out = (struct sg_line){ .slope = slope,
                             .intercept = m.a - slope * m.x0,
                             .scatter = sqrt(all),
                             .dof = freedom(&m, lambda),
                             .centre = m.x0 + off,
                             .mean_variance = (m.c00 + off * m.c01) / (1.0 + lambda),
                             .slope_variance = m.c11 / (1.0 + lambda),
                             .shared = sqrt(own * lambda),
                             .pile = sqrt(own),
                             .r_squared = SG_UNSET };
    sg_free(m.group);
    return SG_OK;
}
