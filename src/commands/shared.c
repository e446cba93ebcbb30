/* shared.c - what the commands share. */
#include "commands.h"

#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

sg_status sg_format_parse(const char *word, enum sg_format *out)
{
    static const struct {
        const char *word;
        enum sg_format format;
    } known[] = { { "table", SG_FORMAT_TABLE },
                  { "csv", SG_FORMAT_CSV },
                  { "json", SG_FORMAT_JSON } };
    for (size_t i = 0; i < SG_COUNT(known); i++) {
        if (sg_same(known[i].word, word)) {
            *out = known[i].format;
            return SG_OK;
        }
    }
    return SG_ERR_USAGE;
}

int sg_command_fail(const struct sg_errors *errors, sg_status status)
{
    if (errors) {
        for (size_t i = 0; i < errors->count; i++)
            fprintf(stderr, "%s\n", errors->text[i]);
        if (errors->dropped > 0)
            fprintf(stderr, "... and %zu more\n", errors->dropped);
    }
    if (!errors || errors->count == 0)
        fprintf(stderr, "stillground: %s\n", sg_status_text(status));
    return sg_status_exit(status);
}

int sg_command_output(const char *path, const struct sg_text *text)
{
    if (text->failed)
        return sg_command_fail(NULL, SG_ERR_NOMEM);
    if (path && strcmp(path, "-") != 0) {
        struct sg_errors errors = SG_ERRORS_INIT;
        int result = 0;
        sg_status status = sg_file_write(path, sg_text_string(text), text->length, &errors);
        if (status != SG_OK)
            result = sg_command_fail(&errors, status);
        sg_errors_release(&errors);
        return result;
    }
    if (fwrite(sg_text_string(text), 1, text->length, stdout) != text->length ||
        fflush(stdout) != 0) {
        fprintf(stderr, "stillground: standard output: %s\n", sg_status_text(SG_ERR_IO));
        return sg_status_exit(SG_ERR_IO);
    }
    return 0;
}

int sg_command_tables(const struct sg_table *const *table, size_t count, enum sg_format format)
{
    struct sg_text text = SG_TEXT_INIT;
    int result;
    sg_status status = sg_table_put(table, count, format, &text);
    if (sg_ok(status))
        result = sg_command_output(NULL, &text);
    else
        result = sg_command_fail(NULL, status);
    sg_text_release(&text);
    return result;
}

bool sg_command_shows(const struct sg_table *table, enum sg_format format)
{
    return table->nrow > 0 || format != SG_FORMAT_TABLE;
}

int sg_command_verdict(enum sg_verdict_state worst, bool strict)
{
    if (worst == SG_OVER)
        return 1;
    if (worst == SG_NOT_DETERMINABLE && strict)
        return sg_status_exit(SG_ERR_UNDETERMINED);
    return 0;
}

/* ---- progress ---- */

static double now_s(void)
{
    struct timespec now;
    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0;
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

#define SHOW_AFTER_S 2.0

void sg_progress_show(size_t done, size_t total, void *progress_line)
{
    struct sg_progress_line *line = progress_line;
    if (total == 0 || !isatty(STDERR_FILENO))
        return;
    if (!(line->started_s > 0))
        line->started_s = now_s();
    if (now_s() - line->started_s < SHOW_AFTER_S)
        return;
    line->shown = true;
    fprintf(stderr, "\r%3.0f %% of %zu %s", 100.0 * (double)done / (double)total, total,
            line->what ? line->what : "pairs");
    fflush(stderr);
}

void sg_progress_end(struct sg_progress_line *line)
{
    if (line->shown)
        fprintf(stderr, "\r%40s\r", "");
}

/* ---- names and pairs ---- */

static sg_status unknown(struct sg_errors *errors, const char *what, const char *name,
                         const char *const *known, size_t count)
{
    const char *near = sg_nearest(name, known, count);
    if (near)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "no %s is named '%s'; nearest: '%s'", what,
                             name, near);
    return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                         "no %s is named '%s'; `stillground site FILE` lists the names", what,
                         name);
}

sg_status sg_command_unknown(struct sg_errors *errors, const char *what, const char *id,
                             const char *command, sg_id_list *id_at, size_t count)
{
    const char **known = sg_alloc(count, sizeof(*known));
    for (size_t i = 0; known && i < count; i++)
        known[i] = id_at(i);
    const char *near = known ? sg_nearest(id, known, count) : NULL;
    sg_errors_add(errors, SG_ERR_USAGE, NULL,
                  "no %s is named '%s'%s%s%s; `stillground %s` lists them", what, id,
                  near ? "; nearest: '" : "", near ? near : "", near ? "'" : "", command);
    sg_free((void *)known);
    return SG_ERR_USAGE;
}

sg_status sg_method_named(const struct sg_site *site, const char *name, size_t *out,
                          struct sg_errors *errors)
{
    const char *known[256];
    size_t count = 0;
    for (size_t i = 0; i < site->nmethod; i++) {
        if (sg_same(site->method[i].name, name)) {
            *out = i;
            return SG_OK;
        }
        if (count < SG_COUNT(known))
            known[count++] = site->method[i].name;
    }
    return unknown(errors, "method", name, known, count);
}

sg_status sg_receptor_named(const struct sg_site *site, const char *name, size_t *out,
                            struct sg_errors *errors)
{
    const char *known[256];
    size_t count = 0;
    for (size_t i = 0; i < site->nreceptor; i++) {
        if (sg_same(site->receptor[i].name, name)) {
            *out = i;
            return SG_OK;
        }
        if (count < SG_COUNT(known))
            known[count++] = site->receptor[i].name;
    }
    return unknown(errors, "receptor", name, known, count);
}

bool sg_split_pair(const char *argument, char *key, size_t key_size, const char **value)
{
    const char *equals = strchr(argument, '=');
    size_t length = equals ? (size_t)(equals - argument) : 0;
    if (length == 0 || length >= key_size)
        return false;
    memcpy(key, argument, length);
    key[length] = '\0';
    *value = equals + 1;
    return true;
}
