/* watched.c - tables of measured figures, complaints and the pile log for the command check: their
 * cells as times, receptors and values. Every wrong cell is reported with its place.
 */
#include "watched.h"

#include "stillground/fit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAY_S 86400.0

void sg_watched_release(struct sg_watched *watched)
{
    sg_logbook_release(&watched->book);
    sg_beside_release(&watched->beside);
    sg_recorded_release(&watched->figures);
    sg_arena_release(&watched->arena);
}

/* ---- time ------------------------------------------------------------------------------------ */

static struct sg_zone zone_of(const struct sg_site *site)
{
    return site->programme ? site->programme->zone : (struct sg_zone){ 0.0, SG_DAYLIGHT_NONE };
}

double sg_watched_local(const struct sg_site *site, double utc_s)
{
    struct sg_zone zone = zone_of(site);
    return utc_s + 3600.0 * sg_zone_offset_h(&zone, utc_s);
}

void sg_watched_clock(const struct sg_site *site, double local_s, struct sg_recorded_as *as)
{
    as->clocked = sg_is_set(local_s);
    if (!as->clocked)
        return;
    long day = (long)floor(local_s / DAY_S);
    int weekday = sg_civil_weekday(day);
    as->clock_h = (local_s - DAY_S * (double)day) / 3600.0;
    as->day = weekday == 5 ? SG_SATURDAY : weekday == 6 ? SG_HOLIDAY : SG_WORKING_DAYS;
    for (size_t i = 0; site->programme && i < site->programme->nholiday; i++)
        if (site->programme->holiday[i] == day)
            as->day = SG_HOLIDAY;
}

/* ---- cells ----------------------------------------------------------------------------------- */

struct reading {
    struct sg_watched *watched;
    const struct sg_grid *grid;
    struct sg_errors *errors;
    size_t row;
};

static size_t column_of(const struct sg_grid *grid, const char *name)
{
    for (size_t i = 0; i < grid->ncolumn; i++)
        if (sg_same(grid->head[i], name))
            return i;
    return SIZE_MAX;
}

/* "" when the column or the cell is missing. */
static const char *cell(const struct reading *r, const char *name)
{
    size_t column = column_of(r->grid, name);
    return column == SIZE_MAX ? "" : r->grid->cell[r->row * r->grid->ncolumn + column];
}

static struct sg_place place_of(const struct reading *r, const char *name)
{
    size_t column = column_of(r->grid, name);
    return r->grid->place[r->row * r->grid->ncolumn + (column == SIZE_MAX ? 0 : column)];
}

static bool wrong(const struct reading *r, const char *name, const char *why)
{
    struct sg_place place = place_of(r, name);
    (void)sg_errors_add(r->errors, SG_ERR_INPUT, &place, "%s: '%s' %s", name, cell(r, name), why);
    return false;
}

/* Local clock time of a cell. One that clocks leave out or show twice needs an offset. */
static bool read_time(const struct reading *r, const char *name, double *local_s)
{
    struct sg_zone zone = zone_of(r->watched->site);
    double given, utc;
    bool zoned;
    if (!sg_ok(sg_parse_time(cell(r, name), &given, &zoned)))
        return wrong(r, name, "is no time; allowed: like 2026-05-04T09:30:00, with Z or an offset");
    *local_s = zoned ? sg_watched_local(r->watched->site, given) : given;
    long day = (long)floor(given / DAY_S);
    if (zoned)
        return true;
    sg_status status = sg_zone_utc(&zone, day, (given - DAY_S * (double)day) / 3600.0, -1, &utc);
    if (status == SG_ERR_DOMAIN)
        return wrong(r, name, "is a time that clocks leave out when they change");
    if (status == SG_ERR_UNDETERMINED)
        return wrong(r, name, "is shown twice when clocks change; allowed: with an offset");
    return sg_ok(status);
}

static bool read_receptor(const struct reading *r, const char *otherwise, size_t *out)
{
    const struct sg_site *site = r->watched->site;
    const char *name = cell(r, "receptor")[0] ? cell(r, "receptor") : otherwise;
    for (size_t i = 0; name && i < site->nreceptor; i++)
        if (sg_same(site->receptor[i].name, name)) {
            *out = i;
            return true;
        }
    return wrong(r, "receptor", "is no receptor of the site; `site` lists them");
}

static bool read_number(const struct reading *r, const char *name, double *out)
{
    const char *text = cell(r, name), *why = NULL;
    *out = SG_UNSET;
    return text[0] == '\0' || sg_ok(sg_parse_number(text, out, &why)) || wrong(r, name, why);
}

/* A peak logged with its sign would be held against a limit as if it were less than nothing. */
static bool read_measure(const struct reading *r, const char *name, bool above_zero, double *out)
{
    if (!read_number(r, name, out))
        return false;
    if (!sg_is_set(*out) || *out > 0.0 || (!above_zero && *out >= 0.0))
        return true;
    return wrong(r, name,
                 above_zero ? "is not above 0; allowed: above 0, empty where it is not known"
                            : "is below 0; allowed: 0 or more, peaks without their sign");
}

/* A vector sum is at least the largest component and at most sqrt(3) times it; two units in the
 * second place, as loggers show them, are let pass. */
static bool sums_agree(const struct reading *r)
{
    const char *why;
    double component, sum;
    if (!sg_ok(sg_parse_number(cell(r, "ppv_mm_s"), &component, &why)) ||
        !sg_ok(sg_parse_number(cell(r, "pvs_mm_s"), &sum, &why)))
        return true; /* empty, or reported where they are judged */
    double slack = 0.02 + 0.01 * component;
    if (sum >= component - slack && sum <= sqrt(3.0) * component + slack)
        return true;
    return wrong(r, "pvs_mm_s",
                 "is not between the largest component of its row and 1.732 times it; allowed: "
                 "both of the same motion");
}

static const char *keep(struct sg_watched *watched, const char *text)
{
    const char *kept = sg_arena_copy(&watched->arena, text, strlen(text));
    return kept ? kept : "";
}

sg_status sg_watched_words(const char *technique, const char *position,
                           const struct sg_place *place, struct sg_recorded_as *out,
                           struct sg_errors *errors)
{
    if (!technique || !sg_ok(sg_technique_find(technique, &out->technique)))
        return sg_errors_add(errors, SG_ERR_INPUT, place,
                             "technique: '%s'; allowed: impact, vibratory, press-in, "
                             "press-in-jetting, press-in-augering, in the table or with "
                             "--technique",
                             technique ? technique : "");
    if (!position || !sg_ok(sg_position_find(position, &out->position)))
        return sg_errors_add(errors, SG_ERR_INPUT, place,
                             "position: '%s'; allowed: free-field, boundary, facade, foundation, "
                             "floor, topmost-floor, on-asset, room, in the table or with "
                             "--position",
                             position ? position : "");
    return SG_OK;
}

/* ---- complaints and the log ------------------------------------------------------------------ */

static sg_status needs(const struct sg_grid *grid, const char *const *name, size_t count,
                       struct sg_errors *errors)
{
    for (size_t i = 0; i < count; i++)
        if (column_of(grid, name[i]) == SIZE_MAX)
            (void)sg_errors_add(errors, SG_ERR_MISSING, &(struct sg_place){ .file = grid->file },
                                "the column %s is missing", name[i]);
    return errors->first;
}

static sg_status read_complaints(struct sg_watched *w, const char *path, struct sg_errors *errors)
{
    static const char *const wanted[] = { "time", "receptor", "text" };
    struct sg_grid grid = SG_GRID_INIT;
    struct reading r = { w, &grid, errors, 0 };
    sg_status status = sg_grid_read(path, &grid, errors);
    if (sg_ok(status))
        status = needs(&grid, wanted, SG_COUNT(wanted), errors);
    if (sg_ok(status))
        w->complaint = sg_arena_alloc(&w->arena, grid.nrow + 1, sizeof *w->complaint);
    for (; sg_ok(status) && w->complaint && r.row < grid.nrow; r.row++) {
        struct sg_complaint *c = &w->complaint[w->ncomplaint];
        bool timed = read_time(&r, "time", &c->local_s);
        if (!read_receptor(&r, NULL, &c->receptor) || !timed)
            continue;
        c->text = keep(w, cell(&r, "text"));
        w->ncomplaint++;
    }
    sg_grid_release(&grid);
    return sg_ok(status) ? errors->first : status;
}

static const char *what_of(struct sg_watched *w, const struct reading *r)
{
    static const char *const also[] = { "phase", "method", "technique", "remark" };
    struct sg_text text = SG_TEXT_INIT;
    if (cell(r, "pile")[0])
        sg_text_printf(&text, "pile %s", cell(r, "pile"));
    for (size_t i = 0; i < SG_COUNT(also); i++)
        if (cell(r, also[i])[0])
            sg_text_printf(&text, "%s%s", text.length > 0 ? ", " : "", cell(r, also[i]));
    const char *kept = keep(w, text.length > 0 ? sg_text_string(&text) : "pile driving");
    sg_text_release(&text);
    return kept;
}

static sg_status read_log(struct sg_watched *w, const char *path, struct sg_errors *errors)
{
    static const char *const wanted[] = { "time_start", "time_end" };
    struct sg_grid grid = SG_GRID_INIT;
    struct reading r = { w, &grid, errors, 0 };
    sg_status status = sg_grid_read(path, &grid, errors);
    if (sg_ok(status))
        status = needs(&grid, wanted, SG_COUNT(wanted), errors);
    if (sg_ok(status))
        w->logged = sg_arena_alloc(&w->arena, grid.nrow + 1, sizeof *w->logged);
    for (; sg_ok(status) && w->logged && r.row < grid.nrow; r.row++) {
        struct sg_logged *l = &w->logged[w->nlogged];
        bool started = read_time(&r, "time_start", &l->start_s);
        if (!read_time(&r, "time_end", &l->end_s) || !started)
            continue;
        if (l->end_s < l->start_s && !wrong(&r, "time_end", "lies before time_start"))
            continue;
        l->what = what_of(w, &r);
        w->nlogged++;
    }
    sg_grid_release(&grid);
    return sg_ok(status) ? errors->first : status;
}

const char *sg_watched_cause(const struct sg_watched *w, double local_s)
{
    for (size_t i = 0; sg_is_set(local_s) && i < w->nlogged; i++)
        if (local_s >= w->logged[i].start_s && local_s <= w->logged[i].end_s)
            return w->logged[i].what;
    return NULL;
}

sg_status sg_watched_open(const struct sg_site *site, const char *complaints, const char *log,
                          struct sg_watched *out, struct sg_errors *errors)
{
    sg_status status = SG_OK;
    out->site = site;
    if (complaints)
        status = read_complaints(out, complaints, errors);
    if (sg_ok(status) && log)
        status = read_log(out, log, errors);
    return sg_ok(status) ? sg_logbook_open(site, out->complaint, out->ncomplaint, &out->book)
                         : status;
}

/* ---- a table of figures ---------------------------------------------------------------------- */

/* Columns as `measure --format csv` names its own. */
static const struct figure {
    const char *column;
    enum sg_quantity quantity;
    enum sg_axes axes;
} figures[] = {
    { "ppv_mm_s", SG_Q_PPV, SG_AXES_LARGEST },
    { "ppv_vertical_mm_s", SG_Q_PPV, SG_AXES_VERTICAL },
    { "pvs_mm_s", SG_Q_PVS, SG_AXES_RESULTANT },
    { "rms_1s_max_mm_s", SG_Q_V_RMS_1S, SG_AXES_LARGEST },
    { "displacement_mm", SG_Q_DISPLACEMENT, SG_AXES_LARGEST },
    { "vdv_m_s1_75", SG_Q_VDV, SG_AXES_LARGEST },
    { "kbf_max", SG_Q_KBF_MAX, SG_AXES_LARGEST },
    { "vl_db", SG_Q_VL_JP, SG_AXES_VERTICAL },
    { "laeq_db", SG_Q_LAEQ, SG_AXES_NONE },
    { "lafmax_db", SG_Q_LAFMAX, SG_AXES_NONE },
};
static const char *const beside[] = { "time",  "receptor",   "technique",    "position",
                                      "cause", "duration_s", "frequency_hz", "kb_ftr" };

static bool is_known(const char *head)
{
    for (size_t i = 0; i < SG_COUNT(beside); i++)
        if (sg_same(head, beside[i]))
            return true;
    for (size_t i = 0; i < SG_COUNT(figures); i++)
        if (sg_same(head, figures[i].column))
            return true;
    return false;
}

static sg_status check_columns(const struct sg_grid *grid, struct sg_errors *errors)
{
    static const char *const wanted[] = { "time" };
    struct sg_text names = SG_TEXT_INIT;
    bool any = false;
    for (size_t i = 0; i < SG_COUNT(figures); i++) {
        sg_text_printf(&names, "%s%s", i > 0 ? ", " : "", figures[i].column);
        any = any || column_of(grid, figures[i].column) != SIZE_MAX;
    }
    if (!any)
        (void)sg_errors_add(errors, SG_ERR_MISSING, &(struct sg_place){ .file = grid->file },
                            "no column holds a figure; allowed: %s", sg_text_string(&names));
    for (size_t i = 0; any && i < grid->ncolumn; i++)
        if (!is_known(grid->head[i]))
            fprintf(stderr, "%s: the column %s is passed over\n", grid->file, grid->head[i]);
        else if (column_of(grid, grid->head[i]) != i)
            (void)sg_errors_add(
                errors, SG_ERR_INPUT, &(struct sg_place){ .file = grid->file, .line = 1 },
                "%s: is the name of two columns; allowed: each once", grid->head[i]);
    sg_text_release(&names);
    return needs(grid, wanted, SG_COUNT(wanted), errors);
}

struct sg_foreseen_at {
    size_t receptor;
    enum sg_technique technique;
    enum sg_position position;
    struct sg_foreseen is;
};

/* Measured values are judged whether or not the site's prediction can be made. */
static void foresee(struct sg_watched *w, struct sg_foreseen_at *at)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status =
        sg_foresee(w->site, at->receptor, at->technique, at->position, &w->arena, &at->is, &errors);
    if (!sg_ok(status)) {
        at->is.count = 0;
        fprintf(stderr, "note: no prediction for %s: %s\n", w->site->receptor[at->receptor].name,
                errors.count > 0 ? errors.text[0] : sg_status_text(status));
    }
    sg_errors_release(&errors);
}

const struct sg_foreseen *sg_watched_foreseen(struct sg_watched *w, size_t receptor,
                                              const struct sg_recorded_as *as)
{
    for (size_t i = 0; i < w->nforeseen; i++)
        if (w->foreseen[i].receptor == receptor && w->foreseen[i].technique == as->technique &&
            w->foreseen[i].position == as->position)
            return &w->foreseen[i].is;
    if (w->nforeseen == w->foreseen_capacity) {
        size_t more = w->foreseen_capacity > 0 ? 2 * w->foreseen_capacity : 16;
        struct sg_foreseen_at *grown = sg_arena_alloc(&w->arena, more, sizeof *grown);
        if (!grown)
            return NULL;
        if (w->nforeseen > 0)
            memcpy(grown, w->foreseen, w->nforeseen * sizeof *grown);
        w->foreseen = grown;
        w->foreseen_capacity = more;
    }
    struct sg_foreseen_at *made = &w->foreseen[w->nforeseen];
    *made = (struct sg_foreseen_at){ receptor, as->technique, as->position, { .count = 0 } };
    foresee(w, made);
    w->nforeseen++;
    return &made->is;
}

static sg_status judge_figures(struct reading *r, const struct sg_logbook_moment *at,
                               const struct sg_recorded_as *as, const struct sg_foreseen *foreseen)
{
    struct sg_watched *w = r->watched;
    double frequency, seconds, kb;
    sg_status status = SG_OK;
    bool read = read_measure(r, "frequency_hz", true, &frequency);
    read = read_measure(r, "duration_s", true, &seconds) && read;
    read = read_measure(r, "kb_ftr", false, &kb) && sums_agree(r) && read;
    if (!read)
        return SG_OK; /* reported */
    struct sg_dose_value dose = { kb, kb, 0 };
    w->figures.count = 0;
    for (size_t i = 0; i < SG_COUNT(figures) && sg_ok(status); i++) {
        struct sg_value value = SG_VALUE_INIT;
        bool level = sg_quantity_is_level(figures[i].quantity);
        if (level ? !read_number(r, figures[i].column, &value.central)
                  : !read_measure(r, figures[i].column, false, &value.central))
            continue;
        if (!sg_is_set(value.central))
            continue;
        value.quantity = figures[i].quantity;
        value.axes = figures[i].axes;
        value.frequency_low_hz = value.frequency_high_hz = frequency;
        value.frequency_from = sg_is_set(frequency) ? "as logged" : "";
        status = sg_recorded_judge_value(w->site, at->receptor, as, &value, seconds,
                                         sg_is_set(kb) ? &dose : NULL, &w->figures);
        if (sg_ok(status))
            status = sg_beside_take(&w->beside, at->receptor, as, &value, at->source, foreseen);
    }
    return sg_ok(status) ? sg_logbook_take(&w->book, at, w->figures.item, w->figures.count)
                         : status;
}

static sg_status judge_row(struct reading *r, const struct sg_watched_defaults *defaults)
{
    struct sg_watched *w = r->watched;
    struct sg_logbook_moment at = { .into_s = SG_UNSET };
    struct sg_recorded_as as = { .distance_m = SG_UNSET, .periods = defaults->periods };
    const char *technique = cell(r, "technique"), *position = cell(r, "position");
    struct sg_place place = place_of(r, "time");
    bool timed = read_time(r, "time", &at.local_s);
    if (!read_receptor(r, defaults->receptor, &at.receptor) || !timed)
        return SG_OK; /* reported */
    if (!sg_ok(sg_watched_words(technique[0] ? technique : defaults->technique,
                                position[0] ? position : defaults->position, &place, &as,
                                r->errors)))
        return SG_OK;
    at.source = r->grid->file;
    at.cause = cell(r, "cause")[0] ? keep(w, cell(r, "cause")) : sg_watched_cause(w, at.local_s);
    sg_watched_clock(w->site, at.local_s, &as);
    as.both_sums = cell(r, "ppv_mm_s")[0] && cell(r, "pvs_mm_s")[0];
    const struct sg_foreseen *foreseen = sg_watched_foreseen(w, at.receptor, &as);
    if (!foreseen)
        return SG_ERR_NOMEM;
    as.predicted = foreseen->value;
    as.npredicted = foreseen->count;
    return judge_figures(r, &at, &as, foreseen);
}

sg_status sg_watched_table(struct sg_watched *watched, const char *path,
                           const struct sg_watched_defaults *defaults, struct sg_errors *errors)
{
    struct sg_grid grid = SG_GRID_INIT;
    struct reading r = { watched, &grid, errors, 0 };
    sg_status status = sg_grid_read(path, &grid, errors);
    if (sg_ok(status)) {
        grid.file = keep(watched, path);
        status = check_columns(&grid, errors);
    }
    for (; sg_ok(status) && r.row < grid.nrow; r.row++)
        status = judge_row(&r, defaults);
    sg_grid_release(&grid);
    return sg_ok(status) ? errors->first : status;
}
