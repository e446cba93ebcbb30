/* document_summary.c - the first page: what comes out, in plain words and in the site file's
 * order of methods, none before another.
 */
#include "internal.h"

#define REASONS_MOST 6

static void put_name(struct sg_text *out, const char *name)
{
    sg_text_put(out, "<strong>");
    sg_document_escape(out, name);
    sg_text_put(out, "</strong>");
}

static void put_value(struct sg_text *out, const struct sg_verdict *verdict, double value)
{
    int decimals = verdict->row == NULL ? 2 : sg_quantity_decimals(verdict->row->quantity, value);
    sg_text_put_number(out, value, decimals);
}

static void put_unit(struct sg_text *out, const struct sg_verdict *verdict)
{
    sg_text_put(out, " ");
    sg_document_escape(out, sg_quantity_unit(verdict->row->quantity));
}

/* "Central value a, upper value b, limit c: 0.4 and 1.2 times the limit." */
static void put_amount(struct sg_text *out, const struct sg_verdict *verdict)
{
    if (verdict->row == NULL || !sg_is_set(verdict->limit) || !sg_is_set(verdict->value_central)) {
        sg_text_put(out, " Reason: ");
        sg_document_escape(out, verdict->reason);
        sg_text_put(out, ".");
        return;
    }
    sg_text_put(out, " Central value ");
    put_value(out, verdict, verdict->value_central);
    sg_text_put(out, ", upper value ");
    put_value(out, verdict, verdict->value_upper);
    sg_text_put(out, ", limit ");
    put_value(out, verdict, verdict->limit);
    put_unit(out, verdict);
    if (sg_is_set(verdict->frequency_hz)) {
        sg_text_put(out, " (read at ");
        sg_text_put_number(out, verdict->frequency_hz, 1);
        sg_text_put(out, " Hz)");
    }
    if (sg_quantity_is_level(verdict->row->quantity)) {
        sg_text_put(out, "; that is ");
        sg_text_put_number(out, verdict->value_central - verdict->limit, 1);
        sg_text_put(out, " and ");
        sg_text_put_number(out, verdict->value_upper - verdict->limit, 1);
        sg_text_put(out, " dB against the limit (negative: below).");
    } else {
        sg_text_put(out, "; that is ");
        sg_text_put_number(out, verdict->ratio_central, 2);
        sg_text_put(out, " and ");
        sg_text_put_number(out, verdict->ratio_upper, 2);
        sg_text_put(out, " times the limit.");
    }
}

static void put_marks(struct sg_text *out, const struct sg_verdict *verdict)
{
    struct sg_arena arena = SG_ARENA_INIT;
    unsigned set = verdict->marks;
    if (verdict->row != NULL && sg_grade_unverified(verdict->row->cite.grade))
        set |= (unsigned)SG_MARK_UNVERIFIED;
    const char *letters = sg_marks_text(set, &arena);
    out->failed = out->failed || letters[0] == '?';
    if (letters[0] != '\0')
        sg_text_printf(out, " Marks: %s.", letters);
    sg_arena_release(&arena);
}

static void put_against_whom(struct sg_text *out, const struct sg_study *study, size_t receptor,
                             const struct sg_verdict *verdict)
{
    put_name(out, study->site->receptor[receptor].name);
    sg_text_put(out, " against ");
    sg_document_escape(out, verdict->set == NULL ? "an unnamed limit" : verdict->set->id);
    if (verdict->row != NULL) {
        sg_text_put(out, ", ");
        sg_document_escape(out, verdict->row->label);
    }
    sg_text_printf(out, ": <span class=\"%s\">%s</span>.",
                   verdict->state == SG_OVER ? "v-over" : "", sg_verdict_id(verdict->state));
    put_amount(out, verdict);
    put_marks(out, verdict);
}

/* The verdict of one kind (levels or not) with the highest upper ratio over all receptors. */
static const struct sg_verdict *closest(const struct sg_study *study, size_t method, bool levels,
                                        size_t *receptor)
{
    const struct sg_verdict *best = NULL;
    for (size_t i = 0; i < study->nreceptor; i++) {
        const struct sg_outcome *outcome = sg_study_outcome(study, method, i);
        for (size_t k = 0; k < outcome->nverdict; k++) {
            const struct sg_verdict *verdict = &outcome->verdict[k];
            if (verdict->row == NULL || !sg_is_set(verdict->ratio_upper) ||
                sg_quantity_is_level(verdict->row->quantity) != levels)
                continue;
            if (best == NULL || verdict->ratio_upper > best->ratio_upper) {
                best = verdict;
                *receptor = i;
            }
        }
    }
    return best;
}

static void put_count(struct sg_text *out, const char **gap, size_t count, const char *word)
{
    if (count == 0)
        return;
    sg_text_printf(out, "%s%s %zu", *gap, word, count);
    *gap = ", ";
}

/* One kind of limit: how many receptors, what governs, and, where that could not be judged, what
 * comes closest of all that could. */
static void put_kind(struct sg_text *out, const struct sg_study *study, size_t method, bool levels,
                     const struct sg_governing *governing)
{
    static const enum sg_verdict_state order[] = { SG_OVER, SG_NOT_DETERMINABLE, SG_LIKELY_WITHIN,
                                                   SG_WITHIN };
    const char *gap = "";
    size_t receptor = 0;
    sg_text_printf(out, "<li>%s: ", levels ? "Noise" : "Vibration");
    if (governing->verdict == NULL || governing->receptor == SIZE_MAX) {
        sg_text_put(out, "no limit applies to any receptor.</li>\n");
        return;
    }
    sg_text_put(out, "receptors by their worst verdict: ");
    for (size_t i = 0; i < SG_COUNT(order); i++)
        put_count(out, &gap, governing->receptors[order[i]], sg_verdict_id(order[i]));
    sg_text_put(out, ". What governs is ");
    put_against_whom(out, study, governing->receptor, governing->verdict);
    const struct sg_verdict *judged = closest(study, method, levels, &receptor);
    if (governing->verdict->state == SG_NOT_DETERMINABLE && judged != NULL) {
        sg_text_put(out, " Of the limits that could be judged the closest is ");
        put_against_whom(out, study, receptor, judged);
    }
    sg_text_put(out, "</li>\n");
}

static void put_days(struct sg_text *out, double days)
{
    sg_text_put(out, "<li>Work: ");
    if (sg_is_set(days)) {
        sg_text_put_number(out, days, 0);
        sg_text_put(out, " working days for the whole wall.</li>\n");
    } else {
        sg_text_put(out, "days not known, minutes a pile are not given.</li>\n");
    }
}

static void put_ground(struct sg_text *out, const struct sg_method_summary *summary)
{
    static const enum sg_suitable order[] = { SG_SUITABLE, SG_MARGINAL, SG_UNSUITABLE,
                                              SG_SUITABILITY_UNKNOWN };
    const char *gap = "";
    sg_text_put(out, "<li>Ground, by blow count (common practice, unverified): ");
    for (size_t i = 0; i < SG_COUNT(order); i++)
        put_count(out, &gap, summary->piles[order[i]], sg_suitable_id(order[i]));
    sg_text_put(out, " piles.");
    if (summary->settlement_caution)
        sg_text_put(out, " Loose saturated ground is met: settlement needs its own check.");
    sg_text_put(out, "</li>\n");
}

static void put_method(struct sg_text *out, const struct sg_study *study,
                       const struct sg_method_summary *summary)
{
    sg_text_put(out, "<li>");
    put_name(out, study->site->method[summary->method].name);
    sg_text_put(out, "\n<ul>\n");
    put_kind(out, study, summary->method, false, &summary->vibration);
    put_kind(out, study, summary->method, true, &summary->noise);
    put_days(out, summary->days);
    put_ground(out, summary);
    sg_text_put(out, "</ul></li>\n");
}

/* ---- who keeps all limits -------------------------------------------------------------------- */

enum keeps { KEEPS_ALL, KEEPS_JUDGED, KEEPS_CENTRAL, KEEPS_NOT, KEEPS_END };

static enum keeps kept_by(const struct sg_method_summary *summary)
{
    if (summary->receptors[SG_OVER] > 0)
        return KEEPS_NOT;
    if (summary->receptors[SG_NOT_DETERMINABLE] > 0)
        return KEEPS_JUDGED;
    return summary->receptors[SG_LIKELY_WITHIN] > 0 ? KEEPS_CENTRAL : KEEPS_ALL;
}

static void put_kept(struct sg_text *out, const struct sg_study *study)
{
    static const char *const sentence[KEEPS_END] = {
        [KEEPS_ALL] = "Keep every limit that applies, with the upper value too: ",
        [KEEPS_JUDGED] = "Over no limit that could be judged, but some could not be judged: ",
        [KEEPS_CENTRAL] = "Keep every limit with the central value, not with the upper: ",
        [KEEPS_NOT] = "Over at least one limit with the central value: ",
    };
    sg_text_put(out, "<ul>\n");
    for (int group = 0; group < (int)KEEPS_END; group++) {
        size_t count = 0;
        sg_text_printf(out, "<li>%s", sentence[group]);
        for (size_t i = 0; i < study->nmethod; i++) {
            if ((int)kept_by(&study->summary[i]) != group)
                continue;
            sg_text_put(out, count++ > 0 ? "; " : "");
            put_name(out, study->site->method[study->summary[i].method].name);
        }
        sg_text_put(out, count == 0 ? "none.</li>\n" : ".</li>\n");
    }
    sg_text_put(out, "</ul>\n");
}

/* ---- what cannot be said --------------------------------------------------------------------- */

struct reason {
    const char *text;
    size_t count;
};

static void count_reason(struct reason *reason, size_t *count, const char *text)
{
    for (size_t i = 0; i < *count; i++) {
        if (sg_same(reason[i].text, text)) {
            reason[i].count++;
            return;
        }
    }
    if (*count < REASONS_MOST)
        reason[(*count)++] = (struct reason){ text, 1 };
}

static void put_undetermined(struct sg_text *out, const struct sg_study *study)
{
    struct reason reason[REASONS_MOST];
    size_t count = 0, verdicts = 0, listed = 0;
    for (size_t i = 0; i < study->nmethod * study->nreceptor; i++) {
        for (size_t k = 0; k < study->outcome[i].nverdict; k++) {
            const struct sg_verdict *verdict = &study->outcome[i].verdict[k];
            if (verdict->state != SG_NOT_DETERMINABLE)
                continue;
            verdicts++;
            count_reason(reason, &count, verdict->reason);
        }
    }
    if (verdicts == 0) {
        sg_text_put(out, "<p>Every limit that applies could be judged.</p>\n");
        return;
    }
    sg_text_printf(out, "<p>Not determinable: %zu verdicts. The reasons met first:</p>\n<ul>\n",
                   verdicts);
    for (size_t i = 0; i < count; i++) {
        sg_text_put(out, "<li>");
        sg_document_escape(out, reason[i].text[0] != '\0' ? reason[i].text : "no reason recorded");
        sg_text_printf(out, " (%zu)</li>\n", reason[i].count);
        listed += reason[i].count;
    }
    if (listed < verdicts)
        sg_text_printf(out, "<li>other reasons, listed with the verdicts (%zu)</li>\n",
                       verdicts - listed);
    sg_text_put(out, "</ul>\n");
}

void sg_document_summary(const struct sg_study *study, struct sg_text *out)
{
    const struct sg_site *site = study->site;
    sg_text_printf(out,
                   "<p>%zu piles, %zu receptors and %zu methods were put together. Upper values "
                   "were asked for at the ",
                   site->npile, site->nreceptor, site->nmethod);
    sg_text_put_number(out, site->percentile, 0);
    sg_text_put(out, " % level where a relation offers a choice.</p>\n<div class=\"box\">\n");
    put_kept(out, study);
    sg_text_put(out, "</div>\n<ul>\n");
    for (size_t i = 0; i < study->nmethod; i++)
        put_method(out, study, &study->summary[i]);
    sg_text_put(out, "</ul>\n");
    put_undetermined(out, study);
    sg_text_put(
        out, "<p>Letters after numbers are marks: U means that a number behind the value "
             "was not checked on paper. The sources, the marks and the cautions have "
             "parts of their own. This is a screening prediction; a competent person must review "
             "and sign it.</p>\n");
}
