/* outdoor.c - the command `outdoor`: one propagation case from a file of its own, per octave band
 * and in total; with --terms the table of every term. */
#include "commands.h"
#include "options.h"

#include "stillground/outdoor.h"
#include "stillground/outdoor_numbers.h"

#include <argp.h>
#include <stdio.h>
#include <string.h>

enum { OPT_TERMS = 't' };

struct request {
    const char *file;
    enum sg_format format;
    bool terms;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case OPT_TERMS:
        request->terms = true;
        return 0;
    case ARGP_KEY_ARG:
        if (request->file)
            argp_error(state, "one case file is all; '%s' is one too many", argument);
        request->file = argument;
        return 0;
    case ARGP_KEY_END:
        if (!request->file)
            argp_error(state, "a case file is needed");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* A case being worked out. */
struct run {
    const struct sg_scene *scene;
    const struct sg_outdoor *outdoor;
    struct sg_spot3 *source, *receptor; /* placed */
    struct sg_arena arena;
    struct sg_errors errors;
    struct sg_table levels;
    struct sg_working working;
    bool terms;
};

static void put_row(struct sg_table *table, const char *receptor, const char *source, size_t ways,
                    const struct sg_outdoor_level *level)
{
    for (size_t weighted = 0; weighted < 2; weighted++) {
        if (level->by_500_hz && weighted == 0)
            continue;
        sg_table_text(table, receptor);
        sg_table_text(table, source);
        sg_table_number(table, ways > 0 ? (double)ways : SG_UNSET);
        sg_table_text(table, weighted ? "A" : "none");
        for (size_t b = 0; b < SG_BANDS; b++)
            sg_table_number(table, weighted ? level->band_db[b] + sg_octave_a_weight_db(b)
                                            : level->band_db[b]);
        sg_table_number(table, weighted ? level->a_db : SG_UNSET);
        sg_table_number(table, weighted ? level->long_term_db : SG_UNSET);
    }
}

static void add_level(struct sg_outdoor_level *sum, const struct sg_outdoor_level *level)
{
    for (size_t b = 0; b < SG_BANDS; b++) {
        double pair[] = { sum->band_db[b], level->band_db[b] };
        sum->band_db[b] = sg_level_sum(pair, SG_COUNT(pair));
    }
    double pair[] = { sum->a_db, level->a_db };
    double pair_long[] = { sum->long_term_db, level->long_term_db };
    sum->a_db = sg_level_sum(pair, SG_COUNT(pair));
    sum->long_term_db = sg_level_sum(pair_long, SG_COUNT(pair_long));
}

static void put_accuracy(struct sg_working *working, const struct sg_outdoor_path *direct)
{
    const struct sg_ground_path *g = &direct->ground;
    double mean_m = 0.5 * (g->source_height_m + g->receptor_height_m);
    double db = sg_outdoor_accuracy_db(mean_m, g->plan_m);
    if (sg_is_set(db))
        sg_working_add(working, sg_outdoor_cite(SG_FROM_ACCURACY), "accuracy",
                       "+- %g dB for broadband sound without screens and reflections, mean height "
                       "%.2f m",
                       db, mean_m);
    else
        sg_working_add(working, sg_outdoor_cite(SG_FROM_ACCURACY), "accuracy",
                       "the standard states none for %.0f m and a mean height of %.2f m", g->plan_m,
                       mean_m);
}

static sg_status one_receptor(struct run *run, size_t index)
{
    const struct sg_listener *l = &run->scene->listener[index];
    struct sg_outdoor_level sum = { .a_db = SG_UNSET, .long_term_db = SG_UNSET };
    sg_status all = SG_OK;
    for (size_t b = 0; b < SG_BANDS; b++)
        sum.band_db[b] = SG_UNSET;
    for (size_t i = 0; i < run->scene->nemitter; i++) {
        const struct sg_emitter *e = &run->scene->emitter[i];
        struct sg_outdoor_path path[SG_OUTDOOR_PATHS];
        struct sg_outdoor_level level;
        size_t count;
        sg_status status = sg_outdoor_paths(run->outdoor, &run->source[i], &run->receptor[index],
                                            l->facade, path, SG_OUTDOOR_PATHS, &count);
        if (!sg_ok(status)) {
            all = sg_errors_add(&run->errors, status, &run->scene->listener_at[index],
                                "receptor '%s' and source '%s': %s; allowed: at least 1 m apart, "
                                "not one straight above the other",
                                l->name, e->name,
                                status == SG_ERR_DOMAIN ? "stand too near or one above the other"
                                                        : sg_status_text(status));
            continue;
        }
        sg_outdoor_level(e, path, count, &level);
        add_level(&sum, &level);
        put_row(&run->levels, l->name, e->name, count, &level);
        if (run->terms) {
            sg_working_add(&run->working, NULL, "receptor", "%s", l->name);
            sg_outdoor_explain(e, path, count, &level, &run->working);
            put_accuracy(&run->working, &path[0]);
        }
    }
    if (sg_ok(all) && run->scene->nemitter > 1)
        put_row(&run->levels, l->name, "all", 0, &sum);
    return all;
}

static sg_status work(struct run *run)
{
    sg_status status = sg_outdoor_make(run->scene, &run->arena, &run->outdoor, &run->errors);
    if (!sg_ok(status))
        return status;
    run->source = sg_arena_alloc(&run->arena, run->scene->nemitter, sizeof(*run->source));
    run->receptor = sg_arena_alloc(&run->arena, run->scene->nlistener, sizeof(*run->receptor));
    if (!run->source || !run->receptor)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < run->scene->nemitter; i++) {
        const struct sg_emitter *e = &run->scene->emitter[i];
        sg_status placed =
            sg_outdoor_place_from(run->outdoor, "source", e->name, &run->scene->emitter_at[i],
                                  &e->at, &run->source[i], &run->errors);
        status = sg_ok(status) ? placed : status;
    }
    for (size_t i = 0; i < run->scene->nlistener; i++) {
        const struct sg_listener *l = &run->scene->listener[i];
        sg_status placed =
            sg_outdoor_place_from(run->outdoor, "receptor", l->name, &run->scene->listener_at[i],
                                  &l->at, &run->receptor[i], &run->errors);
        status = sg_ok(status) ? placed : status;
    }
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < run->scene->nlistener; i++) {
        sg_status one = one_receptor(run, i);
        status = sg_ok(status) ? one : status;
    }
    return status;
}

static int print(struct run *run, enum sg_format format)
{
    struct sg_table terms;
    const struct sg_table *list[] = { &run->levels, &terms };
    sg_table_note(&run->levels, "Levels downwind, ISO 9613-2:1996; accuracy 1 to 3 dB by its own "
                                "words up to 1 km, none stated beyond. LAT(LT) is less by Cmet.");
    if (!run->terms)
        return sg_command_tables(list, 1, format);
    sg_table_working(&run->working, "Terms", &terms);
    int result = sg_command_tables(list, 2, format);
    sg_table_release(&terms);
    return result;
}

static const struct sg_column columns[] = {
    { "receptor", "receptor", 0, false },
    { "source", "source", 0, false },
    { "ways", "ways", 0, true },
    { "weighting", "weighting", 0, false },
    { "l_63_db", "63 Hz\ndB", 2, true },
    { "l_125_db", "125 Hz\ndB", 2, true },
    { "l_250_db", "250 Hz\ndB", 2, true },
    { "l_500_db", "500 Hz\ndB", 2, true },
    { "l_1000_db", "1 kHz\ndB", 2, true },
    { "l_2000_db", "2 kHz\ndB", 2, true },
    { "l_4000_db", "4 kHz\ndB", 2, true },
    { "l_8000_db", "8 kHz\ndB", 2, true },
    { "lat_dw_db", "LAT(DW)\ndB(A)", 2, true },
    { "lat_lt_db", "LAT(LT)\ndB(A)", 2, true },
};

static int run_case(const struct request *request)
{
    struct sg_site site = SG_SITE_INIT;
    struct run run = { .arena = SG_ARENA_INIT, .errors = SG_ERRORS_INIT, .terms = request->terms };
    int result;
    run.working.arena = &run.arena;
    sg_status status = sg_scene_read(request->file, &site, &run.errors);
    for (size_t i = 0; sg_ok(status) && i < site.nwarning; i++)
        fprintf(stderr, "warning: %s\n", site.warning[i]);
    run.scene = site.scene;
    const char *title = sg_ok(status) && run.scene->title[0] ? run.scene->title : "Sound outdoors";
    sg_table_init(&run.levels, "outdoor", title, columns, SG_COUNT(columns));
    if (sg_ok(status))
        status = work(&run);
    result = sg_ok(status) ? print(&run, request->format) : sg_command_fail(&run.errors, status);
    sg_table_release(&run.levels);
    sg_arena_release(&run.arena);
    sg_errors_release(&run.errors);
    sg_site_release(&site);
    return result;
}

int sg_command_outdoor(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "terms", OPT_TERMS, NULL, 0, "every term of every way, octave by octave", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "CASE",
        "Works out one propagation case by ISO 9613-2:1996: point sources, receptors, regions of "
        "ground, heights of the ground, walls and buildings from a YAML file; prints the level per "
        "octave band and in total."
        "\vThe keys are those of scene: in a site file, with sources and receptors; `stillground "
        "site --schema` lists them. Exit status: 0 done; 2 usage; 3 bad input; 4 a file could not "
        "be "
        "read.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { NULL, SG_FORMAT_TABLE, false };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run_case(&request);
}
