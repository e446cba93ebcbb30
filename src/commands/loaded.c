/* loaded.c - reads a site and works it out, once for all commands. */
#include "loaded.h"

#include <stdio.h>

static sg_status narrow(struct sg_loaded *loaded, const char *method, const char *receptor)
{
    size_t index;
    sg_status status = SG_OK;
    if (method) {
        status = sg_method_named(&loaded->site, method, &index, &loaded->errors);
        if (status != SG_OK)
            return status;
        loaded->view.method = &loaded->site.method[index];
        loaded->view.nmethod = 1;
    }
    if (receptor) {
        status = sg_receptor_named(&loaded->site, receptor, &index, &loaded->errors);
        if (status != SG_OK)
            return status;
        loaded->view.receptor = &loaded->site.receptor[index];
        loaded->view.nreceptor = 1;
    }
    return status;
}

sg_status sg_loaded_read(struct sg_loaded *loaded, const char *path, const char *method,
                         const char *receptor)
{
    sg_status status = sg_site_read(path, &loaded->site, &loaded->errors);
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < loaded->site.nwarning; i++)
        fprintf(stderr, "warning: %s\n", loaded->site.warning[i]);
    loaded->view = loaded->site;
    status = narrow(loaded, method, receptor);
    return sg_ok(status) ? sg_laws_apply(&loaded->laws, &loaded->view, &loaded->errors) : status;
}

sg_status sg_loaded_work(struct sg_loaded *loaded)
{
    struct sg_progress_line line = { 0.0, false };
    sg_status status =
        sg_study_make(&loaded->view, &loaded->study, sg_progress_show, &line, &loaded->errors);
    sg_progress_end(&line);
    if (sg_ok(status)) {
        sg_status before =
            sg_laws_before(&loaded->laws, &loaded->view, &loaded->study, &loaded->errors);
        status = sg_ok(before) ? status : before;
    }
    return status;
}

void sg_loaded_release(struct sg_loaded *loaded)
{
    sg_study_release(&loaded->study);
    sg_laws_release(&loaded->laws);
    sg_site_release(&loaded->site);
    sg_errors_release(&loaded->errors);
}
