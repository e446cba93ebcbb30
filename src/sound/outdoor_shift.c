/* outdoor_shift.c - plant over a shift by octave bands: heights over a drive, moving positions,
 * on-time, sum.
 *
 * Sources: ISO 9613-2:1996 for each way; energy means and on-time are definitions. That the source
 * comes down with the pile, and is worked out at both ends and between, is common practice.
 */
#include "laws.h"
#include "outdoor_internal.h"
#include "stillground/outdoor_field.h"

#include <math.h>

/* Energy sums over the states of one item. */
struct states {
    double energy, weight, loudest_db, start_energy, end_energy;
    double band_db[SG_BANDS];
};

static struct sg_emitter emitter_of(const struct sg_outdoor_plant *plant,
                                    struct sg_working *working)
{
    struct sg_emitter e = { .name = plant->item->name, .provenance = "level as stated above" };
    for (size_t b = 0; b < SG_BANDS; b++)
        e.power_db[b] = plant->octave_db ? plant->octave_db[b] : SG_UNSET;
    e.power_a_db = sg_sound_power(plant->item->kind, plant->item->level_db, working);
    return e;
}

/* One position and height. */
static sg_status one_state(const struct sg_outdoor *outdoor, const struct sg_emitter *emitter,
                           const struct sg_outdoor_shift *shift, size_t position, double height_m,
                           struct sg_outdoor_level *level, struct sg_working *working)
{
    struct sg_outdoor_path path[SG_OUTDOOR_PATHS];
    struct sg_spot3 at = shift->position[position], place;
    size_t count;
    at.height_m = height_m;
    at.z_m = SG_UNSET;
    sg_status status =
        sg_outdoor_place(outdoor, "source", emitter->name ? emitter->name : "", &at, &place, NULL);
    if (sg_ok(status))
        status = sg_outdoor_paths(outdoor, &place, shift->receptor, shift->facade, path,
                                  SG_OUTDOOR_PATHS, &count);
    if (!sg_ok(status))
        return status;
    sg_outdoor_level(emitter, path, count, level);
    if (working) {
        size_t from = working->count;
        sg_working_add(working, NULL, "position", "x %.2f m, y %.2f m, %.2f m over the ground",
                       at.x_m, at.y_m, height_m);
        sg_outdoor_explain(emitter, path, count, level, working);
        if (sg_working_fold(working, from))
            sg_working_add(working, NULL, "position",
                           "x %.2f m, y %.2f m, %.2f m over the ground: the same terms as above, "
                           "%.2f dB(A)",
                           at.x_m, at.y_m, height_m, level->long_term_db);
    }
    return status;
}

static void add_state(struct states *s, const struct sg_outdoor_level *level, double weight,
                      double screening_db)
{
    double db = level->long_term_db - screening_db;
    double energy = pow(10.0, 0.1 * db);
    s->energy += weight * energy;
    s->weight += weight;
    if (db > s->loudest_db) {
        s->loudest_db = db;
        for (size_t b = 0; b < SG_BANDS; b++)
            s->band_db[b] = level->band_db[b] - screening_db;
    }
}

static size_t heights_of(const struct sg_outdoor_plant *plant)
{
    double drop_m = plant->start_height_m - plant->end_height_m;
    return fabs(drop_m) > SG_SAME_PLACE_M ? SG_OUTDOOR_HEIGHTS : 1;
}

/* Terms are shown at the nearest position, at both ends of the drive. */
static size_t nearest_of(const struct sg_outdoor_shift *shift)
{
    size_t best = 0;
    double least_m = HUGE_VAL;
    for (size_t i = 0; i < shift->nposition; i++) {
        double d = hypot(shift->position[i].x_m - shift->receptor->x_m,
                         shift->position[i].y_m - shift->receptor->y_m);
        if (d < least_m) {
            least_m = d;
            best = i;
        }
    }
    return best;
}

/* Energy of the nearest position at both ends of a drive. */
static void add_ends(struct states *s, const struct sg_outdoor_level *level, bool start, bool end,
                     double screening_db)
{
    double energy = pow(10.0, 0.1 * (level->long_term_db - screening_db));
    if (start)
        s->start_energy = energy;
    if (end)
        s->end_energy = energy;
}

/* ---- all states at once, where nothing stands in between ---- */

enum { AT_ONCE = 256 };

struct many {
    double x_m[AT_ONCE], y_m[AT_ONCE], height_m[AT_ONCE];
    double band_db[SG_BANDS * AT_ONCE], a_db[AT_ONCE];
    double power_db[SG_BANDS];
    bool by_500_hz;
};

/* The A-weighted level stands in the band of 500 Hz: there its attenuation is read. */
static void put_power(struct many *m, const struct sg_emitter *emitter)
{
    m->by_500_hz = true;
    for (size_t b = 0; b < SG_BANDS; b++) {
        m->power_db[b] = emitter->power_db[b];
        m->by_500_hz &= !sg_is_set(emitter->power_db[b]);
    }
    for (size_t b = 0; m->by_500_hz && b < SG_BANDS; b++) {
        double off_hz = sg_octave_nominal_hz(b) - sg_outdoor_numbers.nominal_500_hz;
        if (fabs(off_hz) < 1.0)
            m->power_db[b] = emitter->power_a_db - sg_outdoor_numbers.a_weight_db[b];
    }
}

/* Source and receptor change places, which changes nothing on ground of one kind. */
static sg_status work_many(const struct sg_outdoor *outdoor, const struct sg_outdoor_shift *shift,
                           struct many *m, size_t count)
{
    const struct sg_spot3 *r = shift->receptor;
    struct sg_outdoor_points receptor = { &r->x_m, &r->y_m, &r->height_m, 1 };
    struct sg_outdoor_points states = { m->x_m, m->y_m, m->height_m, count };
    sg_status status =
        sg_outdoor_field(outdoor->scene, &receptor, m->power_db, &states, 1, m->band_db, m->a_db);
    for (size_t i = 0; sg_ok(status) && i < count; i++) {
        if (!sg_is_set(m->a_db[i]))
            return SG_ERR_DOMAIN; /* nearer than 1 m */
    }
    return status;
}

static struct sg_outdoor_level level_at(const struct many *m, size_t i, double facade_db)
{
    struct sg_outdoor_level level = { .by_500_hz = m->by_500_hz, .a_db = m->a_db[i] + facade_db };
    level.long_term_db = level.a_db;
    for (size_t b = 0; b < SG_BANDS; b++)
        level.band_db[b] = m->by_500_hz ? SG_UNSET : m->band_db[SG_BANDS * i + b] + facade_db;
    return level;
}

static sg_status sum_open_states(const struct sg_outdoor *outdoor,
                                 const struct sg_outdoor_plant *plant,
                                 const struct sg_emitter *emitter,
                                 const struct sg_outdoor_shift *shift, struct states *s)
{
    struct many m;
    double drop_m = plant->start_height_m - plant->end_height_m;
    size_t heights = heights_of(plant);
    size_t nearest = nearest_of(shift), all = shift->nposition * heights;
    double facade_db = shift->facade ? sg_sound_number(SG_SOUND_FACADE_DB) : 0;
    put_power(&m, emitter);
    for (size_t from = 0; from < all; from += AT_ONCE) {
        size_t n = all - from < AT_ONCE ? all - from : AT_ONCE;
        for (size_t i = 0; i < n; i++) {
            size_t p = (from + i) / heights, h = (from + i) % heights;
            double t = heights > 1 ? (double)h / (double)(heights - 1) : 0;
            m.x_m[i] = shift->position[p].x_m;
            m.y_m[i] = shift->position[p].y_m;
            m.height_m[i] = plant->start_height_m - t * drop_m;
        }
        sg_status status = work_many(outdoor, shift, &m, n);
        if (!sg_ok(status))
            return status;
        for (size_t i = 0; i < n; i++) {
            size_t p = (from + i) / heights, h = (from + i) % heights;
            bool start = h == 0, end = h + 1 == heights;
            struct sg_outdoor_level level = level_at(&m, i, facade_db);
            add_state(s, &level, heights > 1 && (start || end) ? 0.5 : 1.0, shift->screening_db);
            if (p == nearest)
                add_ends(s, &level, start, end, shift->screening_db);
        }
    }
    return SG_OK;
}

static sg_status sum_states(const struct sg_outdoor *outdoor, const struct sg_outdoor_plant *plant,
                            const struct sg_emitter *emitter, const struct sg_outdoor_shift *shift,
                            struct states *s, struct sg_working *working)
{
    double drop_m = plant->start_height_m - plant->end_height_m;
    size_t heights = heights_of(plant);
    size_t nearest = nearest_of(shift);
    for (size_t p = 0; p < shift->nposition; p++) {
        for (size_t h = 0; h < heights; h++) {
            bool end = h == 0 || h + 1 == heights;
            double t = heights > 1 ? (double)h / (double)(heights - 1) : 0;
            struct sg_outdoor_level level;
            sg_status status =
                one_state(outdoor, emitter, shift, p, plant->start_height_m - t * drop_m, &level,
                          p == nearest && end ? working : NULL);
            if (!sg_ok(status))
                return status;
            add_state(s, &level, heights > 1 && end ? 0.5 : 1.0, shift->screening_db);
            if (p == nearest)
                add_ends(s, &level, h == 0, h + 1 == heights, shift->screening_db);
        }
    }
    return SG_OK;
}

sg_status sg_outdoor_plant_at(const struct sg_outdoor *outdoor,
                              const struct sg_outdoor_plant *plant,
                              const struct sg_outdoor_shift *shift, double *mean_db,
                              double *loudest_db, double *loudest_band_db,
                              struct sg_working *working)
{
    struct states s = { .loudest_db = -HUGE_VAL };
    const struct sg_sound_item *item = plant->item;
    if (!sg_is_set(item->level_db))
        return SG_ERR_MISSING;
    if (!(item->count > 0) || shift->nposition == 0 || !(plant->start_height_m >= 0) ||
        !(plant->end_height_m >= 0) || !(shift->screening_db >= 0))
        return SG_ERR_INPUT;
    sg_sound_introduce(item, "", working);
    struct sg_emitter emitter = emitter_of(plant, working);
    sg_status status = !working && sg_outdoor_open(outdoor->scene)
                           ? sum_open_states(outdoor, plant, &emitter, shift, &s)
                           : sum_states(outdoor, plant, &emitter, shift, &s, working);
    if (!sg_ok(status))
        return status;
    double mean = 10.0 * log10(s.energy / s.weight) + 10.0 * log10(item->count);
    sg_working_add(
        working, NULL, "while it runs",
        "nearest position %.2f dB(A) at the start of a drive, %.2f at its end; mean over "
        "the drive (heights: %zu) and %zu positions, %g of it: %.2f dB(A)",
        10.0 * log10(s.start_energy), 10.0 * log10(s.end_energy), heights_of(plant),
        shift->nposition, item->count, mean);
    *mean_db = mean;
    *loudest_db = s.loudest_db;
    for (size_t b = 0; loudest_band_db && b < SG_BANDS; b++)
        loudest_band_db[b] = s.band_db[b];
    return SG_OK;
}

static void set_marks(const struct sg_outdoor_plant *plant, size_t nplant, struct sg_value *value)
{
    enum sg_grade grade = sg_outdoor_cite(SG_FROM_SIZE)->grade;
    for (size_t i = 0; i < nplant; i++) {
        const struct sg_sound_item *item = plant[i].item;
        if (!plant[i].octave_db)
            grade = sg_grade_worse(grade, sg_outdoor_cite(SG_FROM_500_HZ)->grade);
        grade = sg_grade_worse(grade, item->grade);
        if (item->grade == SG_GRADE_USER)
            value->marks |= SG_MARK_USER;
        if (item->kind != SG_SOURCE_LWA)
            value->marks |= SG_MARK_ESTIMATE;
        if (sg_grade_unverified(item->grade))
            value->marks |= SG_MARK_UNVERIFIED;
    }
    value->grade = grade;
    value->marks |= SG_MARK_UNVERIFIED; /* the size of a screen, the scatter */
}

sg_status sg_outdoor_period(const struct sg_outdoor *outdoor, const struct sg_outdoor_plant *plant,
                            size_t nplant, const struct sg_outdoor_shift *shift,
                            struct sg_value *out, double *loudest_db, double *part_db,
                            struct sg_working *working)
{
    struct sg_value value = SG_VALUE_INIT;
    double laeq_db = SG_UNSET, loudest = SG_UNSET;
    value.quantity = SG_Q_LAEQ;
    value.model = "iso9613-2";
    value.why = "no plant runs in the period";
    for (size_t i = 0; i < nplant; i++) {
        double mean_db, most_db, share = plant[i].item->on_time_share;
        if (part_db)
            part_db[i] = SG_UNSET;
        if (!(plant[i].item->count > 0) || !(share > 0))
            continue;
        sg_status status =
            sg_outdoor_plant_at(outdoor, &plant[i], shift, &mean_db, &most_db, NULL, working);
        if (!sg_ok(status))
            return status;
        double part = sg_level_on_time(mean_db, share), pair[] = { laeq_db, part };
        sg_working_add(working, NULL, "on-time", "%.3f + 10 lg(%g) = %.3f dB(A)", mean_db, share,
                       part);
        laeq_db = sg_level_sum(pair, SG_COUNT(pair));
        if (part_db)
            part_db[i] = part;
        if (!sg_is_set(loudest) || most_db > loudest)
            loudest = most_db;
        value.why = NULL;
    }
    if (!value.why) {
        value.central = laeq_db;
        sg_working_add(working, NULL, "LAeq of the period", "energy sum = %.3f dB(A)", laeq_db);
        size_t n = nearest_of(shift);
        value.distance_m = hypot(shift->position[n].x_m - shift->receptor->x_m,
                                 shift->position[n].y_m - shift->receptor->y_m);
        sg_outdoor_put_upper(plant, nplant, shift, &value, working);
    }
    set_marks(plant, nplant, &value);
    *out = value;
    *loudest_db = loudest;
    return value.why ? SG_ERR_MISSING : SG_OK;
}
