/* recording_ratings.c - measured recordings as tables: motion, KB, Japanese levels, percentiles,
 * impulses and tones.
 */
#include "internal.h"
#include "recording_rows.h"

#define HOUR_S 3600.0

static const char *const unchecked =
    "Rests on constants that were not checked against the printed document (U).";

/* ---- motion ---------------------------------------------------------------------------------- */

static void put_motion(struct sg_table *table, const struct sg_taken *taken,
                       const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    for (size_t i = 0; i < f->naxis; i++) {
        const struct sg_axis_figures *a = &f->axis[i];
        sg_rows_part(table, taken, &k->measured);
        sg_table_text(table, sg_rows_axis(f->axis_of[i]));
        sg_table_number(table, a->displacement_mm);
        sg_table_number(table, a->acceleration_m_s2);
        sg_table_number(table, a->rms_mm_s);
        sg_table_number(table, a->rms_1s_mm_s);
    }
}

sg_status sg_table_motion(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "displacement_mm", "peak displ.\nmm", 4, true },
        { "acceleration_m_s2", "peak accel.\nm/s2", 4, true },
        { "rms_mm_s", "rms\nmm/s", 4, true },
        { "rms_1s_max_mm_s", "largest 1 s\nrms mm/s", 4, true },
    };
    sg_table_init(out, "motion", "Peak displacement and acceleration, rms velocity", columns,
                  SG_COUNT(columns));
    sg_rows_each(list, false, put_motion, out);
    return sg_report_table_status(out);
}

/* ---- KB -------------------------------------------------------------------------------------- */

static double exposed_s(const struct sg_taken *taken, const struct sg_measured *m)
{
    return sg_is_set(taken->exposure_h) ? HOUR_S * taken->exposure_h : m->seconds;
}

static void put_kb(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    for (size_t i = 0; i < f->naxis; i++) {
        const struct sg_axis_figures *a = &f->axis[i];
        double exposure_s = exposed_s(taken, &k->measured);
        sg_rows_part(table, taken, &k->measured);
        sg_table_text(table, sg_rows_axis(f->axis_of[i]));
        sg_table_number(table, a->kbf_max);
        sg_table_number(table, a->kbft_m);
        sg_table_number(table, (double)a->takts);
        sg_table_number(table, exposure_s);
        sg_table_number(table, taken->rating_h);
        sg_table_number(table, sg_kbftr(a->kbft_m, exposure_s, 0.0, HOUR_S * taken->rating_h));
    }
}

sg_status sg_table_kb(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "kbf_max", "KB_Fmax", 3, true },
        { "kbft_m", "KB_FTm", 3, true },
        { "takts_30s", "takts\nof 30 s", 0, true },
        { "exposure_s", "exposure\ns", 0, true },
        { "rating_h", "rating\ntime h", 1, true },
        { "kbft_r", "KB_FTr", 3, true },
    };
    sg_table_init(out, "kb", "Weighted vibration severity KB", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_kb, out);
    if (out->nrow > 0) {
        sg_table_note(out,
                      "KB_FTr = KB_FTm sqrt(exposure / rating time), without rest hours, which "
                      "only a limit set knows. KB_FTm needs intervals of whole 30 s.");
        sg_table_note(out, "%s", unchecked);
    }
    return sg_report_table_status(out);
}

/* ---- Japanese vibration level ---------------------------------------------------------------- */

static void put_levels(struct sg_table *table, const struct sg_taken *taken,
                       const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    const struct sg_jp_reading_row *rule = sg_jp_reading();
    for (size_t i = 0; i < f->naxis; i++) {
        const struct sg_axis_figures *a = &f->axis[i];
        if (!sg_is_set(a->vl_max_db))
            continue;
        sg_rows_part(table, taken, &k->measured);
        sg_table_text(table, sg_rows_axis(f->axis_of[i]));
        sg_table_number(table, a->vl_max_db);
        sg_table_number(table, a->vl_l10_db);
        sg_table_text(table, k->measured.seconds < rule->every_s * (double)rule->readings
                                 ? "fewer than 100 readings"
                                 : "");
    }
}

sg_status sg_table_levels(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "vl_max_db", "VL max\ndB", 1, true },
        { "vl_l10_db", "VL L10\ndB", 1, true },
        { "vl_warning", "warning", 0, false },
    };
    sg_table_init(out, "levels", "Vibration level, Japan, dB re 1e-5 m/s2, 0.63 s", columns,
                  SG_COUNT(columns));
    sg_rows_each(list, false, put_levels, out);
    if (out->nrow > 0)
        sg_table_note(out, "L10 of readings every 5 s. %s", unchecked);
    return sg_report_table_status(out);
}

/* ---- sound ----------------------------------------------------------------------------------- */

static void put_percentiles(struct sg_table *table, const struct sg_taken *taken,
                            const struct sg_kept *k)
{
    const struct sg_sound_figures *f = &k->measured.sound;
    const double figure[] = { f->l1_db, f->l5_db, f->l10_db, f->l50_db, f->l90_db, f->l95_db };
    sg_rows_part(table, taken, &k->measured);
    for (size_t i = 0; i < SG_COUNT(figure); i++)
        sg_table_number(table, figure[i]);
}

sg_status sg_table_percentiles(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "la1_db", "LA1\ndB(A)", 1, true },
        { "la5_db", "LA5\ndB(A)", 1, true },
        { "la10_db", "LA10\ndB(A)", 1, true },
        { "la50_db", "LA50\ndB(A)", 1, true },
        { "la90_db", "LA90\ndB(A)", 1, true },
        { "la95_db", "LA95\ndB(A)", 1, true },
    };
    sg_table_init(out, "percentiles", "Levels exceeded in a share of the time", columns,
                  SG_COUNT(columns));
    sg_rows_each(list, true, put_percentiles, out);
    if (out->nrow > 0)
        sg_table_note(out, "Of LAF every 20 ms, linear between order statistics.");
    return sg_report_table_status(out);
}

static void put_rating(struct sg_table *table, const struct sg_taken *taken,
                       const struct sg_kept *k)
{
    const struct sg_measured *m = &k->measured;
    sg_rows_part(table, taken, m);
    sg_table_number(table, (double)m->onsets);
    sg_table_number(table, m->onset.prominence);
    sg_table_number(table, m->onset.adjustment_db);
    sg_table_number(table, m->tone_hz);
    sg_table_number(table, m->tone_audibility_db);
    sg_table_number(table, m->tone_adjustment_db);
    sg_table_number(table, taken->exposure_h);
    sg_table_number(table, sg_rows_lex_db(taken, &m->sound));
}

sg_status sg_table_rating(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "impulses", "im-\npulses", 0, true },
        { "impulse_prominence", "promi-\nnence", 1, true },
        { "impulse_adjustment_db", "adjust-\nment dB", 1, true },
        { "tone_hz", "tone\nHz", 0, true },
        { "tone_audibility_db", "audi-\nbility dB", 1, true },
        { "tone_adjustment_db", "adjust-\nment dB", 1, true },
        { "exposure_h", "expo-\nsure h", 2, true },
        { "lex_8h_db", "LEX,8h\ndB(A)", 1, true },
    };
    sg_table_init(out, "rating", "Impulses, tones and exposure", columns, SG_COUNT(columns));
    sg_rows_each(list, true, put_rating, out);
    if (out->nrow > 0)
        sg_table_note(out, "Most prominent impulse (NT ACOU 112), most audible tone (ISO 1996-2); "
                           "LEX,8h with --exposure: the level measured, lasting so long a day.");
    return sg_report_table_status(out);
}
