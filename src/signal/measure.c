/* measure.c - one pass over a recording: reads, calibrates, corrects, meters, in intervals.
 *
 * Channels of one sensor form a group: up to three axes of vibration, or one microphone.
 */
#include "measure.h"

#include <math.h>
#include <string.h>

static void judge_vibration(struct group_state *group, const struct sg_vibration_figures *f,
                            const struct sg_vibration_sums *sums, double time_s)
{
    for (size_t i = 0; i < f->naxis; i++) {
        const char *doubt = sg_quality_unit_doubt(SG_KIND_VELOCITY, f->axis[i].ppv_sampled_mm_s,
                                                  f->axis[i].rms_mm_s);
        if (doubt != NULL)
            sg_quality_note(&group->found, SG_QUALITY_UNIT, time_s, f->axis[i].ppv_sampled_mm_s);
        if (f->naxis > 1 && sg_quality_above_sum(sums->axis[i].velocity.sampled, sums->pvs))
            sg_quality_note(&group->found, SG_QUALITY_VECTOR, time_s,
                            sums->axis[i].velocity.sampled / sums->pvs);
    }
}

/* Impulses and tones of a microphone, densities of every channel. */
static void report_spectra(struct group_state *group, bool whole, struct sg_measured *out)
{
    const struct sg_spectrum *density = whole ? group->spectrum_all : group->spectrum;
    double hz, audibility;
    out->onset = whole ? group->onset_all : group->onset;
    out->onsets = whole ? group->onsets_all : group->onsets;
    out->tone_hz = out->tone_audibility_db = out->tone_adjustment_db = SG_UNSET;
    if (density[0].count == 0)
        return;
    out->density = density;
    if (!group->is_sound || density[0].window != SG_TAPER_HANN ||
        !sg_ok(sg_tonal_find(&density[0], &hz, &audibility)))
        return;
    out->tone_hz = hz;
    out->tone_audibility_db = audibility;
    out->tone_adjustment_db = sg_tonal_adjustment_db(audibility);
}

/* Intervals close their last takt: with any that do not hold whole takts, the mean over takts is
 * none of 30 s. */
static void forget_cut_takts(const struct sg_measure_options *options,
                             struct sg_vibration_figures *figures)
{
    double takts = options->interval_s / sg_kb()->takt_s;
    if (!sg_is_set(takts) || fabs(takts - floor(takts + 0.5)) < 1e-9)
        return;
    for (size_t i = 0; i < figures->naxis; i++) {
        figures->axis[i].kbft_m = SG_UNSET;
        figures->axis[i].takts = 0;
    }
}

static void report_group(struct run *run, struct group_state *group, bool whole)
{
    struct sg_measured out = { .group = group->number,
                               .is_sound = group->is_sound,
                               .nchannel = group->nchannel,
                               .whole = whole };
    memcpy(out.channel, group->channel, sizeof out.channel);
    if (group->is_sound) {
        const struct sg_sound_sums *sums = whole ? &group->sound_all : &group->sound_now;
        sg_sound_read(sums, &out.sound);
        out.sound_sums = sums;
        out.start_s = sums->start_s;
        out.seconds = sums->seconds;
        const char *doubt = sg_quality_unit_doubt(SG_KIND_PRESSURE, sums->z_peak.sampled,
                                                  sqrt(sums->z2 / sums->seconds));
        if (!whole && doubt != NULL)
            sg_quality_note(&group->found, SG_QUALITY_UNIT, sums->start_s, sums->z_peak.sampled);
    } else {
        const struct sg_vibration_sums *sums =
            whole ? &group->vibration_all : &group->vibration_now;
        sg_vibration_read(sums, &out.vibration);
        forget_cut_takts(&run->options, &out.vibration);
        out.vibration_sums = sums;
        out.start_s = sums->start_s;
        out.seconds = sums->seconds;
        if (group->response[0] != NULL)
            out.psv_mm_s =
                (const double(*)[SG_RESPONSE_COUNT])(whole ? group->psv_all : group->psv);
        if (!whole)
            judge_vibration(group, &out.vibration, sums, sums->start_s);
    }
    report_spectra(group, whole, &out);
    out.start_epoch_s = run->start_epoch_s + out.start_s;
    out.quality = whole ? group->found_all : group->found;
    if (run->sinks->measured != NULL && out.seconds > 0.0)
        run->sinks->measured(&out, run->sinks->payload);
}

/* Adds the mean density of an interval to that of the whole, by their numbers of segments. */
static sg_status merge_density(struct sg_spectrum *into, const struct sg_spectrum *more)
{
    if (into->count == 0) {
        struct sg_spectrum made = *more;
        made.averages = 0;
        made.value = sg_alloc(more->count, sizeof *made.value);
        if (made.value == NULL)
            return SG_ERR_NOMEM;
        *into = made;
    }
    double all = (double)(into->averages + more->averages);
    for (size_t k = 0; k < into->count; k++)
        into->value[k] =
            (into->value[k] * (double)into->averages + more->value[k] * (double)more->averages) /
            all;
    into->averages += more->averages;
    return SG_OK;
}

static sg_status take_spectra(struct group_state *group)
{
    sg_status status = SG_OK;
    if (group->is_sound)
        sg_run_judge_onsets(group);
    for (size_t i = 0; i < group->nchannel && sg_ok(status); i++) {
        if (group->density[i] == NULL)
            continue;
        status = sg_density_take(group->density[i], &group->spectrum[i]);
        if (sg_ok(status))
            status = merge_density(&group->spectrum_all[i], &group->spectrum[i]);
        else if (status == SG_ERR_MISSING) { /* too short for one segment */
            sg_spectrum_release(&group->spectrum[i]);
            status = SG_OK;
        }
    }
    for (size_t i = 0; i < group->nchannel && group->response[i] != NULL; i++) {
        sg_response_take(group->response[i], group->psv[i]);
        for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
            group->psv_all[i][k] = fmax(group->psv_all[i][k], group->psv[i][k]);
    }
    group->onsets_all += group->onsets;
    if (sg_is_set(group->onset.prominence) &&
        !(group->onset.prominence <= group->onset_all.prominence))
        group->onset_all = group->onset;
    return status;
}

static void forget_onsets(struct group_state *group)
{
    group->onsets = 0;
    group->onset.prominence = group->onset.start_s = group->onset.end_s = SG_UNSET;
    group->onset.rate_db_s = group->onset.rise_db = SG_UNSET;
    group->onset.adjustment_db = 0.0;
}

/* Ends an interval: reports it, adds it to the whole, starts anew. */
static sg_status end_interval(struct run *run, bool last)
{
    bool many = sg_is_set(run->options.interval_s);
    sg_status status = SG_OK;
    for (size_t g = 0; g < run->ngroup && sg_ok(status); g++) {
        struct group_state *group = &run->group[g];
        if (group->is_sound)
            sg_sound_close(group->sound, &group->sound_now);
        else
            sg_vibration_close(group->vibration, &group->vibration_now);
        status = take_spectra(group);
        for (size_t i = 0; last && i < group->nchannel; i++)
            sg_watch_close(&run->channel[group->channel[i]].watch, run->end_s, &group->found);
        if (many)
            report_group(run, group, false);
        else if (group->is_sound ? group->sound_now.seconds > 0.0
                                 : group->vibration_now.seconds > 0.0)
            report_group(run, group, false);
        if (group->is_sound) {
            sg_sound_sums_merge(&group->sound_all, &group->sound_now);
            sg_sound_sums_clear(&group->sound_now);
        } else {
            sg_vibration_sums_merge(&group->vibration_all, &group->vibration_now);
            sg_vibration_sums_clear(&group->vibration_now);
        }
        sg_quality_merge(&group->found_all, &group->found);
        sg_quality_clear(&group->found);
        forget_onsets(group);
        if (!last)
            sg_run_note_standing(run, group, run->end_s);
        if (last && many)
            report_group(run, group, true);
    }
    run->intervals++;
    return status;
}

static void restart_sound(struct group_state *group)
{
    sg_run_judge_onsets(group);
    group->laf_wait = LAF_WAIT;
    sg_sound_restart(group->sound);
    if (group->density[0] != NULL)
        sg_density_restart(group->density[0]);
}

static void feed_sound(struct group_state *group, const double *sample, size_t count, double time_s)
{
    if (group->density[0] != NULL)
        sg_density_run(group->density[0], sample, count);
    sg_sound_run(group->sound, sample, count, time_s, &group->sound_now);
}

/* A microphone's calibrator tone is not part of what is measured. */
static void run_sound(struct run *run, struct group_state *group, const double *sample,
                      size_t count, double time_s)
{
    const struct sg_calibration_channel *given = &run->channel[group->channel[0]].given;
    double rate = run->info->rate_hz;
    size_t from = count, to = count; /* of the tone inside this piece */
    if (sg_is_set(given->tone_end_s) && time_s < given->tone_end_s) {
        double first = ceil((given->tone_start_s - time_s) * rate - 1e-6);
        double after = ceil((given->tone_end_s - time_s) * rate - 1e-6);
        from = first < (double)count ? (size_t)fmax(0.0, first) : count;
        to = after < (double)count ? (size_t)fmax(0.0, after) : count;
    }
    if (from > 0)
        feed_sound(group, sample, from, time_s);
    if (to < count) {
        restart_sound(group);
        feed_sound(group, sample + to, count - to, time_s + (double)to / rate);
    }
}

static void run_piece(struct run *run, const struct sg_block *block, size_t from, size_t count)
{
    double time_s = block->time_s + (double)from / run->info->rate_hz;
    for (size_t c = 0; c < run->info->nchannel; c++) {
        struct channel_state *state = &run->channel[c];
        for (size_t i = 0; i < count; i++)
            state->calibrated[i] = block->channel[c][from + i] * state->factor;
        if (state->corrected)
            sg_filter_run(&state->geophone, &state->geophone_state, state->calibrated,
                          state->calibrated, count);
        if (run->sinks->calibrated != NULL)
            run->sinks->calibrated(c, state->given.kind, state->calibrated, count, time_s,
                                   run->sinks->payload);
    }
    sg_run_add_pairs(run, count);
    for (size_t g = 0; g < run->ngroup; g++) {
        struct group_state *group = &run->group[g];
        const double *axis[SG_AXES_MAX] = { NULL };
        for (size_t i = 0; i < group->nchannel; i++) {
            size_t c = group->channel[i];
            axis[i] = run->channel[c].calibrated;
            sg_watch_run(&run->channel[c].watch, block->channel[c] + from, count, time_s,
                         &group->found);
        }
        for (size_t i = 0; i < group->nchannel && !group->is_sound; i++) {
            if (group->density[i] != NULL)
                sg_density_run(group->density[i], axis[i], count);
            if (group->response[i] != NULL)
                sg_response_run(group->response[i], axis[i], count);
        }
        if (group->is_sound)
            run_sound(run, group, axis[0], count, time_s);
        else
            sg_vibration_run(group->vibration, axis, count, time_s, &group->vibration_now);
    }
    run->end_s = time_s + (double)count / run->info->rate_hz;
}

static void run_gap(struct run *run, const struct sg_block *block)
{
    bool gap = block->gap_s > 0.0;
    for (size_t g = 0; g < run->ngroup; g++) {
        struct group_state *group = &run->group[g];
        sg_quality_note(&group->found, gap ? SG_QUALITY_GAP : SG_QUALITY_OVERLAP,
                        block->time_s - fmax(0.0, block->gap_s), fabs(block->gap_s));
        for (size_t i = 0; gap && i < group->nchannel && !group->is_sound; i++)
            if (group->density[i] != NULL)
                sg_density_restart(group->density[i]);
        for (size_t i = 0; gap && i < group->nchannel && group->response[i] != NULL; i++)
            sg_response_restart(group->response[i]);
        if (gap && group->is_sound)
            restart_sound(group);
        else if (gap)
            sg_vibration_restart(group->vibration, &group->vibration_now);
    }
    for (size_t c = 0; gap && c < run->info->nchannel; c++) {
        struct sg_filter_state zero = { .s = { { 0.0 } } };
        run->channel[c].geophone_state = zero;
    }
}

/* Feeds a block, cut where intervals end. Frames are counted on the grid of the recording, so that
 * a gap may swallow whole intervals. */
static sg_status run_block(struct run *run, const struct sg_block *block)
{
    double frame = floor(block->time_s * run->info->rate_hz + 0.5);
    if (block->gap_s > 0.0 || block->gap_s < 0.0)
        run_gap(run, block);
    for (size_t from = 0; from < block->frames;) {
        while (frame >= run->next_frame) {
            sg_status status = end_interval(run, false);
            if (!sg_ok(status))
                return status;
            double number =
                floor(frame / run->info->rate_hz / run->options.interval_s + 1e-9) + 1.0;
            run->next_frame = floor(number * run->options.interval_s * run->info->rate_hz + 0.5);
        }
        size_t count = block->frames - from;
        if ((double)count > run->next_frame - frame)
            count = (size_t)(run->next_frame - frame);
        run_piece(run, block, from, count);
        from += count;
        frame += (double)count;
    }
    return SG_OK;
}

/* The part of a block that lies in from_s .. to_s; frames stays 0 when none does. */
static struct sg_block part_of(const struct run *run, const struct sg_block *block)
{
    double rate = run->info->rate_hz, first = 0.0, after = (double)block->frames;
    struct sg_block part = *block;
    if (sg_is_set(run->options.from_s))
        first = fmax(0.0, ceil((run->options.from_s - block->time_s) * rate - 1e-6));
    if (sg_is_set(run->options.to_s))
        after = fmin(after, ceil((run->options.to_s - block->time_s) * rate - 1e-6));
    part.frames = after > first ? (size_t)(after - first) : 0;
    part.time_s += first / rate;
    for (size_t c = 0; c < run->info->nchannel && part.frames > 0; c++)
        part.channel[c] = block->channel[c] + (size_t)first;
    return part;
}

static void release(struct run *run)
{
    for (size_t c = 0; run->channel != NULL && c < run->info->nchannel; c++)
        sg_free(run->channel[c].calibrated);
    for (size_t g = 0; run->group != NULL && g < run->ngroup; g++) {
        struct group_state *group = &run->group[g];
        sg_vibration_free(group->vibration);
        sg_vibration_sums_release(&group->vibration_now);
        sg_vibration_sums_release(&group->vibration_all);
        sg_sound_free(group->sound);
        sg_sound_sums_release(&group->sound_now);
        sg_sound_sums_release(&group->sound_all);
        sg_free(group->laf);
        for (size_t i = 0; i < SG_AXES_MAX; i++) {
            sg_density_free(group->density[i]);
            sg_response_free(group->response[i]);
            sg_spectrum_release(&group->spectrum[i]);
            sg_spectrum_release(&group->spectrum_all[i]);
        }
    }
    sg_free(run->channel);
    sg_free(run->group);
}

sg_status sg_measure(struct sg_recording *recording, const struct sg_calibration *calibration,
                     const struct sg_measure_options *options, const struct sg_measure_sinks *sinks,
                     struct sg_errors *errors)
{
    struct run run = { .recording = recording,
                       .info = sg_recording_info(recording),
                       .calibration = calibration,
                       .options = *options,
                       .sinks = sinks,
                       .errors = errors,
                       .next_frame = HUGE_VAL };
    sg_status status = SG_OK;
    if (calibration == NULL && !options->uncalibrated)
        return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                             "the recording has no calibration; one is needed for any figure");
    if (calibration != NULL)
        status = sg_calibration_check(calibration, run.info->nchannel, errors);
    if (sg_is_set(options->interval_s) && !(options->interval_s >= 1.0))
        status = sg_errors_add(errors, SG_ERR_USAGE, NULL,
                               "the interval is %g s; 1 s and more are "
                               "allowed",
                               options->interval_s);
    if (!sg_ok(status))
        return status;
    if (sg_is_set(options->interval_s))
        run.next_frame = floor(options->interval_s * run.info->rate_hz + 0.5);
    run.start_epoch_s = calibration != NULL && sg_is_set(calibration->start_epoch_s)
                            ? calibration->start_epoch_s
                            : run.info->start_epoch_s;
    status = sg_run_prepare(&run);
    struct sg_block block = { .frames = 1 };
    bool any = false;
    while (sg_ok(status) && block.frames > 0 && !(block.time_s >= options->to_s)) {
        status = sg_recording_read(recording, &block, errors);
        struct sg_block part = sg_ok(status) ? part_of(&run, &block) : block;
        if (sg_ok(status) && part.frames > 0)
            status = run_block(&run, &part);
        any = any || part.frames > 0;
    }
    if (sg_ok(status) && !any)
        status = sg_errors_add(errors, SG_ERR_INPUT, NULL,
                               "no sample of the recording lies in the part asked for, %g to %g s",
                               sg_is_set(options->from_s) ? options->from_s : 0.0,
                               sg_is_set(options->to_s) ? options->to_s : block.time_s);
    if (sg_ok(status)) {
        sg_run_note_whole(&run);
        status = end_interval(&run, true);
    }
    if (!sg_ok(status) && errors != NULL && errors->count == 0)
        (void)sg_errors_add(errors, status, NULL, "out of memory");
    release(&run);
    return status;
}
