/* planned.c - reads a site and chooses its methods, once for the commands that need both. */
#include "planned.h"

#include <stdio.h>

sg_status sg_planned_make(struct sg_planned *planned, const char *path, enum sg_confidence by,
                          const struct sg_choice_wish *wish)
{
    struct sg_progress_line line = { 0.0, false, NULL };
    sg_status status = sg_site_read(path, &planned->site, &planned->errors);
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < planned->site.nwarning; i++)
        fprintf(stderr, "warning: %s\n", planned->site.warning[i]);
    status = sg_laws_apply(&planned->laws, &planned->site, &planned->errors);
    if (!sg_ok(status))
        return status;
    status = sg_wall_values_make(&planned->site, by, &planned->values, sg_progress_show, &line,
                                 &planned->errors);
    sg_progress_end(&line);
    if (!sg_ok(status))
        return status;
    return sg_plan_make(&planned->values, wish, &planned->plan, &planned->errors);
}

void sg_planned_release(struct sg_planned *planned)
{
    sg_plan_release(&planned->plan);
    sg_wall_values_release(&planned->values);
    sg_laws_release(&planned->laws);
    sg_site_release(&planned->site);
    sg_errors_release(&planned->errors);
}

sg_status sg_confidence_parse(const char *word, enum sg_confidence *out)
{
    if (!sg_same(word, "upper") && !sg_same(word, "central"))
        return SG_ERR_USAGE;
    *out = sg_same(word, "upper") ? SG_BY_UPPER : SG_BY_CENTRAL;
    return SG_OK;
}

int sg_command_drawing(const char *path, sg_status status, const struct sg_text *svg,
                       const struct sg_errors *errors)
{
    return sg_ok(status) ? sg_command_output(path, svg) : sg_command_fail(errors, status);
}
