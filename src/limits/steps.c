/* steps.c - two-step rows (A_u / A_o / A_r, A1 / A2 / A3) and their values by days of work.
 *
 * Sources: DIN 4150-2:1999, decision rule and Table 2; SBR-B, decision rule. Between one day and
 * the first long stretch DIN's values run linearly: A(D) = A(1) - (A(1) - A(7)) (D - 1) / 6, which
 * gives the printed 0.733 ... 0.467.
 */
#include "limits/curve.h"

static double between(double a, double b, double share)
{
    return a + (b - a) * share;
}

sg_status sg_limit_steps(const struct sg_limit_row *row, double days, double *lower, double *upper,
                         double *dose)
{
    if (row->ndays == 0) {
        *lower = row->node[0].value;
        *upper = row->upper_value;
        *dose = row->dose_value;
        return SG_OK;
    }
    if (!(days > 0.0)) {
        return SG_ERR_MISSING;
    }
    for (size_t i = 0; i < row->ndays; i++) {
        const struct sg_days_piece *piece = &row->days[i];
        if (days <= piece->to && (i == 0 || days > row->days[i - 1].to)) {
            double share = 1.0;
            if (i > 0 && days < piece->from) {
                if (!row->days_linear) {
                    return SG_ERR_DOMAIN;
                }
                share = (days - row->days[i - 1].to) / (piece->from - row->days[i - 1].to);
            }
            const struct sg_days_piece *before = i > 0 ? &row->days[i - 1] : piece;
            *lower = between(before->lower, piece->lower, share);
            *upper = between(before->upper, piece->upper, share);
            *dose = between(before->dose, piece->dose, share);
            return SG_OK;
        }
    }
    return SG_ERR_DOMAIN;
}

enum sg_verdict_state sg_two_step(double value, double dose, double lower, double upper,
                                  double dose_limit)
{
    if (value <= lower) {
        return SG_WITHIN;
    }
    if (value > upper) {
        return SG_OVER;
    }
    if (!sg_is_set(dose)) {
        return SG_NOT_DETERMINABLE;
    }
    return dose <= dose_limit ? SG_WITHIN : SG_OVER;
}
