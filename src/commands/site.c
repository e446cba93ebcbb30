/* site.c - the command `site`: checks a site file and prints what was understood; or prints the
 * JSON Schema, or the reference page of its keys.
 */
#include "commands.h"
#include "options.h"

#include <argp.h>
#include <math.h>
#include <stdio.h>

struct request {
    const char *site;
    enum sg_format format;
    bool schema, keys;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case 's':
        request->schema = true;
        return 0;
    case 'k':
        request->keys = true;
        return 0;
    case ARGP_KEY_ARG:
        if (request->site != NULL)
            argp_error(state, "one site file at a time; '%s' is one too many", argument);
        request->site = argument;
        return 0;
    case ARGP_KEY_END:
        if ((request->site != NULL) + request->schema + request->keys != 1)
            argp_error(state, "a site file is needed, or --schema, or --keys");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* ---- the reference page ---------------------------------------------------------------------- */

static int print_keys(enum sg_format format)
{
    return sg_command_keys("Keys of the site file", sg_field_count(), sg_field_at,
                           "A block a.b is the map, or the list of maps, under key b of block a. "
                           "Tables have the keys of wall.piles or receptors.list as columns.",
                           format);
}

static int print_schema(void)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_status status = sg_schema_put(&text);
    int result = sg_ok(status) ? sg_command_output(NULL, &text) : sg_command_fail(NULL, status);
    sg_text_release(&text);
    return result;
}

/* ---- what was understood --------------------------------------------------------------------- */

enum { SITE_TABLE, GROUND_TABLE, RECEPTOR_TABLE, METHOD_TABLE, LIMIT_TABLE, WARNING_TABLE, TABLES };

static const struct sg_column site_columns[] = {
    { "item", "item", 0, false },
    { "value", "value", 0, false },
};
static const struct sg_column ground_columns[] = {
    { "borehole", "borehole", 0, false }, { "chainage_m", "chainage\nm", 1, true },
    { "water_m", "water\nm", 1, true },   { "top_m", "top\nm", 1, true },
    { "base_m", "base\nm", 1, true },     { "soil", "soil", 0, false },
    { "state", "state", 0, false },       { "spt_n", "SPT N", 0, true },
    { "group", "group", 0, false },       { "class", "class", 0, true },
};
static const struct sg_column receptor_columns[] = {
    { "receptor", "receptor", 0, false },
    { "use", "use", 0, false },
    { "building_class", "building class", 0, false },
    { "x_m", "x\nm", 1, true },
    { "y_m", "y\nm", 1, true },
    { "footprint_corners", "outline\ncorners", 0, true },
    { "nearest_pile", "nearest\npile", 0, false },
    { "distance_m", "distance\nm", 1, true },
    { "limit_sets", "limit sets", 0, false },
};
static const struct sg_column method_columns[] = {
    { "method", "method", 0, false },
    { "technique", "technique", 0, false },
    { "model", "vibration relation", 0, false },
    { "second_model", "second opinion", 0, false },
    { "sound", "rig sound", 0, false },
    { "level_db", "level\ndB(A)", 1, true },
    { "plant", "plant\nitems", 0, true },
    { "minutes_per_pile", "minutes\nper pile", 1, true },
    { "on_time_percent", "on-time\n%", 1, true },
};
static const struct sg_column limit_columns[] = {
    { "use", "use", 0, false },
    { "limit_sets", "limit sets", 0, false },
};
static const struct sg_column warning_columns[] = {
    { "warning", "look at", 0, false },
};

static void item(struct sg_table *table, const char *name, const char *value)
{
    sg_table_text(table, name);
    sg_table_text(table, value);
}

static void put_extent(const struct sg_site *site, struct sg_table *table)
{
    double west = HUGE_VAL, east = -HUGE_VAL, south = HUGE_VAL, north = -HUGE_VAL;
    for (size_t i = 0; i < site->npile + site->nreceptor; i++) {
        struct sg_point p = i < site->npile ? site->pile[i].at : site->receptor[i - site->npile].at;
        west = fmin(west, p.x_m);
        east = fmax(east, p.x_m);
        south = fmin(south, p.y_m);
        north = fmax(north, p.y_m);
    }
    sg_table_text(table, "extent");
    sg_table_printf(table, "x %.1f to %.1f m, y %.1f to %.1f m", west, east, south, north);
}

static void put_wall(const struct sg_site *site, struct sg_table *table)
{
    double shallow = HUGE_VAL, deep = -HUGE_VAL;
    for (size_t i = 0; i < site->npile; i++) {
        shallow = fmin(shallow, site->pile[i].toe_depth_m);
        deep = fmax(deep, site->pile[i].toe_depth_m);
    }
    const struct sg_pile *first = &site->pile[0], *last = &site->pile[site->npile - 1];
    sg_table_text(table, "piles");
    sg_table_printf(table, "%zu, %s to %s", site->npile, first->name, last->name);
    sg_table_text(table, "section");
    sg_table_text(table, first->section[0] ? first->section : "not given");
    sg_table_text(table, "chainage");
    sg_table_printf(table, "%.2f to %.2f m", first->chainage_m, last->chainage_m);
    sg_table_text(table, "toe depth");
    if (deep > shallow)
        sg_table_printf(table, "%.2f to %.2f m", shallow, deep);
    else
        sg_table_printf(table, "%.2f m", deep);
}

static void clock_text(struct sg_table *table, const struct sg_hours *hours)
{
    int start = (int)lround(hours->start_h * 60.0), end = (int)lround(hours->end_h * 60.0);
    sg_table_text(table, "hours");
    sg_table_printf(table, "%02d:%02d to %02d:%02d, %.4g h of work, %.4g days a week", start / 60,
                    start % 60, end / 60, end % 60, hours->work_h, hours->days_per_week);
}

static void put_scene(const struct sg_scene *scene, struct sg_table *table)
{
    size_t buildings = 0, cover[SG_COVER_END] = { 0 };
    for (size_t i = 0; i < scene->nobstacle; i++)
        buildings += scene->obstacle[i].closed;
    for (size_t i = 0; i < scene->ncover; i++)
        cover[scene->cover[i].kind]++;
    sg_table_text(table, "scene");
    sg_table_printf(
        table,
        "buildings %zu, walls %zu, regions of ground %zu, heights %zu, lines of heights "
        "%zu, foliage %zu, industrial sites %zu, housing %zu",
        buildings, scene->nobstacle - buildings, scene->nregion, scene->nterrain,
        scene->nterrain_line, cover[SG_COVER_FOLIAGE], cover[SG_COVER_INDUSTRY],
        cover[SG_COVER_HOUSING]);
}

/* The noise method with what it knows of the ground. */
static void put_sound(const struct sg_site *site, struct sg_table *table)
{
    static const char *const ground[] = { "hard", "soft", "mixed" };
    sg_table_text(table, "noise method");
    if (site->octave_bands && site->scene) {
        sg_table_printf(table, "octave bands, ground factor %.3g outside the regions",
                        site->scene->ground_factor);
        put_scene(site->scene, table);
        return;
    }
    sg_table_text(table, site->fta_sound ? "the form of FTA and FHWA" : "activity levels");
    sg_table_text(table, "sound ground");
    sg_table_printf(table, "%s, soft fraction %.3g", ground[site->sound_ground],
                    site->soft_fraction);
}

static void fill_site(const struct sg_site *site, struct sg_table *table)
{
    item(table, "file", site->file);
    item(table, "title", site->title);
    if (site->note[0])
        item(table, "note", site->note);
    item(table, "CRS", site->crs);
    put_extent(site, table);
    put_wall(site, table);
    sg_table_text(table, "receptors");
    sg_table_printf(table, "%zu", site->nreceptor);
    sg_table_text(table, "methods");
    sg_table_printf(table, "%zu", site->nmethod);
    clock_text(table, &site->hours);
    put_sound(site, table);
    sg_table_text(table, "site boundary");
    if (sg_is_set(site->boundary_distance_m))
        sg_table_printf(table, "%.4g m from the working line", site->boundary_distance_m);
    else
        sg_table_text(table, "distance not given");
    sg_table_text(table, "percentile wanted");
    sg_table_printf(table, "%.4g %%", site->percentile);
    item(table, "prepared by", site->prepared_by[0] ? site->prepared_by : "(left open)");
    item(table, "checked by", site->checked_by[0] ? site->checked_by : "(left open)");
    item(table, "jurisdiction",
         site->jurisdiction[0] ? site->jurisdiction : "(all that are known)");
}

static void fill_ground(const struct sg_site *site, struct sg_table *table)
{
    for (size_t i = 0; i < site->nborehole; i++) {
        const struct sg_borehole *hole = &site->borehole[i];
        for (size_t j = 0; j < hole->nlayer; j++) {
            const struct sg_layer *layer = &hole->layer[j];
            sg_table_text(table, hole->name);
            sg_table_number(table, hole->chainage_m);
            sg_table_number(table, hole->water_depth_m);
            sg_table_number(table, layer->top_m);
            sg_table_number(table, isinf(layer->base_m) ? SG_UNSET : layer->base_m);
            sg_table_text(table, layer->soil->soil);
            sg_table_text(table, layer->soil->state);
            sg_table_number(table, sg_layer_n(layer));
            sg_table_text(table, sg_ground_group_id(layer->soil->group));
            sg_table_number(table, layer->soil->propagation_class);
        }
    }
    sg_table_note(table, "group: row of the soil factor tables; class: attenuation class 1 (weak) "
                         "to 4 (hard rock). A layer without base is open below.");
}

static void put_list(struct sg_table *table, const char *const *list, size_t count)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < count; i++)
        sg_text_printf(&text, "%s%s", i > 0 ? ", " : "", list[i]);
    sg_table_text(table, count > 0 ? sg_text_string(&text) : "none");
    table->failed |= text.failed;
    sg_text_release(&text);
}

static void fill_receptors(const struct sg_site *site, struct sg_table *table)
{
    for (size_t i = 0; i < site->nreceptor; i++) {
        const struct sg_receptor *r = &site->receptor[i];
        size_t count, nearest = sg_site_nearest_pile(site, i);
        const char *const *sets = sg_site_limit_sets(site, r, &count);
        sg_table_text(table, r->name);
        sg_table_text(table, sg_use_id(r->use));
        sg_table_text(table, sg_class_id(r->building_class));
        sg_table_number(table, r->at.x_m);
        sg_table_number(table, r->at.y_m);
        sg_table_number(table, r->footprint ? (double)r->nfootprint : SG_UNSET);
        sg_table_text(table, nearest < site->npile ? site->pile[nearest].name : "");
        sg_table_number(table, nearest < site->npile ? sg_site_distance_m(r, site->pile[nearest].at)
                                                     : SG_UNSET);
        put_list(table, sets, count);
    }
    sg_table_note(table, "distance: in plan, from the nearest pile to the point or to the nearest "
                         "edge of the outline.");
}

static void fill_methods(const struct sg_site *site, struct sg_table *table)
{
    for (size_t i = 0; i < site->nmethod; i++) {
        const struct sg_method *m = &site->method[i];
        sg_table_text(table, m->name);
        sg_table_text(table, sg_technique_id(m->technique));
        sg_table_text(table, m->model ? m->model->id : "none");
        sg_table_text(table, m->second ? m->second->id : "none");
        sg_table_text(table, m->rig_sound.source                ? m->rig_sound.source->id
                             : sg_is_set(m->rig_sound.level_db) ? "own level"
                                                                : "not known");
        sg_table_number(table, m->rig_sound.level_db);
        sg_table_number(table, (double)m->nplant);
        sg_table_number(table, m->minutes_per_pile);
        sg_table_number(table, m->on_time_percent);
    }
}

static void fill_limits(const struct sg_site *site, struct sg_table *table)
{
    for (size_t i = 0; i < site->nlimits; i++) {
        sg_table_text(table, sg_use_id(site->limits[i].use));
        put_list(table, site->limits[i].limit_set, site->limits[i].nlimit_set);
    }
}

static int print_site(const struct sg_site *site, enum sg_format format)
{
    struct sg_table table[TABLES];
    const struct sg_table *list[TABLES];
    size_t count = site->nwarning > 0 ? (size_t)TABLES : (size_t)WARNING_TABLE;
    sg_table_init(&table[SITE_TABLE], "site", "What was understood", site_columns,
                  SG_COUNT(site_columns));
    sg_table_init(&table[GROUND_TABLE], "ground", "Ground", ground_columns,
                  SG_COUNT(ground_columns));
    sg_table_init(&table[RECEPTOR_TABLE], "receptors", "Receptors", receptor_columns,
                  SG_COUNT(receptor_columns));
    sg_table_init(&table[METHOD_TABLE], "methods", "Methods", method_columns,
                  SG_COUNT(method_columns));
    sg_table_init(&table[LIMIT_TABLE], "limits", "Limit sets by use", limit_columns,
                  SG_COUNT(limit_columns));
    sg_table_init(&table[WARNING_TABLE], "warnings", "Warnings", warning_columns,
                  SG_COUNT(warning_columns));
    fill_site(site, &table[SITE_TABLE]);
    fill_ground(site, &table[GROUND_TABLE]);
    fill_receptors(site, &table[RECEPTOR_TABLE]);
    fill_methods(site, &table[METHOD_TABLE]);
    fill_limits(site, &table[LIMIT_TABLE]);
    for (size_t i = 0; i < site->nwarning; i++)
        sg_table_text(&table[WARNING_TABLE], site->warning[i]);
    for (size_t i = 0; i < TABLES; i++)
        list[i] = &table[i];
    int result = sg_command_tables(list, count, format);
    for (size_t i = 0; i < TABLES; i++)
        sg_table_release(&table[i]);
    return result;
}

static int check_site(const struct request *request)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_site site = SG_SITE_INIT;
    sg_status status = sg_site_read(request->site, &site, &errors);
    if (sg_ok(status) && sg_site_check_scene(&site, &errors) != SG_OK)
        status = errors.first;
    int result =
        sg_ok(status) ? print_site(&site, request->format) : sg_command_fail(&errors, status);
    sg_site_release(&site);
    sg_errors_release(&errors);
    return result;
}

int sg_command_site(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "schema", 's', NULL, 0, "print the JSON Schema of the site file, for editors", 0 },
        { "keys", 'k', NULL, 0, "print the reference page of the site file's keys", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE\n--schema\n--keys",
        "Checks a site file with every table it names and prints what was understood. All that is "
        "wrong is reported in one run, with file, line and column."
        "\vExit status: 0 done; 2 usage; 3 bad input; 4 a file could not be read.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { NULL, SG_FORMAT_TABLE, false, false };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    if (request.keys)
        return print_keys(request.format);
    return request.schema ? print_schema() : check_site(&request);
}
