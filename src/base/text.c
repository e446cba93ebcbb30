/* text.c - text that grows, and strings in notations where they can be nothing but text. */
#include "stillground/base.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Room for `more` bytes and the final NUL. */
static bool reserve(struct sg_text *text, size_t more)
{
    if (text->failed)
        return false;
    if (more > SG_TEXT_MAX - text->length - 1) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1;
    if (need <= text->capacity)
        return true;
    size_t capacity = text->capacity > 0 ? text->capacity : 128;
    while (capacity < need)
        capacity *= 2;
    char *grown = sg_realloc(text->data, capacity, 1);
    if (!grown) {
        text->failed = true;
        return false;
    }
    text->data = grown;
    text->capacity = capacity;
    return true;
}

void sg_text_put_bytes(struct sg_text *text, const char *bytes, size_t length)
{
    if (!reserve(text, length))
        return;
    if (length > 0)
        memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void sg_text_put(struct sg_text *text, const char *string)
{
    sg_text_put_bytes(text, string, strlen(string));
}

void sg_text_vprintf(struct sg_text *text, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length < 0) {
        text->failed = true;
    } else if (reserve(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
}

void sg_text_printf(struct sg_text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(text, format, arguments);
    va_end(arguments);
}

void sg_text_clear(struct sg_text *text)
{
    text->length = 0;
    text->failed = false;
    if (text->data)
        text->data[0] = '\0';
}

void sg_text_release(struct sg_text *text)
{
    sg_free(text->data);
    *text = SG_TEXT_INIT;
}

const char *sg_text_string(const struct sg_text *text)
{
    return text->data ? text->data : "";
}

static bool is_control(char c)
{
    return ((unsigned char)c < 0x20) || c == 0x7f;
}

void sg_text_put_html(struct sg_text *text, const char *string)
{
    for (const char *c = string; *c; c++) {
        switch (*c) {
        case '&':
            sg_text_put(text, "&amp;");
            break;
        case '<':
            sg_text_put(text, "&lt;");
            break;
        case '>':
            sg_text_put(text, "&gt;");
            break;
        case '"':
            sg_text_put(text, "&quot;");
            break;
        case '\'':
            sg_text_put(text, "&#39;");
            break;
        default:
            sg_text_put_bytes(text, is_control(*c) ? " " : c, 1);
        }
    }
}

/* A cell that a spreadsheet would take for a formula. */
static bool looks_like_formula(const char *string)
{
    return string[0] != '\0' && strchr("=+-@\t\r", string[0]) != NULL;
}

void sg_text_put_csv(struct sg_text *text, const char *string)
{
    bool guard = looks_like_formula(string);
    if (!guard && !strpbrk(string, ",\"\r\n")) {
        sg_text_put(text, string);
        return;
    }
    sg_text_put(text, guard ? "\"'" : "\"");
    for (const char *c = string; *c; c++)
        sg_text_put(text, *c == '"' ? "\"\"" : (const char[]){ *c, '\0' });
    sg_text_put(text, "\"");
}

void sg_text_put_gnuplot(struct sg_text *text, const char *string)
{
    sg_text_put(text, "'");
    for (const char *c = string; *c; c++) {
        if (*c == '\'')
            sg_text_put(text, "''");
        else
            sg_text_put_bytes(text, is_control(*c) ? " " : c, 1);
    }
    sg_text_put(text, "'");
}

/* Formats and takes off the sign of a zero: -0.001 to two places must not read "-0.00". */
void sg_text_put_number(struct sg_text *text, double value, int decimals)
{
    if (!isfinite(value)) {
        sg_text_put(text, isinf(value) ? (value > 0 ? "inf" : "-inf") : "-");
        return;
    }
    size_t start = text->length;
    sg_text_printf(text, "%.*f", decimals, value);
    if (text->failed || text->data[start] != '-')
        return;
    if (strspn(text->data + start + 1, "0.") == text->length - start - 1) {
        memmove(text->data + start, text->data + start + 1, text->length - start);
        text->length--;
    }
}

int sg_ppv_decimals(double ppv_mm_s)
{
    return fabs(ppv_mm_s) < 0.1 ? 3 : 2;
}

bool sg_same(const char *a, const char *b)
{
    return a && b && strcmp(a, b) == 0;
}
