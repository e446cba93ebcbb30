/* markup.h - is a text well-formed markup? A plain check for tests: every '<' opens a tag, a
 * comment or a declaration, tags close in order, attributes are quoted, '&' opens an entity, ids
 * are used once. Source: XML 1.0 (well-formedness), and the void elements of HTML (HTML Living
 * Standard). Include after cmocka.h.
 */
#ifndef STILLGROUND_MARKUP_H
#define STILLGROUND_MARKUP_H

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define MARKUP_DEEPEST 64

static bool markup_void(const char *name, size_t length)
{
    static const char *const known[] = { "meta", "br", "hr", "link", "!DOCTYPE", "?xml" };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (strlen(known[i]) == length && strncmp(known[i], name, length) == 0)
            return true;
    return false;
}

static bool markup_no(const char *why, const char *at)
{
    fprintf(stderr, "markup: %s at: %.80s\n", why, at);
    return false;
}

static bool markup_text(const char **at)
{
    for (; **at != '\0' && **at != '<'; ++*at) {
        size_t name = strspn(*at + 1, "#abcdefghijklmnopqrstuvwxyz0123456789");
        if (**at == '&' && (name == 0 || (*at)[1 + name] != ';'))
            return markup_no("'&' without entity", *at);
        if ((unsigned char)**at < 0x20 && strchr("\n\t\r", **at) == NULL)
            return markup_no("control character", *at);
    }
    return true;
}

/* From behind the tag's name to behind its '>'. */
static bool markup_attributes(const char **at, bool *closed)
{
    *closed = false;
    for (;;) {
        *at += strspn(*at, " \t\r\n");
        if (**at == '>') {
            ++*at;
            return true;
        }
        if ((*at)[0] == '/' && (*at)[1] == '>') {
            *at += 2;
            *closed = true;
            return true;
        }
        size_t name = strcspn(*at, " \t\r\n=<>\"'/");
        if (name == 0)
            return markup_no("broken attribute", *at);
        *at += name;
        const char *equals = *at + strspn(*at, " \t\r\n");
        if (*equals != '=')
            continue; /* as in <!DOCTYPE html> */
        *at = equals + strspn(equals + 1, " \t\r\n");
        char quote = (*at)[1];
        if (quote != '"' && quote != '\'')
            return markup_no("attribute without quotes", *at);
        const char *end = strchr(*at + 2, quote);
        const char *tag = strchr(*at + 2, '<');
        if (end == NULL || (tag != NULL && tag < end))
            return markup_no("attribute not closed", *at);
        *at = end + 1;
    }
}

static bool markup_well_formed(const char *text)
{
    const char *open[MARKUP_DEEPEST];
    size_t length[MARKUP_DEEPEST], depth = 0;
    for (const char *at = text; *at != '\0';) {
        if (!markup_text(&at))
            return false;
        if (*at == '\0')
            break;
        bool closing = at[1] == '/', closed = false;
        const char *name = at + (closing ? 2 : 1);
        size_t count = strcspn(name, " \t\r\n>/");
        at = name + count;
        if (count == 0 || !markup_attributes(&at, &closed))
            return markup_no("broken tag", name);
        if (closing) {
            if (depth == 0 || length[depth - 1] != count ||
                strncmp(open[depth - 1], name, count) != 0)
                return markup_no("closes what is not open", name);
            depth--;
        } else if (!closed && !markup_void(name, count)) {
            if (depth == MARKUP_DEEPEST)
                return markup_no("too deep", name);
            open[depth] = name;
            length[depth++] = count;
        }
        /* style sheets hold no markup */
        if (!closing && count == 5 && strncmp(name, "style", 5) == 0) {
            at = strstr(at, "</style>");
            if (at == NULL)
                return markup_no("style not closed", name);
        }
    }
    return depth == 0 ? true : markup_no("left open", open[depth - 1]);
}

/* Every id="..." occurs once. */
static inline bool markup_ids_once(const char *text)
{
    for (const char *at = strstr(text, " id="); at != NULL; at = strstr(at + 4, " id=")) {
        size_t length = strcspn(at + 5, "\"'");
        for (const char *other = strstr(at + 5, " id="); other != NULL;
             other = strstr(other + 4, " id=")) {
            size_t same = strcspn(other + 5, "\"'");
            if (same == length && strncmp(at + 5, other + 5, length) == 0)
                return markup_no("id used twice", at);
        }
    }
    return true;
}

#endif
