/* plot.c - what all plots share: the script around the data, the files left for the reader, the way
 * through gnuplot to an SVG.
 */
#define _POSIX_C_SOURCE 200809L
#include "internal.h"

#include <errno.h>
#include <sys/stat.h>

void sg_plot_release(struct sg_plot *plot)
{
    sg_text_release(&plot->data);
    sg_text_release(&plot->script);
    sg_arena_release(&plot->arena);
}

static void put_terminal(const struct sg_plot *plot, struct sg_text *out)
{
    sg_text_printf(out,
                   "set terminal svg size %.0f,%.0f noenhanced font 'sans-serif,12' "
                   "background rgb 'white'\n",
                   plot->width_px, plot->height_px);
}

static sg_status keep_file(const struct sg_plot *plot, const char *keep_dir, const char *ending,
                           const struct sg_text *text, struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const char *path = sg_arena_printf(&arena, "%s/%s.%s", keep_dir, plot->id, ending);
    sg_status status = path == NULL
                           ? SG_ERR_NOMEM
                           : sg_file_write(path, sg_text_string(text), text->length, errors);
    sg_arena_release(&arena);
    return status;
}

sg_status sg_plot_keep(const struct sg_plot *plot, const char *keep_dir, struct sg_errors *errors)
{
    struct sg_text script = SG_TEXT_INIT;
    if (mkdir(keep_dir, 0777) != 0 && errno != EEXIST)
        return sg_errors_add(errors, SG_ERR_IO, &(struct sg_place){ .file = keep_dir },
                             "cannot make this folder");
    sg_text_printf(&script, "# gnuplot %s.gp, in this folder, draws %s.svg from %s.dat\n", plot->id,
                   plot->id, plot->id);
    sg_report_put_style_gp(&script);
    put_terminal(plot, &script);
    sg_text_printf(&script, "set output '%s.svg'\nDATA = \"'%s.dat'\"\n", plot->id, plot->id);
    sg_text_put(&script, sg_text_string(&plot->script));
    sg_status status = script.failed ? SG_ERR_NOMEM : SG_OK;
    if (sg_ok(status))
        status = keep_file(plot, keep_dir, "gp", &script, errors);
    if (sg_ok(status))
        status = keep_file(plot, keep_dir, "dat", &plot->data, errors);
    sg_text_release(&script);
    return status;
}

sg_status sg_plot_draw(const struct sg_plot *plot, struct sg_text *svg, struct sg_errors *errors)
{
    struct sg_text script = SG_TEXT_INIT, raw = SG_TEXT_INIT;
    sg_status status = SG_ERR_NOMEM;
    sg_report_put_style_gp(&script);
    put_terminal(plot, &script);
    sg_text_printf(&script, "$data << EOD\n%sEOD\nDATA = '$data'\n", sg_text_string(&plot->data));
    sg_text_put(&script, sg_text_string(&plot->script));
    sg_text_put(&script, "\nexit\n");
    if (script.failed || plot->script.failed || plot->data.failed)
        goto done;
    status = sg_gnuplot_run(script.data, script.length, &raw, errors);
    if (sg_ok(status))
        status = sg_svg_tidy(plot, sg_text_string(&raw), svg, errors);
done:
    sg_text_release(&script);
    sg_text_release(&raw);
    return status;
}

sg_status sg_plot_finish(struct sg_plot *plot, const char *keep_dir, struct sg_text *svg,
                         struct sg_errors *errors)
{
    sg_status status = SG_OK;
    if (keep_dir != NULL)
        status = sg_plot_keep(plot, keep_dir, errors);
    if (sg_ok(status))
        status = sg_plot_draw(plot, svg, errors);
    sg_plot_release(plot);
    return status;
}
