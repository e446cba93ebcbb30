/* status.c - what became of a call, and the messages collected on the way. */
#include "stillground/base.h"

#include <stdio.h>
#include <string.h>

struct status_row {
    sg_status status;
    int exit_status;
    const char *text;
};

static const struct status_row rows[] = {
    { SG_OK, 0, "done" },
    { SG_WARN_RANGE, 0, "done, with an input outside the range of the source" },
    { SG_ERR_USAGE, 2, "wrong use" },
    { SG_ERR_INPUT, 3, "bad input" },
    { SG_ERR_MISSING, 3, "a needed value is missing" },
    { SG_ERR_UNKNOWN, 3, "unknown name" },
    { SG_ERR_DOMAIN, 3, "the question has no answer here" },
    { SG_ERR_NO_SOLUTION, 3, "no solution" },
    { SG_ERR_UNDETERMINED, 5, "not determinable" },
    { SG_ERR_IO, 4, "reading or writing failed" },
    { SG_ERR_NOMEM, 4, "out of memory, or a size limit was reached" },
    { SG_ERR_BUG, 70, "a fault in the program" },
};

static const struct status_row *find(sg_status status)
{
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        if (rows[i].status == status)
            return &rows[i];
    }
    return NULL;
}

const char *sg_status_text(sg_status status)
{
    const struct status_row *row = find(status);
    return row ? row->text : "unknown status";
}

int sg_status_exit(sg_status status)
{
    const struct status_row *row = find(status);
    return row ? row->exit_status : 70;
}

static void put_place(struct sg_text *text, const struct sg_place *place)
{
    if (!place || !place->file)
        return;
    sg_text_put(text, place->file);
    if (place->line > 0) {
        sg_text_printf(text, ":%zu", place->line);
        if (place->column > 0)
            sg_text_printf(text, ":%zu", place->column);
    }
    sg_text_put(text, ": ");
}

/* Takes over text->data. */
static void keep(struct sg_errors *errors, struct sg_text *text)
{
    char **grown = NULL;
    if (!text->failed && errors->count < SG_ERRORS_MAX)
        grown = sg_realloc(errors->text, errors->count + 1, sizeof(*grown));
    if (!grown) {
        errors->dropped++;
        sg_text_release(text);
        return;
    }
    errors->text = grown;
    errors->text[errors->count++] = text->data;
}

sg_status sg_errors_add(struct sg_errors *errors, sg_status status, const struct sg_place *place,
                        const char *format, ...)
{
    if (!errors)
        return status;
    if (errors->first == SG_OK)
        errors->first = status;
    struct sg_text text = SG_TEXT_INIT;
    put_place(&text, place);
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    keep(errors, &text);
    return status;
}

void sg_errors_release(struct sg_errors *errors)
{
    if (!errors)
        return;
    for (size_t i = 0; i < errors->count; i++)
        sg_free(errors->text[i]);
    sg_free(errors->text);
    *errors = SG_ERRORS_INIT;
}
