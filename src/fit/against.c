/* against.c - predicted against measured: is the relation in use safe on this site?
 *
 * Bias with Student's interval; the share within a factor of two; how many values are over the
 * upper value, against how many it allows (binomial). The factor of two and the 3 dB are common
 * practice. */
#include "fit_internal.h"

#include <math.h>

#define NOISE_STEP_DB 3.0
#define DOUBT 0.05 /* chance below which the stated share of values over is not believed */

const char *sg_trust_text(enum sg_trust trust)
{
    static const char *const texts[] = { "not safe on this site",
                                         "open: not contradicted, not shown",
                                         "on the safe side on this site" };
    return trust < SG_TRUST_END ? texts[trust] : NULL;
}

void sg_against_release(struct sg_against *against)
{
    if (against)
        sg_arena_release(&against->arena);
}

/* P(X >= k) of n trials. */
static double at_least(size_t k, size_t n, double p)
{
    double sum = 0;
    if (k == 0)
        return 1.0;
    if (!(p > 0))
        return 0.0;
    for (size_t i = k; i <= n; i++) {
        double log_term = lgamma((double)n + 1) - lgamma((double)i + 1) -
                          lgamma((double)(n - i) + 1) + (double)i * log(p) +
                          (n > i ? (double)(n - i) * log1p(-p) : 0.0);
        sum += exp(log_term);
    }
    return sum > 1 ? 1 : sum;
}

/* Clopper and Pearson's bounds by halving, each with 5 % outside. */
static double share_bound(size_t k, size_t n, bool upper)
{
    double low = 0, high = 1;
    if (upper ? k == n : k == 0)
        return upper ? 1.0 : 0.0;
    for (int i = 0; i < 60; i++) {
        double p = 0.5 * (low + high);
        double tail = upper ? 1.0 - at_least(k + 1, n, p) : at_least(k, n, p);
        if (upper ? tail > DOUBT : tail < DOUBT)
            low = p;
        else
            high = p;
    }
    return 0.5 * (low + high);
}

struct holding {
    const struct sg_pairs *pairs;
    const struct sg_model *model;
    const struct sg_drive *drive;
    struct sg_against *out;
    struct sg_errors *errors;
    double exceedance_percent;
};

static sg_status refuse(const struct holding *h, const char *why)
{
    return sg_errors_add(h->errors, SG_ERR_INPUT, NULL, "%s", why);
}

static sg_status predict(struct holding *h, const struct sg_pair *pair,
                         struct sg_against_point *point)
{
    struct sg_drive drive;
    struct sg_value value = SG_VALUE_INIT;
    if (!h->drive) {
        point->central = pair->predicted;
        point->upper = pair->predicted_upper;
        if (!isfinite(point->central) || !(h->out->level || point->central > 0))
            return sg_errors_add(h->errors, SG_ERR_MISSING, &pair->place,
                                 "no predicted value stands beside this one; allowed: a number in "
                                 "every row");
        h->out->has_upper |= sg_is_set(point->upper);
        return SG_OK;
    }
    drive = *h->drive;
    if (sg_is_set(pair->energy_J))
        drive.energy_J = pair->energy_J;
    if (sg_is_set(pair->toe_depth_m))
        drive.toe_depth_m = pair->toe_depth_m;
    if (h->pairs->distance == SG_DISTANCE_TOE)
        drive.toe_depth_m = 0; /* the distance is that to the toe already */
    sg_status status = sg_vibration_at(h->model, &drive, pair->distance_m, &value, NULL, h->errors);
    if (!sg_ok(status))
        return h->errors && h->errors->count ? status
                                             : sg_errors_add(h->errors, status, &pair->place, "%s",
                                                             value.why ? value.why : "no value");
    if (value.quantity != h->pairs->quantity)
        return refuse(h, "the relation predicts another quantity than the one that was measured");
    point->central = value.central;
    point->upper = value.upper;
    point->marks = value.marks;
    h->exceedance_percent = value.upper_exceedance_percent;
    h->out->has_upper = true;
    return SG_OK;
}

static void count(struct sg_against *out, const struct sg_pair *pair,
                  struct sg_against_point *point)
{
    point->measured = pair->value;
    point->deviation =
        out->level ? pair->value - point->central : log10(pair->value / point->central);
    point->over_upper = sg_is_set(point->upper) && pair->value > point->upper;
    out->over_upper += point->over_upper;
    double step = out->level ? NOISE_STEP_DB : log10(2.0);
    bool within = fabs(point->deviation) <= step * (1 + 1e-12);
    out->factor_two_percent += within;
    out->within_3db += out->level && within;
    out->above_3db += out->level && !within && point->deviation > 0;
    out->below_3db += out->level && !within && point->deviation < 0;
}

static void summarise(struct sg_against *out)
{
    double n = (double)out->count, ss = 0;
    for (size_t i = 0; i < out->count; i++)
        out->bias += out->point[i].deviation / n;
    for (size_t i = 0; i < out->count; i++)
        ss += (out->point[i].deviation - out->bias) * (out->point[i].deviation - out->bias);
    out->spread = sqrt(ss / (n - 1));
    double half = sg_student_quantile(0.975, n - 1) * out->spread / sqrt(n);
    out->bias_low = out->bias - half;
    out->bias_high = out->bias + half;
    out->factor_two_percent *= 100.0 / n;
    out->exceedance_low = 100.0 * share_bound(out->over_upper, out->count, false);
    out->exceedance_high = 100.0 * share_bound(out->over_upper, out->count, true);
    double stated = sg_is_set(out->exceedance_percent) ? out->exceedance_percent / 100.0 : 0.0;
    out->chance_of_so_many =
        out->has_upper ? at_least(out->over_upper, out->count, stated) : SG_UNSET;
}

static void judge(struct sg_against *out)
{
    out->trust = SG_TRUST_OPEN;
    out->why = "neither its central nor its upper value is contradicted by these values, and they "
               "are too few or too near to it to show that it is on the safe side";
    if (out->has_upper && out->chance_of_so_many < DOUBT) {
        out->trust = SG_TRUST_UNSAFE;
        out->why = sg_is_set(out->exceedance_percent)
                       ? "more values lie over the upper value than its stated share allows"
                       : "values lie over what is given as an upper bound";
    } else if (out->bias_low > 0) {
        out->trust = SG_TRUST_UNSAFE;
        out->why = "the measured values are higher than the central value as a whole";
    } else if (out->bias_high <= 0 && out->count >= SG_FIT_POINTS_LAW) {
        out->trust = SG_TRUST_SAFE;
        out->why = "the measured values are lower than the central value as a whole, and no more "
                   "of them lie over the upper value than it allows";
    }
}

sg_status sg_against_make(const struct sg_pairs *pairs, const struct sg_model *model,
                          const struct sg_drive *drive, struct sg_against *out,
                          struct sg_errors *errors)
{
    struct sg_against against = SG_AGAINST_INIT;
    struct holding h = { pairs, model, drive, &against, errors, SG_UNSET };
    bool to_toe = drive && (drive->site_law ? drive->site_law->distance == SG_DISTANCE_TOE
                                            : model->distance == SG_DISTANCE_TOE);
    if (pairs->count < SG_FIT_POINTS_MIN)
        return refuse(&h, "fewer than three values: nothing can be said; allowed: three or more");
    if (drive && pairs->scaled_only)
        return refuse(&h, "the table has scaled distances only; allowed: distances and energies");
    if (drive && pairs->distance == SG_DISTANCE_TOE && !to_toe)
        return refuse(&h, "the distances are to the toe, the relation is on plan distance; "
                          "allowed: plan distances");
    against.level = sg_quantity_is_level(pairs->quantity);
    against.point = sg_arena_alloc(&against.arena, pairs->count, sizeof(*against.point));
    sg_status status = against.point ? SG_OK : SG_ERR_NOMEM;
    for (size_t i = 0; i < pairs->count && sg_ok(status); i++) {
        status = predict(&h, &pairs->pair[i], &against.point[i]);
        if (sg_ok(status))
            count(&against, &pairs->pair[i], &against.point[i]);
    }
    if (!sg_ok(status)) {
        sg_arena_release(&against.arena);
        return status;
    }
    against.count = pairs->count;
    against.exceedance_percent = h.exceedance_percent;
    summarise(&against);
    judge(&against);
    *out = against;
    return SG_OK;
}
