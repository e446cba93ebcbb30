/* utf8.c - UTF-8 as it arrives in names: broken bytes, widths on a terminal. Sources: RFC 3629
 * (form of UTF-8); Unicode Standard Annex 11 (East Asian width; the wide blocks in coarse
 * ranges, common practice).
 */
#include "internal.h"

#define REPLACEMENT 0xFFFDu

static bool continues(unsigned char byte)
{
    return (byte & 0xC0u) == 0x80u;
}

/* Length of the sequence that a first byte opens; 0 = no first byte. */
static size_t sequence_length(unsigned char first)
{
    if (first < 0x80u)
        return 1;
    if (first >= 0xC2u && first <= 0xDFu)
        return 2;
    if (first >= 0xE0u && first <= 0xEFu)
        return 3;
    if (first >= 0xF0u && first <= 0xF4u)
        return 4;
    return 0;
}

uint32_t sg_report_code_point(const char *text, size_t *step)
{
    static const uint32_t least[5] = { 0, 0, 0x80u, 0x800u, 0x10000u };
    static const unsigned char keep[5] = { 0, 0x7Fu, 0x1Fu, 0x0Fu, 0x07u };
    const unsigned char *byte = (const unsigned char *)text;
    size_t length = sequence_length(byte[0]);

    *step = 1;
    if (length == 0)
        return REPLACEMENT;
    uint32_t code = byte[0] & (uint32_t)keep[length];
    for (size_t i = 1; i < length; i++) {
        if (!continues(byte[i])) /* also stops at the end of the text */
            return REPLACEMENT;
        code = code << 6 | (byte[i] & 0x3Fu);
    }
    bool surrogate = code >= 0xD800u && code <= 0xDFFFu;
    if (code < least[length] || surrogate || code > 0x10FFFFu)
        return REPLACEMENT;
    *step = length;
    return code;
}

struct block {
    uint32_t first, last;
    size_t width;
};

static const struct block blocks[] = {
    { 0x0300, 0x036F, 0 },   { 0x0483, 0x0489, 0 },   { 0x0591, 0x05BD, 0 },
    { 0x064B, 0x065F, 0 },   { 0x0E31, 0x0E31, 0 },   { 0x0E34, 0x0E3A, 0 },
    { 0x1100, 0x115F, 2 },   { 0x1AB0, 0x1AFF, 0 },   { 0x1DC0, 0x1DFF, 0 },
    { 0x200B, 0x200F, 0 },   { 0x202A, 0x202E, 0 },   { 0x2060, 0x2064, 0 },
    { 0x20D0, 0x20FF, 0 },   { 0x2E80, 0x303E, 2 },   { 0x3041, 0xA4CF, 2 },
    { 0xAC00, 0xD7A3, 2 },   { 0xF900, 0xFAFF, 2 },   { 0xFE00, 0xFE0F, 0 },
    { 0xFE20, 0xFE2F, 0 },   { 0xFE30, 0xFE6F, 2 },   { 0xFF00, 0xFF60, 2 },
    { 0xFFE0, 0xFFE6, 2 },   { 0x1F300, 0x1F64F, 2 }, { 0x1F900, 0x1F9FF, 2 },
    { 0x20000, 0x3FFFD, 2 },
};

static size_t width_of(uint32_t code)
{
    for (size_t i = 0; i < SG_COUNT(blocks); i++)
        if (code >= blocks[i].first && code <= blocks[i].last)
            return blocks[i].width;
    return 1;
}

size_t sg_report_width(const char *text)
{
    size_t width = 0;
    for (size_t step = 1; *text != '\0'; text += step)
        width += width_of(sg_report_code_point(text, &step));
    return width;
}

static bool is_control(uint32_t code)
{
    return code < 0x20u || (code >= 0x7Fu && code <= 0x9Fu) || code == 0x2028u || code == 0x2029u;
}

void sg_report_put_clean(struct sg_text *out, const char *text, bool one_line)
{
    for (size_t step = 1; text != NULL && *text != '\0'; text += step) {
        uint32_t code = sg_report_code_point(text, &step);
        if (code == REPLACEMENT)
            sg_text_put(out, "\xEF\xBF\xBD");
        else if (code == 0xFFFEu || code == 0xFFFFu || (one_line && is_control(code)))
            sg_text_put(out, " ");
        else
            sg_text_put_bytes(out, text, step);
    }
}

void sg_report_put_quoted(struct sg_text *out, const char *text)
{
    struct sg_text clean = SG_TEXT_INIT;
    sg_report_put_clean(&clean, text, true);
    sg_text_put_gnuplot(out, sg_text_string(&clean));
    out->failed = out->failed || clean.failed;
    sg_text_release(&clean);
}

void sg_report_put_cut(struct sg_text *out, const char *text, size_t most)
{
    size_t count = 0, step = 1;
    for (const char *c = text; *c != '\0'; c += step, count++) {
        (void)sg_report_code_point(c, &step);
        if (count + 1 == most && c[step] != '\0') {
            sg_text_put(out, "\xE2\x80\xA6");
            return;
        }
        sg_text_put_bytes(out, c, step);
    }
}
