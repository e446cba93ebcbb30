/* make_recordings.c - writes the example recordings of measurements/ and their calibration files.
 * All of it is invented: no pile was driven for it. Same program, same bytes.
 *
 * usage: make_recordings FOLDER
 *
 * Three ways of installing a pile, each at 10 m and 30 m: impact (a decaying wave for each blow),
 * vibratory (a sweep up through the resonances of the ground, a steady run, a sweep down) and
 * press-in (little more than background). Two microphones at 20 m. The figures are round and fit no
 * place: they are there to be read, not believed.
 */
#define _POSIX_C_SOURCE 200809L
#include <libmseed.h>
#include <math.h>
#include <sndfile.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
#define AXES 3

static uint64_t noise_state;

/* xorshift, uniform in -1 .. 1 */
static double noise(void)
{
    noise_state ^= noise_state << 13;
    noise_state ^= noise_state >> 7;
    noise_state ^= noise_state << 17;
    return (double)(noise_state >> 11) / 4503599627370496.0 - 1.0;
}

struct scene {
    double rate_hz, seconds, distance_m;
    double *sample[AXES]; /* mm/s */
    size_t count;
};

static const double axis_share[AXES] = { 0.6, 0.45, 1.0 };

static void scene_init(struct scene *scene, double rate_hz, double seconds, double distance_m)
{
    *scene = (struct scene){ rate_hz, seconds, distance_m, { NULL }, (size_t)(rate_hz * seconds) };
    noise_state = 88172645463325252u + (uint64_t)distance_m;
    for (size_t a = 0; a < AXES; a++) {
        scene->sample[a] = calloc(scene->count, sizeof(double));
        if (scene->sample[a] == NULL)
            exit(1);
        double low = 0.0;
        for (size_t i = 0; i < scene->count; i++) { /* background, smoothed over a few ms */
            low += 0.05 * (noise() - low);
            scene->sample[a][i] = 0.02 * low;
        }
    }
}

static void scene_release(struct scene *scene)
{
    for (size_t a = 0; a < AXES; a++)
        free(scene->sample[a]);
}

/* A blow: 18 Hz on the vertical, a little other on the horizontals, gone after half a second. */
static void add_blow(struct scene *scene, double at_s, double peak_mm_s)
{
    for (size_t a = 0; a < AXES; a++) {
        double hz = 18.0 + 3.0 * (double)a, delay = scene->distance_m / 200.0 + 0.004 * (double)a;
        for (size_t i = (size_t)((at_s + delay) * scene->rate_hz); i < scene->count; i++) {
            double t = (double)i / scene->rate_hz - at_s - delay;
            if (t > 1.5)
                break;
            double rise = 1.0 - exp(-t / 0.01);
            scene->sample[a][i] +=
                peak_mm_s * axis_share[a] * rise * exp(-t / 0.09) * sin(2.0 * PI * hz * t);
        }
    }
}

static void impact(struct scene *scene, double distance_m)
{
    scene_init(scene, 2000.0, 60.0, distance_m);
    double peak = 6.0 * pow(distance_m / 10.0, -1.3);
    for (int blow = 0; blow < 36; blow++) {
        if (blow == 20) /* one blow is missing, so that it can be found */
            continue;
        add_blow(scene, 2.0 + 1.5 * blow + 0.01 * noise(), peak * (1.0 + 0.1 * noise()));
    }
}

/* Frequency of the vibrator: up to 36 Hz in 4 s, steady, down in 6 s. */
static double drive_hz(double t)
{
    if (t < 10.0 || t > 80.0)
        return 0.0;
    if (t < 14.0)
        return 36.0 * (t - 10.0) / 4.0;
    return t < 74.0 ? 36.0 : 36.0 * (80.0 - t) / 6.0;
}

static void vibratory(struct scene *scene, double distance_m)
{
    scene_init(scene, 1000.0, 90.0, distance_m);
    double turn = 0.0, scale = pow(distance_m / 10.0, -1.1);
    for (size_t i = 0; i < scene->count; i++) {
        double hz = drive_hz((double)i / scene->rate_hz);
        turn += hz / scene->rate_hz;
        double ratio = hz / 12.0; /* ground resonance at 12 Hz */
        double gain =
            0.9 * ratio * ratio / sqrt(pow(1.0 - ratio * ratio, 2.0) + pow(0.3 * ratio, 2.0));
        for (size_t a = 0; a < AXES; a++)
            scene->sample[a][i] += scale * gain * axis_share[a] * sin(2.0 * PI * turn + (double)a);
    }
}

static void press_in(struct scene *scene, double distance_m)
{
    scene_init(scene, 2000.0, 60.0, distance_m);
    double low = 0.0, scale = 0.4 * pow(distance_m / 10.0, -1.0);
    for (size_t i = 0; i < scene->count; i++) {
        double t = (double)i / scene->rate_hz;
        double on = fmod(t, 12.0) > 3.0 && fmod(t, 12.0) < 10.0 ? 1.0 : 0.0;
        low += 0.03 * (noise() - low);
        for (size_t a = 0; a < AXES; a++)
            scene->sample[a][i] += on * scale * axis_share[a] *
                                   (0.5 * low + 0.1 * sin(2.0 * PI * 24.0 * t + (double)a));
    }
}

/* ---- files ----------------------------------------------------------------------------------- */

static void fail(const char *path)
{
    (void)fprintf(stderr, "make_recordings: cannot write %s\n", path);
    exit(1);
}

static void path_of(char *out, size_t room, const char *folder, const char *name, const char *end)
{
    (void)snprintf(out, room, "%s/%s%s", folder, name, end);
}

static void write_sound(const char *path, double *const *sample, int channels, size_t count,
                        double rate_hz, double full_scale)
{
    SF_INFO format = { .samplerate = (int)rate_hz,
                       .channels = channels,
                       .format =
                           SF_FORMAT_FLAC | (channels > 1 ? SF_FORMAT_PCM_24 : SF_FORMAT_PCM_16) };
    SNDFILE *file = sf_open(path, SFM_WRITE, &format);
    if (file == NULL)
        fail(path);
    for (size_t i = 0; i < count; i++) {
        double frame[AXES];
        for (int c = 0; c < channels; c++)
            frame[c] = sample[c][i] / full_scale;
        if (sf_writef_double(file, frame, 1) != 1)
            fail(path);
    }
    if (sf_close(file) != 0)
        fail(path);
}

static void put_record(char *record, int length, void *file)
{
    if (fwrite(record, 1, (size_t)length, file) != (size_t)length)
        fail("a record");
}

/* One channel from `from` to `to` as Steim-2 records of 512 bytes; a count is 1e-5 mm/s. */
static void put_channel(FILE *file, const struct scene *scene, size_t axis, size_t from, size_t to)
{
    static const char *const code[AXES] = { "GHE", "GHN", "GHZ" };
    int32_t *count = malloc((to - from) * sizeof *count);
    MSRecord *msr = msr_init(NULL);
    int64_t packed = 0;
    if (count == NULL || msr == NULL)
        fail("a channel");
    for (size_t i = from; i < to; i++)
        count[i - from] = (int32_t)lround(scene->sample[axis][i] * 1e5);
    (void)snprintf(msr->network, sizeof msr->network, "XX");
    (void)snprintf(msr->station, sizeof msr->station, "INV%02d", (int)scene->distance_m);
    (void)snprintf(msr->channel, sizeof msr->channel, "%s", code[axis]);
    msr->dataquality = 'D';
    char start[] = "2026-01-12T09:00:00";
    msr->starttime =
        ms_timestr2hptime(start) + (hptime_t)((double)from / scene->rate_hz * HPTMODULUS);
    msr->samprate = scene->rate_hz;
    msr->reclen = 512;
    msr->encoding = DE_STEIM2;
    msr->byteorder = 1;
    msr->datasamples = count;
    msr->numsamples = msr->samplecnt = (int64_t)(to - from);
    msr->sampletype = 'i';
    if (msr_pack(msr, put_record, file, &packed, 1, 0) < 0 || packed != msr->numsamples)
        fail("a channel");
    msr->datasamples = NULL;
    msr_free(&msr);
    free(count);
}

/* gap_from..gap_to (samples) are left out. */
static void write_mseed(const char *path, const struct scene *scene, size_t gap_from, size_t gap_to)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL)
        fail(path);
    for (size_t a = 0; a < AXES; a++) {
        if (gap_to > gap_from) {
            put_channel(file, scene, a, 0, gap_from);
            put_channel(file, scene, a, gap_to, scene->count);
        } else {
            put_channel(file, scene, a, 0, scene->count);
        }
    }
    if (fclose(file) != 0)
        fail(path);
}

static void write_head(FILE *file, const char *what, const char *technique, const char *position,
                       double distance_m)
{
    (void)fprintf(file,
                  "note: \"invented example, %s; no pile was driven for it\"\n"
                  "receptor: \"Lock Row 5\"\nposition: %s\ntechnique: %s\n"
                  "distance_m: %.0f\n"
                  "serial: \"invented\"\ncalibrated: 2025-11-03\nvalid_days: 730\n",
                  what, position, technique, distance_m);
}

static void write_vibration_sidecar(const char *folder, const char *name, const char *technique,
                                    double distance_m, bool counts)
{
    static const char *const code[AXES] = { "GHE", "GHN", "GHZ" };
    static const char axis[AXES] = { 'x', 'y', 'z' };
    char path[512];
    path_of(path, sizeof path, folder, name, ".yaml");
    FILE *file = fopen(path, "w");
    if (file == NULL)
        fail(path);
    write_head(file, technique, technique, "free-field", distance_m);
    if (!counts)
        (void)fprintf(file, "start: 2026-01-12T09:00:00Z\n");
    (void)fprintf(file, "channels:\n");
    for (size_t a = 0; a < AXES; a++) {
        if (counts)
            (void)fprintf(file, "  - name: \"XX.INV%02.0f..%s\"\n", distance_m, code[a]);
        else
            (void)fprintf(file, "  - name: \"%zu\"\n", a + 1);
        (void)fprintf(file, "    quantity: velocity\n    axis: %c\n    sensor: 0\n", axis[a]);
        if (counts)
            (void)fprintf(file, "    by: factor\n    factor: 1e-5\n");
        else /* full scale: 10 V / 28.8 V per m/s at a gain of 20 dB = 34.72 mm/s */
            (void)fprintf(file, "    by: sensitivity\n    sensitivity: 28.8\n    gain_dB: 20\n"
                                "    volts_per_unit: 10\n");
    }
    if (fclose(file) != 0)
        fail(path);
}

#define FULL_SCALE_MM_S (10.0 / 10.0 / 28.8 * 1000.0)

static void write_impact(const char *folder, double distance_m)
{
    struct scene scene;
    char name[64], path[512];
    impact(&scene, distance_m);
    (void)snprintf(name, sizeof name, "impact-%02.0fm", distance_m);
    path_of(path, sizeof path, folder, name, ".flac");
    write_sound(path, scene.sample, AXES, scene.count, scene.rate_hz, FULL_SCALE_MM_S);
    write_vibration_sidecar(folder, name, "impact", distance_m, false);
    scene_release(&scene);
}

static void write_press_in(const char *folder, double distance_m)
{
    struct scene scene;
    char name[64], path[512];
    press_in(&scene, distance_m);
    (void)snprintf(name, sizeof name, "press-in-%02.0fm", distance_m);
    path_of(path, sizeof path, folder, name, ".flac");
    write_sound(path, scene.sample, AXES, scene.count, scene.rate_hz, FULL_SCALE_MM_S);
    write_vibration_sidecar(folder, name, "press-in", distance_m, false);
    scene_release(&scene);
}

static void write_vibratory(const char *folder, double distance_m)
{
    struct scene scene;
    char name[64], path[512];
    vibratory(&scene, distance_m);
    (void)snprintf(name, sizeof name, "vibratory-%02.0fm", distance_m);
    path_of(path, sizeof path, folder, name, ".mseed");
    /* the far one has a gap of 2.5 s in the steady part */
    write_mseed(path, &scene, distance_m > 20.0 ? 40000 : 0, distance_m > 20.0 ? 42500 : 0);
    write_vibration_sidecar(folder, name, "vibratory", distance_m, true);
    scene_release(&scene);
}

/* A microphone at 20 m: blows every 1.5 s over a steady engine, with 3 s of a 94 dB calibrator in
 * front. Full scale is 20 Pa. */
static void write_microphone(const char *folder, const char *name, bool blows)
{
    const double rate = 24000.0;
    const size_t count = (size_t)(20.0 * rate);
    double *x = calloc(count, sizeof *x), low = 0.0;
    char path[512];
    if (x == NULL)
        fail(name);
    noise_state = 2463534242u + (blows ? 1u : 0u);
    for (size_t i = 0; i < count; i++) {
        double t = (double)i / rate, since = fmod(t - 4.0, 1.5);
        low += 0.2 * (noise() - low);
        x[i] = t < 3.0 ? sqrt(2.0) * 1.0023744 * sin(2.0 * PI * 1000.0 * t)
                       : (blows ? 0.02 : 0.06) * low;
        if (blows && t > 4.0)
            x[i] += 2.5 * exp(-since / 0.06) * (1.0 - exp(-since / 0.001)) *
                    (sin(2.0 * PI * 420.0 * since) + 0.6 * noise());
    }
    path_of(path, sizeof path, folder, name, ".flac");
    write_sound(path, &x, 1, count, rate, 20.0);
    path_of(path, sizeof path, folder, name, ".yaml");
    FILE *file = fopen(path, "w");
    if (file == NULL)
        fail(path);
    write_head(file, blows ? "sound of impact driving" : "sound of static press-in",
               blows ? "impact" : "press-in", "facade", 20.0);
    (void)fprintf(file, "start: 2026-01-12T09:00:00Z\nchannels:\n  - name: \"1\"\n"
                        "    quantity: sound-pressure\n    sensor: 0\n    by: tone\n"
                        "    tone_dB: 94\n    tone_Hz: 1000\n    tone_start_s: 0\n"
                        "    tone_end_s: 3\n");
    if (fclose(file) != 0)
        fail(path);
    free(x);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        (void)fprintf(stderr, "usage: make_recordings FOLDER\n");
        return 2;
    }
    const double distance_m[] = { 10.0, 30.0 };
    for (size_t i = 0; i < 2; i++) {
        write_impact(argv[1], distance_m[i]);
        write_vibratory(argv[1], distance_m[i]);
        write_press_in(argv[1], distance_m[i]);
    }
    write_microphone(argv[1], "impact-sound-20m", true);
    write_microphone(argv[1], "press-in-sound-20m", false);
    return 0;
}
