/* weightings.c - the rows behind weighting.h: IEC 61672-1:2013, IEC 61260-1:2014, ISO 8041-1:2017,
 * DIN 45669-1 / DIN 4150-2, JIS C 1510, NT ACOU 112:2002, ISO 1996-2:2017.
 *
 * "via transcription" in the document list means that the table was read in a transcription of the
 * printed page, not in the page. Rows graded memory are recalled and unverified.
 */
#include "stillground/weighting.h"

#include <math.h>

#define NONE SG_UNSET

static const struct sg_cite cite_z = { "iec61672-1", "Z = 0 dB", SG_GRADE_SEEN };
static const struct sg_cite cite_bands = { "iec61260-1", "Eq. (2), Table F.1", SG_GRADE_SEEN };

/* The design frequencies are recalled (Annex E); they reproduce all 68 cells of Table 3 for A and C
 * and the printed poles 20.60, 107.7, 737.9 and 12194 Hz, hence the grade. */
static const struct sg_sound_weighting_row sound_row = {
    1000.0, 31.622776601683793, 7943.2823472428150, 281.83829312644538,
    { "iec61672-1", "Annex E: fL = 10^1.5, fH = 10^3.9, fA = 10^2.45 Hz", SG_GRADE_DERIVED }
};

#define ISO_CITE { "iso8041-1", "Table 3", SG_GRADE_SEEN }
#define JP_CITE { "jisc1510", "annexed Table 1, form fitted to recalled rows", SG_GRADE_MEMORY_MID }
/* Wm corner: 1 / (2 pi 0.028 s); its first band limit is 10^-0.1 Hz. */
#define WM_CORNER_HZ (1.0 / (2.0 * SG_PI * 0.028))
#define WM_LOW_HZ 0.79432823472428150
#define SQRT2 1.4142135623730951

static const struct sg_vibration_weighting_row vibration_row[] = {
    /* weighting        f1   f2     f3    f4    Q4    f5    Q5    f6    Q6    K */
    { SG_WEIGHTING_WB, 0.4, 100.0, 16.0, 16.0, 0.55, 2.5, 0.9, 4.0, 0.95, 1.024, ISO_CITE },
    { SG_WEIGHTING_WC, 0.4, 100.0, 8.0, 8.0, 0.63, NONE, NONE, NONE, NONE, 1.0, ISO_CITE },
    { SG_WEIGHTING_WD, 0.4, 100.0, 2.0, 2.0, 0.63, NONE, NONE, NONE, NONE, 1.0, ISO_CITE },
    { SG_WEIGHTING_WE, 0.4, 100.0, 1.0, 1.0, 0.63, NONE, NONE, NONE, NONE, 1.0, ISO_CITE },
    { SG_WEIGHTING_WJ, 0.4, 100.0, NONE, NONE, NONE, 3.75, 0.91, 5.32, 0.91, 1.0, ISO_CITE },
    { SG_WEIGHTING_WK, 0.4, 100.0, 12.5, 12.5, 0.63, 2.37, 0.91, 3.35, 0.91, 1.0, ISO_CITE },
    { SG_WEIGHTING_WM, WM_LOW_HZ, 100.0, WM_CORNER_HZ, WM_CORNER_HZ, 0.5, NONE, NONE, NONE, NONE,
      1.0, ISO_CITE },
    { SG_WEIGHTING_JP_VERTICAL, NONE, NONE, 1.5, 5.3, 0.68, NONE, NONE, NONE, NONE, 0.3 * SQRT2,
      JP_CITE },
    { SG_WEIGHTING_JP_HORIZONTAL, NONE, NONE, 2.0, 2.0, 0.63, NONE, NONE, NONE, NONE, SQRT2,
      JP_CITE },
};

static const struct sg_kb_row kb_row = {
    5.6, 0.8, 100.0, 400.0, 0.125, 30.0, 0.1,
    { "din45669-1", "KB weighting and band limits", SG_GRADE_MEMORY_MID },
    { "din45669-1", "foreword of the 1995 edition", SG_GRADE_SEEN },
    { "din4150-2", "30 s takts, KB_FTm Eq. (3); exactly 0.1 counts as 0", SG_GRADE_MEMORY_MID }
};

static const struct sg_time_row time_row[SG_TIME_END] = {
    { "F", 0.125, NONE, { "iec61672-1", "reproduces Table 4", SG_GRADE_DERIVED } },
    { "S", 1.0, NONE, { "iec61672-1", "reproduces Table 4", SG_GRADE_DERIVED } },
    { "I", 0.035, 1.5, { "iec61672-1", "Annex C of the 2002 edition", SG_GRADE_MEMORY_MID } },
    { "0.63 s", 0.63, NONE, { "jisc1510", "time constant", SG_GRADE_SEEN } },
};

static const struct sg_reference_row reference_row[SG_REFERENCE_END] = {
    { "sound pressure", 20e-6, "Pa", { "iec61672-1", "reference sound pressure", SG_GRADE_SEEN } },
    { "vibration level, Japan", 1e-5, "m/s2", { "jisc1510", "clause 2(1)", SG_GRADE_SEEN } },
    { "velocity level, ISO", 1e-9, "m/s", { "iso1683", "velocity", SG_GRADE_MEMORY_MID } },
    { "velocity level, United States", 1e-6, "in/s",
      { "practice", "VdB re 1 micro-inch per second", SG_GRADE_PRACTICE } },
    { "acceleration level, ISO", 1e-6, "m/s2",
      { "jisc1510", "clause 2, 20 dB beside ISO 1683", SG_GRADE_SEEN } },
};

/* Third-octave mask: exponent x of G (octave breakpoints), class 1 least and greatest attenuation.
 * The band edge itself stands twice: from inside and from outside. */
struct mask_row { double x, min_db, max_db; };
static const struct mask_row mask_inside[] = {
    { 0.0, -0.4, 0.4 }, { 0.125, -0.4, 0.5 }, { 0.25, -0.4, 0.7 }, { 0.375, -0.4, 1.4 },
    { 0.5, -0.4, 5.3 },
};
static const struct mask_row mask_outside[] = {
    { 0.5, 1.2, HUGE_VAL }, { 1.0, 16.6, HUGE_VAL }, { 2.0, 40.5, HUGE_VAL },
    { 3.0, 60.0, HUGE_VAL }, { 4.0, 70.0, HUGE_VAL },
};

/* IEC 61672-1:2013 Table 3, class 1 acceptance limits, 10 Hz to 20 kHz. */
struct class1_row { int third; double upper_db, lower_db; };
static const struct class1_row sound_class1[] = {
    { -20, 3.0, -HUGE_VAL }, { -19, 2.5, -HUGE_VAL }, { -18, 2.0, -4.0 }, { -17, 2.0, -2.0 },
    { -16, 2.0, -1.5 },      { -15, 1.5, -1.5 },      { -14, 1.0, -1.0 }, { -13, 1.0, -1.0 },
    { -12, 1.0, -1.0 },      { -11, 1.0, -1.0 },      { -10, 1.0, -1.0 }, { -9, 1.0, -1.0 },
    { -8, 1.0, -1.0 },       { -7, 1.0, -1.0 },       { -6, 1.0, -1.0 },  { -5, 1.0, -1.0 },
    { -4, 1.0, -1.0 },       { -3, 1.0, -1.0 },       { -2, 1.0, -1.0 },  { -1, 1.0, -1.0 },
    { 0, 0.7, -0.7 },        { 1, 1.0, -1.0 },        { 2, 1.0, -1.0 },   { 3, 1.0, -1.0 },
    { 4, 1.0, -1.0 },        { 5, 1.0, -1.0 },        { 6, 1.0, -1.0 },   { 7, 1.5, -1.5 },
    { 8, 1.5, -2.0 },        { 9, 1.5, -2.5 },        { 10, 2.0, -3.0 },  { 11, 2.0, -5.0 },
    { 12, 2.5, -16.0 },      { 13, 3.0, -HUGE_VAL },
};

static const struct sg_impulse_row impulse_row = {
    10.0, 0.05, 3.0, 2.0, 1.8, 5.0, 5.0,
    { "nt-acou-112", "P and KI; onset 10 dB/s, gaps under 50 ms joined", SG_GRADE_SEEN }
};

static const struct sg_tonal_row tonal_row = {
    2.0, 502.0, 2.5, 4.0, 10.0, 6.0, 500.0, 100.0, 0.2,
    { "iso1996-2", "tonal audibility and adjustment Kt", SG_GRADE_SEEN },
    { "iso1996-2", "critical bands of the engineering method", SG_GRADE_MEMORY_MID }
};

static const struct sg_dose_row dose_row = {
    1.4, 6.0, 1.5, 1.75,
    { "bs6472", "1992 edition, eVDV", SG_GRADE_SEEN },
    { "iso2631-1", "6.3.3", SG_GRADE_MEMORY_MID }
};

static const struct sg_jp_reading_row jp_row = {
    5.0, 100, 10.0,
    { "jp-vibration-act", "Enforcement Regulation, note: L10 of 100 readings", SG_GRADE_MEMORY_MID }
};

/* The last coefficient is derived from the printed sum 4.63867187. */
static const struct sg_flat_top_row flat_top_row = {
    { 1.0, -1.93261719, 1.28613281, -0.38769531, 0.03222656 },
    { "iso18431-2", "Cor.1:2008, 5.3", SG_GRADE_SEEN }
};

static const double label[10] = { 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0 };

const char *sg_weighting_id(enum sg_weighting weighting)
{
    static const char *const id[SG_WEIGHTING_END] = {
        "A", "C", "Z", "Wb", "Wc", "Wd", "We", "Wj", "Wk", "Wm", "JP vertical", "JP horizontal",
        "KB 1-80 Hz", "KB 1-315 Hz"
    };
    return weighting < SG_WEIGHTING_END ? id[weighting] : "?";
}

const struct sg_cite *sg_weighting_cite(enum sg_weighting weighting)
{
    const struct sg_vibration_weighting_row *row = sg_vibration_weighting(weighting);
    if (row != NULL)
        return &row->cite;
    if (weighting == SG_WEIGHTING_KB_80 || weighting == SG_WEIGHTING_KB_315)
        return &kb_row.corner_cite;
    return weighting == SG_WEIGHTING_Z ? &cite_z : &sound_row.cite;
}

const struct sg_sound_weighting_row *sg_sound_weighting(void)
{
    return &sound_row;
}

const struct sg_vibration_weighting_row *sg_vibration_weighting(enum sg_weighting weighting)
{
    for (size_t i = 0; i < SG_COUNT(vibration_row); i++)
        if (vibration_row[i].weighting == weighting)
            return &vibration_row[i];
    return NULL;
}

const struct sg_kb_row *sg_kb(void)
{
    return &kb_row;
}

const struct sg_time_row *sg_time_weighting(enum sg_time_weighting weighting)
{
    return weighting < SG_TIME_END ? &time_row[weighting] : NULL;
}

const struct sg_reference_row *sg_quantity_reference(enum sg_quantity quantity)
{
    switch ((int)quantity) {
    case SG_Q_LV_US:
        return sg_reference(SG_REFERENCE_VELOCITY_US);
    case SG_Q_VL_JP:
        return sg_reference(SG_REFERENCE_JP);
    case SG_Q_LAW_ISO:
        return sg_reference(SG_REFERENCE_ACCELERATION_ISO);
    default:
        return NULL;
    }
}

const struct sg_reference_row *sg_reference(enum sg_reference reference)
{
    return reference < SG_REFERENCE_END ? &reference_row[reference] : NULL;
}

const struct sg_flat_top_row *sg_flat_top(void)
{
    return &flat_top_row;
}

double sg_band_hz(int third)
{
    return 1000.0 * pow(10.0, third / 10.0);
}

double sg_band_low_hz(int third)
{
    return 1000.0 * pow(10.0, third / 10.0 - 0.05);
}

double sg_band_high_hz(int third)
{
    return 1000.0 * pow(10.0, third / 10.0 + 0.05);
}

double sg_band_nominal_hz(int third)
{
    int decade = (third + 1000) / 10 - 100;
    double value = label[third - 10 * decade];
    for (int i = decade + 3; i > 0; i--)
        value *= 10.0;
    for (int i = decade + 3; i < 0; i++)
        value /= 10.0;
    return value;
}

double sg_octave_hz(int octave)
{
    return 1000.0 * pow(10.0, 0.3 * octave);
}

double sg_octave_low_hz(int octave)
{
    return 1000.0 * pow(10.0, 0.3 * octave - 0.15);
}

double sg_octave_high_hz(int octave)
{
    return 1000.0 * pow(10.0, 0.3 * octave + 0.15);
}

sg_status sg_band_of(double frequency_hz, int *third)
{
    if (!(frequency_hz > 0.0))
        return SG_ERR_DOMAIN;
    double x = floor(10.0 * log10(frequency_hz / 1000.0) + 0.5);
    if (x < SG_BAND_FIRST || x > SG_BAND_LAST)
        return SG_ERR_DOMAIN;
    *third = (int)x;
    return SG_OK;
}

const struct sg_cite *sg_band_cite(void)
{
    return &cite_bands;
}

/* lg of a third-octave breakpoint from the octave one (IEC 61260-1 Table F.1 follows from it). */
static double breakpoint_lg(double x)
{
    const double g = pow(10.0, 0.3);
    return log10(1.0 + (pow(g, 1.0 / 6.0) - 1.0) / (sqrt(g) - 1.0) * (pow(g, x) - 1.0));
}

static double between(double at, double x0, double y0, double x1, double y1)
{
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0);
}

void sg_band_mask(double ratio, double *min_db, double *max_db)
{
    double at = fabs(log10(ratio));
    if (at <= breakpoint_lg(0.5)) {
        *min_db = mask_inside[0].min_db;
        *max_db = mask_inside[SG_COUNT(mask_inside) - 1].max_db;
        for (size_t i = 1; i < SG_COUNT(mask_inside); i++) {
            double x0 = breakpoint_lg(mask_inside[i - 1].x), x1 = breakpoint_lg(mask_inside[i].x);
            if (at <= x1) {
                *max_db = between(at, x0, mask_inside[i - 1].max_db, x1, mask_inside[i].max_db);
                break;
            }
        }
        return;
    }
    *max_db = HUGE_VAL;
    *min_db = mask_outside[SG_COUNT(mask_outside) - 1].min_db;
    for (size_t i = 1; i < SG_COUNT(mask_outside); i++) {
        double x0 = breakpoint_lg(mask_outside[i - 1].x), x1 = breakpoint_lg(mask_outside[i].x);
        if (at <= x1) {
            *min_db = between(at, x0, mask_outside[i - 1].min_db, x1, mask_outside[i].min_db);
            break;
        }
    }
}

sg_status sg_sound_class1(int third, double *lower_db, double *upper_db)
{
    for (size_t i = 0; i < SG_COUNT(sound_class1); i++) {
        if (sound_class1[i].third != third)
            continue;
        *lower_db = sound_class1[i].lower_db;
        *upper_db = sound_class1[i].upper_db;
        return SG_OK;
    }
    return SG_ERR_DOMAIN;
}

/* ISO 8041-1:2017 Tables 4 and 5: exponents of ten of the four frequencies. */
void sg_vibration_tolerance(enum sg_weighting weighting, double frequency_hz, double *lower,
                            double *upper)
{
    bool building = weighting == SG_WEIGHTING_WM;
    double lg = log10(frequency_hz);
    double t1 = building ? -0.3 : -0.6, t2 = building ? 0.1 : -0.2, t3 = 1.8, t4 = 2.2;
    bool middle = lg >= t2 && lg <= t3;
    *upper = middle ? 1.12 : 1.26;
    *lower = middle ? 0.89 : lg >= t1 && lg <= t4 ? 0.79 : 0.0;
}

const struct sg_impulse_row *sg_impulse_rating(void)
{
    return &impulse_row;
}

const struct sg_tonal_row *sg_tonal_rating(void)
{
    return &tonal_row;
}

const struct sg_dose_row *sg_dose_rating(void)
{
    return &dose_row;
}

const struct sg_jp_reading_row *sg_jp_reading(void)
{
    return &jp_row;
}
