/* embedded.c - the static parts of plots and document, compiled in from plots/ by
 * plots/embed.awk. */
#include "internal.h"

#include "embedded.h"

static void put_lines(struct sg_text *out, const char *const *line)
{
    for (; *line != NULL; line++)
        sg_text_printf(out, "%s\n", *line);
}

void sg_report_put_style_gp(struct sg_text *out)
{
    put_lines(out, sg_embedded_style_gp);
}

void sg_report_put_css(struct sg_text *out)
{
    put_lines(out, sg_embedded_report_css);
}
