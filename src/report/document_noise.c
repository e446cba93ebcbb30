/* document_noise.c - the part on noise: periods of the day, what each item contributes with its
 * spectrum, what measures would bring, triggers, permitted hours, the crew.
 */
#include "internal.h"

#include "stillground/report_noise.h"

#define SPECTRA_MOST 4

typedef sg_status table_maker(const struct sg_study *study, struct sg_table *out);

static sg_status put_table(table_maker *make, const struct sg_study *study, bool wide,
                           struct sg_text *out)
{
    struct sg_table table;
    sg_status status = make(study, &table);
    if (sg_ok(status) && table.nrow == 0) {
        sg_table_release(&table);
        return status;
    }
    sg_text_put(out, wide ? "<section class=\"landscape\">\n" : "");
    status = sg_document_table(&table, status, out);
    sg_text_put(out, wide ? "</section>\n" : "");
    return status;
}

/* The method whose noise is farthest over its limit; SIZE_MAX = none has a level. */
static size_t loudest_method(const struct sg_study *study)
{
    size_t best = SIZE_MAX, quiet = SIZE_MAX;
    for (size_t m = 0; m < study->nmethod; m++) {
        const struct sg_verdict *v = study->summary[m].noise.verdict;
        if (quiet == SIZE_MAX && sg_noise_receptor(study, m) != SIZE_MAX)
            quiet = m;
        if (v == NULL || !sg_is_set(v->ratio_upper))
            continue;
        if (best == SIZE_MAX || v->ratio_upper > study->summary[best].noise.verdict->ratio_upper)
            best = m;
    }
    return best != SIZE_MAX ? best : quiet;
}

static sg_status put_spectra(const struct sg_study *study, const char *keep_dir,
                             struct sg_text *out, struct sg_errors *errors)
{
    size_t drawn = 0;
    sg_status status = SG_OK;
    for (size_t m = 0; m < study->nmethod && drawn < SPECTRA_MOST && sg_ok(status); m++) {
        struct sg_plot plot = SG_PLOT_INIT;
        sg_status made = sg_plot_spectrum_script(study, m, &plot);
        if (made == SG_ERR_MISSING) {
            sg_plot_release(&plot);
            continue;
        }
        status = sg_document_plot(made, &plot, keep_dir, out, errors);
        drawn++;
    }
    if (drawn == 0)
        sg_text_put(out, "<p>No spectrum is drawn: no item of plant is given by octave bands, or "
                         "sound is not worked out by them (sound.method).</p>\n");
    return status;
}

static sg_status put_measures(const struct sg_study *study, const char *keep_dir,
                              struct sg_text *out, struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    size_t method = loudest_method(study);
    if (method == SIZE_MAX)
        return SG_OK;
    sg_status made = sg_plot_measures_script(study, method, &plot);
    if (made == SG_ERR_MISSING) {
        sg_plot_release(&plot);
        return SG_OK;
    }
    return sg_document_plot(made, &plot, keep_dir, out, errors);
}

sg_status sg_document_noise(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                            struct sg_errors *errors)
{
    static table_maker *const duties[] = { sg_table_triggers, sg_table_percussive, sg_table_crew };
    /* drawings first: a table laid sideways would leave the heading alone on its sheet */
    sg_status status = put_spectra(study, keep_dir, out, errors);
    if (sg_ok(status))
        status = put_measures(study, keep_dir, out, errors);
    if (sg_ok(status))
        status = put_table(sg_table_measures, study, false, out);
    if (sg_ok(status))
        status = put_table(sg_table_noise_parts, study, study->site->outdoor != NULL, out);
    for (size_t i = 0; i < SG_COUNT(duties) && sg_ok(status); i++)
        status = put_table(duties[i], study, i == 0, out);
    return sg_ok(status) ? put_table(sg_table_noise_periods, study, true, out) : status;
}
