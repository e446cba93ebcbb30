/* document_law.c - the part of the document about laws fitted to the site. */
#include "internal.h"

static sg_status put_law(const struct sg_study *study, const struct sg_site_law *law, size_t number,
                         const char *keep_dir, struct sg_text *out, struct sg_errors *errors)
{
    struct sg_fit_view view = { .percentile = law->percentile,
                                .confidence = 95.0,
                                .limit = SG_UNSET,
                                .energy_J = SG_UNSET,
                                .site = study->site };
    struct sg_plot plot;
    struct sg_arena arena = SG_ARENA_INIT;
    sg_text_printf(out, "<h3 id=\"site-law-%zu\">Site law: ", number);
    sg_document_escape(out, law->name);
    sg_text_put(out, "</h3>\n<p>");
    sg_document_escape(out, law->method);
    sg_text_put(out, ". From ");
    sg_document_escape(out, law->provenance);
    sg_text_printf(out,
                   ". Y = %.6f %+.6f X; scatter %.4f (shared %.4f, of each pile %.4f); data from "
                   "%.4g to %.4g m; upper value at %g %%.</p>\n",
                   law->intercept, law->slope, law->scatter, law->shared_scatter, law->pile_scatter,
                   law->low_m, law->high_m, law->percentile);
    if (law->nwarning > 0)
        sg_text_put(out, "<ul>\n");
    for (size_t i = 0; i < law->nwarning; i++) {
        sg_text_put(out, "<li>");
        sg_document_escape(out, law->warning[i]);
        sg_text_put(out, "</li>\n");
    }
    if (law->nwarning > 0)
        sg_text_put(out, "</ul>\n");
    sg_status status = sg_plot_fit_script(law, &view, &plot);
    const char *id = sg_arena_printf(&arena, "site-law-%zu", number);
    if (id != NULL)
        plot.id = id;
    status = sg_document_plot(status, &plot, keep_dir, out, errors);
    sg_arena_release(&arena);
    return status;
}

static bool seen(const struct sg_site *site, size_t method, const struct sg_site_law *law)
{
    for (size_t i = 0; i < method; i++)
        if (site->method[i].law == law || site->method[i].sound_law == law)
            return true;
    return false;
}

sg_status sg_document_laws(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                           struct sg_errors *errors)
{
    struct sg_table table;
    size_t number = 0;
    sg_status status = SG_OK;
    for (size_t i = 0; i < study->nmethod; i++) {
        const struct sg_method *m = &study->site->method[i];
        const struct sg_site_law *laws[] = { m->law, m->sound_law };
        for (size_t k = 0; k < SG_COUNT(laws) && sg_ok(status); k++)
            if (laws[k] != NULL && !seen(study->site, i, laws[k]))
                status = put_law(study, laws[k], ++number, keep_dir, out, errors);
    }
    if (number == 0 || !sg_ok(status))
        return status;
    sg_text_put(out, "<section class=\"landscape\">\n");
    sg_status made = sg_table_law_changes(study, &table);
    status = sg_document_table(&table, made, out);
    if (sg_ok(status)) {
        made = sg_table_law_chances(study, &table);
        if (!sg_ok(made))
            return made;
        if (table.nrow > 0)
            status = sg_document_table(&table, made, out);
        else
            sg_table_release(&table);
    }
    sg_text_put(out, "</section>\n");
    return status;
}
