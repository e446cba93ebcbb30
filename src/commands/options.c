/* options.c - option values that several commands take. */
#include "options.h"

void sg_take_format(const char *word, struct argp_state *state, enum sg_format *out)
{
    if (!sg_ok(sg_format_parse(word, out)))
        argp_error(state, "--format is '%s'; allowed: table, csv, json", word);
}

void sg_take_law(const char *path, struct argp_state *state, struct sg_laws *laws)
{
    if (!sg_laws_add(laws, path))
        argp_error(state, "more than %d laws", SG_LAWS_MOST);
}

void sg_take_site(const char *path, struct argp_state *state, const char **out)
{
    if (*out != NULL)
        argp_error(state, "one site file at a time; '%s' is one too many", path);
    *out = path;
}

void sg_need_site(const char *path, struct argp_state *state)
{
    if (path == NULL)
        argp_error(state, "a site file is needed");
}
