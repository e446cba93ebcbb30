/* options.h - option values that several commands take; a wrong one ends the program with usage. */
#ifndef COMMANDS_OPTIONS_H
#define COMMANDS_OPTIONS_H

#include "laws.h"

#include <argp.h>

/* --format */
void sg_take_format(const char *word, struct argp_state *state, enum sg_format *out);
/* --law, at most SG_LAWS_MOST of them */
void sg_take_law(const char *path, struct argp_state *state, struct sg_laws *laws);
/* The site file, of which there is one. */
void sg_take_site(const char *path, struct argp_state *state, const char **out);
void sg_need_site(const char *path, struct argp_state *state);

#endif
