/* noise_tables.c - noise by period, what each item contributes, what measures would bring. */
#include "internal.h"

#include "stillground/report_noise.h"

#include <math.h>

/* ---- periods --------------------------------------------------------------------------------- */

enum column {
    RECEPTOR,
    METHOD,
    PERIOD,
    WORKED,
    LAEQ,
    UPPER,
    OTHER,
    ALL_SITES,
    AMBIENT,
    TOTAL,
    RISE,
    TONAL,
    IMPULSE,
    TIME,
    GENERAL,
    RATED,
    LAE,
    LAFMAX,
    LA10,
    MARKS,
    NOTE,
    COLUMN_END
};

static const struct sg_column columns[COLUMN_END] = {
    [RECEPTOR] = { "receptor", "receptor", 0, false },
    [METHOD] = { "method", "method", 0, false },
    [PERIOD] = { "period", "period", 0, false },
    [WORKED] = { "worked_h", "worked\nh", 2, true },
    [LAEQ] = { "laeq_central_db", "works\nLAeq, dB(A)", 1, true },
    [UPPER] = { "laeq_upper_db", "works\nupper", 1, true },
    [OTHER] = { "other_sites_db", "other\nsites", 1, true },
    [ALL_SITES] = { "all_sites_db", "all\nsites", 1, true },
    [AMBIENT] = { "ambient_db", "ambient", 1, true },
    [TOTAL] = { "total_db", "total", 1, true },
    [RISE] = { "rise_db", "rise by\nworks, dB", 1, true },
    [TONAL] = { "tonal_db", "tonal\ndB", 1, true },
    [IMPULSE] = { "impulse_db", "impulse\ndB", 1, true },
    [TIME] = { "time_db", "time\ndB", 1, true },
    [GENERAL] = { "general_db", "general\ndB", 1, true },
    [RATED] = { "rating_level_db", "rating\nlevel", 1, true },
    [LAE] = { "lae_db", "LAE\ndB(A)", 1, true },
    [LAFMAX] = { "lafmax_db", "LAFmax\ndB(A)", 1, true },
    [LA10] = { "la10_db", "LA10\nestimate", 1, true },
    [MARKS] = { "marks", "marks", 0, false },
    [NOTE] = { "note", "note", 0, false },
};

/* A column that is empty everywhere is not shown; it stays in CSV and JSON. */
static void hide_empty(struct sg_table *table)
{
    struct sg_column *mine = sg_arena_alloc(&table->arena, COLUMN_END, sizeof *mine);
    if (mine == NULL) {
        table->failed = true;
        return;
    }
    for (int c = 0; c < (int)COLUMN_END; c++) {
        bool empty = c > (int)WORKED;
        for (size_t row = 0; empty && row < table->nrow; row++) {
            const struct sg_cell *cell = sg_report_cell(table, row, (size_t)c);
            empty = cell->text != NULL ? cell->text[0] == '\0' : !sg_is_set(cell->number);
        }
        mine[c] = columns[c];
        mine[c].head = empty ? NULL : columns[c].head;
    }
    table->column = mine;
}

static void put_period(struct sg_table *table, const struct sg_study *study,
                       const struct sg_noise_period *p, unsigned *seen)
{
    const struct sg_site *site = study->site;
    bool all = p->period == SG_ANY_TIME;
    unsigned marks = sg_report_value_marks(&p->works);
    marks |= p->rating_marks;
    if (sg_is_set(p->la10_db))
        marks |= (unsigned)SG_MARK_ESTIMATE | (unsigned)SG_MARK_UNVERIFIED;
    if (sg_is_set(p->other_db) || sg_is_set(p->ambient_db))
        marks |= (unsigned)SG_MARK_USER;
    *seen |= marks;
    sg_table_text(table, site->receptor[p->receptor].name);
    sg_table_text(table, site->method[p->method].name);
    sg_table_text(table, all ? "Lden" : sg_period_id(p->period));
    double number[] = { p->worked_h,     p->works.central, p->works.upper, p->other_db,
                        p->all_sites_db, p->ambient_db,    p->total_db,    p->rise_db };
    if (!sg_is_set(p->other_db) && !all)
        number[4] = SG_UNSET; /* nothing was added */
    for (size_t i = 0; i < SG_COUNT(number); i++)
        sg_table_number(table, number[i]);
    for (size_t c = 0; c < SG_RATING_COLUMN_END; c++)
        sg_table_number(table, p->correction_db[c]);
    sg_table_number(table, p->rating_db);
    sg_table_number(table, p->lae_db);
    sg_table_number(table, p->lafmax_db);
    sg_table_number(table, p->la10_db);
    sg_report_put_marks(table, marks);
    sg_table_text(table, p->works.why != NULL    ? p->works.why
                         : p->rating_why != NULL ? p->rating_why
                                                 : "");
}

void sg_report_programme_note(struct sg_table *table, const struct sg_site *site)
{
    const struct sg_programme *programme = site->programme;
    bool other = false;
    for (size_t i = 0; programme != NULL && i < programme->nshift; i++) {
        const struct sg_shift *shift = &programme->shift[i];
        other = other || fabs(shift->start_h - site->hours.start_h) > 1e-9 ||
                fabs(shift->end_h - site->hours.end_h) > 1e-9;
    }
    if (programme != NULL && programme->rigs > 1)
        sg_table_note(table,
                      "One rig at work. The programme has %zu at once: `calendar` adds their "
                      "noise, this table does not.",
                      programme->rigs);
    if (other)
        sg_table_note(table, "The programme has shifts at other hours than `hours`: `calendar` "
                             "judges each at its own hours and days, this table does not.");
}

/* Whether anybody is there for whom noise matters: a limit on it, or a level around him. */
static bool noise_matters(const struct sg_study *study, const struct sg_noise_period *p)
{
    const struct sg_outcome *o = sg_study_outcome(study, p->method, p->receptor);
    const struct sg_receptor *r = &study->site->receptor[p->receptor];
    bool limits = false;
    for (size_t i = 0; i < o->nverdict; i++)
        limits = limits || (o->verdict[i].row && o->verdict[i].row->purpose == SG_FOR_NOISE);
    return limits || r->ambient_day_db > 0 || r->other_day_db > 0;
}

static void note_rule(struct sg_table *table, const struct sg_study *study, unsigned *seen)
{
    const char *rule = study->site->rating;
    for (size_t i = 0; rule != NULL && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (!sg_same(row->rule, rule))
            continue;
        if (sg_grade_unverified(row->cite.grade))
            *seen |= (unsigned)SG_MARK_UNVERIFIED;
        sg_table_note(table, "%s, %s: %s (%s, %s [%s]).", rule, sg_rating_column_id(row->column),
                      row->meaning, row->cite.document, row->cite.locus,
                      sg_grade_name(row->cite.grade));
        if (row->form == SG_RATING_STEPS && row->period == SG_DAY)
            sg_table_note(table,
                          "%s: its hours of operation are those of its own day and night, not of "
                          "the period of the line; what is rated is the level while plant runs.",
                          rule);
    }
}

sg_status sg_table_noise_periods(const struct sg_study *study, struct sg_table *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_noise_period *list = NULL;
    size_t count = 0;
    unsigned seen = 0;
    sg_table_init(out, "noise-periods", "Noise by period of the day", columns, COLUMN_END);
    sg_status status = sg_noise_periods_make(study, &arena, &list, &count);
    for (size_t i = 0; sg_ok(status) && i < count; i++)
        if (noise_matters(study, &list[i]))
            put_period(out, study, &list[i], &seen);
    hide_empty(out);
    sg_table_note(out, "Day 07-19 (12 h), evening 19-23 (4 h), night 23-07 (8 h), each averaged "
                       "over all its hours; Lden with 5 and 10 dB for evening and night.");
    sg_table_note(out, "Limits are held against the works alone unless the verdict says otherwise "
                       "(noise of). Other sites and ambient noise are added by energy.");
    sg_table_note(out,
                  "Upper: central and %g times the combined scatter, which about 1 result in 10 "
                  "exceeds (common practice); the percentile of the site file does not move it.",
                  sg_sound_number(SG_SOUND_COVERAGE));
    sg_report_programme_note(out, study->site);
    note_rule(out, study, &seen);
    sg_report_marks_note(out, seen);
    sg_arena_release(&arena);
    return sg_ok(status) ? sg_report_table_status(out) : status;
}

/* ---- contributions --------------------------------------------------------------------------- */

static sg_status put_parts(struct sg_table *table, const struct sg_study *study, size_t method)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_noise_part *part = NULL;
    size_t count = 0, receptor = sg_noise_receptor(study, method);
    sg_status status = receptor == SIZE_MAX
                           ? SG_OK
                           : sg_noise_parts_of(study, method, receptor, &arena, &part, &count);
    double sum = SG_UNSET;
    for (size_t i = 0; sg_ok(status) && i < count; i++) {
        double pair[] = { sum, part[i].shift_db };
        sum = sg_level_sum(pair, SG_COUNT(pair));
    }
    for (size_t i = 0; sg_ok(status) && i < count; i++) {
        double part_db = part[i].shift_db - sum;
        sg_table_text(table, study->site->method[method].name);
        sg_table_text(table, study->site->receptor[receptor].name);
        sg_table_text(table, part[i].name);
        sg_table_number(table, part[i].running_db);
        sg_table_number(table, part[i].shift_db);
        sg_table_number(table, sg_is_set(part_db) ? 100.0 * pow(10.0, 0.1 * part_db) : SG_UNSET);
        for (size_t b = 0; b < SG_BANDS; b++)
            sg_table_number(table, part[i].band_db[b]);
    }
    sg_arena_release(&arena);
    return status;
}

sg_status sg_table_noise_parts(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column with_bands[] = {
        { "method", "method", 0, false },
        { "receptor", "receptor", 0, false },
        { "item", "item of plant", 0, false },
        { "running_db", "running\ndB(A)", 1, true },
        { "laeq_db", "over the\nshift, dB(A)", 1, true },
        { "share_percent", "share\n%", 1, true },
        { "l_63_db", "63 Hz\ndB", 1, true },
        { "l_125_db", "125 Hz\ndB", 1, true },
        { "l_250_db", "250 Hz\ndB", 1, true },
        { "l_500_db", "500 Hz\ndB", 1, true },
        { "l_1000_db", "1 kHz\ndB", 1, true },
        { "l_2000_db", "2 kHz\ndB", 1, true },
        { "l_4000_db", "4 kHz\ndB", 1, true },
        { "l_8000_db", "8 kHz\ndB", 1, true },
    };
    static const struct sg_column without[] = {
        { "method", "method", 0, false },
        { "receptor", "receptor", 0, false },
        { "item", "item of plant", 0, false },
        { "running_db", "running\ndB(A)", 1, true },
        { "laeq_db", "over the\nshift, dB(A)", 1, true },
        { "share_percent", "share\n%", 1, true },
        { "l_63_db", NULL, 1, true },
        { "l_125_db", NULL, 1, true },
        { "l_250_db", NULL, 1, true },
        { "l_500_db", NULL, 1, true },
        { "l_1000_db", NULL, 1, true },
        { "l_2000_db", NULL, 1, true },
        { "l_4000_db", NULL, 1, true },
        { "l_8000_db", NULL, 1, true },
    };
    bool octaves = study->site->outdoor != NULL;
    sg_status status = SG_OK;
    sg_table_init(out, "noise-parts", "Contribution of each item of plant",
                  octaves ? with_bands : without, SG_COUNT(with_bands));
    for (size_t m = 0; sg_ok(status) && m < study->nmethod; m++)
        status = put_parts(out, study, m);
    sg_table_note(out, "At the receptor that governs the noise of each method, at its position. "
                       "Running: while the item works; share: of the sound energy of the shift.");
    if (octaves)
        sg_table_note(out, "Octaves: unweighted, at the item's loudest position and height; '-' "
                           "where only an A-weighted level is known.");
    return sg_ok(status) ? sg_report_table_status(out) : status;
}

/* ---- measures -------------------------------------------------------------------------------- */

static void put_source(struct sg_table *table, const struct sg_measure *measure, unsigned *seen)
{
    if (measure->cite == NULL) {
        sg_table_text(table, "");
        sg_table_text(table, "computed");
        return;
    }
    unsigned marks = sg_grade_unverified(measure->cite->grade) ? (unsigned)SG_MARK_UNVERIFIED : 0u;
    *seen |= marks;
    sg_report_put_marks(table, marks);
    sg_table_printf(table, "%s, %s [%s]", measure->cite->document, measure->cite->locus,
                    sg_grade_name(measure->cite->grade));
}

static void put_measures(struct sg_table *table, const struct sg_study *study,
                         const struct sg_measures *all, unsigned *seen)
{
    for (size_t i = 0; i < all->count; i++) {
        const struct sg_measure *measure = &all->measure[i];
        sg_table_text(table, study->site->method[all->method].name);
        sg_table_text(table, study->site->receptor[all->receptor].name);
        sg_table_text(table, measure->name);
        sg_table_number(table, all->now_db);
        sg_table_number(table, measure->low_db);
        sg_table_number(table, measure->high_db);
        sg_table_number(table, all->limit_db);
        put_source(table, measure, seen);
    }
}

sg_status sg_table_measures(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column heads[] = {
        { "method", "method", 0, false },
        { "receptor", "receptor", 0, false },
        { "measure", "measure", 0, false },
        { "now_db", "without\ndB(A)", 1, true },
        { "with_low_db", "with it\nfrom, dB(A)", 1, true },
        { "with_high_db", "with it\nto, dB(A)", 1, true },
        { "limit_db", "limit\ndB(A)", 1, true },
        { "marks", "marks", 0, false },
        { "source", "source", 0, false },
    };
    unsigned seen = 0;
    sg_status status = SG_OK;
    sg_table_init(out, "noise-measures", "Effect of measures against noise", heads,
                  SG_COUNT(heads));
    for (size_t m = 0; m < study->nmethod && (sg_ok(status) || status == SG_ERR_MISSING); m++) {
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_measures all;
        status = sg_measures_make(study, m, &arena, &all);
        if (sg_ok(status))
            put_measures(out, study, &all, &seen);
        sg_arena_release(&arena);
    }
    sg_table_note(out,
                  "Central values at the receptor that governs the noise of each method, over "
                  "the time that its limit averages. One measure at a time: reductions are "
                  "not added up. What a document measured elsewhere need not be reached here.");
    sg_report_marks_note(out, seen);
    return sg_ok(status) || status == SG_ERR_MISSING ? sg_report_table_status(out) : status;
}
