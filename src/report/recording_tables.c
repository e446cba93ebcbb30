/* recording_tables.c - measured recordings as tables: peaks, sums, doses, sound, findings.
 * The columns of a row of CSV or JSON hold every figure; readers see the ones that fit.
 */
#include "stillground/monitoring.h"

#include "internal.h"
#include "recording_rows.h"

#include <string.h>

const char *sg_rows_axis(enum sg_axis axis)
{
    return axis == SG_AXIS_NONE ? "-" : sg_axis_id(axis);
}

const char *sg_rows_file(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* Without intervals the only figures are those of the whole. */
static const char *span_text(const struct sg_taken *taken, const struct sg_measured *m)
{
    bool in_intervals = false;
    for (size_t k = 0; k < taken->kept.count && !in_intervals; k++)
        in_intervals = taken->kept.item[taken->kept.count - 1 - k].measured.whole;
    return m->whole || !in_intervals ? "whole" : "interval";
}

void sg_rows_part(struct sg_table *table, const struct sg_taken *taken, const struct sg_measured *m)
{
    sg_table_text(table, sg_rows_file(taken->file));
    sg_table_number(table, (double)m->group);
    sg_table_text(table, span_text(taken, m));
    sg_table_number(table, m->start_s);
    sg_table_number(table, m->seconds);
}

void sg_rows_each(const struct sg_taken_list *list, bool sound, sg_rows_fn *fn,
                  struct sg_table *table)
{
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].kept.count; k++)
            if (list->item[i].kept.item[k].measured.is_sound == sound)
                fn(table, &list->item[i], &list->item[i].kept.item[k]);
}

static void note_uncalibrated(const struct sg_taken_list *list, struct sg_table *out)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->item[i].calibration == NULL) {
            sg_table_note(out, "Uncalibrated: figures are in units of the file, whatever the heads "
                               "say.");
            return;
        }
}

/* ---- vibration ------------------------------------------------------------------------------- */

static void put_peaks(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    for (size_t i = 0; i < f->naxis; i++) {
        const struct sg_axis_figures *a = &f->axis[i];
        sg_rows_part(table, taken, &k->measured);
        sg_table_text(table, sg_rows_axis(f->axis_of[i]));
        sg_table_number(table, a->ppv_mm_s);
        sg_table_number(table, a->ppv_sampled_mm_s);
        sg_table_number(table, a->time_s);
        sg_table_number(table, a->frequency_crossing_hz);
        sg_table_number(table, a->frequency_spectrum_hz);
        sg_table_number(table, a->displacement_mm);
        sg_table_number(table, a->acceleration_m_s2);
        sg_table_number(table, a->rms_mm_s);
        sg_table_number(table, a->rms_1s_mm_s);
        sg_table_number(table, a->kbf_max);
        sg_table_number(table, a->kbft_m);
        sg_table_number(table, (double)a->takts);
        sg_table_number(table, a->vl_max_db);
        sg_table_number(table, a->vl_l10_db);
    }
}

sg_status sg_table_peaks(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "ppv_mm_s", "PPV\nmm/s", -1, true },
        { "ppv_sampled_mm_s", NULL, -1, true },
        { "ppv_time_s", "at\ns", 2, true },
        { "frequency_crossing_hz", "zero cr.\nHz", 1, true },
        { "frequency_spectrum_hz", "spectrum\nHz", 1, true },
        { "displacement_mm", NULL, 4, true },
        { "acceleration_m_s2", NULL, 4, true },
        { "rms_mm_s", NULL, 4, true },
        { "rms_1s_max_mm_s", NULL, 3, true },
        { "kbf_max", NULL, 2, true },
        { "kbft_m", NULL, 2, true },
        { "takts_30s", NULL, 0, true },
        { "vl_max_db", NULL, 1, true },
        { "vl_l10_db", NULL, 1, true },
    };
    sg_table_init(out, "peaks", "Vibration by axis", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_peaks, out);
    if (out->nrow > 0)
        sg_table_note(out,
                      "PPV by a parabola through three samples; its frequency by zero crossings "
                      "and by the spectrum around the peak.");
    note_uncalibrated(list, out);
    return sg_report_table_status(out);
}

static void put_sums(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    sg_rows_part(table, taken, &k->measured);
    sg_table_number(table, f->pcpv_mm_s);
    sg_table_text(table, sg_rows_axis(f->axis_of[f->pcpv_axis]));
    sg_table_number(table, f->pvs_mm_s);
    sg_table_number(table, f->pvs_time_s);
    sg_table_number(table, f->vsc_mm_s);
}

sg_status sg_table_sums(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "pcpv_mm_s", "largest\naxis mm/s", -1, true },
        { "pcpv_axis", "axis", 0, false },
        { "pvs_mm_s", "PVS\nmm/s", -1, true },
        { "pvs_time_s", "at\ns", 2, true },
        { "vsc_mm_s", "VSC\nmm/s", -1, true },
    };
    sg_table_init(out, "sums", "Vibration of each sensor", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_sums, out);
    if (out->nrow > 0)
        sg_table_note(out, "PVS: peak of the true vector sum; VSC: vector sum of the component "
                           "maxima, never below it.");
    return sg_report_table_status(out);
}

static void put_doses(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    for (size_t i = 0; i < f->naxis; i++)
        for (int d = 0; d < SG_DOSE_END; d++) {
            const struct sg_dose_figures *dose = &f->axis[i].dose[d];
            if (!sg_is_set(dose->aw_rms))
                continue;
            sg_rows_part(table, taken, &k->measured);
            sg_table_text(table, sg_rows_axis(f->axis_of[i]));
            sg_table_text(table, sg_weighting_id(sg_dose_weighting((enum sg_dose)d)));
            sg_table_number(table, dose->aw_rms);
            sg_table_number(table, dose->mtvv);
            sg_table_number(table, dose->vdv);
            sg_table_number(table, dose->evdv);
            sg_table_number(table, dose->crest);
            sg_table_text(table, dose->crest_warning ? "eVDV is too low" : "");
            sg_table_text(table, dose->use_vdv ? "yes" : "no");
        }
}

sg_status sg_table_doses(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "weighting", "weighting", 0, false },
        { "aw_rms_m_s2", "a_w rms\nm/s2", 5, true },
        { "mtvv_m_s2", "MTVV\nm/s2", 5, true },
        { "vdv_m_s175", "VDV\nm/s^1.75", 5, true },
        { "evdv_m_s175", "eVDV\nm/s^1.75", 5, true },
        { "crest_factor", "crest\nfactor", 1, true },
        { "crest_warning", "warning", 0, false },
        { "vdv_or_mtvv_needed", NULL, 0, false },
    };
    sg_table_init(out, "doses", "Weighted acceleration and doses", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_doses, out);
    return sg_report_table_status(out);
}

/* ---- sound ----------------------------------------------------------------------------------- */

double sg_rows_lex_db(const struct sg_taken *taken, const struct sg_sound_figures *f)
{
    return sg_is_set(taken->exposure_h) ? sg_lex_8h_db(f->laeq_db, 3600.0 * taken->exposure_h)
                                        : SG_UNSET;
}

static void put_sound(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k)
{
    const struct sg_measured *m = &k->measured;
    const struct sg_sound_figures *f = &m->sound;
    const double figure[] = { f->laeq_db, f->lafmax_db, f->lafmax_time_s, f->lasmax_db,
                              f->lae_db,  f->lcpeak_db, f->l1_db,         f->l5_db,
                              f->l10_db,  f->l50_db,    f->l90_db,        f->l95_db,
                              f->lceq_db, f->lzeq_db,   f->laieq_db,      f->laimax_db };
    sg_rows_part(table, taken, m);
    for (size_t i = 0; i < SG_COUNT(figure); i++)
        sg_table_number(table, figure[i]);
    sg_table_number(table, (double)m->onsets);
    sg_table_number(table, m->onset.prominence);
    sg_table_number(table, m->onset.adjustment_db);
    sg_table_number(table, m->tone_hz);
    sg_table_number(table, m->tone_audibility_db);
    sg_table_number(table, m->tone_adjustment_db);
    sg_table_number(table, sg_rows_lex_db(taken, f));
}

sg_status sg_table_sound(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "laeq_db", "LAeq\ndB(A)", 1, true },
        { "lafmax_db", "LAFmax\ndB(A)", 1, true },
        { "lafmax_time_s", "at\ns", 2, true },
        { "lasmax_db", "LASmax\ndB(A)", 1, true },
        { "lae_db", "LAE\ndB(A)", 1, true },
        { "lcpeak_db", "LCpeak\ndB(C)", 1, true },
        { "la1_db", NULL, 1, true },
        { "la5_db", NULL, 1, true },
        { "la10_db", NULL, 1, true },
        { "la50_db", NULL, 1, true },
        { "la90_db", NULL, 1, true },
        { "la95_db", NULL, 1, true },
        { "lceq_db", "LCeq\ndB(C)", 1, true },
        { "lzeq_db", "LZeq\ndB", 1, true },
        { "laieq_db", "LAIeq\ndB(A)", 1, true },
        { "laimax_db", "LAImax\ndB(A)", 1, true },
        { "impulses", NULL, 0, true },
        { "impulse_prominence", NULL, 1, true },
        { "impulse_adjustment_db", NULL, 1, true },
        { "tone_hz", NULL, 0, true },
        { "tone_audibility_db", NULL, 1, true },
        { "tone_adjustment_db", NULL, 1, true },
        { "lex_8h_db", NULL, 1, true },
    };
    sg_table_init(out, "sound", "Sound", columns, SG_COUNT(columns));
    sg_rows_each(list, true, put_sound, out);
    return sg_report_table_status(out);
}

/* ---- findings -------------------------------------------------------------------------------- */

static void put_findings(struct sg_table *table, const struct sg_taken *taken,
                         const struct sg_kept *k)
{
    const struct sg_quality_found *found = &k->measured.quality;
    for (unsigned q = 0; q < SG_QUALITY_END; q++) {
        const struct sg_quality_row *row = sg_quality_row((enum sg_quality)q);
        if (found->times[q] == 0)
            continue;
        sg_rows_part(table, taken, &k->measured);
        sg_table_text(table, row->code);
        sg_table_text(table, row->name);
        sg_table_number(table, (double)found->times[q]);
        sg_table_number(table, found->first_s[q]);
        sg_table_number(table, found->largest[q]);
        sg_table_text(table, row->hides_exceedance ? "yes" : "no");
        sg_table_text(table, row->meaning);
    }
}

sg_status sg_table_findings(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "code", "code", 0, false },
        { "finding", "finding", 0, false },
        { "times", "times", 0, true },
        { "first_s", "first at\ns", 2, true },
        { "size", "size", 3, true },
        { "hides_exceedance", "may hide an\nexceedance", 0, false },
        { "meaning", "meaning", 0, false },
    };
    sg_table_init(out, "findings", "Quality findings", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_findings, out);
    sg_rows_each(list, true, put_findings, out);
    if (out->nrow == 0)
        sg_table_note(out, "No finding.");
    return sg_report_table_status(out);
}
