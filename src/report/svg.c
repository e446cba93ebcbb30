/* svg.c - makes what gnuplot wrote fit to stand in a page beside other drawings: ids get a
 * prefix, comments and the maker's own title go, size follows the page, title and description
 * are told to those who listen. Sources: SVG 1.1; WAI-ARIA (role img). Also takes out the only
 * things that could differ from run to run.
 */
#include "internal.h"

#include <string.h>

static bool starts(const char *text, const char *with)
{
    return strncmp(text, with, strlen(with)) == 0;
}

/* Attributes whose value is an id or points to one. */
static const char *const id_openers[] = { " id=\"", " id='", "href=\"#", "href='#", "url(#" };

/* Copies one tag from '<' to '>' with ids prefixed; returns what follows, NULL when it is not
 * closed. */
static const char *put_tag(const struct sg_plot *plot, const char *tag, struct sg_text *out)
{
    const char *end = strchr(tag, '>');
    if (end == NULL)
        return NULL;
    while (tag <= end) {
        size_t taken = 0;
        for (size_t i = 0; i < SG_COUNT(id_openers) && taken == 0; i++)
            if (starts(tag, id_openers[i]))
                taken = strlen(id_openers[i]);
        if (taken > 0) {
            sg_text_put_bytes(out, tag, taken);
            sg_text_printf(out, "%s-", plot->id);
        } else {
            taken = 1;
            sg_text_put_bytes(out, tag, 1);
        }
        tag += taken;
    }
    return tag;
}

/* What follows an element that is left out; NULL when its end is missing. */
static const char *past(const char *text, const char *end)
{
    const char *found = strstr(text, end);
    return found == NULL ? NULL : found + strlen(end);
}

/* One step through the drawing: a left-out part, a tag, or text up to the next tag. */
static const char *put_piece(const struct sg_plot *plot, const char *piece, struct sg_text *out)
{
    if (starts(piece, "<!--"))
        return past(piece, "-->");
    if (starts(piece, "<title>"))
        return past(piece, "</title>");
    if (starts(piece, "<desc>"))
        return past(piece, "</desc>");
    if (*piece == '<')
        return put_tag(plot, piece, out);
    size_t length = strcspn(piece, "<");
    bool blank = strspn(piece, " \t\r\n") >= length;
    sg_text_put_bytes(out, blank ? "\n" : piece, blank ? 1 : length);
    return piece + length;
}

static void put_opening(const struct sg_plot *plot, struct sg_text *out)
{
    sg_text_printf(out,
                   "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                   "xmlns:xlink=\"http://www.w3.org/1999/xlink\" class=\"plot\" role=\"img\" "
                   "aria-labelledby=\"%s-title %s-desc\" viewBox=\"0 0 %.0f %.0f\" "
                   "font-family=\"sans-serif\">\n<title id=\"%s-title\">",
                   plot->id, plot->id, plot->width_px, plot->height_px, plot->id);
    sg_text_put_html(out, plot->title);
    sg_text_printf(out, "</title>\n<desc id=\"%s-desc\">", plot->id);
    sg_text_put_html(out, plot->description);
    sg_text_put(out, "</desc>\n");
}

sg_status sg_svg_tidy(const struct sg_plot *plot, const char *raw, struct sg_text *svg,
                      struct sg_errors *errors)
{
    struct sg_text made = SG_TEXT_INIT;
    sg_status status = SG_OK;
    const char *at = strstr(raw, "<svg");
    const char *close = NULL;
    for (const char *next = at; next != NULL; next = strstr(next + 1, "</svg>"))
        close = next;
    at = at == NULL ? NULL : strchr(at, '>');
    if (at == NULL || close == NULL || close < at) {
        status = sg_errors_add(errors, SG_ERR_IO, NULL, "gnuplot wrote no complete drawing");
        goto done;
    }
    put_opening(plot, &made);
    for (at++; at != NULL && at < close;)
        at = put_piece(plot, at, &made);
    sg_text_put(&made, "</svg>\n");
    if (at == NULL)
        status = sg_errors_add(errors, SG_ERR_IO, NULL, "gnuplot wrote a broken drawing");
    else if (made.failed)
        status = SG_ERR_NOMEM;
    else
        sg_text_put_bytes(svg, made.data, made.length);
done:
    sg_text_release(&made);
    return status;
}
