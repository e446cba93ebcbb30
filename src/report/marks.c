/* marks.c - the one-letter codes that follow a number into every output, and their legend. */
#include "internal.h"

#include "stillground/sound.h"

struct mark {
    unsigned bit;
    char letter;
    const char *meaning;
};

static const struct mark marks[] = {
    { SG_MARK_RANGE, 'R', "an input lies outside the range of the source's data" },
    { SG_MARK_UNVERIFIED, 'U', "unverified: rests on a number not checked on paper" },
    { SG_MARK_TENTATIVE, 'T', "tentative relation, for screening only" },
    { SG_MARK_PROPOSAL, 'P', "engineering proposal, not a published relation" },
    { SG_MARK_NEAR_FIELD, 'N', "nearer than the relations can be trusted" },
    { SG_MARK_USER, 'G', "rests on a figure given in the site file" },
    { SG_MARK_ESTIMATE, 'E', "estimate bridged from another quantity" },
};

size_t sg_report_mark_count(void)
{
    return SG_COUNT(marks);
}

char sg_report_mark_letter(size_t index)
{
    return marks[index].letter;
}

const char *sg_report_mark_meaning(size_t index)
{
    return marks[index].meaning;
}

const char *sg_marks_text(unsigned set, struct sg_arena *arena)
{
    char letters[SG_COUNT(marks) + 1];
    size_t count = 0;
    for (size_t i = 0; i < SG_COUNT(marks); i++)
        if ((set & marks[i].bit) != 0)
            letters[count++] = marks[i].letter;
    letters[count] = '\0';
    const char *kept = count == 0 ? "" : sg_arena_copy(arena, letters, count);
    return kept == NULL ? "?" : kept; /* never "no marks" because memory ran out */
}

unsigned sg_report_value_marks(const struct sg_value *value)
{
    if (!sg_is_set(value->central))
        return 0;
    unsigned set = value->marks;
    if (sg_grade_unverified(value->grade))
        set |= (unsigned)SG_MARK_UNVERIFIED;
    if (value->grade == SG_GRADE_USER)
        set |= (unsigned)SG_MARK_USER;
    return set;
}

void sg_report_put_marks(struct sg_table *table, unsigned set)
{
    const char *letters = sg_marks_text(set, &table->arena);
    table->failed = table->failed || letters[0] == '?';
    sg_table_text(table, letters);
}

void sg_report_put_seen_marks(struct sg_table *table, unsigned set, unsigned *seen)
{
    *seen |= set;
    sg_report_put_marks(table, set);
}

void sg_report_put_text(struct sg_table *table, struct sg_text *text)
{
    sg_table_text(table, sg_text_string(text));
    table->failed = table->failed || text->failed;
    sg_text_release(text);
}

void sg_report_marks_note(struct sg_table *table, unsigned set)
{
    struct sg_text note = SG_TEXT_INIT;
    for (size_t i = 0; i < SG_COUNT(marks); i++)
        if ((set & marks[i].bit) != 0)
            sg_text_printf(&note, "%s%c %s", note.length == 0 ? "Marks: " : "; ", marks[i].letter,
                           marks[i].meaning);
    if (note.length > 0)
        sg_table_note(table, "%s.", sg_text_string(&note));
    table->failed = table->failed || note.failed;
    sg_text_release(&note);
}

/* A value against its limit as the trade says it: a ratio, or decibels over (+) or under (-). */
void sg_report_put_against(struct sg_table *table, const struct sg_verdict *verdict, double value,
                           double ratio)
{
    bool level = verdict->row != NULL && sg_quantity_is_level(verdict->row->quantity);
    if (!sg_is_set(ratio))
        sg_table_text(table, "-");
    else if (level)
        sg_table_printf(table, "%+.1f dB", value - verdict->limit);
    else
        sg_table_printf(table, "x %.2f", ratio);
}

static bool of_noise(const struct sg_verdict *verdict)
{
    return verdict->row != NULL && verdict->row->purpose == SG_FOR_NOISE;
}

void sg_report_put_noise(struct sg_table *table, const struct sg_verdict *verdict)
{
    double share = sg_sound_exceedance(verdict->value_central, verdict->value_upper, verdict->limit,
                                       verdict->beside_db);
    if (!of_noise(verdict))
        sg_table_text(table, "");
    else
        sg_table_printf(table, "%s%s%s", sg_noise_of_id(verdict->set->noise_of),
                        verdict->set->rating != NULL ? ", rated " : "",
                        verdict->set->rating != NULL ? verdict->set->rating : "");
    sg_table_number(table, of_noise(verdict) ? 100.0 * share : SG_UNSET);
}
