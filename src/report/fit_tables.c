/* fit_tables.c - a fit, its points and what follows from it, as tables. */
#include "internal.h"

#include "stillground/fit.h"

#include <math.h>

static const char *y_unit(const struct sg_site_law *law)
{
    return sg_quantity_is_level(law->quantity) ? "dB" : "lg units";
}

static void row(struct sg_table *table, const char *what, double number, int decimals,
                const char *unit)
{
    sg_table_text(table, what);
    sg_table_number_to(table, number, decimals);
    sg_table_text(table, unit);
}

static void put_line(const struct sg_fit *fit, struct sg_table *out)
{
    const struct sg_site_law *law = &fit->law;
    bool level = sg_quantity_is_level(law->quantity);
    row(out, "values", (double)fit->count, 0, "");
    row(out, "intercept a", law->intercept, 6, y_unit(law));
    row(out, "slope b", law->slope, 6, level ? "dB per tenfold distance" : "");
    if (!level)
        row(out, "K = 10^a", pow(10.0, law->intercept), 4, "mm/s");
    row(out, "residual standard deviation s", law->scatter, 6, y_unit(law));
    if (!level)
        row(out, "the same as a factor, 10^s", pow(10.0, law->scatter), 3, "");
    row(out, "degrees of freedom", isfinite(law->dof) ? law->dof : SG_UNSET,
        fabs(law->dof - round(law->dof)) > 1e-9 ? 1 : 0, "");
    row(out, "R^2", fit->r_squared, 5, "");
    row(out, "mean of X", fit->x_mean, 6, "");
    row(out, "S_xx", fit->s_xx, 6, "");
    row(out, "standard error of a", fit->intercept_error, 6, y_unit(law));
    row(out, "standard error of b", fit->slope_error, 6, "");
    row(out, "shared part of the scatter", law->shared_scatter, 6, y_unit(law));
    row(out, "part of each pile", law->pile_scatter, 6, y_unit(law));
    row(out, "nearest value", law->low_m, 3, fit->law.scaled ? "m, or m/sqrt(J)" : "m");
    row(out, "farthest value", law->high_m, 3, fit->law.scaled ? "m, or m/sqrt(J)" : "m");
    row(out, "wild values", (double)fit->noutlier, 0, "");
}

sg_status sg_table_fit(const struct sg_fit *fit, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "item", "item", 0, false },
        { "value", "value", 6, true },
        { "unit", "unit", 0, false },
    };
    const struct sg_site_law *law = &fit->law;
    sg_table_init(out, "fit", "Fitted line", columns, SG_COUNT(columns));
    put_line(fit, out);
    sg_table_note(out, "Y = a + b X; Y = %s, X = lg %s, r in m%s (%s distance). %s.",
                  sg_quantity_is_level(law->quantity) ? "level in dB" : "lg v, v in mm/s",
                  law->scaled ? "(r / sqrt(W))" : "r", law->scaled ? ", W in J" : "",
                  law->distance == SG_DISTANCE_TOE ? "toe" : "plan", law->method);
    if (law->provenance[0])
        sg_table_note(out, "From %s.", law->provenance);
    for (size_t i = 0; i < fit->nwarning; i++)
        sg_table_note(out, "Warning: %s.", fit->warning[i]);
    sg_table_note(out, "A law holds for its ground, its way of installing and its range; a "
                       "competent person must judge it. Local codes and the permit win.");
    return sg_report_table_status(out);
}

/* Beyond the data a straight line is a guess, however narrow its limits look. */
static void note_outside(const struct sg_fit *fit, const struct sg_fit_view *view,
                         struct sg_table *out)
{
    const double slack = log10(1.01); /* the rounded distances of the table */
    double low = SG_INFINITY, high = -SG_INFINITY;
    size_t outside = 0;
    for (size_t i = 0; i < fit->count; i++) {
        low = fmin(low, fit->point[i].x);
        high = fmax(high, fit->point[i].x);
    }
    for (size_t i = 0; i < view->nat; i++) {
        double energy_J = sg_is_set(view->energy_J) ? view->energy_J : 1.0;
        double x = sg_site_law_x(&fit->law, view->at_m[i], energy_J);
        outside += x < low - slack || x > high + slack;
    }
    if (outside > 0)
        sg_table_note(out,
                      "Outside the data, and not borne out by them: %zu of these distances (the "
                      "data lie from %.4g to %.4g %s).",
                      outside, pow(10.0, low), pow(10.0, high),
                      fit->law.scaled ? "m/sqrt(J)" : "m");
}

/* At the distances asked for, or at rounded ones over the range of the data. */
sg_status sg_table_fit_lines(const struct sg_fit *fit, const struct sg_fit_view *view,
                             struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "distance_m", "distance\nm", 2, true },
        { "central", "50 %", 4, true },
        { "parallel_84", "84 % line\n+ s", 4, true },
        { "parallel", "line at\npercentile", 4, true },
        { "prediction", "prediction\nlimit", 4, true },
        { "mean_low", "mean\nfrom", 4, true },
        { "mean_high", "mean\nto", 4, true },
        { "tolerance", "tolerance\nlimit", 4, true },
    };
    const struct sg_site_law *law = &fit->law;
    struct sg_site_law parallel = *law, prediction = *law;
    double p = view->percentile, c = view->confidence;
    parallel.upper = SG_LINE_PARALLEL;
    prediction.upper = SG_LINE_PREDICTION;
    sg_table_init(out, "lines", "Line and limits", columns, SG_COUNT(columns));
    for (size_t i = 0; i < view->nat; i++) {
        double energy_J = sg_is_set(view->energy_J) ? view->energy_J : 1.0, low, high;
        double x = sg_site_law_x(law, view->at_m[i], energy_J), y = sg_site_law_line(law, x);
        sg_fit_mean_band(law, x, c, &low, &high);
        sg_table_number_to(out, view->at_m[i], law->scaled ? 4 : 2);
        sg_table_number(out, sg_site_law_value(law, y));
        sg_table_number(out, sg_site_law_value(law, y + law->scatter));
        sg_table_number(out, sg_site_law_value(law, sg_site_law_upper(&parallel, x, p)));
        sg_table_number(out, sg_site_law_value(law, sg_site_law_upper(&prediction, x, p)));
        sg_table_number(out, sg_site_law_value(law, low));
        sg_table_number(out, sg_site_law_value(law, high));
        sg_table_number(out, sg_site_law_value(law, sg_fit_tolerance(law, x, p, c)));
    }
    sg_table_note(out,
                  "In %s. Percentile %g %%: the parallel line is Y + z s; the prediction limit "
                  "(Student t) is kept by one value more with that probability; below the "
                  "tolerance limit lie %g %% of all values with %g %% confidence. The mean "
                  "line lies between 'mean from' and 'mean to' with %g %% confidence.",
                  sg_quantity_unit(law->quantity), p, p, c, c);
    if (law->scaled)
        sg_table_note(out, "%s",
                      sg_is_set(view->energy_J)
                          ? "Distances in m, at the energy that was given."
                          : "The first column is the scaled distance, m/sqrt(J).");
    note_outside(fit, view, out);
    return sg_report_table_status(out);
}

sg_status sg_table_fit_points(const struct sg_fit *fit, const struct sg_pairs *pairs,
                              struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "line", "line", 0, true },
        { "receptor", "receptor", 0, false },
        { "pile", "pile", 0, false },
        { "distance_m", "distance\nm", 2, true },
        { "energy_J", "energy\nJ", 0, true },
        { "measured", "measured", 4, true },
        { "line_value", "line", 4, true },
        { "residual", "residual\nY units", 4, true },
        { "standardised", "residual\n/ its SD", 2, true },
        { "weight", "weight", 3, true },
        { "wild", "", 0, false },
    };
    const struct sg_site_law *law = &fit->law;
    sg_table_init(out, "points", "Values behind the line", columns, SG_COUNT(columns));
    for (size_t i = 0; i < fit->count; i++) {
        const struct sg_fit_point *p = &fit->point[i];
        const struct sg_pair *pair = &pairs->pair[i];
        sg_table_number(out, (double)pair->place.line);
        sg_table_text(out, pair->receptor);
        sg_table_text(out, pair->pile);
        sg_table_number_to(out, pair->distance_m, pairs->scaled_only ? 4 : 2);
        sg_table_number(out, pair->energy_J);
        sg_table_number(out, pair->value);
        sg_table_number(out, sg_site_law_value(law, sg_site_law_line(law, p->x)));
        sg_table_number(out, p->residual);
        sg_table_number(out, p->standardised);
        sg_table_number(out, p->weight);
        sg_table_text(out, p->outlier ? "wild" : "");
    }
    if (fit->noutlier > 0)
        sg_table_note(out,
                      "wild: so far from the line that fewer than one value in a hundred would "
                      "be; it stays in the fit.");
    return sg_report_table_status(out);
}

/* ---- questions put to the law ---------------------------------------------------------------- */

static double distance_of(const struct sg_site_law *law, double percentile, double energy_J,
                          double value)
{
    struct sg_law curve;
    struct sg_drive drive = SG_DRIVE_INIT;
    double out = SG_UNSET;
    struct sg_site_law copy = *law;
    copy.percentile = percentile;
    copy.distance = SG_DISTANCE_PLAN; /* the distance the law is written in is asked for */
    drive.site_law = &copy;
    drive.percentile = percentile;
    drive.energy_J = energy_J;
    enum sg_level level = percentile > 50 ? SG_LEVEL_UPPER : SG_LEVEL_CENTRAL;
    if (sg_law_prepare(NULL, &drive, level, &curve, NULL) != SG_OK ||
        sg_law_distance(&curve, value, &out) != SG_OK)
        return SG_UNSET;
    return out;
}

/* A law on scaled distance is asked at the energy that was given; without one at an energy so large
 * that its scaled distances all lie beyond the nearest distance of a law, and `unit` brings the
 * answer back to m/sqrt(J). Its reach is in m only if the data state distances. */
struct asked {
    struct sg_site_law law;
    double energy_J, unit;
};

static struct asked ask(const struct sg_fit *fit, const struct sg_fit_view *view)
{
    const double plenty_J = 1e8;
    struct asked asked = { fit->law, view->energy_J, 1.0 };
    bool given = sg_is_set(view->energy_J);
    if (!fit->law.scaled || (given && sg_is_set(fit->law.energy_low_J)))
        return asked;
    if (!given) {
        asked.energy_J = plenty_J;
        asked.unit = 1.0 / sqrt(plenty_J);
    }
    double low = SG_INFINITY, high = -SG_INFINITY;
    for (size_t i = 0; i < fit->count; i++) {
        low = fmin(low, fit->point[i].x);
        high = fmax(high, fit->point[i].x);
    }
    asked.law.low_m = pow(10.0, low) * sqrt(asked.energy_J);
    asked.law.high_m = pow(10.0, high) * sqrt(asked.energy_J);
    return asked;
}

sg_status sg_table_fit_share(const struct sg_fit *fit, const struct sg_fit_view *view,
                             struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "limit", "limit", -1, true },
        { "share_percent", "share\n%", 0, true },
        { "value", "share of limit", -1, true },
        { "central_m", "by the line\nm", -1, true },
        { "upper_m", "by the upper\nline, m", -1, true },
        { "outside", "", 0, false },
    };
    const struct asked asked = ask(fit, view);
    const struct sg_site_law *law = &asked.law;
    int places = asked.unit < 1.0 ? 4 : 2;
    bool level = sg_quantity_is_level(law->quantity);
    double value = level ? view->limit + 20.0 * log10(view->share_percent / 100.0)
                         : view->limit * view->share_percent / 100.0;
    double central = distance_of(law, 50.0, asked.energy_J, value);
    double upper = distance_of(law, view->percentile, asked.energy_J, value);
    sg_table_init(out, "least_distance", "Distance from which on a share of the limit is kept",
                  columns, SG_COUNT(columns));
    sg_table_number(out, view->limit);
    sg_table_number(out, view->share_percent);
    sg_table_number(out, value);
    sg_table_number_to(out, central * asked.unit, places);
    sg_table_number_to(out, upper * asked.unit, places);
    sg_table_text(out, !(upper >= law->low_m && upper <= law->high_m)
                           ? "outside the distances of the data"
                           : "");
    sg_table_note(out,
                  "Upper: %s at %g %%, for one value (pile). '-': no such distance from 1 m to "
                  "ten times the farthest value.",
                  law->upper == SG_LINE_PREDICTION ? "prediction limit" : "parallel line",
                  view->percentile);
    if (asked.unit < 1.0)
        sg_table_note(out, "Both are scaled distances, m/sqrt(J); --energy turns them into m.");
    return sg_report_table_status(out);
}

sg_status sg_table_fit_chance(const struct sg_fit *fit, const struct sg_fit_view *view,
                              struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "distance_m", "distance\nm", 2, true },
        { "limit", "limit", -1, true },
        { "piles", "piles", 0, true },
        { "one_percent", "one pile over\n%", 2, true },
        { "any_percent", "any of them over\n%", 2, true },
    };
    const struct sg_site_law *law = &fit->law;
    bool level = sg_quantity_is_level(law->quantity);
    double limit = level ? view->limit : log10(view->limit);
    double *y = sg_alloc(view->piles, sizeof *y), *common = sg_alloc(view->piles, sizeof *common);
    sg_table_init(out, "chance", "Chance that the limit is passed", columns, SG_COUNT(columns));
    for (size_t i = 0; i < view->nat && y != NULL && common != NULL; i++) {
        double energy_J = sg_is_set(view->energy_J) ? view->energy_J : 1.0;
        double x = sg_site_law_x(law, view->at_m[i], energy_J);
        double off = x - law->centre;
        double unknown = law->scatter * sqrt(law->mean_variance + law->slope_variance * off * off);
        for (size_t k = 0; k < view->piles; k++) {
            y[k] = sg_site_law_line(law, x);
            common[k] = hypot(unknown, law->shared_scatter);
        }
        sg_table_number(out, view->at_m[i]);
        sg_table_number(out, view->limit);
        sg_table_number(out, (double)view->piles);
        sg_table_number(out,
                        100.0 * sg_chance_any(y, common, 1, law->pile_scatter, law->dof, limit));
        sg_table_number(
            out, 100.0 * sg_chance_any(y, common, view->piles, law->pile_scatter, law->dof, limit));
    }
    sg_table_note(out,
                  "All piles at the same distance. They share what is not known of the line and "
                  "the shared part of the scatter; the rest is each pile's own.");
    bool nomem = y == NULL || common == NULL;
    sg_free(y);
    sg_free(common);
    return nomem ? SG_ERR_NOMEM : sg_report_table_status(out);
}

sg_status sg_table_trial(const struct sg_fit *fit, const struct sg_trial *trial, size_t count,
                         struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "distance_m", "receptor at\nm", 2, true },
        { "now", "interval now\n+-", 4, true },
        { "wanted", "wanted\n+-", 4, true },
        { "design", "values more", 0, false },
        { "needed", "how many", 0, true },
        { "reached", "reached\n+-", 4, true },
        { "one_pile_now", "one pile\nnow +-", 4, true },
        { "one_pile_floor", "one pile, endless\ndata +-", 4, true },
    };
    sg_table_init(out, "trial", "Values more for a narrower interval", columns, SG_COUNT(columns));
    for (size_t i = 0; i < count; i++) {
        for (int d = 0; d < SG_TRIAL_END; d++) {
            const struct sg_trial *t = &trial[i];
            sg_table_number(out, t->distance_m);
            sg_table_number(out, t->now);
            sg_table_number(out, t->wanted);
            sg_table_text(out, sg_trial_text((enum sg_trial_design)d));
            sg_table_number(out, t->needed[d] > 0 ? (double)t->needed[d] : SG_UNSET);
            sg_table_number(out, t->reached[d]);
            sg_table_number(out, t->prediction_now);
            sg_table_number(out, t->prediction_floor);
        }
    }
    sg_table_note(out,
                  "In %s, half width of the confidence interval of the mean line. The scatter of "
                  "single piles stays, however many are measured: the last column.",
                  y_unit(&fit->law));
    return sg_report_table_status(out);
}

/* ---- predicted against measured -------------------------------------------------------------- */

sg_status sg_table_against_points(const struct sg_against *against, const struct sg_pairs *pairs,
                                  struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "line", "line", 0, true },
        { "receptor", "receptor", 0, false },
        { "distance_m", "distance\nm", 2, true },
        { "measured", "measured", -1, true },
        { "central", "predicted\ncentral", -1, true },
        { "upper", "predicted\nupper", -1, true },
        { "ratio", "measured\n/ central", 2, true },
        { "deviation", "deviation\nlg or dB", 3, true },
        { "over", "", 0, false },
        { "marks", "marks", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "against_points", "Predicted against measured", columns, SG_COUNT(columns));
    for (size_t i = 0; i < against->count; i++) {
        const struct sg_against_point *p = &against->point[i];
        sg_table_number(out, (double)pairs->pair[i].place.line);
        sg_table_text(out, pairs->pair[i].receptor);
        sg_table_number(out, pairs->pair[i].distance_m);
        sg_table_number(out, p->measured);
        sg_table_number(out, p->central);
        sg_table_number(out, p->upper);
        sg_table_number(out, against->level ? SG_UNSET : p->measured / p->central);
        sg_table_number(out, p->deviation);
        sg_table_text(out, p->over_upper                                 ? "over upper"
                           : against->level && p->deviation > 3.0 + 1e-9 ? "more than 3 dB above"
                                                                         : "");
        sg_report_put_marks(out, p->marks);
        seen |= p->marks;
    }
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

sg_status sg_table_against(const struct sg_against *a, const char *model, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "item", "item", 0, false },
        { "value", "value", 3, true },
        { "unit", "unit", 0, false },
    };
    const char *unit = a->level ? "dB" : "lg units";
    sg_table_init(out, "against", "Is the prediction safe on this site?", columns,
                  SG_COUNT(columns));
    row(out, "values", (double)a->count, 0, "");
    row(out, "bias, measured over central", a->bias, 4, unit);
    row(out, "from (95 % confidence)", a->bias_low, 4, unit);
    row(out, "to", a->bias_high, 4, unit);
    if (!a->level)
        row(out, "bias as a factor", pow(10.0, a->bias), 3, "");
    row(out, "spread of the deviations (1 SD)", a->spread, 4, unit);
    if (!a->level)
        row(out, "within a factor of two", a->factor_two_percent, 1, "%");
    if (a->level) {
        row(out, "within 3 dB", (double)a->within_3db, 0, "values");
        row(out, "more than 3 dB above", (double)a->above_3db, 0, "values");
        row(out, "more than 3 dB below", (double)a->below_3db, 0, "values");
    }
    if (a->has_upper) {
        double n = (double)a->count;
        row(out, "over the upper value", (double)a->over_upper, 0, "values");
        row(out, "kept by the upper value", 100.0 * (n - (double)a->over_upper) / n, 1, "%");
        row(out, "should be kept by it",
            sg_is_set(a->exceedance_percent) ? 100.0 - a->exceedance_percent : SG_UNSET, 1, "%");
        row(out, "true share over, from (90 % confidence)", a->exceedance_low, 1, "%");
        row(out, "to", a->exceedance_high, 1, "%");
        row(out, "chance of so many over, if it were so", 100.0 * a->chance_of_so_many, 2, "%");
    }
    sg_table_text(out, sg_trust_text(a->trust));
    sg_table_number(out, SG_UNSET);
    sg_table_text(out, "verdict");
    sg_table_note(out, "%s: %s: %s.", model, sg_trust_text(a->trust), a->why);
    sg_table_note(out, "A verdict on the relation at the places that were measured, not on what it "
                       "will do elsewhere.");
    return sg_report_table_status(out);
}
