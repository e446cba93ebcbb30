/* event_meter.c - events of a recording with figures of their own. A piece of record is kept, blows
 * are counted on its envelope; when there are none, the drive frequency is followed for a vibratory
 * run; what is neither is looked for by the trigger.
 *
 * Which of the three a piece is: common practice, no source. Blows are believed from three on when
 * most spacings agree; a run when it holds its frequency for two seconds. Where the technique is
 * known, only what it can bring is looked for.
 */
#include "stillground/event.h"

#include <math.h>
#include <string.h>

#define PIECE_S 600.0
#define PIECE_SAMPLES ((size_t)1200000) /* of all channels, 10 MB */
#define STEP_S 0.02
#define REGULAR 0.5
#define BLOWS_LEAST 3
#define STEADY_LEAST_S 2.0
#define BEFORE_S 0.1 /* of a blow */
#define PIECES_MAX 256

struct event_group {
    size_t number, nchannel, channel[SG_AXES_MAX];
    enum sg_kind kind[SG_AXES_MAX];
    enum sg_axis axis[SG_AXES_MAX];
    bool is_sound;
};

struct sg_event_meter {
    double rate_hz;
    size_t nchannel, room; /* samples of a channel that are kept */
    double *sample;        /* channel by channel */
    size_t count;
    double start_s;
    struct event_group group[SG_GROUPS_MAX];
    size_t ngroup;
    double *largest; /* room: largest |component| of a group, or one axis */
    double *envelope;
    struct sg_blow *blow;
    size_t envelope_room;
    struct sg_trigger_config trigger;
    bool may_be_blows, may_be_run; /* by the technique, when it is known */
    struct sg_event_list *list;
};

const char *sg_event_kind_id(enum sg_event_kind kind)
{
    static const char *const id[SG_EVENT_KIND_END] = { "blow", "start", "steady", "stop",
                                                       "triggered" };
    return (unsigned)kind < SG_EVENT_KIND_END ? id[kind] : "?";
}

void sg_event_list_release(struct sg_event_list *list)
{
    sg_free(list->event);
    sg_free(list->rate);
    *list = (struct sg_event_list){ .event = NULL };
}

static void add_event(struct sg_event_list *list, const struct sg_found_event *event)
{
    if (list->count == list->capacity) {
        size_t more = list->capacity > 0 ? 2 * list->capacity : 64;
        struct sg_found_event *grown = sg_realloc(list->event, more, sizeof *grown);
        if (grown == NULL) {
            list->failed = true;
            return;
        }
        list->event = grown;
        list->capacity = more;
    }
    list->event[list->count++] = *event;
}

static void add_rate(struct sg_event_list *list, const struct sg_blow_rate *rate)
{
    if (list->nrate == list->rate_capacity) {
        size_t more = list->rate_capacity > 0 ? 2 * list->rate_capacity : 16;
        struct sg_blow_rate *grown = sg_realloc(list->rate, more, sizeof *grown);
        if (grown == NULL) {
            list->failed = true;
            return;
        }
        list->rate = grown;
        list->rate_capacity = more;
    }
    list->rate[list->nrate++] = *rate;
}

/* ---- figures of one event -------------------------------------------------------------------- */

static const double *kept_from(const struct sg_event_meter *meter, size_t channel, size_t from)
{
    return meter->sample + channel * meter->room + from;
}

static void vibration_of(const struct sg_event_meter *meter, const struct event_group *group,
                         size_t from, size_t count, struct sg_found_event *out)
{
    struct sg_vibration_config config = { .rate_hz = meter->rate_hz,
                                          .naxis = group->nchannel,
                                          .kb = SG_WEIGHTING_KB_80,
                                          .takt_s = SG_UNSET };
    struct sg_vibration_meter *vibration = NULL;
    struct sg_vibration_sums sums = { .naxis = 0 };
    struct sg_vibration_figures figures;
    const double *axis[SG_AXES_MAX] = { NULL };
    for (size_t i = 0; i < group->nchannel; i++) {
        config.axis[i] = group->axis[i];
        config.kind[i] = group->kind[i];
        axis[i] = kept_from(meter, group->channel[i], from);
    }
    sg_status status = sg_vibration_new(&config, &vibration);
    if (sg_ok(status))
        status = sg_vibration_sums_init(&sums, &config);
    if (sg_ok(status)) {
        sg_vibration_run(vibration, axis, count, meter->start_s + (double)from / meter->rate_hz,
                         &sums);
        sg_vibration_close(vibration, &sums);
        sg_vibration_read(&sums, &figures);
        const struct sg_axis_figures *peak = &figures.axis[figures.pcpv_axis];
        out->ppv_mm_s = figures.pcpv_mm_s;
        out->ppv_axis = figures.axis_of[figures.pcpv_axis];
        out->ppv_time_s = peak->time_s;
        out->ppv_frequency_hz = sg_is_set(peak->frequency_crossing_hz)
                                    ? peak->frequency_crossing_hz
                                    : peak->frequency_spectrum_hz;
        out->pvs_mm_s = figures.pvs_mm_s;
        for (size_t i = 0; i < figures.naxis; i++)
            out->kbf_max = fmax(out->kbf_max, figures.axis[i].kbf_max);
    }
    meter->list->failed |= status == SG_ERR_NOMEM;
    sg_vibration_sums_release(&sums);
    sg_vibration_free(vibration);
}

static void sound_of(const struct sg_event_meter *meter, const struct event_group *group,
                     size_t from, size_t count, struct sg_found_event *out)
{
    const struct sg_sound_config config = { .rate_hz = meter->rate_hz, .sample_s = SG_UNSET };
    struct sg_sound_meter *sound = NULL;
    struct sg_sound_sums sums = { .start_s = 0.0 };
    struct sg_sound_figures figures;
    sg_status status = sg_sound_new(&config, &sound);
    if (sg_ok(status))
        status = sg_sound_sums_init(&sums);
    if (sg_ok(status)) {
        sg_sound_run(sound, kept_from(meter, group->channel[0], from), count,
                     meter->start_s + (double)from / meter->rate_hz, &sums);
        sg_sound_close(sound, &sums);
        sg_sound_read(&sums, &figures);
        out->laeq_db = figures.laeq_db;
        out->lafmax_db = figures.lafmax_db;
        out->lae_db = figures.lae_db;
        out->lcpeak_db = figures.lcpeak_db;
    }
    meter->list->failed |= status == SG_ERR_NOMEM;
    sg_sound_sums_release(&sums);
    sg_sound_free(sound);
}

static void measure_event(const struct sg_event_meter *meter, const struct event_group *group,
                          struct sg_found_event *event)
{
    double from = fmax(0.0, floor((event->start_s - meter->start_s) * meter->rate_hz + 0.5));
    double to =
        fmin((double)meter->count, ceil((event->end_s - meter->start_s) * meter->rate_hz - 0.5));
    event->group = group->number;
    event->is_sound = group->is_sound;
    event->ppv_mm_s = event->ppv_time_s = event->ppv_frequency_hz = event->pvs_mm_s = SG_UNSET;
    event->kbf_max = event->laeq_db = event->lafmax_db = event->lae_db = SG_UNSET;
    event->lcpeak_db = SG_UNSET;
    event->ppv_axis = SG_AXIS_NONE;
    if (!(to > from))
        return;
    event->start_s = meter->start_s + from / meter->rate_hz;
    event->end_s = meter->start_s + to / meter->rate_hz;
    if (group->is_sound)
        sound_of(meter, group, (size_t)from, (size_t)(to - from), event);
    else
        vibration_of(meter, group, (size_t)from, (size_t)(to - from), event);
    add_event(meter->list, event);
}

/* ---- what there is in a piece ---------------------------------------------------------------- */

static void fill_largest(struct sg_event_meter *meter, const struct event_group *group)
{
    for (size_t k = 0; k < meter->count; k++) {
        double most = 0.0;
        for (size_t i = 0; i < group->nchannel; i++)
            most = fmax(most, fabs(meter->sample[group->channel[i] * meter->room + k]));
        meter->largest[k] = most;
    }
}

/* Blows, each up to the next one. */
static bool find_blows(struct sg_event_meter *meter, const struct event_group *group)
{
    struct sg_envelope envelope;
    struct sg_blow_rate rate = { .group = group->number,
                                 .start_s = meter->start_s,
                                 .end_s = meter->start_s + (double)meter->count / meter->rate_hz };
    sg_envelope_init(&envelope, meter->envelope, meter->envelope_room, meter->rate_hz, STEP_S);
    sg_envelope_add(&envelope, meter->largest, meter->count);
    double step_s = (double)envelope.per_step / meter->rate_hz;
    if (!sg_ok(sg_blows_count(envelope.value, envelope.count, step_s, meter->start_s, meter->blow,
                              meter->envelope_room, &rate.blows)))
        return false;
    if (rate.blows.count < BLOWS_LEAST || !(rate.blows.regular >= REGULAR))
        return false;
    add_rate(meter->list, &rate);
    double usual_s = 60.0 / rate.blows.per_minute;
    for (size_t i = 0; i < rate.blows.kept; i++) {
        struct sg_found_event event = { .kind = SG_EVENT_BLOW,
                                        .from_hz = SG_UNSET,
                                        .to_hz = SG_UNSET };
        event.start_s = meter->blow[i].time_s - BEFORE_S;
        event.end_s = event.start_s + usual_s;
        if (i + 1 < rate.blows.kept)
            event.end_s = fmin(event.end_s, meter->blow[i + 1].time_s - BEFORE_S);
        measure_event(meter, group, &event);
    }
    return true;
}

static size_t strongest(const struct sg_event_meter *meter, const struct event_group *group)
{
    size_t best = 0;
    double most = -1.0;
    for (size_t i = 0; i < group->nchannel; i++) {
        const double *x = kept_from(meter, group->channel[i], 0);
        double square = 0.0;
        for (size_t k = 0; k < meter->count; k++)
            square += x[k] * x[k];
        if (square > most) {
            most = square;
            best = group->channel[i];
        }
    }
    return best;
}

static bool find_run(struct sg_event_meter *meter, const struct event_group *group)
{
    struct sg_run_piece piece[PIECES_MAX];
    size_t count = 0;
    double steady_s = 0.0;
    const double *x = kept_from(meter, strongest(meter, group), 0);
    if (!sg_ok(sg_run_phases(x, meter->count, meter->rate_hz, meter->start_s, piece, PIECES_MAX,
                             &count)))
        return false;
    count = count < PIECES_MAX ? count : PIECES_MAX;
    bool moves = false;
    for (size_t i = 0; i < count; i++) {
        if (piece[i].phase == SG_RUN_STEADY)
            steady_s = fmax(steady_s, piece[i].end_s - piece[i].start_s);
        moves = moves || piece[i].phase == SG_RUN_START || piece[i].phase == SG_RUN_STOP;
    }
    if (!(steady_s >= STEADY_LEAST_S) || !moves)
        return false;
    for (size_t i = 0; i < count; i++) {
        if (piece[i].phase == SG_RUN_OFF)
            continue;
        struct sg_found_event event = {
            .kind = piece[i].phase == SG_RUN_START    ? SG_EVENT_RUN_START
                    : piece[i].phase == SG_RUN_STEADY ? SG_EVENT_RUN_STEADY
                                                      : SG_EVENT_RUN_STOP,
            .start_s = piece[i].start_s,
            .end_s = piece[i].end_s,
            .from_hz = piece[i].from_hz,
            .to_hz = piece[i].to_hz,
        };
        measure_event(meter, group, &event);
    }
    return true;
}

struct catching {
    struct sg_event_meter *meter;
    const struct event_group *group;
};

static void catch_event(const struct sg_event *found, void *payload)
{
    const struct catching *catching = payload;
    struct sg_found_event event = { .kind = SG_EVENT_TRIGGERED,
                                    .start_s = found->start_s,
                                    .end_s = found->end_s,
                                    .from_hz = SG_UNSET,
                                    .to_hz = SG_UNSET };
    measure_event(catching->meter, catching->group, &event);
}

static void find_triggered(struct sg_event_meter *meter, const struct event_group *group)
{
    struct sg_trigger trigger;
    struct sg_trigger_config config = meter->trigger;
    struct catching catching = { meter, group };
    config.rate_hz = meter->rate_hz;
    sg_trigger_init(&trigger, &config);
    sg_trigger_run(&trigger, meter->largest, meter->count, meter->start_s, catch_event, &catching);
    sg_trigger_close(&trigger, meter->start_s + (double)meter->count / meter->rate_hz, catch_event,
                     &catching);
}

static void search_piece(struct sg_event_meter *meter)
{
    for (size_t g = 0; g < meter->ngroup && meter->count > 0; g++) {
        const struct event_group *group = &meter->group[g];
        fill_largest(meter, group);
        bool level_given = sg_is_set(meter->trigger.level);
        if (level_given)
            find_triggered(meter, group);
        else if (!(meter->may_be_blows && find_blows(meter, group)) &&
                 !(meter->may_be_run && !group->is_sound && find_run(meter, group)))
            find_triggered(meter, group);
    }
    meter->count = 0;
}

/* ---- the meter ------------------------------------------------------------------------------- */

static void set_groups(struct sg_event_meter *meter, const struct sg_calibration *calibration)
{
    for (size_t c = 0; c < meter->nchannel; c++) {
        const struct sg_calibration_channel *given = &calibration->channel[c];
        size_t g = 0;
        while (g < meter->ngroup && meter->group[g].number != given->group)
            g++;
        if (g == SG_GROUPS_MAX)
            continue;
        struct event_group *group = &meter->group[g];
        meter->ngroup += g == meter->ngroup ? 1 : 0;
        if (group->nchannel == SG_AXES_MAX)
            continue;
        group->number = given->group;
        group->is_sound = given->kind == SG_KIND_PRESSURE;
        group->kind[group->nchannel] = given->kind;
        group->axis[group->nchannel] = given->axis;
        group->channel[group->nchannel++] = c;
    }
}

sg_status sg_event_meter_new(const struct sg_recording_info *info,
                             const struct sg_calibration *calibration,
                             const struct sg_trigger_config *trigger, struct sg_event_list *list,
                             struct sg_event_meter **out)
{
    struct sg_event_meter *meter = sg_alloc(1, sizeof *meter);
    if (meter == NULL)
        return SG_ERR_NOMEM;
    meter->rate_hz = info->rate_hz;
    meter->nchannel = info->nchannel;
    meter->trigger = *trigger;
    meter->list = list;
    meter->room = PIECE_SAMPLES / info->nchannel;
    if (PIECE_S * info->rate_hz < (double)meter->room)
        meter->room = (size_t)(PIECE_S * info->rate_hz) + 1;
    meter->envelope_room = (size_t)((double)meter->room / info->rate_hz / STEP_S) + 16;
    meter->sample = sg_alloc(meter->room * meter->nchannel, sizeof *meter->sample);
    meter->largest = sg_alloc(meter->room, sizeof *meter->largest);
    meter->envelope = sg_alloc(meter->envelope_room, sizeof *meter->envelope);
    meter->blow = sg_alloc(meter->envelope_room, sizeof *meter->blow);
    if (meter->sample == NULL || meter->largest == NULL || meter->envelope == NULL ||
        meter->blow == NULL) {
        sg_event_meter_free(meter);
        return SG_ERR_NOMEM;
    }
    const char *technique = calibration->technique;
    bool known = technique != NULL && technique[0] != '\0';
    meter->may_be_blows = !known || sg_same(technique, "impact");
    meter->may_be_run = !known || sg_same(technique, "vibratory");
    set_groups(meter, calibration);
    *out = meter;
    return SG_OK;
}

void sg_event_meter_free(struct sg_event_meter *meter)
{
    if (meter == NULL)
        return;
    sg_free(meter->sample);
    sg_free(meter->largest);
    sg_free(meter->envelope);
    sg_free(meter->blow);
    sg_free(meter);
}

void sg_event_meter_add(struct sg_event_meter *meter, size_t channel, const double *sample,
                        size_t count, double time_s)
{
    double expected_s = meter->start_s + (double)meter->count / meter->rate_hz;
    if (channel == 0) { /* a gap or a full piece ends the one before */
        if (meter->count > 0 && (meter->count + count > meter->room ||
                                 fabs(time_s - expected_s) * meter->rate_hz > 1.0))
            search_piece(meter);
        if (meter->count == 0)
            meter->start_s = time_s;
    }
    if (channel >= meter->nchannel || meter->count + count > meter->room)
        return;
    memcpy(meter->sample + channel * meter->room + meter->count, sample, count * sizeof *sample);
    if (channel + 1 == meter->nchannel)
        meter->count += count;
}

void sg_event_meter_close(struct sg_event_meter *meter)
{
    search_piece(meter);
}
