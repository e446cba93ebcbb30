/* verify.c - the command `verify`: works the built-in published cases out anew and prints them. */
#include "models_keys.h"
#include "options.h"

#include <argp.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define MOST_WORDS 32

/* Words of a text, parted by single blanks, in a copy. */
struct words {
    char copy[256];
    char *word[MOST_WORDS];
    size_t count;
};

static bool split(const char *text, struct words *out)
{
    size_t length = strlen(text);
    if (length >= sizeof(out->copy))
        return false;
    memcpy(out->copy, text, length + 1);
    out->count = 0;
    for (char *c = out->copy; *c;) {
        if (out->count == MOST_WORDS)
            return false;
        out->word[out->count++] = c;
        c += strcspn(c, " ");
        if (*c)
            *c++ = '\0';
    }
    return true;
}

static sg_status model_case(const struct sg_case *c, const struct sg_model *model, double *out)
{
    struct words words;
    struct sg_model_inputs in;
    struct sg_law law;
    double factor;
    if (!split(c->inputs, &words))
        return SG_ERR_BUG;
    sg_status status = sg_model_keys_read(model, words.word, words.count, &in, NULL);
    enum sg_level level = c->level == SG_LEVEL_ANY ? SG_LEVEL_CENTRAL : c->level;
    if (sg_ok(status))
        status = sg_law_prepare(model, &in.drive, level, &law, NULL);
    if (!sg_ok(status))
        return status;
    double value = sg_law_at(&law, in.distance_m);
    if (sg_quantity_is_level(model->quantity)) {
        *out = value;
        return SG_OK;
    }
    status = sg_unit_factor("mm/s", c->unit, &factor);
    *out = value * factor;
    return status;
}

/* "80x40 100x20": levels and how long each lasted; without durations a plain energy sum. */
static sg_status level_case(const struct sg_case *c, bool mean, double *out)
{
    struct words words;
    double levels[MOST_WORDS], total = 0;
    if (!split(c->inputs, &words))
        return SG_ERR_BUG;
    for (size_t i = 0; i < words.count; i++) {
        char *times = strchr(words.word[i], 'x');
        double duration = 1;
        if (times)
            *times = '\0';
        if (sg_parse_number(words.word[i], &levels[i], NULL) != SG_OK ||
            (times && sg_parse_number(times + 1, &duration, NULL) != SG_OK))
            return SG_ERR_BUG;
        levels[i] += 10.0 * log10(duration);
        total += duration;
    }
    *out = sg_level_sum(levels, words.count) - (mean ? 10.0 * log10(total) : 0);
    return SG_OK;
}

static sg_status work_out(const struct sg_case *c, double *out)
{
    const struct sg_model *model = sg_model_find(c->relation);
    if (model)
        return model_case(c, model, out);
    return level_case(c, sg_same(c->relation, "level-mean"), out);
}

static bool put_case(struct sg_table *table, const struct sg_case *c)
{
    double value = SG_UNSET;
    bool good = work_out(c, &value) == SG_OK && fabs(value - c->expected) <= c->tolerance;
    int decimals = c->tolerance < 1e-4 ? 5 : c->tolerance < 1e-3 ? 4 : c->tolerance < 1e-2 ? 3 : 2;
    sg_table_text(table, c->id);
    sg_table_text(table, c->relation);
    sg_table_text(table, c->inputs);
    sg_table_number_to(table, c->expected, decimals);
    sg_table_number_to(table, value, decimals);
    sg_table_printf(table, "%g", c->tolerance);
    sg_table_text(table, c->unit);
    sg_table_text(table, good ? "agrees" : "DIFFERS");
    sg_table_printf(table, "%s, %s [%s]", c->cite.document, c->cite.locus,
                    sg_grade_name(c->cite.grade));
    return good;
}

static int run(enum sg_format format)
{
    static const struct sg_column columns[] = {
        { "case", "case", 0, false },        { "relation", "relation", 0, false },
        { "inputs", "inputs", 0, false },    { "expected", "expected", 2, true },
        { "computed", "computed", 2, true }, { "tolerance", "within", 0, false },
        { "unit", "unit", 0, false },        { "result", "result", 0, false },
        { "source", "source", 0, false },
    };
    struct sg_table table;
    const struct sg_table *list[] = { &table };
    size_t good = 0;
    sg_table_init(&table, "verify", "Published cases", columns, SG_COUNT(columns));
    for (size_t i = 0; i < sg_case_count(); i++)
        good += put_case(&table, sg_case_at(i)) ? 1 : 0;
    sg_table_note(&table, "%zu of %zu cases agree.", good, sg_case_count());
    int result = sg_command_tables(list, 1, format);
    sg_table_release(&table);
    if (result == 0 && good < sg_case_count())
        result = sg_status_exit(SG_ERR_BUG);
    return result;
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    enum sg_format *format = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, format);
        return 0;
    case ARGP_KEY_ARG:
        argp_error(state, "no argument is taken; got '%s'", argument);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

int sg_command_verify(int argc, char **argv)
{
    static const struct argp_option options[] = { SG_FORMAT_OPTION, { NULL, 0, NULL, 0, NULL, 0 } };
    static const struct argp argp = {
        options,
        parse_option,
        "",
        "Works the published cases that the program was built against out anew and prints them "
        "beside the published answers."
        "\vExit status: 0 all agree; 2 usage; 70 a case differs.",
        NULL,
        NULL,
        NULL,
    };
    enum sg_format format = SG_FORMAT_TABLE;
    if (argp_parse(&argp, argc, argv, 0, NULL, &format) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(format);
}
