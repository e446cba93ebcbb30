/* models.c - the command `models`: lists the vibration relations, shows one with its constants, or
 * works one out by hand, so that anybody can repeat a published example in one line. */
#include "by_hand.h"
#include "models_keys.h"

#include <stdio.h>
#include <string.h>

static int print_one(struct sg_table *table, enum sg_format format)
{
    const struct sg_table *list[] = { table };
    int result = sg_command_tables(list, 1, format);
    sg_table_release(table);
    return result;
}

/* ---- the list -------------------------------------------------------------------------------- */

static void put_techniques(struct sg_table *table, unsigned techniques)
{
    struct sg_text text = SG_TEXT_INIT;
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        if (techniques & SG_TECHNIQUE_BIT(t))
            sg_text_printf(&text, "%s%s", text.length > 0 ? " " : "",
                           sg_technique_id((enum sg_technique)t));
    }
    sg_table_text(table, text.length > 0 ? sg_text_string(&text) : "by hand");
    sg_text_release(&text);
}

static enum sg_grade worst_grade(const struct sg_model *model)
{
    enum sg_grade worst = model->cite.grade;
    for (size_t i = 0; i < model->ncoefficient; i++)
        worst = sg_grade_worse(worst, model->coefficient[i].cite.grade);
    for (size_t i = 0; i < model->npart; i++)
        worst = sg_grade_worse(worst, worst_grade(sg_model_find(model->part[i].model)));
    return worst;
}

static const char *grade_text(enum sg_grade grade)
{
    return sg_grade_unverified(grade) ? "unverified" : sg_grade_name(grade);
}

static int print_list(enum sg_format format)
{
    static const struct sg_column columns[] = {
        { "id", "id", 0, false },
        { "techniques", "techniques", 0, false },
        { "quantity", "quantity", 0, false },
        { "formula", "formula", 0, false },
        { "upper", "upper value", 0, false },
        { "grade", "grade", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "models", "Vibration relations", columns, SG_COUNT(columns));
    for (size_t i = 0; i < sg_model_count(); i++) {
        const struct sg_model *model = sg_model_at(i);
        sg_table_text(&table, model->id);
        put_techniques(&table, model->techniques);
        sg_table_text(&table, sg_quantity_id(model->quantity));
        sg_table_text(&table, model->formula);
        sg_table_text(&table, sg_upper_text(model->upper));
        sg_table_text(&table, grade_text(worst_grade(model)));
    }
    sg_table_note(&table, "unverified: a constant was not checked on paper; "
                          "`stillground models ID` shows which.");
    return print_one(&table, format);
}

/* ---- one relation ---------------------------------------------------------------------------- */

static void put_constant(struct sg_table *table, const struct sg_coefficient *c)
{
    sg_table_text(table, c->symbol);
    sg_table_text(table, c->key ? c->key : "");
    sg_table_text(table, c->level == SG_LEVEL_ANY ? "" : sg_level_id(c->level));
    sg_table_printf(table, "%.6g", c->value);
    sg_table_text(table, c->unit);
    sg_table_printf(table, "%s, %s", c->cite.document, c->cite.locus);
    sg_table_text(table, sg_grade_name(c->cite.grade));
}

static void put_range(struct sg_table *table, const struct sg_range *range)
{
    sg_table_printf(table, "range of %s", range->input);
    sg_table_text(table, "");
    sg_table_text(table, "");
    sg_table_printf(table, "%.6g to %.6g", range->low, range->high);
    sg_table_text(table, "");
    sg_table_printf(table, "%s, %s", range->cite.document, range->cite.locus);
    sg_table_text(table, sg_grade_name(range->cite.grade));
}

static int print_model(const struct sg_model *model, enum sg_format format)
{
    static const struct sg_column columns[] = {
        { "symbol", "symbol", 0, false }, { "row", "row", 0, false },
        { "level", "level", 0, false },   { "value", "value", 0, false },
        { "unit", "unit", 0, false },     { "source", "source", 0, false },
        { "grade", "grade", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, model->id, model->title, columns, SG_COUNT(columns));
    for (size_t i = 0; i < model->ncoefficient; i++)
        put_constant(&table, &model->coefficient[i]);
    for (size_t i = 0; i < model->nrange; i++)
        put_range(&table, &model->range[i]);
    sg_table_note(&table, "%s", model->formula);
    sg_table_note(&table, "upper value: %s", sg_upper_text(model->upper));
    for (size_t i = 0; i < model->npart; i++)
        sg_table_note(&table, "part: %s%s%s", model->part[i].model,
                      model->part[i].variant ? ", chosen by variant=" : "",
                      model->part[i].variant ? model->part[i].variant : "");
    for (const char *const *note = model->note; note && *note; note++)
        sg_table_note(&table, "%s", *note);
    return print_one(&table, format);
}

/* ---- one value by hand ----------------------------------------------------------------------- */

/* The value again in the unit of documents that print inches. */
static void add_inches(const struct sg_value *value, struct sg_working *working)
{
    if (value->quantity != SG_Q_PPV)
        return;
    sg_working_add(working, NULL, "in inches", "%.4f mm/s / 25.4 = %.5f in/s%s", value->central,
                   value->central / SG_MM_PER_INCH,
                   value->upper > value->central ? " central" : "");
    if (value->upper > value->central)
        sg_working_add(working, NULL, "in inches", "%.4f mm/s / 25.4 = %.5f in/s upper",
                       value->upper, value->upper / SG_MM_PER_INCH);
}

static sg_status forward(const struct sg_model *model, const struct sg_model_inputs *in,
                         struct sg_working *working, struct sg_errors *errors)
{
    struct sg_value value = SG_VALUE_INIT;
    sg_status status = sg_vibration_at(model, &in->drive, in->distance_m, &value, working, errors);
    if (!sg_ok(status)) {
        if (value.why)
            sg_errors_add(errors, status, NULL, "distance_m: %.6g; %s", in->distance_m, value.why);
        return status;
    }
    add_inches(&value, working);
    return status;
}

static sg_status backward(const struct sg_model *model, const struct sg_model_inputs *in,
                          enum sg_level level, struct sg_working *working, struct sg_errors *errors)
{
    struct sg_law law;
    double distance_m;
    sg_status status = sg_law_prepare(model, &in->drive, level, &law, errors);
    if (!sg_ok(status))
        return status;
    status = sg_law_distance(&law, in->limit, &distance_m);
    if (status == SG_ERR_NO_SOLUTION && sg_law_at(&law, SG_NEAREST_M) <= in->limit) {
        sg_working_add(working, NULL, "least distance",
                       "%g is kept at every distance from %g m (%s row)", in->limit, SG_NEAREST_M,
                       sg_level_id(level));
        return SG_OK;
    }
    if (!sg_ok(status))
        return sg_errors_add(errors, status, NULL, "no distance to 100 km keeps %g", in->limit);
    sg_working_add(working, NULL, "least distance", "%.4f m for %g %s (%s row)", distance_m,
                   in->limit, sg_quantity_unit(model->quantity), sg_level_id(level));
    return SG_OK;
}

static int work_out(const struct sg_model *model, const struct sg_by_hand *request)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    struct sg_model_inputs in;
    struct sg_table table;
    int result;
    sg_status status = sg_model_keys_read(model, request->pair, request->npair, &in, &errors);
    if (sg_ok(status) && !sg_is_set(in.distance_m) && !sg_is_set(in.limit))
        status =
            sg_errors_add(&errors, SG_ERR_USAGE, NULL,
                          "distance_m= (a value wanted) or limit= (a distance wanted) is needed");
    if (sg_ok(status) && sg_is_set(in.distance_m))
        status = forward(model, &in, &working, &errors);
    if (sg_ok(status) && sg_is_set(in.limit)) {
        double exceedance;
        enum sg_level upper = sg_model_upper_level(model, in.drive.percentile, &exceedance);
        status = backward(model, &in, SG_LEVEL_CENTRAL, &working, &errors);
        if (sg_ok(status))
            status = backward(model, &in, upper, &working, &errors);
    }
    if (sg_ok(status)) {
        sg_table_working(&working, model->title, &table);
        result = print_one(&table, request->format);
    } else {
        result = sg_command_fail(&errors, status);
    }
    sg_arena_release(&arena);
    sg_errors_release(&errors);
    return result;
}

static const char *model_at(size_t i)
{
    return sg_model_at(i)->id;
}

static int unknown_model(const char *id)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status =
        sg_command_unknown(&errors, "relation", id, "models", model_at, sg_model_count());
    int result = sg_command_fail(&errors, status);
    sg_errors_release(&errors);
    return result;
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    return sg_by_hand_option(key, argument, state, state->input);
}

int sg_command_models(int argc, char **argv)
{
    static const struct argp_option options[] = { SG_FORMAT_OPTION, { NULL, 0, NULL, 0, NULL, 0 } };
    static const struct argp argp = {
        options,
        parse_option,
        "[ID [KEY=VALUE...]]",
        "Lists the vibration relations; with an ID, its constants with their sources; with pairs, "
        "the value worked out by hand."
        "\vKeys: distance_m, energy_J, toe_depth_m, ground, propagation_class, phase, variant, "
        "technique, percentile, limit (gives the least distance), reduction_dB, value and "
        "reference_distance_m (relations that start from a measured value), damping_per_m, "
        "frequency_Hz, exponent, drums, drum_amplitude_mm, drum_width_m, and any symbol of the "
        "relation. Numbers take a unit: distance_m=100ft energy_J=80000ft.lb. Exit status: 0 done; "
        "2 usage; 3 bad input.",
        NULL,
        NULL,
        NULL,
    };
    struct sg_by_hand request = { .format = SG_FORMAT_TABLE };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    if (!request.id)
        return print_list(request.format);
    const struct sg_model *model = sg_model_find(request.id);
    if (!model)
        return unknown_model(request.id);
    if (request.npair == 0)
        return print_model(model, request.format);
    return work_out(model, &request);
}
