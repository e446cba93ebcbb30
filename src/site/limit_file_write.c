/* limit_file_write.c - limit sets as YAML, written. */
#include "limit_keys.h"

#include <stdio.h>

static void put_text(struct sg_text *out, const char *text)
{
    sg_text_put(out, "\"");
    for (const char *c = text; *c; c++) {
        if (*c == '"' || *c == '\\')
            sg_text_put(out, "\\");
        sg_text_put_bytes(out, c, 1);
    }
    sg_text_put(out, "\"");
}

/* The shortest decimal that reads back as the same number. */
static void put_number(struct sg_text *out, double value)
{
    char text[40];
    for (int digits = 15; digits <= 17; digits++) {
        double back = 0;
        snprintf(text, sizeof(text), "%.*g", digits, value);
        if (sg_parse_number(text, &back, NULL) == SG_OK && !(back < value) && !(back > value))
            break;
    }
    sg_text_put(out, text);
}

static void put_bits(struct sg_text *out, const struct sg_limit_key *key, unsigned bits)
{
    const char *comma = "";
    sg_text_put(out, "[");
    for (unsigned i = 0; i < key->count; i++) {
        if (bits & (1u << i)) {
            sg_text_printf(out, "%s%s", comma, key->word(1u << i));
            comma = ", ";
        }
    }
    sg_text_put(out, "]");
}

/* Words and lists always; texts, numbers and marks when they are not empty. */
static void put_keys(struct sg_text *out, const struct sg_limit_key *key, size_t count,
                     const void *from, const char *first, const char *rest)
{
    const char *indent = first;
    for (size_t i = 0; i < count; i++) {
        const char *at = (const char *)from + key[i].offset;
        const char *text =
            key[i].kind == SG_AS_TEXT ? *(const char *const *)(const void *)at : NULL;
        double number = key[i].kind == SG_AS_NUMBER ? *(const double *)(const void *)at : 0;
        unsigned word = key[i].kind == SG_AS_WORD || key[i].kind == SG_AS_BITS
                            ? *(const unsigned *)(const void *)at
                            : key[i].kind == SG_AS_YES && *(const bool *)(const void *)at;
        bool zero = !text && !(number > 0) && !(number < 0) && word == 0;
        if (zero && !key[i].needed && key[i].kind != SG_AS_BITS && key[i].kind != SG_AS_WORD)
            continue;
        sg_text_printf(out, "%s%s: ", indent, key[i].name);
        indent = rest;
        if (key[i].kind == SG_AS_TEXT)
            put_text(out, text ? text : "");
        else if (key[i].kind == SG_AS_NUMBER)
            put_number(out, number);
        else if (key[i].kind == SG_AS_WORD)
            sg_text_put(out, key[i].word(word));
        else if (key[i].kind == SG_AS_BITS)
            put_bits(out, &key[i], word);
        else
            sg_text_put(out, "true");
        sg_text_put(out, "\n");
    }
}

static void put_numbers(struct sg_text *out, const double *value, size_t count, const char *end)
{
    for (size_t i = 0; i < count; i++) {
        sg_text_put(out, i > 0 ? ", " : "[");
        put_number(out, value[i]);
    }
    sg_text_printf(out, "]%s", end);
}

static void put_row(struct sg_text *out, const struct sg_limit_row *row)
{
    put_keys(out, sg_limit_row_key, sg_limit_row_key_count, row, "  - ", "    ");
    sg_text_put(out, "    curve: [");
    for (size_t i = 0; i < row->nnode; i++) {
        const double pair[] = { row->node[i].frequency_hz, row->node[i].value };
        put_numbers(out, pair, 2, i + 1 < row->nnode ? ", " : "]\n");
    }
    for (size_t i = 0; i < row->ndays; i++) {
        const struct sg_days_piece *p = &row->days[i];
        const double piece[] = { p->from, p->to, p->lower, p->upper, p->dose };
        sg_text_put(out, i == 0 ? "    days: [" : "");
        put_numbers(out, piece, 5, i + 1 < row->ndays ? ", " : "]\n");
    }
}

static void put_list(struct sg_text *out, const char *key, const char *const *list)
{
    for (size_t i = 0; list && list[i]; i++) {
        if (i == 0)
            sg_text_printf(out, "%s:\n", key);
        sg_text_put(out, "  - ");
        put_text(out, list[i]);
        sg_text_put(out, "\n");
    }
}

void sg_limit_file_put(const struct sg_limit_set *set, struct sg_text *out)
{
    put_keys(out, sg_limit_set_key, sg_limit_set_key_count, set, "", "");
    sg_text_put(out, "rows:\n");
    for (size_t i = 0; i < set->nrow; i++)
        put_row(out, &set->row[i]);
    for (size_t i = 0; i < set->nfactor; i++) {
        sg_text_put(out, i == 0 ? "factors:\n" : "");
        put_keys(out, sg_limit_factor_key, sg_limit_factor_key_count, &set->factor[i], "  - ",
                 "    ");
    }
    for (size_t i = 0; i < set->nwindow; i++) {
        sg_text_put(out, i == 0 ? "windows:\n" : "");
        put_keys(out, sg_limit_window_key, sg_limit_window_key_count, &set->window[i], "  - ",
                 "    ");
    }
    put_list(out, "disagreements", set->disagreement);
    put_list(out, "notes", set->note);
}
