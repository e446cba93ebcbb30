/* law_text.c - a fitted law as the text of its file; src/site/law_file.c reads it back.
 * Numbers are written so that reading gives the same bits. */
#include "fit_internal.h"

#include <math.h>

/* A double-quoted YAML text. */
static void put_text(struct sg_text *out, const char *key, const char *text)
{
    sg_text_printf(out, "%s\"", key);
    for (const char *c = text; *c; c++) {
        if (*c == '"' || *c == '\\')
            sg_text_put_bytes(out, "\\", 1);
        if ((unsigned char)*c < 0x20 || *c == 0x7f)
            sg_text_put(out, " ");
        else
            sg_text_put_bytes(out, c, 1);
    }
    sg_text_put(out, "\"\n");
}

static void put_number(struct sg_text *out, const char *key, double value)
{
    if (isfinite(value))
        sg_text_printf(out, "%s: %.17g\n", key, value);
}

static void put_points(const struct sg_site_law *law, struct sg_text *out)
{
    if (law->npoint_kept == 0)
        return;
    sg_text_put(out, "points:\n");
    for (size_t i = 0; i < law->npoint_kept; i++) {
        const struct sg_law_point *p = &law->point[i];
        sg_text_printf(out, "  - [%.9g, %.9g", p->distance_m, p->value);
        if (sg_is_set(p->energy_J))
            sg_text_printf(out, ", %.9g", p->energy_J);
        sg_text_put(out, "]\n");
    }
}

void sg_site_law_put(const struct sg_site_law *law, struct sg_text *out)
{
    sg_text_put(out,
                "# A law fitted to measurements of one site. It holds for that ground, that way "
                "of\n# installing and the range of its data; a competent person must judge it.\n"
                "site_law: 1\n");
    put_text(out, "name: ", law->name);
    sg_text_printf(out, "quantity: %s\ntechnique: %s\nphase: %s\nposition: %s\n",
                   sg_quantity_id(law->quantity), sg_technique_id(law->technique),
                   sg_phase_id(law->phase), sg_position_id(law->position));
    sg_text_printf(out,
                   "# Y = intercept + slope X; Y = %s, X = lg %s, r in m%s\nabscissa: %s\n"
                   "distance: %s\n",
                   sg_quantity_is_level(law->quantity) ? "the level" : "lg v, v in mm/s",
                   law->scaled ? "(r / sqrt W)" : "r", law->scaled ? ", W in J" : "",
                   law->scaled ? "scaled-distance" : "distance",
                   law->distance == SG_DISTANCE_TOE ? "toe" : "plan");
    put_number(out, "intercept", law->intercept);
    put_number(out, "slope", law->slope);
    sg_text_printf(out, "# one value more scatters with s sqrt(1 + mean_variance + slope_variance "
                        "(X - centre)^2)\n");
    put_number(out, "scatter", law->scatter);
    put_number(out, "degrees_of_freedom", law->dof);
    put_number(out, "centre", law->centre);
    put_number(out, "mean_variance", law->mean_variance);
    put_number(out, "slope_variance", law->slope_variance);
    put_number(out, "shared_scatter", law->shared_scatter);
    put_number(out, "pile_scatter", law->pile_scatter);
    sg_text_printf(out, "upper: %s\n", sg_upper_line_id(law->upper));
    put_number(out, "percentile", law->percentile);
    put_number(out, "distance_low_m", law->low_m);
    put_number(out, "distance_high_m", law->high_m);
    put_number(out, "energy_low_J", law->energy_low_J);
    put_number(out, "energy_high_J", law->energy_high_J);
    sg_text_printf(out, "values: %zu\n", law->npoint);
    put_text(out, "method: ", law->method);
    put_text(out, "provenance: ", law->provenance);
    if (law->nwarning > 0)
        sg_text_put(out, "warnings:\n");
    for (size_t i = 0; i < law->nwarning; i++)
        put_text(out, "  - ", law->warning[i]);
    put_points(law, out);
}
