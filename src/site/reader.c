/* reader.c - a reading in progress: messages with their places, files by name, names given once. */
#include "site_internal.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define MESSAGES_MAX 2000u
#define WARNINGS_MAX 200u

void *sg_reader_alloc(struct sg_reader *reader, size_t count, size_t size)
{
    void *piece = sg_arena_alloc(&reader->site->arena, count, size);
    reader->nomem |= piece == NULL;
    return piece;
}

/* ---- messages ---- */

static size_t rank_of(const struct sg_reader *reader, const char *file)
{
    size_t highest = 0;
    if (!file || sg_same(file, reader->site->file))
        return 0;
    for (size_t i = 0; i < reader->nmessage; i++) {
        const struct sg_message *m = &reader->message[i];
        if (sg_same(m->at.file, file))
            return m->file_rank;
        if (m->file_rank > highest)
            highest = m->file_rank;
    }
    return highest + 1;
}

static void keep_message(struct sg_reader *reader, sg_status status, struct sg_spot at,
                         const struct sg_text *text)
{
    reader->nerror += !sg_ok(status);
    if (reader->nmessage >= MESSAGES_MAX)
        return;
    if (reader->nmessage == reader->capacity) {
        size_t capacity = reader->capacity > 0 ? 2 * reader->capacity : 16;
        struct sg_message *grown = sg_realloc(reader->message, capacity, sizeof(*grown));
        if (!grown) {
            reader->nomem = true;
            return;
        }
        reader->message = grown;
        reader->capacity = capacity;
    }
    const char *copy = sg_arena_copy(&reader->site->arena, sg_text_string(text), text->length);
    if (!copy) {
        reader->nomem = true;
        return;
    }
    reader->message[reader->nmessage] = (struct sg_message){
        .at = at,
        .file_rank = rank_of(reader, at.file),
        .serial = reader->nmessage,
        .status = status,
        .text = copy,
    };
    reader->nmessage++;
}

SG_PRINTF(4, 0)
static void add_message(struct sg_reader *reader, sg_status status, struct sg_spot at,
                        const char *format, va_list arguments)
{
    struct sg_text text = SG_TEXT_INIT;
    if (at.feature > 0)
        sg_text_printf(&text, "feature %zu: ", at.feature);
    sg_text_vprintf(&text, format, arguments);
    reader->nomem |= text.failed;
    keep_message(reader, status, at, &text);
    sg_text_release(&text);
}

void sg_reader_error(struct sg_reader *reader, sg_status status, struct sg_spot at,
                     const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_message(reader, status, at, format, arguments);
    va_end(arguments);
}

void sg_reader_warn(struct sg_reader *reader, struct sg_spot at, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_message(reader, SG_WARN_RANGE, at, format, arguments);
    va_end(arguments);
}

void sg_reader_hint(struct sg_reader *reader, struct sg_spot at, const char *format, ...)
{
    va_list arguments;
    size_t before = reader->nmessage;
    va_start(arguments, format);
    add_message(reader, SG_WARN_RANGE, at, format, arguments);
    va_end(arguments);
    if (reader->nmessage > before)
        reader->message[before].hint = true;
}

static int order(size_t a, size_t b)
{
    return a < b ? -1 : a > b;
}

static int by_place(const void *left, const void *right)
{
    const struct sg_message *a = left, *b = right;
    int result = order(a->file_rank, b->file_rank);
    if (result == 0)
        result = order(a->at.line, b->at.line);
    if (result == 0)
        result = order(a->at.column, b->at.column);
    if (result == 0)
        result = order(a->at.feature, b->at.feature);
    return result != 0 ? result : order(a->serial, b->serial);
}

static void put_warning(struct sg_reader *reader, const struct sg_message *m, const char **list)
{
    struct sg_site *site = reader->site;
    if (site->nwarning >= WARNINGS_MAX)
        return;
    const char *text =
        m->at.line > 0
            ? sg_arena_printf(&site->arena, "%s:%zu: %s", m->at.file, m->at.line, m->text)
            : sg_arena_printf(&site->arena, "%s: %s", m->at.file, m->text);
    reader->nomem |= text == NULL;
    if (text)
        list[site->nwarning++] = text;
}

sg_status sg_reader_finish(struct sg_reader *reader, struct sg_errors *errors)
{
    sg_status status = SG_OK;
    const char **list = sg_reader_alloc(reader, reader->nmessage, sizeof(*list));
    if (reader->nmessage > 1)
        qsort(reader->message, reader->nmessage, sizeof(*reader->message), by_place);
    reader->site->warning = list;
    size_t shown = 0;
    for (size_t i = 0; i < reader->nmessage; i++) {
        const struct sg_message *m = &reader->message[i];
        if (sg_ok(m->status)) {
            if (list)
                put_warning(reader, m, list);
            continue;
        }
        struct sg_place place = { m->at.file, m->at.line, m->at.column };
        sg_errors_add(errors, m->status, &place, "%s", m->text);
        status = status == SG_OK ? m->status : status;
        shown++;
    }
    if (errors && reader->nerror > shown)
        errors->dropped += reader->nerror - shown;
    if (reader->nomem) {
        sg_status memory = sg_errors_add(errors, SG_ERR_NOMEM, NULL, "%s: %s", reader->site->file,
                                         sg_status_text(SG_ERR_NOMEM));
        status = status == SG_OK ? memory : status;
    }
    for (size_t i = 0; status != SG_OK && i < reader->nmessage; i++) {
        const struct sg_message *m = &reader->message[i];
        struct sg_place place = { m->at.file, m->at.line, m->at.column };
        if (m->hint)
            sg_errors_add(errors, SG_WARN_RANGE, &place, "warning: %s", m->text);
    }
    sg_free(reader->message);
    reader->message = NULL;
    return status;
}

/* A cut must not fall inside a UTF-8 sequence. */
static size_t whole_characters(const char *value, size_t length)
{
    while (length > 0 && ((unsigned char)value[length] & 0xc0u) == 0x80u)
        length--;
    return length;
}

const char *sg_quoted(struct sg_reader *reader, const char *value)
{
    enum { LONGEST = 60 };
    size_t length = strlen(value);
    bool cut = length > LONGEST;
    if (cut)
        length = whole_characters(value, LONGEST);
    char *text =
        sg_arena_printf(&reader->site->arena, "'%.*s'%s", (int)length, value, cut ? "..." : "");
    if (!text) {
        reader->nomem = true;
        return "'?'";
    }
    for (char *c = text; *c; c++) {
        if ((unsigned char)*c < 0x20 || *c == 0x7f)
            *c = '?';
    }
    return text;
}

/* ---- files ---- */

const char *sg_reader_path(struct sg_reader *reader, const char *text)
{
    const char *path;
    if (text[0] == '/' || reader->folder[0] == '\0')
        path = sg_arena_copy(&reader->site->arena, text, strlen(text));
    else
        path = sg_arena_printf(&reader->site->arena, "%s/%s", reader->folder, text);
    reader->nomem |= path == NULL;
    return path;
}

static void report_unreadable(struct sg_reader *reader, const char *path, struct sg_spot at,
                              const char *why)
{
    sg_reader_error(reader, SG_ERR_IO, at, "file %s: %s; allowed: a file that can be read%s",
                    sg_quoted(reader, path), why,
                    at.line > 0 ? ", relative to the site file's folder" : "");
}

bool sg_reader_is_file(struct sg_reader *reader, const char *path, struct sg_spot named_at)
{
    struct stat info;
    if (stat(path, &info) != 0) {
        report_unreadable(reader, path, named_at, strerror(errno));
        return false;
    }
    if (!S_ISREG(info.st_mode)) {
        report_unreadable(reader, path, named_at, "is not a regular file");
        return false;
    }
    return true;
}

static char *read_all(struct sg_reader *reader, FILE *file, size_t size, size_t *length)
{
    char *bytes = sg_reader_alloc(reader, size + 1, 1);
    if (!bytes)
        return NULL;
    *length = fread(bytes, 1, size, file);
    bytes[*length] = '\0';
    return bytes;
}

struct sg_place sg_reader_place(struct sg_reader *reader, struct sg_spot at)
{
    const char *known = reader->place_file;
    if (at.file && (!known || strcmp(known, at.file) != 0))
        reader->place_file = sg_arena_copy(&reader->site->arena, at.file, strlen(at.file));
    return (struct sg_place){ at.file ? reader->place_file : NULL, at.line, at.column };
}

char *sg_reader_file(struct sg_reader *reader, const char *path, struct sg_spot named_at,
                     size_t max_bytes, size_t *length)
{
    char *bytes = NULL;
    if (!sg_reader_is_file(reader, path, named_at))
        return NULL;
    FILE *file = fopen(path, "rb");
    if (!file) {
        report_unreadable(reader, path, named_at, strerror(errno));
        return NULL;
    }
    struct stat info;
    if (fstat(fileno(file), &info) != 0 || !S_ISREG(info.st_mode)) {
        report_unreadable(reader, path, named_at, "is not a regular file");
        goto done;
    }
    if ((uintmax_t)info.st_size > max_bytes) {
        sg_reader_error(reader, SG_ERR_INPUT, named_at,
                        "file %s has %ju bytes; allowed: at most %zu", sg_quoted(reader, path),
                        (uintmax_t)info.st_size, max_bytes);
        goto done;
    }
    bytes = read_all(reader, file, (size_t)info.st_size, length);
    if (bytes && ferror(file)) {
        report_unreadable(reader, path, named_at, "reading failed");
        bytes = NULL;
    }
done:
    fclose(file);
    return bytes;
}

/* ---- names ---- */

static int by_name(const void *left, const void *right)
{
    const struct sg_named *a = left, *b = right;
    int result = strcmp(a->name, b->name);
    return result != 0 ? result : order(a->index, b->index);
}

void sg_names_check(struct sg_reader *reader, const char *what, struct sg_named *named, size_t n)
{
    if (n > 1)
        qsort(named, n, sizeof(*named), by_name);
    for (size_t i = 1; i < n; i++) {
        if (named[i].name[0] == '\0' || strcmp(named[i - 1].name, named[i].name) != 0)
            continue;
        const struct sg_spot *first = &named[i - 1].at;
        sg_reader_error(reader, SG_ERR_INPUT, named[i].at,
                        "name: %s is given to a second %s (the other: %s, %s %zu); allowed: each "
                        "name once, results are addressed by it",
                        sg_quoted(reader, named[i].name), what, first->file,
                        first->feature > 0 ? "feature" : "line",
                        first->feature > 0 ? first->feature : first->line);
    }
}

const struct sg_named *sg_names_find(const struct sg_named *sorted, size_t count, const char *name)
{
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(sorted[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && strcmp(sorted[low].name, name) == 0 ? &sorted[low] : NULL;
}

static bool seen_before(const char *const *ids, size_t count, const char *id)
{
    for (size_t i = 0; i < count; i++) {
        if (sg_same(ids[i], id))
            return true;
    }
    return false;
}

void sg_reader_unknown(struct sg_reader *reader, struct sg_spot at, const char *key,
                       const char *word, sg_id_at *id_at, size_t count)
{
    enum { LISTED = 40 };
    struct sg_text allowed = SG_TEXT_INIT;
    size_t nid = 0;
    const char **ids = sg_reader_alloc(reader, count, sizeof(*ids));
    for (size_t i = 0; ids && i < count; i++) {
        const char *id = id_at(i);
        if (id && !seen_before(ids, nid, id))
            ids[nid++] = id;
    }
    for (size_t i = 0; i < nid && i < LISTED; i++)
        sg_text_printf(&allowed, "%s%s", i > 0 ? ", " : "", ids[i]);
    if (nid > LISTED)
        sg_text_printf(&allowed, " and %zu more", nid - (size_t)LISTED);
    const char *nearest = nid > 0 ? sg_nearest(word, ids, nid) : NULL;
    sg_reader_error(reader, SG_ERR_UNKNOWN, at, "%s: %s is not known%s%s%s; allowed: %s", key,
                    sg_quoted(reader, word), nearest ? " (meant: " : "", nearest ? nearest : "",
                    nearest ? "?)" : "", nid > 0 ? sg_text_string(&allowed) : "none");
    sg_text_release(&allowed);
}
