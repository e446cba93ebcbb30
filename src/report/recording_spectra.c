/* recording_spectra.c - measured recordings as tables: third octaves, octaves, response spectra,
 * densities and amplitudes, spectrograms.
 */
#include "internal.h"
#include "recording_rows.h"

#include <math.h>

#define OCTAVE_FIRST (-10) /* 1 Hz */
#define OCTAVE_LAST 4      /* 16 kHz */
/* ---- bands ----------------------------------------------------------------------------------- */

static void put_band(struct sg_table *table, const struct sg_taken *taken, const struct sg_kept *k,
                     const char *axis, int third, double mean, double most)
{
    if (!sg_is_set(mean) && !sg_is_set(most))
        return;
    sg_rows_part(table, taken, &k->measured);
    sg_table_text(table, axis);
    sg_table_number(table, sg_band_nominal_hz(third));
    sg_table_number(table, k->measured.is_sound ? SG_UNSET : mean);
    sg_table_number(table, k->measured.is_sound ? SG_UNSET : most);
    sg_table_number(table, k->measured.is_sound ? mean : SG_UNSET);
    sg_table_number(table, k->measured.is_sound ? most : SG_UNSET);
}

static void put_thirds(struct sg_table *table, const struct sg_taken *taken,
                       const struct sg_kept *k)
{
    const struct sg_measured *m = &k->measured;
    for (size_t i = 0; i < (m->is_sound ? 1 : m->vibration.naxis); i++)
        for (int third = SG_BAND_FIRST; third <= SG_BAND_LAST; third++) {
            int at = third - SG_BAND_FIRST;
            put_band(table, taken, k, m->is_sound ? "-" : sg_rows_axis(m->vibration.axis_of[i]),
                     third, m->is_sound ? m->sound.third_db[at] : k->band_rms[i][at],
                     m->is_sound ? m->sound.third_max_db[at] : k->band_max[i][at]);
        }
}

sg_status sg_table_thirds(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "band_hz", "band\nHz", 1, true },
        { "rms_mm_s", "rms\nmm/s", 4, true },
        { "rms_fast_max_mm_s", "max-hold\nmm/s", 4, true },
        { "leq_db", "LZeq\ndB", 1, true },
        { "lf_max_db", "LZFmax\ndB", 1, true },
    };
    sg_table_init(out, "bands", "One-third-octave bands", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_thirds, out);
    sg_rows_each(list, true, put_thirds, out);
    if (out->nrow > 0)
        sg_table_note(out, "Bands that the rate does not allow are left out.");
    return sg_report_table_status(out);
}

/* ---- octaves --------------------------------------------------------------------------------- */

/* Three third octaves make an octave; unset when one of them is. */
static double octave_rms(const double *third_rms, int octave)
{
    double square = 0.0;
    for (int third = 3 * octave - 1; third <= 3 * octave + 1; third++) {
        if (third < SG_BAND_FIRST || third > SG_BAND_LAST)
            return SG_UNSET;
        square += third_rms[third - SG_BAND_FIRST] * third_rms[third - SG_BAND_FIRST];
    }
    return sqrt(square);
}

static void put_octaves(struct sg_table *table, const struct sg_taken *taken,
                        const struct sg_kept *k)
{
    const struct sg_measured *m = &k->measured;
    for (size_t i = 0; i < (m->is_sound ? 1 : m->vibration.naxis); i++)
        for (int octave = OCTAVE_FIRST; octave <= OCTAVE_LAST; octave++) {
            double rms = m->is_sound ? SG_UNSET : octave_rms(k->band_rms[i], octave);
            double level = m->is_sound ? m->sound.octave_db[octave - OCTAVE_FIRST] : SG_UNSET;
            if (!sg_is_set(rms) && !sg_is_set(level))
                continue;
            sg_rows_part(table, taken, m);
            sg_table_text(table, m->is_sound ? "-" : sg_rows_axis(m->vibration.axis_of[i]));
            sg_table_number(table, sg_band_nominal_hz(3 * octave));
            sg_table_number(table, rms);
            sg_table_number(table, level);
        }
}

sg_status sg_table_octaves(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "band_hz", "band\nHz", 1, true },
        { "rms_mm_s", "rms\nmm/s", 4, true },
        { "leq_db", "LZeq\ndB", 1, true },
    };
    sg_table_init(out, "octaves", "Octave bands", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_octaves, out);
    sg_rows_each(list, true, put_octaves, out);
    if (out->nrow > 0)
        sg_table_note(out, "The energy of three one-third-octave bands; octaves of which the rate "
                           "does not allow all three are left out.");
    return sg_report_table_status(out);
}

/* ---- response spectrum ----------------------------------------------------------------------- */

static void put_response(struct sg_table *table, const struct sg_taken *taken,
                         const struct sg_kept *k)
{
    const struct sg_vibration_figures *f = &k->measured.vibration;
    for (size_t i = 0; i < f->naxis; i++)
        for (size_t n = 0; n < SG_RESPONSE_COUNT; n++) {
            double psv = k->psv_mm_s[i][n], w = 2.0 * SG_PI * sg_response_hz(n);
            if (!sg_is_set(psv))
                continue;
            sg_rows_part(table, taken, &k->measured);
            sg_table_text(table, sg_rows_axis(f->axis_of[i]));
            sg_table_number(table, sg_response_hz(n));
            sg_table_number(table, psv);
            sg_table_number(table, 1e-3 * w * psv);
        }
}

sg_status sg_table_response(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "natural_hz", "natural\nHz", 2, true },
        { "psv_mm_s", "PSV\nmm/s", 4, true },
        { "psa_m_s2", "PSA\nm/s2", 4, true },
    };
    sg_table_init(out, "response", "Response spectrum, 5 % damping", columns, SG_COUNT(columns));
    sg_rows_each(list, false, put_response, out);
    if (out->nrow > 0)
        sg_table_note(out, "Largest pseudo-velocity PSV = 2 pi f max|u| of an oscillator on the "
                           "vibrating ground, PSA = 2 pi f PSV; up to a tenth of the rate.");
    return sg_report_table_status(out);
}

/* ---- densities ------------------------------------------------------------------------------- */

/* Densities run over many powers of ten: five figures of each. */
static void put_figures(struct sg_table *table, double value)
{
    double power = value > 1e-30 ? floor(log10(value)) : 0.0;
    sg_table_number_to(table, value, power < 4.0 ? (int)(4.0 - power) : 0);
}

static void put_density(struct sg_table *table, const struct sg_taken *taken,
                        const struct sg_kept *k)
{
    const struct sg_measured *m = &k->measured;
    for (size_t i = 0; i < m->nchannel; i++)
        for (size_t n = 0; n < k->spectrum[i].count; n++) {
            const struct sg_spectrum *of = &k->spectrum[i];
            bool one_sided = n > 0 && n + 1 < of->count;
            double line = of->value[n] * of->enbw_hz; /* mean square of a tone in this line */
            sg_rows_part(table, taken, m);
            sg_table_text(table, m->is_sound ? "-" : sg_rows_axis(m->vibration.axis_of[i]));
            sg_table_number(table, (double)n * of->step_hz);
            put_figures(table, of->value[n]);
            put_figures(table, sqrt(one_sided ? 2.0 * line : line));
            sg_table_text(table, sg_taper_id(of->window));
            sg_table_number(table, 100.0 * of->overlap);
            sg_table_number(table, (double)of->averages);
            sg_table_number(table, of->enbw_hz);
        }
}

/* The window, overlap and bandwidth of each length of segment, once. */
static void note_density(const struct sg_taken_list *list, struct sg_table *out)
{
    double seen_hz = SG_UNSET;
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].kept.count; k++) {
            const struct sg_spectrum *of = &list->item[i].kept.item[k].spectrum[0];
            if (of->count == 0 || (of->enbw_hz >= seen_hz && of->enbw_hz <= seen_hz))
                continue;
            seen_hz = of->enbw_hz;
            sg_table_note(out,
                          "Welch: %s window, %.0f %% overlap, mean taken off each segment, lines "
                          "%.4g Hz apart, noise bandwidth %.4g Hz; one-sided.",
                          sg_taper_id(of->window), 100.0 * of->overlap, of->step_hz, of->enbw_hz);
        }
}

sg_status sg_table_spectrum(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        SG_PART_COLUMNS,
        { "axis", "axis", 0, false },
        { "frequency_hz", "frequency\nHz", 3, true },
        { "density_per_hz", "density\nunit2/Hz", 12, true },
        { "amplitude", "amplitude\nunit, peak", 8, true },
        { "window", NULL, 0, false },
        { "overlap_percent", NULL, 0, true },
        { "segments", "seg-\nments", 0, true },
        { "enbw_hz", NULL, 4, true },
    };
    sg_table_init(out, "spectrum", "Power spectral density and amplitude spectrum", columns,
                  SG_COUNT(columns));
    sg_rows_each(list, false, put_density, out);
    sg_rows_each(list, true, put_density, out);
    if (out->nrow > 0) {
        note_density(list, out);
        sg_table_note(out,
                      "Unit: of the channel, mm/s, m/s2 or Pa. Amplitude of a tone: square root "
                      "of twice the density times the noise bandwidth. Of the whole recording.");
    }
    return sg_report_table_status(out);
}

/* ---- spectrogram ----------------------------------------------------------------------------- */

static enum sg_axis axis_of(const struct sg_taken *taken, size_t channel)
{
    const struct sg_calibration *calibration = taken->calibration;
    return calibration && channel < calibration->nchannel ? calibration->channel[channel].axis
                                                          : SG_AXIS_NONE;
}

static void put_mosaic(struct sg_table *table, const struct sg_taken *taken, size_t channel)
{
    const struct sg_mosaic *m = &taken->mosaic[channel];
    for (size_t c = 0; c < m->count; c++)
        for (size_t k = 0; k < m->nline; k++) {
            sg_table_text(table, sg_rows_file(taken->file));
            sg_table_number(table, (double)channel + 1.0);
            sg_table_text(table, sg_rows_axis(axis_of(taken, channel)));
            sg_table_number(table, m->start_s + ((double)c + 1.0) * sg_mosaic_step_s(m));
            sg_table_number(table, (double)k * m->line_step_hz);
            put_figures(table, m->density[c * m->nline + k]);
        }
}

sg_status sg_table_spectrogram(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "recording", "recording", 0, false },
        { "channel", "channel", 0, true },
        { "axis", "axis", 0, false },
        { "middle_s", "at\ns", 3, true },
        { "frequency_hz", "frequency\nHz", 3, true },
        { "density_per_hz", "density\nunit2/Hz", 12, true },
    };
    sg_table_init(out, "spectrogram", "Spectrogram", columns, SG_COUNT(columns));
    for (size_t i = 0; i < list->count; i++)
        for (size_t c = 0; list->item[i].mosaic && c < list->item[i].info.nchannel; c++)
            if (list->item[i].mosaic[c].count > 0)
                put_mosaic(out, &list->item[i], c);
    if (out->nrow > 0)
        sg_table_note(out,
                      "Mean one-sided densities of at most %d columns a channel, Hann window, "
                      "half overlap; vibration up to 120 Hz, sound up to 8 kHz.",
                      SG_MOSAIC_COLUMNS);
    return sg_report_table_status(out);
}
