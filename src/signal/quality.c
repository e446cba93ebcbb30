/* quality.c - what may be wrong with a recording, with a stable code each.
 *
 * Rules: common practice, no source: three samples on the rail are clipping, 0.25 s of one value a
 * dropout, an offset of 1 % of full scale, a spike a jump out and back within two samples of eight
 * times the usual roughness and more.
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define FLAT_TOP 3 /* samples */
#define STUCK_S 0.25
#define OFFSET_SHARE 0.01
#define SPIKE_TIMES 60.0 /* second difference over its slow mean */
#define ROUGH_TAU_S 2.0
#define WARM_S 1.0

static const struct sg_quality_row row[SG_QUALITY_END] = {
    { "Q01", "clipped", "samples stand on the rail; the true peak is higher", true },
    { "Q02", "stuck", "one value over a long run: a dropout or a loose plug", true },
    { "Q03", "offset", "the mean is over 1 % of full scale; one side of the motion reads low",
      true },
    { "Q04", "spike", "a jump out and back that no ground motion makes; it may stand for the peak",
      true },
    { "Q05", "gap", "samples are missing", true },
    { "Q06", "overlap", "samples came twice and were dropped once", false },
    { "Q07", "unit in doubt", "the size of the values hints at a wrong unit", true },
    { "Q08", "band cut", "the rate is too low for part of the band asked for", true },
    { "Q09", "peak over vector sum", "an axis peaks above the vector sum", true },
    { "Q10", "calibration expired", "the calibration was older than it is valid", true },
    { "Q11", "calibrator tone", "the tone in the recording does not fit the factor given", true },
    { "Q12", "uncalibrated", "values are in file units; no verdict is possible", true },
    { "Q13", "rate disagrees", "the file's rate is not the one stated beside it", true },
    { "Q14", "duration disagrees", "the file is not as long as stated beside it", true },
    { "Q15", "clock", "the file's start and the one stated beside it are over 1 s apart", false },
    { "Q16", "polarity", "two sensors see one motion with opposite signs", false },
};

const struct sg_quality_row *sg_quality_row(enum sg_quality quality)
{
    return quality < SG_QUALITY_END ? &row[quality] : NULL;
}

void sg_quality_clear(struct sg_quality_found *found)
{
    for (size_t i = 0; i < SG_QUALITY_END; i++) {
        found->times[i] = 0;
        found->first_s[i] = SG_UNSET;
        found->largest[i] = SG_UNSET;
    }
}

void sg_quality_note(struct sg_quality_found *found, enum sg_quality quality, double time_s,
                     double size)
{
    if (found->times[quality]++ == 0 || time_s < found->first_s[quality])
        found->first_s[quality] = time_s;
    found->largest[quality] = fmax(found->largest[quality], size);
}

void sg_quality_merge(struct sg_quality_found *into, const struct sg_quality_found *more)
{
    for (size_t i = 0; i < SG_QUALITY_END; i++) {
        into->times[i] += more->times[i];
        into->first_s[i] = fmin(into->first_s[i], more->first_s[i]);
        into->largest[i] = fmax(into->largest[i], more->largest[i]);
    }
}

bool sg_quality_hides(const struct sg_quality_found *found)
{
    for (size_t i = 0; i < SG_QUALITY_END; i++)
        if (found->times[i] > 0 && row[i].hides_exceedance)
            return true;
    return false;
}

void sg_watch_init(struct sg_watch *watch, double full_scale, double step, double rate_hz)
{
    *watch = (struct sg_watch){ .full_scale = full_scale,
                                .step = step,
                                .rate_hz = rate_hz,
                                .high = -HUGE_VAL,
                                .low = HUGE_VAL };
}

static bool on_rail(const struct sg_watch *watch, double value)
{
    double margin = sg_is_set(watch->step) ? 1.5 * watch->step : 1e-6 * watch->full_scale;
    return fabs(value) >= watch->full_scale - margin;
}

/* A run of one value has ended. */
static void judge_run(struct sg_watch *watch, struct sg_quality_found *found)
{
    double length_s = (double)watch->run / watch->rate_hz;
    bool rail = sg_is_set(watch->full_scale) && on_rail(watch, watch->run_value);
    if (rail && watch->run >= FLAT_TOP)
        sg_quality_note(found, SG_QUALITY_CLIPPED, watch->run_start_s, (double)watch->run);
    else if (watch->run >= FLAT_TOP && length_s >= STUCK_S)
        sg_quality_note(found, SG_QUALITY_STUCK, watch->run_start_s, length_s);
    if (watch->run_value > watch->high ||
        (watch->run_value >= watch->high && watch->run > watch->high_run)) {
        watch->high = watch->run_value;
        watch->high_run = watch->run;
        watch->high_s = watch->run_start_s;
    }
    if (watch->run_value < watch->low ||
        (watch->run_value <= watch->low && watch->run > watch->low_run)) {
        watch->low = watch->run_value;
        watch->low_run = watch->run;
        watch->low_s = watch->run_start_s;
    }
}

/* A lone sample off the curve bends it 1 : 2 : 1 and nowhere near by. Noise bends it all along, and
 * the start of a blow is one kink. Judged three samples late, when what follows is known. */
static void judge_spike(struct sg_watch *watch, double x, double time_s,
                        struct sg_quality_found *found)
{
    double *b = watch->bend;
    memmove(b, b + 1, 6 * sizeof *b);
    b[6] = fabs(watch->before - 2.0 * watch->last + x);
    bool warm = (double)watch->seen > WARM_S * watch->rate_hz;
    double near = fmax(fmax(b[0], b[1]), fmax(b[5], b[6]));
    if (warm && watch->rough > 0.0 && b[3] > SPIKE_TIMES * watch->rough && near < 0.1 * b[3] &&
        fmax(b[2], b[4]) < 0.6 * b[3] && fmin(b[2], b[4]) > 0.4 * b[3])
        sg_quality_note(found, SG_QUALITY_SPIKE, time_s - 4.0 / watch->rate_hz, b[3] / 2.0);
    double bounded = warm ? fmin(b[6], SPIKE_TIMES * watch->rough + 1e-300) : b[6];
    watch->rough += (bounded - watch->rough) / (ROUGH_TAU_S * watch->rate_hz);
}

void sg_watch_run(struct sg_watch *watch, const double *raw, size_t count, double time_s,
                  struct sg_quality_found *found)
{
    for (size_t i = 0; i < count; i++) {
        double x = raw[i], at = time_s + (double)i / watch->rate_hz;
        bool same = watch->seen > 0 && !(x < watch->run_value) && !(x > watch->run_value);
        if (!same) {
            if (watch->seen > 0)
                judge_run(watch, found);
            watch->run = 0;
            watch->run_value = x;
            watch->run_start_s = at;
        }
        watch->run++;
        if (watch->seen >= 2)
            judge_spike(watch, x, at, found);
        watch->before = watch->last;
        watch->last = x;
        watch->sum += x;
        watch->seen++;
    }
}

/* A flat top at the very extreme of a record stands for a rail that is not known. Signals of a few
 * counts have such tops by chance. */
static bool flat_top(const struct sg_watch *watch, double extreme, uint64_t run)
{
    if (run < FLAT_TOP || !(watch->high > watch->low))
        return false;
    if (sg_is_set(watch->full_scale))
        return fabs(extreme) > 0.1 * watch->full_scale && !on_rail(watch, extreme);
    return !sg_is_set(watch->step) || fabs(extreme) > 16.0 * watch->step;
}

void sg_watch_close(struct sg_watch *watch, double time_s, struct sg_quality_found *found)
{
    if (watch->seen == 0)
        return;
    judge_run(watch, found);
    bool known = sg_is_set(watch->full_scale);
    /* floating-point files may hold physical units: what goes over full scale sets its own */
    double extreme = fmax(fabs(watch->high), fabs(watch->low));
    double scale = known ? fmax(watch->full_scale, extreme) : extreme;
    if (flat_top(watch, watch->high, watch->high_run))
        sg_quality_note(found, SG_QUALITY_CLIPPED, watch->high_s, (double)watch->high_run);
    if (flat_top(watch, watch->low, watch->low_run))
        sg_quality_note(found, SG_QUALITY_CLIPPED, watch->low_s, (double)watch->low_run);
    double mean = watch->sum / (double)watch->seen;
    if (scale > 0.0 && fabs(mean) > OFFSET_SHARE * scale && (known || fabs(mean) > 0.1 * scale))
        sg_quality_note(found, SG_QUALITY_OFFSET, time_s, fabs(mean) / scale);
}

bool sg_quality_above_sum(double peak, double sum)
{
    return peak > sum * (1.0 + 1e-9);
}

/* Practice: piling within 5 to 200 m gives 0.01 to 100 mm/s; ground is never quieter than about
 * 1e-5 mm/s rms nor shakes above 1 m/s without wreckage. */
const char *sg_quality_unit_doubt(enum sg_kind kind, double peak, double rms)
{
    if (!(peak > 0.0) || !(rms >= 0.0))
        return NULL;
    if (kind == SG_KIND_VELOCITY && peak > 1000.0)
        return "over 1 m/s: were um/s or counts taken for mm/s?";
    if (kind == SG_KIND_VELOCITY && peak > 100.0)
        return "over 100 mm/s: were mm/s taken for in/s (factor 25.4)?";
    if (kind == SG_KIND_VELOCITY && peak < 1e-3)
        return "under 0.001 mm/s: were m/s or in/s taken for mm/s?";
    if (kind == SG_KIND_ACCELERATION && peak > 1000.0)
        return "over 100 g: were mm/s2 or counts taken for m/s2?";
    if (kind == SG_KIND_ACCELERATION && peak < 1e-5)
        return "under 0.00001 m/s2: was g taken for m/s2?";
    if (kind == SG_KIND_PRESSURE && peak > 2000.0)
        return "over 160 dB: were counts taken for Pa?";
    if (kind == SG_KIND_PRESSURE && rms < 20e-6)
        return "under 0 dB: was full scale taken for Pa?";
    return NULL;
}
