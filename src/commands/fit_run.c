/* fit_run.c - the command `fit`: reads, fits or holds against, prints and writes. */
#include "fit_request.h"

#include <math.h>
#include <stdio.h>

#define TABLES_MOST 8

struct running {
    struct sg_fit_request *request;
    struct sg_errors errors;
    struct sg_loaded loaded; /* the site, when one is given */
    struct sg_pairs pairs;
    struct sg_fit fit;
    struct sg_against against;
    struct sg_fit_view view;
    double at_m[4 * SG_FIT_LIST_MOST];
    struct sg_table table[TABLES_MOST];
    size_t ntable;
    struct sg_prior prior;
};

/* ---- reading ---- */

static sg_status read_data(struct running *r)
{
    struct sg_grid data = SG_GRID_INIT, log = SG_GRID_INIT;
    const struct sg_fit_request *q = r->request;
    sg_status status = SG_OK;
    if (q->site)
        status = sg_loaded_read(&r->loaded, q->site, NULL, NULL);
    if (!sg_ok(status)) {
        r->errors = r->loaded.errors;
        r->loaded.errors = SG_ERRORS_INIT;
        return status;
    }
    status = sg_grid_read(q->data, &data, &r->errors);
    if (sg_ok(status) && q->log)
        status = sg_grid_read(q->log, &log, &r->errors);
    if (sg_ok(status))
        status = q->log ? sg_pairs_from_log(&data, &log, &r->loaded.site, &q->pairs, &r->pairs,
                                            &r->errors)
                        : sg_pairs_from_table(&data, &q->pairs, &r->pairs, &r->errors);
    sg_grid_release(&data);
    sg_grid_release(&log);
    for (size_t i = 0; sg_ok(status) && i < r->pairs.nnote; i++)
        fprintf(stderr, "note: %s: %s\n", q->data, r->pairs.note[i]);
    return status;
}

static const char *model_at(size_t i)
{
    return sg_model_at(i)->id;
}

static sg_status find_model(struct running *r, const char *id, const struct sg_model **out)
{
    *out = sg_model_find(id);
    return *out ? SG_OK
                : sg_command_unknown(&r->errors, "relation", id, "models", model_at,
                                     sg_model_count());
}

/* The limit in the unit of the values. */
static sg_status read_limit(struct running *r)
{
    const char *text = r->request->limit, *why = "is not above zero";
    double value = SG_UNSET;
    bool level = sg_quantity_is_level(r->pairs.quantity);
    r->view.limit = SG_UNSET;
    if (!text)
        return SG_OK;
    sg_status status =
        level ? sg_parse_number(text, &value, &why) : sg_parse_quantity(text, "mm/s", &value, &why);
    if (status != SG_OK || !(level || value > 0))
        return sg_errors_add(&r->errors, SG_ERR_USAGE, NULL, "--limit '%s' %s; allowed: %s", text,
                             why, level ? "a level in dB" : "a velocity, in mm/s or with its unit");
    r->view.limit = value;
    return SG_OK;
}

/* ---- fitting ---- */

/* Where the data lie, in m of the distance that they are stated in. */
static double middle_m(const struct sg_pairs *pairs)
{
    double sum = 0;
    for (size_t i = 0; i < pairs->count; i++)
        sum += log10(pairs->pair[i].distance_m);
    return pairs->count ? pow(10.0, sum / (double)pairs->count) : SG_UNSET;
}

static double mean_energy(const struct sg_pairs *pairs)
{
    double sum = 0;
    for (size_t i = 0; i < pairs->count; i++)
        sum += log10(pairs->pair[i].energy_J);
    return pairs->count ? pow(10.0, sum / (double)pairs->count) : SG_UNSET;
}

static sg_status make_prior(struct running *r)
{
    const struct sg_fit_request *q = r->request;
    const struct sg_model *model;
    struct sg_model_inputs in;
    sg_status status = find_model(r, q->prior, &model);
    if (status == SG_OK)
        status = sg_model_keys_read(model, q->set, q->nset, &in, &r->errors);
    if (status != SG_OK)
        return status;
    bool to_toe = r->pairs.distance == SG_DISTANCE_TOE;
    if (to_toe != (model->distance == SG_DISTANCE_TOE))
        return sg_errors_add(&r->errors, SG_ERR_INPUT, NULL,
                             "%s is on the distance %s, the data on the distance %s; allowed: the "
                             "same (--to-toe makes the distance to the toe)",
                             model->id, to_toe ? "in plan" : "to the toe",
                             to_toe ? "to the toe" : "in plan");
    if (!sg_is_set(in.drive.energy_J))
        in.drive.energy_J = mean_energy(&r->pairs);
    if (r->pairs.count == 0 || r->pairs.scaled_only)
        return sg_errors_add(&r->errors, SG_ERR_INPUT, NULL,
                             "--prior needs distances (and energies), not scaled distances alone");
    status = sg_prior_make(model, &in.drive, q->fit.scaled, middle_m(&r->pairs), q->prior_scatter,
                           &r->prior, &r->errors);
    if (sg_is_set(q->prior_site_share))
        r->prior.site_share = q->prior_site_share;
    if (sg_is_set(q->prior_slope_scatter))
        r->prior.slope_scatter = q->prior_slope_scatter;
    if (sg_is_set(q->prior_weight))
        r->prior.weight = q->prior_weight;
    return status;
}

/* Rounded distances over the range of the data, or those asked for. */
static void set_view(struct running *r)
{
    static const double steps[] = { 1, 1.5, 2, 3, 5, 7 };
    const struct sg_fit_request *q = r->request;
    struct sg_fit_view *view = &r->view;
    double low = SG_INFINITY, high = 0;
    for (size_t i = 0; i < r->fit.count; i++) {
        double at = r->pairs.pair[i].distance_m;
        if (r->fit.law.scaled && !sg_is_set(q->energy_J))
            at = pow(10.0, r->fit.point[i].x);
        low = fmin(low, at);
        high = fmax(high, at);
    }
    for (size_t i = 0; i < q->nat; i++)
        r->at_m[view->nat++] = q->at_m[i];
    for (int decade = -4; decade < 5 && q->nat == 0; decade++) {
        for (size_t i = 0; i < SG_COUNT(steps) && view->nat < SG_COUNT(r->at_m); i++) {
            double at = steps[i] * pow(10.0, decade);
            if (at >= low * 0.999 && at <= high * 1.001)
                r->at_m[view->nat++] = at;
        }
    }
    if (view->nat == 0)
        r->at_m[view->nat++] = low;
    view->at_m = r->at_m;
    view->percentile = q->percentile;
    view->confidence = q->confidence;
    view->share_percent = q->share_percent;
    view->energy_J = q->energy_J;
    view->piles = q->piles;
    view->site = q->site ? &r->loaded.site : NULL;
}

/* ---- the law ---- */

static sg_status refuse_word(struct running *r, const char *option, const char *word,
                             const char *allowed)
{
    return sg_errors_add(&r->errors, SG_ERR_USAGE, NULL, "--%s is '%s'; allowed: %s", option, word,
                         allowed);
}

/* What all values say of themselves, or NULL. */
static const char *common_phase(const struct sg_pairs *pairs)
{
    const char *phase = pairs->count ? pairs->pair[0].phase : "";
    for (size_t i = 1; i < pairs->count; i++) {
        if (!sg_same(pairs->pair[i].phase, phase))
            return "all";
    }
    return phase[0] ? phase : "all";
}

static sg_status set_phase(struct running *r, struct sg_site_law *law)
{
    const char *given = r->request->phase;
    const char *word = given ? given : common_phase(&r->pairs);
    for (int p = 0; p < SG_PHASE_END; p++) {
        if (sg_same(sg_phase_id((enum sg_phase)p), word)) {
            law->phase = (enum sg_phase)p;
            return SG_OK;
        }
    }
    return sg_errors_add(&r->errors, given ? SG_ERR_USAGE : SG_ERR_INPUT, NULL,
                         "phase '%s' is not known; allowed: --phase all, steady or start-stop",
                         word);
}

static sg_status name_law(struct running *r)
{
    const struct sg_fit_request *q = r->request;
    struct sg_site_law *law = &r->fit.law;
    const char *position = q->position ? q->position
                           : r->pairs.count && r->pairs.pair[0].position[0]
                               ? r->pairs.pair[0].position
                               : "free-field";
    law->upper = q->upper;
    law->percentile = q->percentile;
    law->name = q->name ? q->name : "site law";
    if (!q->output)
        return SG_OK;
    if (sg_technique_find(q->technique, &law->technique) != SG_OK)
        return refuse_word(r, "technique", q->technique,
                           "impact, vibratory, press-in, press-in-jetting, press-in-augering");
    if (sg_position_find(position, &law->position) != SG_OK)
        return refuse_word(r, "position", position,
                           "free-field, boundary, facade, foundation, floor, topmost-floor, asset");
    return set_phase(r, law);
}

static sg_status check_law(struct running *r)
{
    const struct sg_fit *fit = &r->fit;
    struct sg_place at = { r->request->data, 0, 0 };
    bool own_line = !fit->slope_fixed && fit->kind != SG_FIT_UPDATE;
    if (own_line && fit->count < SG_FIT_POINTS_LAW)
        return sg_errors_add(
            &r->errors, SG_ERR_INPUT, &at,
            "%zu values are too few for a law of their own; allowed: %u or more, a "
            "slope that is given (--slope), or an update (--prior)",
            fit->count, SG_FIT_POINTS_LAW);
    if (!(fit->law.slope < 0))
        return sg_errors_add(&r->errors, SG_ERR_INPUT, &at,
                             "the line does not fall with distance and is kept as no law; allowed: "
                             "values that fall, or a slope that is given (--slope)");
    if (fit->law.scaled && !sg_is_set(fit->law.energy_low_J))
        return sg_errors_add(&r->errors, SG_ERR_INPUT, &at,
                             "scaled distances alone do not say from which distances and energies "
                             "they come, and a law states its range; allowed: a column of "
                             "distances and one of energies, with --scaled");
    return SG_OK;
}

static int write_law(struct running *r)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_site_law_put(&r->fit.law, &text);
    int result = sg_command_output(r->request->output, &text);
    sg_text_release(&text);
    return result;
}

static int write_plot(struct running *r)
{
    struct sg_text svg = SG_TEXT_INIT;
    int result;
    sg_status status = sg_plot_fit(&r->fit.law, &r->view, r->request->plots, &svg, &r->errors);
    if (sg_ok(status))
        result = r->request->plot ? sg_command_output(r->request->plot, &svg) : 0;
    else
        result = sg_command_fail(&r->errors, status);
    sg_text_release(&svg);
    return result;
}

/* ---- printing ---- */

/* Receptors of the site, else the distances of the view. */
static sg_status trial_table(struct running *r, struct sg_table *out)
{
    struct sg_trial trial[SG_FIT_LIST_MOST];
    size_t count = 0;
    const struct sg_site *site = r->request->nat ? NULL : r->view.site;
    size_t n = site ? site->nreceptor : r->view.nat;
    for (size_t i = 0; i < n && count < SG_COUNT(trial); i++) {
        double at = site ? SG_UNSET : r->view.at_m[i];
        size_t pile = site ? sg_site_nearest_pile(site, i) : SIZE_MAX;
        if (pile != SIZE_MAX)
            at = sg_site_distance_m(&site->receptor[i], site->pile[pile].at);
        double energy_J = sg_is_set(r->view.energy_J) ? r->view.energy_J : 1.0;
        if (sg_trial_plan(&r->fit, at, energy_J, r->view.confidence, 0.5, &trial[count]) == SG_OK)
            count++;
    }
    return sg_table_trial(&r->fit, trial, count, out);
}

static sg_status add_table(struct running *r, sg_status status)
{
    r->ntable += sg_ok(status);
    return status;
}

static sg_status make_tables(struct running *r)
{
    sg_status status = add_table(r, sg_table_fit(&r->fit, &r->table[r->ntable]));
    if (sg_ok(status))
        status = add_table(r, sg_table_fit_lines(&r->fit, &r->view, &r->table[r->ntable]));
    if (sg_ok(status))
        status = add_table(r, sg_table_fit_points(&r->fit, &r->pairs, &r->table[r->ntable]));
    if (sg_ok(status) && sg_is_set(r->view.limit)) {
        status = add_table(r, sg_table_fit_share(&r->fit, &r->view, &r->table[r->ntable]));
        if (sg_ok(status))
            status = add_table(r, sg_table_fit_chance(&r->fit, &r->view, &r->table[r->ntable]));
    }
    if (sg_ok(status) && r->request->trial)
        status = add_table(r, trial_table(r, &r->table[r->ntable]));
    return status;
}

static int print_tables(struct running *r)
{
    const struct sg_table *list[TABLES_MOST];
    for (size_t i = 0; i < r->ntable; i++)
        list[i] = &r->table[i];
    return sg_command_tables(list, r->ntable, r->request->format);
}

static int fit_and_print(struct running *r)
{
    int result = 0;
    sg_status status = SG_OK;
    if (r->request->prior) {
        status = make_prior(r);
        r->request->fit.prior = &r->prior;
    }
    if (sg_ok(status))
        status = sg_fit_make(&r->pairs, &r->request->fit, &r->fit, &r->errors);
    if (sg_ok(status) && sg_is_set(r->request->energy_J) && !r->fit.law.scaled)
        status = sg_errors_add(&r->errors, SG_ERR_USAGE, NULL,
                               "--energy says nothing to a line on plain distance; allowed: with "
                               "--scaled, or with scaled distances");
    if (sg_ok(status))
        status = name_law(r);
    if (sg_ok(status)) {
        set_view(r);
        status = make_tables(r);
    }
    if (sg_ok(status) && r->request->output)
        status = check_law(r);
    if (!sg_ok(status))
        return sg_command_fail(&r->errors, status);
    if (r->request->plot || r->request->plots)
        result = write_plot(r);
    if (result == 0 && r->request->output) /* last: a law that is there is one of a whole run */
        result = write_law(r);
    for (size_t i = 0; i < r->fit.nwarning && r->request->format != SG_FORMAT_TABLE; i++)
        fprintf(stderr, "warning: %s: %s\n", r->request->data, r->fit.warning[i]);
    bool to_stdout = sg_same(r->request->output, "-") || sg_same(r->request->plot, "-");
    return result == 0 && !to_stdout ? print_tables(r) : result;
}

static int hold_against(struct running *r)
{
    const struct sg_fit_request *q = r->request;
    const struct sg_model *model = sg_model_at(0); /* not looked at when there is a law */
    struct sg_model_inputs in = { .drive = SG_DRIVE_INIT };
    struct sg_site_law law = SG_SITE_LAW_INIT;
    bool column = sg_same(q->against, "predicted");
    const char *name = q->law ? q->law : q->against;
    sg_status status = SG_OK;
    if (q->law) {
        status = sg_site_law_read(q->law, &law, &r->errors);
        in.drive.technique = law.technique;
        in.drive.site_law = &law;
    } else if (!column) {
        status = find_model(r, q->against, &model);
        if (status == SG_OK)
            status = sg_model_keys_read(model, q->set, q->nset, &in, &r->errors);
    }
    in.drive.percentile = q->percentile;
    if (sg_ok(status))
        status =
            sg_against_make(&r->pairs, model, column ? NULL : &in.drive, &r->against, &r->errors);
    if (sg_ok(status))
        status = add_table(r, sg_table_against(&r->against, name, &r->table[r->ntable]));
    if (sg_ok(status))
        status =
            add_table(r, sg_table_against_points(&r->against, &r->pairs, &r->table[r->ntable]));
    int result = sg_ok(status) ? print_tables(r) : sg_command_fail(&r->errors, status);
    if (result == 0 && r->against.trust == SG_TRUST_UNSAFE)
        result = 1;
    sg_site_law_release(&law);
    return result;
}

int sg_fit_run(struct sg_fit_request *request)
{
    struct running r = { .request = request,
                         .errors = SG_ERRORS_INIT,
                         .loaded = SG_LOADED_INIT,
                         .pairs = SG_PAIRS_INIT,
                         .fit = SG_FIT_INIT,
                         .against = SG_AGAINST_INIT };
    int result;
    sg_status status = read_data(&r);
    if (sg_ok(status))
        status = read_limit(&r);
    if (!sg_ok(status))
        result = sg_command_fail(&r.errors, status);
    else if (request->against || request->law)
        result = hold_against(&r);
    else
        result = fit_and_print(&r);
    for (size_t i = 0; i < r.ntable; i++)
        sg_table_release(&r.table[i]);
    sg_against_release(&r.against);
    sg_fit_release(&r.fit);
    sg_pairs_release(&r.pairs);
    sg_loaded_release(&r.loaded);
    sg_errors_release(&r.errors);
    return result;
}
