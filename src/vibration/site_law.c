/* site_law.c - a law fitted to the site's own measurements, evaluated: central line and upper
 * limit.
 *
 * Statistics of a straight line: common textbook matter; the limit of a further value is
 * Y + t s sqrt(1 + q_0 + q_1 (X - X_c)^2) (see DEVELOPERS.md for the derivation of q). */
#include "vibration_internal.h"

#include <math.h>

const char *sg_upper_line_id(enum sg_upper_line line)
{
    static const char *const ids[] = { "prediction", "parallel" };
    return line < SG_LINE_END ? ids[line] : NULL;
}

/* Where the distance alone is asked for, the slope distance is the plan distance of toe depth 0. */
double sg_site_law_x(const struct sg_site_law *law, double distance_m, double energy_J)
{
    double x = log10(distance_m);
    return law->scaled ? x - 0.5 * log10(energy_J) : x;
}

double sg_site_law_line(const struct sg_site_law *law, double x)
{
    return law->intercept + law->slope * x;
}

double sg_site_law_spread(const struct sg_site_law *law, double x)
{
    double off = x - law->centre;
    return law->scatter * sqrt(1.0 + law->mean_variance + law->slope_variance * off * off);
}

static double t_or_z(double p, double dof)
{
    return isfinite(dof) ? sg_student_quantile(p, dof) : sg_normal_quantile(p);
}

/* The parallel line is the one that is drawn by hand with a quantile from a printed table, four
 * places behind the point; so taken, a hand calculation gives the same digits. */
static double printed_z(double p)
{
    return 1e-4 * round(1e4 * sg_normal_quantile(p));
}

double sg_site_law_upper(const struct sg_site_law *law, double x, double percentile)
{
    double p = percentile / 100.0, y = sg_site_law_line(law, x);
    if (!(p > 0.5))
        return y;
    if (law->upper == SG_LINE_PARALLEL)
        return y + printed_z(p) * law->scatter;
    return y + t_or_z(p, law->dof) * sg_site_law_spread(law, x);
}

/* Studentised without the value itself where the degrees of freedom allow it. */
bool sg_site_law_wild(double residual, double scatter, double leverage, double dof)
{
    const double chance = 0.005; /* on each side */
    double sd = scatter * sqrt(fmax(1.0 - leverage, 1e-12));
    double t = sd > 0 ? fabs(residual) / sd : 0.0;
    if (!(dof > 1.5) || !isfinite(dof))
        return t > sg_normal_quantile(1.0 - chance);
    double rest = dof - t * t;
    t = rest > 0 ? t * sqrt((dof - 1.0) / rest) : SG_INFINITY;
    return t > sg_student_quantile(1.0 - chance, dof - 1.0);
}

double sg_site_law_value(const struct sg_site_law *law, double y)
{
    return sg_quantity_is_level(law->quantity) ? y : pow(10.0, y);
}

double sg_site_law_percentile(const struct sg_site_law *law, double wanted)
{
    return sg_is_set(wanted) && wanted > law->percentile ? wanted : law->percentile;
}

double sg_law_site_at(const struct sg_law *law, double r)
{
    const struct sg_site_law *site = law->site;
    double x = sg_site_law_x(site, r, law->energy_J);
    double y = law->percentile > 50.0 ? sg_site_law_upper(site, x, law->percentile)
                                      : sg_site_law_line(site, x);
    return sg_site_law_value(site, y);
}

/* Far outside its data the limit of a thinly founded law may rise again with distance, so the
 * farthest crossing within ten times the data's reach is looked for, from outside inward. */
sg_status sg_law_site_distance(const struct sg_law *law, double value, double *out)
{
    enum { STEPS = 2000 };
    double far = 10.0 * law->site->high_m;
    double ratio = pow(SG_NEAREST_M / far, 1.0 / STEPS), outer = far, inner = far;
    if (!(far > SG_NEAREST_M) || !(sg_law_at(law, far) <= value))
        return SG_ERR_NO_SOLUTION;
    for (int i = 1; i <= STEPS; i++) {
        inner = i == STEPS ? SG_NEAREST_M : far * pow(ratio, i);
        if (sg_law_at(law, inner) > value)
            break;
        outer = inner;
        if (i == STEPS) {
            *out = SG_NEAREST_M;
            return SG_ERR_NO_SOLUTION;
        }
    }
    for (int i = 0; i < 200; i++) {
        double middle = sqrt(inner * outer);
        if (middle <= inner || middle >= outer)
            break;
        if (sg_law_at(law, middle) > value)
            inner = middle;
        else
            outer = middle;
    }
    *out = outer;
    return SG_OK;
}

static const char *upper_text(const struct sg_site_law *law, double percentile)
{
    bool prediction = law->upper == SG_LINE_PREDICTION;
    if (percentile >= 99.0)
        return prediction ? "99 % prediction limit of the site law"
                          : "line of the site law at 99 % of the scatter";
    if (percentile >= 95.0)
        return prediction ? "95 % prediction limit of the site law"
                          : "line of the site law at 95 % of the scatter";
    if (percentile >= 90.0)
        return prediction ? "90 % prediction limit of the site law"
                          : "line of the site law at 90 % of the scatter";
    return prediction ? "prediction limit of the site law at its stated percentile"
                      : "line of the site law at its stated percentile";
}

/* The line and the upper value, as far as Y; then the step from Y to the value. */
static void say_values(const struct sg_site_law *law, const struct sg_law *upper, double x,
                       const struct sg_value *value, struct sg_working *working)
{
    double y = sg_site_law_line(law, x), p = upper->percentile / 100.0;
    double up = sg_site_law_upper(law, x, upper->percentile);
    bool level = sg_quantity_is_level(law->quantity);
    struct sg_text to[2] = { SG_TEXT_INIT, SG_TEXT_INIT };
    for (int i = 0; i < 2 && !level; i++)
        sg_text_printf(&to[i], ", v = 10^Y = %.4f mm/s", i == 0 ? value->central : value->upper);
    sg_working_add(working, NULL, "line", "Y = %.6f %+.6f x %.6f = %.6f%s", law->intercept,
                   law->slope, x, y, sg_text_string(&to[0]));
    if (law->upper == SG_LINE_PARALLEL)
        sg_working_add(working, NULL, "upper value", "Y = %.6f + %.4f x %.6f = %.6f%s (%g %%)", y,
                       printed_z(p), law->scatter, up, sg_text_string(&to[1]), upper->percentile);
    else
        sg_working_add(working, NULL, "upper value",
                       "Y = %.6f + %.6f x %.6f x sqrt(1 + %.6f + %.6f x (%.6f - %.6f)^2) = %.6f%s "
                       "(%g %%, t with %g degrees of freedom)",
                       y, t_or_z(p, law->dof), law->scatter, law->mean_variance,
                       law->slope_variance, x, law->centre, up, sg_text_string(&to[1]),
                       upper->percentile, law->dof);
    for (int i = 0; i < 2; i++)
        sg_text_release(&to[i]);
}

static void say(const struct sg_site_law *law, const struct sg_law *upper, double plan_m,
                const struct sg_value *value, struct sg_working *working)
{
    double r = sg_law_distance_of(upper, plan_m);
    double x = sg_site_law_x(law, r, upper->energy_J);
    sg_working_add(working, NULL, "relation", "site law '%s': %s", law->name, law->method);
    sg_working_add(working, NULL, "from", "%s", law->provenance);
    if (law->distance == SG_DISTANCE_TOE)
        sg_working_add(working, NULL, "distance to the toe",
                       "r = sqrt(L^2 + x^2) = sqrt(%.2f^2 + %.3f^2) = %.4f m", upper->toe_depth_m,
                       plan_m, r);
    if (law->scaled)
        sg_working_add(working, NULL, "abscissa", "X = lg(%.4f / sqrt(%.6g)) = %.6f", r,
                       upper->energy_J, x);
    else
        sg_working_add(working, NULL, "abscissa", "X = lg %.4f = %.6f", r, x);
    say_values(law, upper, x, value, working);
}

static bool outside(const struct sg_site_law *law, double r, double energy_J)
{
    bool energy = law->scaled && sg_is_set(law->energy_low_J) &&
                  !(energy_J >= law->energy_low_J * (1 - 1e-9) &&
                    energy_J <= law->energy_high_J * (1 + 1e-9));
    return energy || !(r >= law->low_m && r <= law->high_m);
}

sg_status sg_site_law_prepare(const struct sg_drive *drive, double percentile, struct sg_law *out,
                              struct sg_errors *errors)
{
    const struct sg_site_law *site = drive->site_law;
    struct sg_law law = { .form = SG_FORM_POWER,
                          .distance = site->distance,
                          .r_ref = 1,
                          .w_ref = 1,
                          .energy_J = 1,
                          .factor = 1,
                          .grade = SG_GRADE_USER,
                          .user = true,
                          .site = site,
                          .percentile = percentile };
    law.exceedance_percent = 100.0 - percentile;
    if (site->scaled) {
        if (!sg_is_set(drive->energy_J))
            return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                                 "site law '%s': the energy of a blow or cycle is needed, the law "
                                 "is on scaled distance",
                                 site->name);
        law.energy_J = drive->energy_J;
    }
    if (site->distance == SG_DISTANCE_TOE) {
        if (!sg_is_set(drive->toe_depth_m))
            return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                                 "site law '%s': the depth of the toe is needed", site->name);
        law.toe_depth_m = drive->toe_depth_m;
    }
    *out = law;
    return SG_OK;
}

sg_status sg_site_law_at(const struct sg_drive *drive, double distance_m, struct sg_value *out,
                         struct sg_working *working, struct sg_errors *errors)
{
    const struct sg_site_law *site = drive->site_law;
    struct sg_law central, upper;
    double percentile = sg_site_law_percentile(site, drive->percentile);
    sg_status status = sg_site_law_prepare(drive, 50.0, &central, errors);
    if (status == SG_OK)
        status = sg_site_law_prepare(drive, percentile, &upper, errors);
    if (status != SG_OK)
        return status;
    struct sg_value value = SG_VALUE_INIT;
    double r = sg_law_distance_of(&upper, distance_m);
    value.quantity = site->quantity;
    value.upper_text = upper_text(site, percentile);
    value.upper_exceedance_percent = 100.0 - percentile;
    value.technique = drive->technique;
    value.phase = drive->phase;
    value.origin = SG_PREDICTED;
    value.model = site->name;
    value.distance_m = distance_m;
    value.grade = SG_GRADE_USER;
    value.marks = SG_MARK_USER;
    value.central = sg_law_at(&central, distance_m);
    value.upper = sg_law_at(&upper, distance_m);
    bool out_of_range = outside(site, r, upper.energy_J);
    if (out_of_range) {
        value.marks |= SG_MARK_RANGE;
        sg_working_add(working, NULL, "outside the data of the site law",
                       "r = %.4g m; the data lie from %.4g to %.4g m", r, site->low_m,
                       site->high_m);
    }
    if (working)
        say(site, &upper, distance_m, &value, working);
    *out = value;
    return out_of_range ? SG_WARN_RANGE : SG_OK;
}
