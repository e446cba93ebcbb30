/* chance.c - the chance that a limit is passed by one pile, by a wall, on a day.
 *
 * All piles share an offset U (the receptor's own and what is not known of the line), each has its
 * own scatter, and what was estimated from few values is uncertain by sqrt(dof / chi-square):
 *
 *   P(any) = mean over c and U of 1 - prod (1 - Q((limit - y_i - c k_i U) / (c s)))
 *
 * U by Gauss-Hermite quadrature. Where the piles' own scatter is small against the shared part, the
 * inner function is nearly a step that no such rule resolves; there U runs in even steps finer than
 * it. What is not known of the line is taken as fully common to all piles. */
#include "fit_internal.h"

#include <math.h>

#define HERMITE_NODES 80
#define STEP_LEAST 0.4 /* own over shared scatter below which even steps are taken */
#define EVEN_HALF_WIDTH 8.5
#define FAR_BELOW 9.0 /* deviations below the limit at which a pile adds less than 1e-18 */

/* A run of piles at nearly one distance does as one. */
struct crowd {
    const double *y, *common;
    size_t n;
    double pile_sd, limit;
};

static double none_passes(const struct crowd *crowd, double u, double scale)
{
    double log_none = 0;
    for (size_t i = 0; i < crowd->n; i++) {
        double room = crowd->limit - crowd->y[i] - scale * crowd->common[i] * u;
        if (!(crowd->pile_sd > 0)) {
            if (room < 0)
                return 0;
            continue;
        }
        double z = room / (scale * crowd->pile_sd);
        if (z > FAR_BELOW)
            continue;
        double over = sg_normal_cdf(-z);
        log_none += log1p(-over);
    }
    return exp(log_none);
}

static sg_status common_nodes(const struct crowd *crowd, struct sg_nodes *out)
{
    double widest = 0;
    for (size_t i = 0; i < crowd->n; i++)
        widest = crowd->common[i] > widest ? crowd->common[i] : widest;
    if (!(widest > 0) || crowd->pile_sd >= STEP_LEAST * widest)
        return sg_nodes_normal(widest > 0 ? HERMITE_NODES : 1, out);
    double step = fmax(0.1 * crowd->pile_sd / widest, 2e-3), total = 0;
    size_t half = (size_t)ceil(EVEN_HALF_WIDTH / step), count = 2 * half + 1;
    struct sg_nodes nodes = { sg_alloc(count, sizeof(double)), sg_alloc(count, sizeof(double)),
                              count };
    if (!nodes.at || !nodes.weight) {
        sg_nodes_release(&nodes);
        return SG_ERR_NOMEM;
    }
    for (size_t i = 0; i < count; i++) {
        nodes.at[i] = step * ((double)i - (double)half);
        nodes.weight[i] = exp(-0.5 * nodes.at[i] * nodes.at[i]);
        total += nodes.weight[i];
    }
    for (size_t i = 0; i < count; i++)
        nodes.weight[i] /= total;
    *out = nodes;
    return SG_OK;
}

/* Without scatter of their own the pile with the least room in units of the common part decides. */
static double common_only(const struct crowd *crowd, double dof)
{
    double least = SG_INFINITY;
    for (size_t i = 0; i < crowd->n; i++) {
        double room = crowd->limit - crowd->y[i];
        double z = crowd->common[i] > 0 ? room / crowd->common[i]
                   : room < 0           ? -SG_INFINITY
                                        : SG_INFINITY;
        least = z < least ? z : least;
    }
    return isfinite(dof) && isfinite(least) ? sg_student_cdf(-least, dof) : sg_normal_cdf(-least);
}

double sg_chance_any(const double *y, const double *common, size_t n, double pile_sd, double dof,
                     double limit)
{
    const struct crowd crowd = { y, common, n, pile_sd, limit };
    struct sg_nodes shared = { NULL, NULL, 0 }, scale = { NULL, NULL, 0 };
    double sum = 0;
    if (n == 0)
        return 0;
    for (size_t i = 0; i < n; i++) {
        if (!sg_is_set(y[i]) || !(common[i] >= 0))
            return SG_UNSET;
    }
    if (!(pile_sd >= 0) || !(dof > 0) || !sg_is_set(limit))
        return SG_UNSET;
    if (!(pile_sd > 0))
        return common_only(&crowd, dof);
    if (n == 1) { /* one value more: exactly Student's distribution */
        double z = (limit - y[0]) / hypot(common[0], pile_sd);
        return isfinite(dof) ? sg_student_cdf(-z, dof) : sg_normal_cdf(-z);
    }
    sg_status status = common_nodes(&crowd, &shared);
    if (status == SG_OK)
        status = sg_nodes_scale(dof, &scale);
    for (size_t k = 0; k < scale.count && status == SG_OK; k++) {
        if (scale.weight[k] < 1e-14)
            continue;
        for (size_t i = 0; i < shared.count; i++)
            sum += scale.weight[k] * shared.weight[i] *
                   (1.0 - none_passes(&crowd, shared.at[i], scale.at[k]));
    }
    sg_nodes_release(&shared);
    sg_nodes_release(&scale);
    return status == SG_OK ? sum : SG_UNSET;
}

/* ---- a receptor of a site -------------------------------------------------------------------- */

struct piles {
    double *y, *common;
    size_t n, worst;
};

static void fill_piles(const struct sg_site *site, const struct sg_receptor *receptor,
                       const struct sg_drive *drive, struct piles *piles)
{
    const struct sg_site_law *law = drive->site_law;
    for (size_t i = 0; i < site->npile; i++) {
        double r = sg_site_distance_m(receptor, site->pile[i].at);
        r = r < SG_NEAREST_M ? SG_NEAREST_M : r;
        if (law->distance == SG_DISTANCE_TOE)
            r = hypot(r, drive->toe_depth_m);
        double x = sg_site_law_x(law, r, drive->energy_J), off = x - law->centre;
        double line = law->mean_variance + law->slope_variance * off * off;
        piles->y[i] = sg_site_law_line(law, x);
        piles->common[i] = hypot(law->shared_scatter, law->scatter * sqrt(line));
        if (piles->y[i] > piles->y[piles->worst])
            piles->worst = i;
    }
}

static size_t piles_a_day(const struct sg_site *site, const struct sg_method *method)
{
    double minutes = 60.0 * site->hours.work_h * method->on_time_percent / 100.0;
    double piles = floor(minutes / method->minutes_per_pile + 1e-9);
    return piles >= 1 && piles < 1e6 ? (size_t)piles : 0;
}

/* The day on which the nearest piles are driven: the run of neighbours with the largest sum of
 * their central values. The order of piles is that of the site. */
static size_t worst_run(const struct piles *piles, size_t length)
{
    double best = -SG_INFINITY;
    size_t at = 0;
    for (size_t i = 0; i + length <= piles->n; i++) {
        double sum = 0;
        for (size_t k = 0; k < length; k++)
            sum += pow(10.0, piles->y[i + k]);
        if (sum > best) {
            best = sum;
            at = i;
        }
    }
    return at;
}

sg_status sg_chance_at(const struct sg_site *site, size_t method, size_t receptor,
                       const struct sg_drive *drive, double limit_mm_s, struct sg_chance *out)
{
    const struct sg_site_law *law = drive->site_law;
    struct sg_chance chance = { SG_UNSET, SG_UNSET, SG_UNSET, 0, site->npile };
    struct piles piles = { NULL, NULL, site->npile, 0 };
    if (!law || !(limit_mm_s > 0) || site->npile == 0 || sg_quantity_is_level(law->quantity))
        return SG_ERR_DOMAIN;
    piles.y = sg_alloc(site->npile, sizeof(double));
    piles.common = sg_alloc(site->npile, sizeof(double));
    sg_status status = piles.y && piles.common ? SG_OK : SG_ERR_NOMEM;
    if (status != SG_OK)
        goto done;
    fill_piles(site, &site->receptor[receptor], drive, &piles);
    double limit = log10(limit_mm_s), sd = law->pile_scatter;
    chance.one =
        sg_chance_any(&piles.y[piles.worst], &piles.common[piles.worst], 1, sd, law->dof, limit);
    chance.wall = sg_chance_any(piles.y, piles.common, piles.n, sd, law->dof, limit);
    chance.piles_a_day = piles_a_day(site, &site->method[method]);
    if (chance.piles_a_day > 0) {
        size_t length = chance.piles_a_day < piles.n ? chance.piles_a_day : piles.n;
        size_t at = worst_run(&piles, length);
        chance.day = sg_chance_any(piles.y + at, piles.common + at, length, sd, law->dof, limit);
    }
    *out = chance;
done:
    sg_free(piles.y);
    sg_free(piles.common);
    return status;
}
