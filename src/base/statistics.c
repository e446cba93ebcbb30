/* statistics.c - distributions through GSL, sums of levels. */
#include "stillground/base.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

double sg_normal_cdf(double z)
{
    return gsl_cdf_ugaussian_P(z);
}

double sg_normal_quantile(double p)
{
    return p > 0 && p < 1 ? gsl_cdf_ugaussian_Pinv(p) : SG_UNSET;
}

double sg_student_cdf(double t, double dof)
{
    return dof > 0 ? gsl_cdf_tdist_P(t, dof) : SG_UNSET;
}

double sg_student_quantile(double p, double dof)
{
    return p > 0 && p < 1 && dof > 0 ? gsl_cdf_tdist_Pinv(p, dof) : SG_UNSET;
}

/* Kahan's summation over the energies relative to the highest level, so that the order of many
 * sources does not show. */
double sg_level_sum(const double *level_db, size_t count)
{
    double highest = -SG_INFINITY, sum = 0, carry = 0;
    for (size_t i = 0; i < count; i++) {
        if (sg_is_set(level_db[i]) && level_db[i] > highest)
            highest = level_db[i];
    }
    if (!isfinite(highest))
        return SG_UNSET;
    for (size_t i = 0; i < count; i++) {
        if (!sg_is_set(level_db[i]))
            continue;
        double term = pow(10.0, 0.1 * (level_db[i] - highest)) - carry;
        double next = sum + term;
        carry = (next - sum) - term;
        sum = next;
    }
    return highest + 10.0 * log10(sum);
}

double sg_level_on_time(double level_db, double share)
{
    return share > 0 ? level_db + 10.0 * log10(share) : SG_UNSET;
}
