/* watched_recording.c - the verdicts on a recording as moments of the logbook: at the time of the
 * peak, with the event found nearest to it and what the pile log says as cause.
 */
#include "watched.h"

#include <math.h>
#include <string.h>

/* Seconds into the recording at which the judged figure arose; the start of a figure of the whole.
 * */
static double peak_s(const struct sg_measured *m, const struct sg_recorded_verdict *v)
{
    const struct sg_vibration_figures *f = &m->vibration;
    double at = SG_UNSET;
    if (m->is_sound && v->value.quantity == SG_Q_LAFMAX)
        at = m->sound.lafmax_time_s;
    else if (!m->is_sound && v->value.axes == SG_AXES_RESULTANT)
        at = f->pvs_time_s;
    for (size_t i = 0; !m->is_sound && v->value.quantity == SG_Q_PPV && i < f->naxis; i++)
        if (f->axis_of[i] == v->axis)
            at = f->axis[i].time_s;
    return sg_is_set(at) ? at : m->start_s;
}

static bool is_single(const struct sg_recorded_verdict *v)
{
    enum sg_quantity quantity = v->value.quantity;
    return quantity == SG_Q_PPV || quantity == SG_Q_PVS || quantity == SG_Q_LAFMAX;
}

/* How far a moment lies from an event; 0 within it. */
static double apart(const struct sg_found_event *event, double at_s)
{
    return fmax(0.0, fmax(event->start_s - at_s, at_s - event->end_s));
}

/* An event farther off than this is not named (common practice, no source). */
#define EVENT_S 5.0

static const struct sg_found_event *event_near(const struct sg_taken *taken,
                                               const struct sg_measured *m, double at_s)
{
    const struct sg_found_event *nearest = NULL;
    for (size_t i = 0; i < taken->events.count; i++) {
        const struct sg_found_event *e = &taken->events.event[i];
        if (e->group != m->group || e->is_sound != m->is_sound || apart(e, at_s) > EVENT_S)
            continue;
        if (!nearest || apart(e, at_s) < apart(nearest, at_s))
            nearest = e;
    }
    return nearest;
}

static const char *cause_of(struct sg_watched *w, const struct sg_taken *taken,
                            const struct sg_measured *m, const struct sg_recorded_verdict *v,
                            const struct sg_logbook_moment *at)
{
    const char *logged = sg_watched_cause(w, at->local_s);
    const struct sg_found_event *event = is_single(v) ? event_near(taken, m, at->into_s) : NULL;
    if (!event)
        return logged;
    const char *kind = sg_event_kind_id(event->kind);
    bool run = event->kind == SG_EVENT_RUN_START || event->kind == SG_EVENT_RUN_STEADY ||
               event->kind == SG_EVENT_RUN_STOP;
    return sg_arena_printf(&w->arena, "%s%s%s%s at %.2f s", logged ? logged : "",
                           logged ? ", " : "", kind, run ? " of a run" : "", event->start_s);
}

static sg_status enter(struct sg_watched *w, const struct sg_taken *taken,
                       const struct sg_measured *m, size_t receptor,
                       const struct sg_recorded *figures)
{
    sg_status status = SG_OK;
    for (size_t i = 0; i < figures->count && sg_ok(status); i++) {
        const struct sg_recorded_verdict *v = &figures->item[i];
        struct sg_logbook_moment at = { receptor, SG_UNSET, peak_s(m, v), taken->file, NULL };
        if (sg_is_set(m->start_epoch_s))
            at.local_s = sg_watched_local(w->site, m->start_epoch_s + at.into_s - m->start_s);
        at.cause = cause_of(w, taken, m, v, &at);
        status = sg_logbook_take(&w->book, &at, v, 1);
    }
    return status;
}

static sg_status put_beside(struct sg_watched *w, const struct sg_taken *taken,
                            const struct sg_measured *m, size_t receptor,
                            const struct sg_recorded_as *as, const struct sg_foreseen *foreseen)
{
    struct sg_value value = SG_VALUE_INIT;
    sg_status status;
    if (!m->is_sound) {
        value.central = m->vibration.pcpv_mm_s;
        return sg_beside_take(&w->beside, receptor, as, &value, taken->file, foreseen);
    }
    value.axes = SG_AXES_NONE;
    value.quantity = SG_Q_LAEQ;
    value.central = m->sound.laeq_db;
    status = sg_beside_take(&w->beside, receptor, as, &value, taken->file, foreseen);
    value.quantity = SG_Q_LAFMAX;
    value.central = m->sound.lafmax_db;
    return sg_ok(status) ? sg_beside_take(&w->beside, receptor, as, &value, taken->file, foreseen)
                         : status;
}

/* Intervals are followed by the whole; without them there is the whole alone. */
static bool in_intervals(const struct sg_taken *taken)
{
    bool found = false;
    for (size_t k = 0; k < taken->kept.count; k++)
        found = found || taken->kept.item[k].measured.whole;
    return found;
}

/* Into the book by the clock: what was measured at nine in the morning passes no limit of the
 * night. */
static sg_status book(struct sg_watched *w, const struct sg_taken *taken,
                      const struct sg_measured *m, size_t receptor,
                      const struct sg_recorded_as *given)
{
    struct sg_recorded_as as = *given;
    double local_s =
        sg_is_set(m->start_epoch_s) ? sg_watched_local(w->site, m->start_epoch_s) : SG_UNSET;
    sg_watched_clock(w->site, local_s, &as);
    w->figures.count = 0;
    sg_status status = sg_recorded_judge(w->site, receptor, &as, m, &w->figures);
    return sg_ok(status) ? enter(w, taken, m, receptor, &w->figures) : status;
}

/* A whole recording is a sample of works that may go on at other hours: its own verdicts are for
 * all
 * periods that the works touch. */
sg_status sg_watched_recording(struct sg_watched *w, struct sg_taken *taken, size_t receptor,
                               const struct sg_recorded_as *given)
{
    struct sg_recorded_as as = *given;
    bool parts = in_intervals(taken);
    const struct sg_foreseen *foreseen = sg_watched_foreseen(w, receptor, &as);
    sg_status status = foreseen ? SG_OK : SG_ERR_NOMEM;
    for (size_t k = 0; k < taken->kept.count && sg_ok(status); k++) {
        struct sg_measured m = sg_kept_measured(&taken->kept.item[k]);
        bool interval = parts && !m.whole;
        as.predicted = foreseen->value;
        as.npredicted = foreseen->count;
        if (!interval)
            status = sg_recorded_judge(w->site, receptor, &as, &m, &taken->verdicts);
        if (sg_ok(status) && !interval)
            status = put_beside(w, taken, &m, receptor, &as, foreseen);
        if (sg_ok(status) && (interval || !parts))
            status = book(w, taken, &m, receptor, &as);
    }
    return status;
}
