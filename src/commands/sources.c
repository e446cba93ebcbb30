/* sources.c - the command `sources`: lists the published sound source levels and the numbers of the
 * sound laws, and works one level out by hand, so that anybody can repeat a published example.
 */
#include "by_hand.h"
#include "sources_tables.h"

#include "stillground/report.h"
#include "stillground/sound.h"

#include <stdio.h>
#include <string.h>

struct request {
    struct sg_by_hand hand;
    bool laws, plant;
};

/* What `sources ID key=value ...` was told. */
struct inputs {
    double distance_m, on_time_percent, count, soft_fraction, screening_db;
    double ground_factor, effective_height_m;
    const char *ground, *facade, *method;
    bool is_soft, at_facade;
    enum sg_sound_method law;
};

/* ---- keys ------------------------------------------------------------------------------------ */

struct key {
    const char *name;
    const char *unit; /* "" = a bare number; NULL = one of `words` */
    double min, max;
    size_t offset;
    const char *words[4];
};

static const struct key keys[] = {
    { "distance_m", "m", 1, 1e5, offsetof(struct inputs, distance_m), { NULL } },
    { "on_time_percent", "", 0, 100, offsetof(struct inputs, on_time_percent), { NULL } },
    { "count", "", 0, 1000, offsetof(struct inputs, count), { NULL } },
    { "soft_fraction", "", 0, 1, offsetof(struct inputs, soft_fraction), { NULL } },
    { "screening_dB", "", 0, 60, offsetof(struct inputs, screening_db), { NULL } },
    { "ground_factor", "", 0, 1, offsetof(struct inputs, ground_factor), { NULL } },
    { "effective_height_m", "m", 0, 100, offsetof(struct inputs, effective_height_m), { NULL } },
    { "ground", NULL, 0, 0, offsetof(struct inputs, ground), { "hard", "soft", "mixed" } },
    { "facade", NULL, 0, 0, offsetof(struct inputs, facade), { "no", "yes" } },
    { "method", NULL, 0, 0, offsetof(struct inputs, method), { "bs5228", "fta" } },
};

static const struct key *key_find(const char *name, size_t length)
{
    for (size_t i = 0; i < SG_COUNT(keys); i++) {
        if (strlen(keys[i].name) == length && strncmp(keys[i].name, name, length) == 0)
            return &keys[i];
    }
    return NULL;
}

static void unknown_key(const char *pair, size_t length, struct sg_errors *errors)
{
    const char *names[SG_COUNT(keys)];
    char word[64];
    for (size_t i = 0; i < SG_COUNT(keys); i++)
        names[i] = keys[i].name;
    snprintf(word, sizeof(word), "%.*s", (int)(length < 60 ? length : 60), pair);
    const char *near = sg_nearest(word, names, SG_COUNT(names));
    sg_errors_add(errors, SG_ERR_USAGE, NULL,
                  "%s: no such key%s%s; allowed: distance_m, "
                  "on_time_percent, count, ground, soft_fraction, screening_dB, facade, method, "
                  "ground_factor, effective_height_m",
                  word, near ? "; did you mean " : "", near ? near : "");
}

static void read_word(const struct key *key, const char *value, struct inputs *in,
                      struct sg_errors *errors)
{
    struct sg_text allowed = SG_TEXT_INIT;
    const char **field = (const char **)(void *)((char *)in + key->offset);
    for (size_t i = 0; i < SG_COUNT(key->words) && key->words[i]; i++) {
        if (sg_same(value, key->words[i])) {
            *field = key->words[i];
            goto done;
        }
        sg_text_printf(&allowed, "%s%s", i > 0 ? ", " : "", key->words[i]);
    }
    sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' is not known; allowed: %s", key->name,
                  value, sg_text_string(&allowed));
done:
    sg_text_release(&allowed);
}

static void read_number(const struct key *key, const char *value, struct inputs *in,
                        struct sg_errors *errors)
{
    const char *why = "", *unit = key->unit[0] ? " " : "";
    double *field = (double *)(void *)((char *)in + key->offset), number = SG_UNSET;
    sg_status status = key->unit[0] ? sg_parse_quantity(value, key->unit, &number, &why)
                                    : sg_parse_number(value, &number, &why);
    if (!sg_ok(status))
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' %s; allowed: %g to %g%s%s", key->name,
                      value, why, key->min, key->max, unit, key->unit);
    else if (!(number >= key->min && number <= key->max))
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: %g is out of range; allowed: %g to %g%s%s",
                      key->name, number, key->min, key->max, unit, key->unit);
    else
        *field = number;
}

static void read_pairs(const struct request *request, struct inputs *in, struct sg_errors *errors)
{
    bool given[SG_COUNT(keys)] = { false };
    for (size_t i = 0; i < request->hand.npair; i++) {
        const char *pair = request->hand.pair[i], *equals = strchr(pair, '=');
        size_t length = equals ? (size_t)(equals - pair) : strlen(pair);
        const struct key *key = key_find(pair, length);
        if (!key) {
            unknown_key(pair, length, errors);
            continue;
        }
        size_t at = (size_t)(key - keys);
        if (!equals)
            sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: has no value; write %s=...", pair, pair);
        else if (given[at])
            sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: given twice", key->name);
        else if (key->unit)
            read_number(key, equals + 1, in, errors);
        else
            read_word(key, equals + 1, in, errors);
        given[at] = true;
    }
}

/* ---- what the keys mean together ------------------------------------------------------------- */

static void need(bool fine, struct sg_errors *errors, const char *text)
{
    if (!fine)
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s", text);
}

/* The ground of the chosen law: a share of soft ground, or a ground factor. */
static void settle_ground(struct inputs *in, struct sg_errors *errors)
{
    bool is_mixed = sg_same(in->ground, "mixed"), factor = sg_is_set(in->ground_factor);
    in->is_soft = sg_same(in->ground, "soft");
    if (in->law == SG_SOUND_BS5228) {
        need(!factor && !sg_is_set(in->effective_height_m), errors,
             "ground_factor, effective_height_m: belong to method=fta; use ground and "
             "soft_fraction");
        need(is_mixed == sg_is_set(in->soft_fraction), errors,
             "soft_fraction: goes with ground=mixed, and ground=mixed needs it");
        if (!is_mixed)
            in->soft_fraction = in->is_soft ? 1.0 : 0.0;
        in->ground_factor = 0;
        return;
    }
    need(!is_mixed && !sg_is_set(in->soft_fraction), errors,
         "ground, soft_fraction: method=fta has no mixed ground; use ground_factor");
    need(!in->is_soft || factor != sg_is_set(in->effective_height_m), errors,
         "ground: soft ground needs ground_factor or effective_height_m with method=fta");
    need(in->is_soft || !sg_is_set(in->effective_height_m), errors,
         "effective_height_m: goes with ground=soft");
    in->soft_fraction = 0;
    if (in->is_soft && !factor)
        in->ground_factor = sg_sound_soft_ground_factor(in->effective_height_m);
    else if (!factor)
        in->ground_factor = 0;
}

static sg_status settle(const struct sg_source *source, struct inputs *in, struct sg_errors *errors)
{
    in->law = sg_same(in->method, "fta") ? SG_SOUND_FTA : SG_SOUND_BS5228;
    in->at_facade = sg_same(in->facade, "yes");
    if (!sg_is_set(in->on_time_percent))
        in->on_time_percent = sg_is_set(source->usage_percent) ? source->usage_percent : 100.0;
    need(sg_is_set(in->distance_m), errors, "distance_m: is needed to work a level out");
    need(in->on_time_percent > 0 && in->count > 0, errors,
         "on_time_percent, count: must be above 0");
    settle_ground(in, errors);
    return errors->first;
}

/* ---- tables ---------------------------------------------------------------------------------- */

static void fill_steps(struct sg_table *table, const struct sg_working *working)
{
    static const struct sg_column columns[] = {
        { "step", "step", 0, false },
        { "working", "working", 0, false },
        { "source", "source", 0, false },
    };
    sg_table_init(table, "sound-working", "Hand calculation", columns, SG_COUNT(columns));
    for (size_t i = 0; i < working->count; i++) {
        sg_table_text(table, working->step[i].what);
        sg_table_text(table, working->step[i].working);
        sg_table_text(table, working->step[i].source);
    }
}

static void fill_result(struct sg_table *table, const struct sg_value *value, double loudest_db)
{
    static const struct sg_column columns[] = {
        { "model", "method", 0, false },
        { "distance_m", "distance\nm", 2, true },
        { "laeq_db", "LAeq\ndB(A)", 2, true },
        { "laeq_upper_db", "upper\ndB(A)", 2, true },
        { "loudest_db", "one machine,\nrunning, dB(A)", 2, true },
        { "grade", "grade", 0, false },
        { "marks", "marks", 0, false },
    };
    sg_table_init(table, "sound-level", "Level over the period", columns, SG_COUNT(columns));
    sg_table_text(table, value->model);
    sg_table_number(table, value->distance_m);
    sg_table_number(table, value->central);
    sg_table_number(table, value->upper);
    sg_table_number(table, loudest_db);
    sg_table_text(table, sg_grade_name(value->grade));
    sg_table_text(table, sg_marks_text(value->marks, &table->arena));
    sg_table_note(table, "Upper: %s.", value->upper_text);
    if ((value->marks & (unsigned)SG_MARK_UNVERIFIED) != 0)
        sg_table_note(table, "Unverified: rests on numbers that were not checked on paper.");
    if ((value->marks & (unsigned)SG_MARK_RANGE) != 0)
        sg_table_note(table, "Beyond %g m: treat with caution (weather).",
                      sg_sound_number(SG_SOUND_VALID_TO_M));
    if ((value->marks & (unsigned)SG_MARK_ESTIMATE) != 0)
        sg_table_note(table,
                      "Estimate: the printed level is of another quantity than the method's.");
    sg_table_note(table,
                  "Screening figures, not proof: local codes and licensed practice override.");
}

static sg_status print_tables(const struct sg_table *const *table, size_t count,
                              enum sg_format format)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_status status = sg_table_put(table, count, format, &text);
    if (sg_ok(status) && (fputs(sg_text_string(&text), stdout) == EOF || fflush(stdout) == EOF))
        status = SG_ERR_IO;
    sg_text_release(&text);
    return status;
}

/* ---- the three ways of asking ---------------------------------------------------------------- */

static sg_status work(const struct request *request, const struct sg_source *source,
                      const struct inputs *in, struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    struct sg_sound_item item = { source->id,
                                  source->kind,
                                  source->level_db,
                                  in->count,
                                  in->on_time_percent / 100.0,
                                  source->cite.grade,
                                  &source->cite,
                                  NULL };
    struct sg_sound_path path = { in->distance_m, in->soft_fraction, in->ground_factor,
                                  in->screening_db, in->at_facade };
    struct sg_table steps = { .arena = SG_ARENA_INIT }, result = { .arena = SG_ARENA_INIT };
    const struct sg_table *const tables[] = { &steps, &result };
    struct sg_value value;
    double loudest_db;
    sg_status status = sg_sound_period(in->law, &item, 1, &path, &value, &loudest_db, &working);
    if (sg_ok(status) && value.why)
        status = SG_ERR_MISSING;
    if (!sg_ok(status)) {
        sg_errors_add(errors, status, NULL, "%s: %s", source->id,
                      status == SG_ERR_MISSING ? "the row has no level; choose another source"
                                               : sg_status_text(status));
        goto done;
    }
    fill_steps(&steps, &working);
    fill_result(&result, &value, loudest_db);
    status = print_tables(tables, SG_COUNT(tables), request->hand.format);
done:
    sg_table_release(&steps);
    sg_table_release(&result);
    sg_arena_release(&arena);
    return status;
}

static sg_status list(const struct request *request, const struct sg_source *only)
{
    struct sg_table table = { .arena = SG_ARENA_INIT };
    const struct sg_table *const tables[] = { &table };
    if (request->laws)
        sg_sources_fill_laws(&table);
    else if (request->plant)
        sg_sources_fill_plant(&table);
    else
        sg_sources_fill(&table, only);
    sg_status status = print_tables(tables, SG_COUNT(tables), request->hand.format);
    sg_table_release(&table);
    return status;
}

static const char *source_at(size_t i)
{
    return sg_source_at(i)->id;
}

static const struct sg_source *find_source(const char *id, struct sg_errors *errors)
{
    const struct sg_source *source = sg_source_find(id);
    if (!source)
        sg_command_unknown(errors, "source", id, "sources", source_at, sg_source_count());
    return source;
}

static sg_status answer(const struct request *request, struct sg_errors *errors)
{
    struct inputs in = { .distance_m = SG_UNSET,
                         .on_time_percent = SG_UNSET,
                         .count = 1,
                         .soft_fraction = SG_UNSET,
                         .screening_db = 0,
                         .ground_factor = SG_UNSET,
                         .effective_height_m = SG_UNSET,
                         .ground = "hard",
                         .facade = "no",
                         .method = "bs5228" };
    if (!request->hand.id)
        return list(request, NULL);
    if (request->laws || request->plant)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: goes without a source",
                             request->laws ? "--laws" : "--plant");
    const struct sg_source *source = find_source(request->hand.id, errors);
    if (!source)
        return errors->first;
    if (request->hand.npair == 0)
        return list(request, source);
    read_pairs(request, &in, errors);
    if (errors->first != SG_OK || settle(source, &in, errors) != SG_OK)
        return errors->first;
    return work(request, source, &in, errors);
}

/* ---- command line ---------------------------------------------------------------------------- */

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'l':
        request->laws = true;
        return 0;
    case 'p':
        request->plant = true;
        return 0;
    default:
        return sg_by_hand_option(key, argument, state, &request->hand);
    }
}

int sg_command_sources(int argc, char **argv)
{
    static const struct argp_option options[] = {
        { "format", 'f', "FORMAT", 0, "table (default), csv or json", 0 },
        { "laws", 'l', NULL, 0, "list the numbers of the sound laws instead", 0 },
        { "plant", 'p', NULL, 0, "list the plant that usually stands beside each technique", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "[ID [key=value ...]]",
        "Sound source levels: the list, one of them, or a level worked out by hand."
        "\vWith distance_m=40 the level over the period is worked out line by line. Other keys:\n"
        "  on_time_percent=50   share of the period (default: printed usage, or 100)\n"
        "  count=2              number of machines\n"
        "  method=bs5228|fta    law\n"
        "  ground=hard|soft|mixed, soft_fraction=0.5 (bs5228, mixed)\n"
        "  ground_factor=0.75 or effective_height_m=2 (fta)\n"
        "  screening_dB=5, facade=yes|no",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .hand = { .format = SG_FORMAT_TABLE } };
    struct sg_errors errors = SG_ERRORS_INIT;
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    sg_status status = answer(&request, &errors);
    for (size_t i = 0; i < errors.count; i++)
        fprintf(stderr, "stillground sources: %s\n", errors.text[i]);
    if (!sg_ok(status) && errors.count == 0)
        fprintf(stderr, "stillground sources: %s\n", sg_status_text(status));
    sg_errors_release(&errors);
    return sg_status_exit(status);
}
