/* quadrature.c - means over a normal variable (Gauss-Hermite) and over the uncertainty of an
 * estimated deviation. The only file that knows gsl_integration. */
#include "fit_internal.h"

#include <gsl/gsl_integration.h>
#include <math.h>

sg_status sg_nodes_normal(size_t count, struct sg_nodes *out)
{
    struct sg_nodes nodes = { sg_alloc(count, sizeof(double)), sg_alloc(count, sizeof(double)),
                              count };
    gsl_integration_fixed_workspace *rule =
        gsl_integration_fixed_alloc(gsl_integration_fixed_hermite, count, 0.0, 0.5, 0.0, 0.0);
    sg_status status = rule && nodes.at && nodes.weight ? SG_OK : SG_ERR_NOMEM;
    for (size_t i = 0; i < count && status == SG_OK; i++) {
        nodes.at[i] = gsl_integration_fixed_nodes(rule)[i];
        nodes.weight[i] = gsl_integration_fixed_weights(rule)[i] / sqrt(2.0 * SG_PI);
    }
    gsl_integration_fixed_free(rule);
    if (status == SG_OK)
        *out = nodes;
    else
        sg_nodes_release(&nodes);
    return status;
}

/* With w = chi-square / 2 and z = ln w the density is exp(k z - e^z), k = dof / 2: it falls faster
 * than any exponential on both sides, where the plain trapezoidal rule is as good as any Gauss
 * rule.
 */
sg_status sg_nodes_scale(double dof, struct sg_nodes *out)
{
    enum { WIDE = 401, NARROW = 81 }; /* few degrees of freedom: a long tail */
    size_t count = isfinite(dof) ? (dof < 8 ? WIDE : NARROW) : 1;
    struct sg_nodes nodes = { sg_alloc(count, sizeof(double)), sg_alloc(count, sizeof(double)),
                              count };
    if (!nodes.at || !nodes.weight) {
        sg_nodes_release(&nodes);
        return SG_ERR_NOMEM;
    }
    nodes.at[0] = nodes.weight[0] = 1.0;
    double k = 0.5 * dof, peak = log(k), sd = 1.0 / sqrt(k), total = 0;
    double low = peak - 9.0 * sd - 32.0 / k, high = peak + fmin(9.0 * sd, 2.0 + log(1 + 40.0 / k));
    for (size_t i = 0; i < count && count > 1; i++) {
        double z = low + (high - low) * (double)i / (double)(count - 1);
        nodes.weight[i] = exp(k * (z - peak) - (exp(z) - k));
        nodes.at[i] = sqrt(k / exp(z));
        total += nodes.weight[i];
    }
    for (size_t i = 0; i < count && count > 1; i++)
        nodes.weight[i] /= total;
    *out = nodes;
    return SG_OK;
}

void sg_nodes_release(struct sg_nodes *nodes)
{
    sg_free(nodes->at);
    sg_free(nodes->weight);
}
