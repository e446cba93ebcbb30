/* document_measured.c - what was measured as one self-contained HTML document: verdicts, register,
 * days over each limit, measured beside predicted, findings.
 */
#include "internal.h"
#include "stillground/monitoring.h"

#include <string.h>

static void put_head(const struct sg_site *site, struct sg_text *out)
{
    sg_text_put(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                     "<title>");
    sg_document_escape(out, site->title);
    sg_text_put(out, ": measurements</title>\n<style>\n");
    sg_report_put_css(out);
    sg_text_put(out, "</style>\n</head>\n<body>\n<header>\n<h1>");
    sg_document_escape(out, site->title);
    sg_text_put(out, "</h1>\n<p class=\"sub\">Ground vibration and noise from installing piles: "
                     "measurements against the limits</p>\n");
    if (site->note != NULL && site->note[0] != '\0') {
        sg_text_put(out, "<p class=\"invented\">");
        sg_document_escape(out, site->note);
        sg_text_put(out, "</p>\n");
    }
    sg_text_put(out, "</header>\n<main>\n");
}

#define UPRIGHT_COLUMNS 12 /* more go on sideways paper */

static void put_section(const struct sg_table *table, int number, struct sg_text *out)
{
    bool wide = table->ncolumn > UPRIGHT_COLUMNS;
    sg_text_put(out, wide ? "<section class=\"landscape\">\n" : "");
    sg_text_printf(out, "<h2 id=\"part-%s\">%d. ", table->id, number);
    sg_document_escape(out, table->title);
    sg_text_put(out, "</h2>\n");
    sg_table_put_html(table, out);
    sg_text_put(out, wide ? "</section>\n" : "");
}

static void put_last(const char *id, int number, const char *title, struct sg_text *out)
{
    sg_text_printf(out, "<h2 id=\"part-%s\">%d. %s</h2>\n", id, number, title);
}

sg_status sg_document_measured(const struct sg_site *site, const struct sg_table *const *table,
                               size_t count, struct sg_text *out)
{
    int number = 1;
    put_head(site, out);
    sg_text_put(out, "<p>Values over a limit are one thing to look into, not proof of harm; what "
                     "was not measured is not known. Every step after one belongs into this "
                     "record: seen by whom, cause, what was done, when work went on.</p>\n");
    for (size_t i = 0; i < count; i++)
        put_section(table[i], number++, out);
    put_last("marks", number++, "Marks", out);
    sg_document_marks(out);
    put_last("cautions", number++, "Cautions", out);
    sg_document_cautions(out);
    put_last("signatures", number, "Review and signature", out);
    sg_document_signatures(site, out);
    sg_text_put(out, "</main>\n</body>\n</html>\n");
    return out->failed ? SG_ERR_NOMEM : SG_OK;
}
