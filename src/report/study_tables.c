/* study_tables.c - predictions and verdicts of a study as tables, receptor by receptor. */
#include "internal.h"

static const char *worst_verdict(const struct sg_outcome *outcome)
{
    if (outcome->governing == SIZE_MAX)
        return "no limit applies";
    return sg_verdict_id(outcome->verdict[outcome->governing].state);
}

/* Why a number is missing: vibration first, then sound. */
static const char *missing_why(const struct sg_outcome *outcome)
{
    if (outcome->ppv.why != NULL)
        return outcome->ppv.why;
    return outcome->laeq.why != NULL ? outcome->laeq.why : "";
}

/* Central and upper of a value when it is of the quantity that the columns are for. */
static void put_pair(struct sg_table *table, const struct sg_value *value,
                     enum sg_quantity quantity)
{
    bool fits = value->quantity == quantity;
    sg_table_number(table, fits ? value->central : SG_UNSET);
    sg_table_number(table, fits ? value->upper : SG_UNSET);
}

static const char *upper_means(const struct sg_value *value)
{
    return sg_is_set(value->central) && value->upper_text != NULL ? value->upper_text : "";
}

static void put_prediction(struct sg_table *table, const struct sg_study *study,
                           const struct sg_outcome *outcome, unsigned *seen)
{
    const struct sg_site *site = study->site;
    sg_table_text(table, site->receptor[outcome->receptor].name);
    sg_table_text(table, site->method[outcome->method].name);
    sg_table_number(table, outcome->distance_m);
    put_pair(table, &outcome->ppv, SG_Q_PPV);
    sg_table_text(table, outcome->ppv.model);
    sg_table_text(table, upper_means(&outcome->ppv));
    sg_report_put_seen_marks(table, sg_report_value_marks(&outcome->ppv), seen);
    put_pair(table, &outcome->ppv_second, SG_Q_PPV);
    sg_table_text(table, outcome->ppv_second.model);
    sg_report_put_seen_marks(table, sg_report_value_marks(&outcome->ppv_second), seen);
    put_pair(table, &outcome->laeq, SG_Q_LAEQ);
    sg_table_number(table, outcome->lafmax.central);
    sg_report_put_seen_marks(
        table, sg_report_value_marks(&outcome->laeq) | sg_report_value_marks(&outcome->lafmax),
        seen);
    sg_table_text(table, worst_verdict(outcome));
    sg_table_text(table, missing_why(outcome));
}

sg_status sg_table_predictions(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "distance_m", "distance\nm", 1, true },
        { "ppv_central_mm_s", "PPV\nmm/s", -1, true },
        { "ppv_upper_mm_s", "PPV\nupper", -1, true },
        { "ppv_model", "relation", 0, false },
        { "ppv_upper_means", NULL, 0, false },
        { "ppv_marks", "marks\nPPV", 0, false },
        { "ppv_second_central_mm_s", "second\nmm/s", -1, true },
        { "ppv_second_upper_mm_s", "second\nupper", -1, true },
        { "ppv_second_model", NULL, 0, false },
        { "ppv_second_marks", "marks\nsecond", 0, false },
        { "laeq_central_db", "LAeq\ndB(A)", 1, true },
        { "laeq_upper_db", "LAeq\nupper", 1, true },
        { "lafmax_db", NULL, 1, true },
        { "sound_marks", "marks\nsound", 0, false },
        { "worst_verdict", "worst verdict", 0, false },
        { "missing_because", NULL, 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "predictions", "Predicted vibration and noise", columns, SG_COUNT(columns));
    for (size_t receptor = 0; receptor < study->nreceptor; receptor++)
        for (size_t method = 0; method < study->nmethod; method++)
            put_prediction(out, study, sg_study_outcome(study, method, receptor), &seen);
    sg_table_note(out, "PPV: peak component particle velocity of the ground beside the receptor, "
                       "free field. LAeq: over the working period.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

static int value_decimals(const struct sg_limit_row *row, double value)
{
    return row == NULL ? sg_ppv_decimals(value) : sg_quantity_decimals(row->quantity, value);
}

static void put_value(struct sg_table *table, const struct sg_limit_row *row, double value)
{
    sg_table_number_to(table, value, value_decimals(row, value));
}

static unsigned verdict_marks(const struct sg_verdict *verdict)
{
    unsigned set = verdict->marks;
    if (verdict->row != NULL && sg_grade_unverified(verdict->row->cite.grade))
        set |= (unsigned)SG_MARK_UNVERIFIED;
    return set;
}

/* A site put together by hand may leave the shares at 0: not asked for. */
static double share_of(double percent)
{
    return percent > 0.0 ? percent / 100.0 : SG_UNSET;
}

static void put_verdict(struct sg_table *table, const struct sg_verdict *verdict,
                        const struct sg_monitoring *shares, unsigned *seen)
{
    const struct sg_limit_row *row = verdict->row;
    sg_table_text(table, verdict->set == NULL ? "" : verdict->set->id);
    sg_table_text(table, row == NULL ? "" : row->label);
    sg_table_text(table, row == NULL ? "" : row->cite.locus);
    sg_table_text(table, sg_period_id(verdict->period));
    sg_table_text(table, row == NULL ? "" : sg_quantity_id(row->quantity));
    sg_table_text(table, row == NULL ? "" : sg_quantity_unit(row->quantity));
    put_value(table, row, verdict->value_central);
    put_value(table, row, verdict->value_upper);
    put_value(table, row, verdict->limit);
    sg_table_number(table, verdict->frequency_hz);
    sg_table_text(table, sg_is_set(verdict->frequency_hz) ? verdict->frequency_from : "");
    sg_report_put_against(table, verdict, verdict->value_central, verdict->ratio_central);
    sg_report_put_against(table, verdict, verdict->value_upper, verdict->ratio_upper);
    bool level = row != NULL && sg_quantity_is_level(row->quantity);
    sg_table_number(table, level ? SG_UNSET : verdict->ratio_central);
    sg_table_number(table, level ? SG_UNSET : verdict->ratio_upper);
    sg_table_number(table, level ? verdict->value_central - verdict->limit : SG_UNSET);
    sg_table_number(table, level ? verdict->value_upper - verdict->limit : SG_UNSET);
    sg_report_put_noise(table, verdict);
    sg_table_text(table, sg_verdict_id(verdict->state));
    enum sg_alert alert =
        sg_alert_of(verdict, share_of(shares->amber_percent), share_of(shares->red_percent));
    sg_table_text(table, alert == SG_ALERT_NONE ? "" : sg_alert_id(alert));
    sg_report_put_seen_marks(table, verdict_marks(verdict), seen);
    sg_table_text(table, verdict->reason);
}

sg_status sg_table_verdicts(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "limit_set", "limit set", 0, false },
        { "limit_row", "row", 0, false },
        { "clause", "clause", 0, false },
        { "period", "period", 0, false },
        { "quantity", NULL, 0, false },
        { "unit", "unit", 0, false },
        { "value_central", "central", -1, true },
        { "value_upper", "upper", -1, true },
        { "limit", "limit", -1, true },
        { "frequency_hz", "read at\nHz", 1, true },
        { "frequency_from", NULL, 0, false },
        { NULL, "central\nto limit", 0, false },
        { NULL, "upper\nto limit", 0, false },
        { "ratio_central", NULL, 3, true },
        { "ratio_upper", NULL, 3, true },
        { "excess_central_db", NULL, 1, true },
        { "excess_upper_db", NULL, 1, true },
        { "noise_of", "noise\nof", 0, false },
        { "chance_over_percent", "chance\nover, %", 0, true },
        { "verdict", "verdict", 0, false },
        { "alert", "alert", 0, false },
        { "marks", "marks", 0, false },
        { "reason", "reason", 0, false },
    };
    const struct sg_monitoring *shares = &study->site->monitoring;
    unsigned seen = 0;
    sg_table_init(out, "verdicts", "Values against limits", columns, SG_COUNT(columns));
    for (size_t receptor = 0; receptor < study->nreceptor; receptor++) {
        for (size_t method = 0; method < study->nmethod; method++) {
            const struct sg_outcome *outcome = sg_study_outcome(study, method, receptor);
            for (size_t i = 0; i < outcome->nverdict; i++) {
                sg_table_text(out, study->site->receptor[receptor].name);
                sg_table_text(out, study->site->method[method].name);
                put_verdict(out, &outcome->verdict[i], shares, &seen);
            }
        }
    }
    sg_table_note(out, "within: upper value at most the limit; likely within: central at most the "
                       "limit, upper over it; over: central over the limit. to limit: x is value "
                       "over limit, dB is value minus limit.");
    sg_table_note(out,
                  "chance over: probability that a limit on noise is exceeded, from the scatter "
                  "behind the upper value (assumed, common practice).");
    if (shares->amber_percent > 0.0)
        sg_table_note(out,
                      "alert: the upper value reaches %.4g %% (amber) or %.4g %% (red) of the "
                      "limit, shares of `monitoring` in the site file; for levels of the "
                      "pressure or velocity.",
                      shares->amber_percent, shares->red_percent);
    sg_report_programme_note(out, study->site);
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}
