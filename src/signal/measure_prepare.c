/* measure_prepare.c - what stands before the pass: which channels form a sensor, their factors, the
 * offset of accelerometers from the first seconds, the factor of a calibrator tone, the meters.
 */
#include "measure.h"

#include <math.h>
#include <string.h>

#define OFFSET_S 2.0
#define TONE_MAX_S 120.0
#define TONE_FITS 1.1        /* factor by tone against the one given; practice, about 0.8 dB */
#define SOUND_RATE_HZ 6000.0 /* uncalibrated channels from here on are taken for sound */

static sg_status complain(const struct run *run, sg_status status, const char *what, size_t channel)
{
    const struct sg_place place = { run->calibration != NULL ? run->calibration->file : NULL, 0,
                                    0 };
    return sg_errors_add(run->errors, status, &place, "channel %s: %s",
                         channel < run->info->nchannel ? run->info->name[channel] : "?", what);
}

/* The sidecar's entry for a channel of the file: by name, or by position where it has no name. */
static const struct sg_calibration_channel *entry_for(const struct run *run, size_t i)
{
    const struct sg_calibration *calibration = run->calibration;
    for (size_t k = 0; k < calibration->nchannel; k++)
        if (sg_same(calibration->channel[k].name, run->info->name[i]))
            return &calibration->channel[k];
    const char *name = calibration->channel[i].name;
    return name == NULL || name[0] == '\0' ? &calibration->channel[i] : NULL;
}

static sg_status set_channels(struct run *run)
{
    for (size_t i = 0; i < run->info->nchannel; i++) {
        struct channel_state *state = &run->channel[i];
        state->given = SG_CALIBRATION_CHANNEL_INIT;
        if (run->calibration != NULL) {
            const struct sg_calibration_channel *entry = entry_for(run, i);
            if (entry == NULL)
                return complain(run, SG_ERR_INPUT, "is not named in the sidecar", i);
            state->given = *entry;
        } else {
            state->given.kind =
                run->info->rate_hz >= SOUND_RATE_HZ ? SG_KIND_PRESSURE : SG_KIND_VELOCITY;
            state->given.group = i;
            state->given.by = SG_BY_FACTOR;
            state->given.unit_per_file = 1.0;
        }
        state->factor = sg_calibration_factor(&state->given);
        sg_watch_init(&state->watch, run->info->full_scale, run->info->step, run->info->rate_hz);
        state->calibrated = sg_alloc(SG_BLOCK_FRAMES, sizeof *state->calibrated);
        if (state->calibrated == NULL)
            return SG_ERR_NOMEM;
        if (!sg_is_set(state->given.natural_hz))
            continue;
        struct sg_analogue analogue;
        sg_analogue_geophone(state->given.natural_hz, state->given.damping,
                             state->given.correct_to_hz, &analogue);
        if (!sg_ok(sg_filter_design(&analogue, run->info->rate_hz, 0.5, 0.46 * run->info->rate_hz,
                                    &state->geophone)))
            return complain(run, SG_ERR_DOMAIN, "the rate is too low to correct the geophone", i);
        state->corrected = true;
    }
    return SG_OK;
}

struct ahead {
    double sum[SG_CHANNELS_MAX];
    double weight;
    double *tone[SG_CHANNELS_MAX];
    size_t tone_count[SG_CHANNELS_MAX], tone_room[SG_CHANNELS_MAX];
};

static void take_ahead(const struct run *run, const struct sg_block *block, struct ahead *ahead)
{
    double rate = run->info->rate_hz;
    for (size_t i = 0; i < block->frames; i++) {
        double at = block->time_s + (double)i / rate;
        double half = at < OFFSET_S ? sin(SG_PI * (at + 0.5 / rate) / OFFSET_S) : 0.0;
        double weight = half * half; /* a plain mean takes part of a cycle for an offset */
        for (size_t c = 0; c < run->info->nchannel; c++) {
            const struct sg_calibration_channel *given = &run->channel[c].given;
            ahead->sum[c] += weight * block->channel[c][i];
            if (ahead->tone[c] != NULL && at >= given->tone_start_s && at < given->tone_end_s &&
                ahead->tone_count[c] < ahead->tone_room[c])
                ahead->tone[c][ahead->tone_count[c]++] = block->channel[c][i];
        }
        ahead->weight += weight;
    }
}

static sg_status tone_factor(struct run *run, size_t c, const struct ahead *ahead)
{
    struct channel_state *state = &run->channel[c];
    const char *why = "";
    double found;
    sg_status status = sg_calibration_tone(&state->given, ahead->tone[c], ahead->tone_count[c],
                                           run->info->rate_hz, &found, &why);
    if (status == SG_ERR_NOMEM)
        return status;
    if (!sg_ok(status))
        return complain(run, SG_ERR_INPUT, why, c);
    if (state->given.by == SG_BY_TONE)
        state->factor = found;
    else if (fabs(log(found / state->factor)) > log(TONE_FITS))
        for (size_t g = 0; g < run->ngroup; g++)
            if (run->group[g].number == state->given.group)
                sg_quality_note(&run->group[g].found, SG_QUALITY_CALIBRATION_TONE,
                                state->given.tone_start_s, found / state->factor);
    return SG_OK;
}

/* A tone is looked at when its place is given, also to check a factor given otherwise. */
static sg_status look_ahead(struct run *run)
{
    struct ahead ahead = { .weight = 0.0 };
    double until_s = OFFSET_S;
    sg_status status = SG_OK;
    struct sg_block block = { .frames = 1 };
    for (size_t c = 0; c < run->info->nchannel && sg_ok(status); c++) {
        const struct sg_calibration_channel *given = &run->channel[c].given;
        if (!sg_is_set(given->tone_end_s) || !sg_is_set(given->tone_db))
            continue;
        double span_s = fmin(given->tone_end_s - given->tone_start_s, TONE_MAX_S);
        ahead.tone_room[c] = (size_t)(span_s * run->info->rate_hz);
        ahead.tone[c] = sg_alloc(ahead.tone_room[c] + 1, sizeof(double));
        until_s = fmax(until_s, given->tone_end_s);
        status = ahead.tone[c] != NULL ? SG_OK : SG_ERR_NOMEM;
    }
    while (sg_ok(status) && block.frames > 0 && block.time_s < until_s) {
        status = sg_recording_read(run->recording, &block, run->errors);
        if (sg_ok(status))
            take_ahead(run, &block, &ahead);
    }
    for (size_t c = 0; c < run->info->nchannel && sg_ok(status); c++)
        if (ahead.tone[c] != NULL)
            status = tone_factor(run, c, &ahead);
    for (size_t g = 0; g < run->ngroup; g++)
        for (size_t i = 0; i < run->group[g].nchannel && ahead.weight > 0.0; i++) {
            size_t c = run->group[g].channel[i];
            if (run->channel[c].given.kind == SG_KIND_ACCELERATION)
                run->group[g].config.offset[i] =
                    ahead.sum[c] / ahead.weight * run->channel[c].factor;
        }
    for (size_t c = 0; c < run->info->nchannel; c++)
        sg_free(ahead.tone[c]);
    return sg_ok(status) ? sg_recording_rewind(run->recording, run->errors) : status;
}

static sg_status set_groups(struct run *run)
{
    for (size_t c = 0; c < run->info->nchannel; c++) {
        const struct sg_calibration_channel *given = &run->channel[c].given;
        size_t g = 0;
        while (g < run->ngroup && run->group[g].number != given->group)
            g++;
        if (g == SG_GROUPS_MAX)
            return complain(run, SG_ERR_INPUT, "more than 16 sensors; at most 16 are allowed", c);
        struct group_state *group = &run->group[g];
        if (g == run->ngroup) {
            run->ngroup++;
            group->number = given->group;
            group->is_sound = given->kind == SG_KIND_PRESSURE;
            group->config = (struct sg_vibration_config){ .rate_hz = run->info->rate_hz,
                                                          .kb = run->options.kb,
                                                          .takt_s = SG_UNSET };
            sg_quality_clear(&group->found);
            sg_quality_clear(&group->found_all);
        }
        if (group->nchannel == SG_AXES_MAX || (group->is_sound && group->nchannel > 0))
            return complain(run, SG_ERR_INPUT, "too many channels on one sensor", c);
        group->config.axis[group->nchannel] = given->axis;
        group->config.kind[group->nchannel] = given->kind;
        group->channel[group->nchannel++] = c;
        group->config.naxis = group->nchannel;
    }
    return SG_OK;
}

static const struct sg_onset no_onset = { SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, 0.0 };

void sg_run_judge_onsets(struct group_state *group)
{
    struct sg_onset most;
    bool fits;
    group->onsets += sg_impulse_prominence(group->laf, group->laf_count, LAF_STEP_S, &most, &fits);
    if (sg_is_set(most.prominence) && !(most.prominence <= group->onset.prominence)) {
        group->onset = most;
        group->onset.start_s += group->laf_start_s;
        group->onset.end_s += group->laf_start_s;
    }
    group->laf_count = 0;
}

static void keep_laf(double time_s, double laf_db, void *payload)
{
    struct group_state *group = payload;
    if (group->laf_wait > 0) {
        group->laf_wait--;
        return;
    }
    if (group->laf_count == LAF_ROOM)
        sg_run_judge_onsets(group);
    if (group->laf_count == 0)
        group->laf_start_s = time_s;
    group->laf[group->laf_count++] = laf_db;
}

/* Segments of about a third of a second and more: lines 3 Hz apart for sound, 0.5 Hz for
 * vibration. */
static sg_status make_density(struct run *run, struct group_state *group)
{
    size_t length = 256;
    double wanted_s = group->is_sound ? 0.34 : 2.0;
    while ((double)length < wanted_s * run->info->rate_hz)
        length *= 2;
    sg_status status = SG_OK;
    for (size_t i = 0; i < group->nchannel && sg_ok(status); i++)
        status = sg_density_new(run->info->rate_hz, length, run->options.taper, &group->density[i]);
    return status;
}

static sg_status make_responses(struct run *run, struct group_state *group)
{
    sg_status status = SG_OK;
    for (size_t i = 0; i < group->nchannel && sg_ok(status); i++) {
        status = sg_response_new(run->info->rate_hz, group->config.kind[i], &group->response[i]);
        for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
            group->psv[i][k] = group->psv_all[i][k] = SG_UNSET;
    }
    return status;
}

static sg_status make_meters(struct run *run, struct group_state *group)
{
    sg_status status;
    group->onset = group->onset_all = no_onset;
    group->laf_wait = LAF_WAIT;
    if (group->is_sound) {
        const struct sg_sound_config config = { .rate_hz = run->info->rate_hz,
                                                .bands = run->options.bands,
                                                .sample_s = LAF_STEP_S };
        status = sg_sound_new(&config, &group->sound);
        if (sg_ok(status))
            status = sg_sound_sums_init(&group->sound_now);
        if (sg_ok(status))
            status = sg_sound_sums_init(&group->sound_all);
        group->laf = sg_alloc(LAF_ROOM, sizeof *group->laf);
        if (sg_ok(status) && group->laf == NULL)
            status = SG_ERR_NOMEM;
        if (sg_ok(status))
            sg_sound_listen(group->sound, keep_laf, group);
    } else {
        status = sg_vibration_new(&group->config, &group->vibration);
        if (sg_ok(status))
            status = sg_vibration_sums_init(&group->vibration_now, &group->config);
        if (sg_ok(status))
            status = sg_vibration_sums_init(&group->vibration_all, &group->config);
    }
    if (sg_ok(status) && run->options.spectra)
        status = make_density(run, group);
    if (sg_ok(status) && run->options.response && !group->is_sound)
        status = make_responses(run, group);
    if (status == SG_ERR_DOMAIN)
        return complain(run, status,
                        group->is_sound
                            ? "the rate is too low for sound; 2000 Hz and more are needed"
                            : "the rate is too low for vibration; 10 Hz and more are "
                              "needed, 40 Hz for the weightings",
                        group->channel[0]);
    return status;
}

sg_status sg_run_prepare(struct run *run)
{
    run->channel = sg_alloc(run->info->nchannel, sizeof *run->channel);
    run->group = sg_alloc(SG_GROUPS_MAX, sizeof *run->group);
    if (run->channel == NULL || run->group == NULL)
        return SG_ERR_NOMEM;
    sg_status status = set_channels(run);
    if (sg_ok(status))
        status = set_groups(run);
    if (sg_ok(status))
        status = look_ahead(run);
    if (sg_ok(status))
        sg_run_find_partners(run);
    for (size_t g = 0; g < run->ngroup && sg_ok(status); g++) {
        status = make_meters(run, &run->group[g]);
        sg_run_note_standing(run, &run->group[g], 0.0);
    }
    return status;
}
