/* bench_signal.c - speed and figures of the meters, for bench_signal.py to hold against a pipeline
 * in scipy on the same samples.
 *
 * usage: bench_signal FOLDER. Writes vibration.f64 (3 axes of 2 kHz, 120 s, one after the other)
 * and sound.f64 (48 kHz, 60 s) there, runs both meters, prints "name value" lines.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "stillground/signal.h"

#define VIBRATION_RATE 2000.0
#define VIBRATION_COUNT ((size_t)240000)
#define SOUND_RATE 48000.0
#define SOUND_COUNT ((size_t)2880000)
#define BLOCK ((size_t)4096)
#define TIMES 5

static double seconds_now(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Blows over noise that is smoothed four times at corner_hz, so that nothing lies near half the
 * rate. */
static void fill(double *x, size_t count, double rate_hz, double blow_hz, double corner_hz,
                 uint32_t seed)
{
    const double shift_s = 0.37 * (double)(seed % 4);
    double low[4] = { 0.0 }, k = -expm1(-2.0 * SG_PI * corner_hz / rate_hz);
    for (size_t i = 0; i < count; i++) {
        double t = (double)i / rate_hz, since = fmod(t + shift_s, 1.5);
        seed = seed * 1664525u + 1013904223u;
        low[0] += k * ((double)seed / 4294967296.0 - 0.5 - low[0]);
        for (size_t n = 1; n < 4; n++)
            low[n] += k * (low[n - 1] - low[n]);
        x[i] = 20.0 * low[3] + 2.0 * (1.0 - exp(-since / 0.02)) * exp(-since / 0.1) *
                                   sin(2.0 * SG_PI * blow_hz * since);
    }
}

static void save(const char *folder, const char *name, const double *x, size_t count)
{
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(x, sizeof *x, count, file) != count || fclose(file) != 0) {
        (void)fprintf(stderr, "bench_signal: cannot write %s\n", path);
        exit(1);
    }
}

static void must(sg_status status)
{
    if (!sg_ok(status)) {
        (void)fprintf(stderr, "bench_signal: %s\n", sg_status_text(status));
        exit(1);
    }
}

static void print_axis(size_t axis, const struct sg_axis_figures *f,
                       const struct sg_axis_sums *sums)
{
    (void)printf("ppv%zu %.9g\nrms%zu %.9g\nrms1s%zu %.9g\n", axis, f->ppv_sampled_mm_s, axis,
                 f->rms_mm_s, axis, f->rms_1s_mm_s);
    (void)printf("displacement%zu %.9g\nacceleration%zu %.9g\n", axis, f->displacement_mm, axis,
                 f->acceleration_m_s2);
    (void)printf("kbfmax%zu %.9g\nkbftm%zu %.9g\nvlmax%zu %.9g\n", axis, f->kbf_max, axis,
                 f->kbft_m, axis, f->vl_max_db);
    for (int d = 0; d < SG_DOSE_END; d++)
        (void)printf("aw%d.%zu %.9g\nvdv%d.%zu %.9g\nmtvv%d.%zu %.9g\n", d, axis, f->dose[d].aw_rms,
                     d, axis, f->dose[d].vdv, d, axis, f->dose[d].mtvv);
    for (int third = -26; third <= -5; third++)
        (void)printf("band%d.%zu %.9g\nbandmax%d.%zu %.9g\n", third, axis,
                     sg_bands_rms(&sums->bands, third), third, axis,
                     sg_bands_max(&sums->bands, third));
}

static double run_vibration(const double *const *x, bool print)
{
    struct sg_vibration_config config = { .rate_hz = VIBRATION_RATE,
                                          .naxis = SG_AXES_MAX,
                                          .kb = SG_WEIGHTING_KB_80,
                                          .takt_s = SG_UNSET };
    struct sg_vibration_meter *meter = NULL;
    struct sg_vibration_sums sums;
    struct sg_vibration_figures figures;
    for (size_t i = 0; i < SG_AXES_MAX; i++) /* axes without a name get every weighting */
        config.axis[i] = SG_AXIS_NONE;
    must(sg_vibration_sums_init(&sums, &config));
    double start_s = seconds_now();
    must(sg_vibration_new(&config, &meter));
    for (size_t at = 0; at < VIBRATION_COUNT; at += BLOCK) {
        const double *part[SG_AXES_MAX] = { x[0] + at, x[1] + at, x[2] + at };
        sg_vibration_run(meter, part, VIBRATION_COUNT - at < BLOCK ? VIBRATION_COUNT - at : BLOCK,
                         (double)at / VIBRATION_RATE, &sums);
    }
    sg_vibration_close(meter, &sums);
    sg_vibration_read(&sums, &figures);
    double took_s = seconds_now() - start_s;
    for (size_t i = 0; print && i < SG_AXES_MAX; i++)
        print_axis(i, &figures.axis[i], &sums.axis[i]);
    if (print)
        (void)printf("pvs %.9g\n", figures.pvs_mm_s);
    sg_vibration_free(meter);
    sg_vibration_sums_release(&sums);
    return took_s;
}

static double run_sound(const double *x, bool print)
{
    const struct sg_sound_config config = { .rate_hz = SOUND_RATE,
                                            .bands = true,
                                            .sample_s = SG_UNSET };
    struct sg_sound_meter *meter = NULL;
    struct sg_sound_sums sums;
    struct sg_sound_figures f;
    must(sg_sound_sums_init(&sums));
    double start_s = seconds_now();
    must(sg_sound_new(&config, &meter));
    for (size_t at = 0; at < SOUND_COUNT; at += BLOCK)
        sg_sound_run(meter, x + at, SOUND_COUNT - at < BLOCK ? SOUND_COUNT - at : BLOCK,
                     (double)at / SOUND_RATE, &sums);
    sg_sound_close(meter, &sums);
    sg_sound_read(&sums, &f);
    double took_s = seconds_now() - start_s;
    if (print) {
        (void)printf("laeq %.9g\nlceq %.9g\nlzeq %.9g\nlafmax %.9g\nlasmax %.9g\n", f.laeq_db,
                     f.lceq_db, f.lzeq_db, f.lafmax_db, f.lasmax_db);
        (void)printf("lcpeak %.9g\nl10 %.9g\nl90 %.9g\nlaieq %.9g\n", f.lcpeak_db, f.l10_db,
                     f.l90_db, f.laieq_db);
        for (int third = -18; third <= 12; third++)
            (void)printf("third%d %.9g\nthirdmax%d %.9g\n", third,
                         f.third_db[third - SG_BAND_FIRST], third,
                         f.third_max_db[third - SG_BAND_FIRST]);
    }
    sg_sound_free(meter);
    sg_sound_sums_release(&sums);
    return took_s;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        (void)fprintf(stderr, "usage: bench_signal FOLDER\n");
        return 2;
    }
    double *v = sg_alloc(SG_AXES_MAX * VIBRATION_COUNT, sizeof *v);
    double *s = sg_alloc(SOUND_COUNT, sizeof *s);
    if (v == NULL || s == NULL)
        must(SG_ERR_NOMEM);
    for (size_t i = 0; i < SG_AXES_MAX; i++)
        fill(v + i * VIBRATION_COUNT, VIBRATION_COUNT, VIBRATION_RATE, 14.0 + 4.0 * (double)i, 60.0,
             (uint32_t)i + 1u);
    fill(s, SOUND_COUNT, SOUND_RATE, 420.0, 2000.0, 9u);
    save(argv[1], "vibration.f64", v, SG_AXES_MAX * VIBRATION_COUNT);
    save(argv[1], "sound.f64", s, SOUND_COUNT);
    const double *const axis[SG_AXES_MAX] = { v, v + VIBRATION_COUNT, v + 2 * VIBRATION_COUNT };
    double vibration_s = run_vibration(axis, true), sound_s = run_sound(s, true);
    for (int i = 1; i < TIMES; i++) {
        vibration_s = fmin(vibration_s, run_vibration(axis, false));
        sound_s = fmin(sound_s, run_sound(s, false));
    }
    (void)printf("time.vibration %.9g\ntime.sound %.9g\n", vibration_s, sound_s);
    sg_free(v);
    sg_free(s);
    return 0;
}
