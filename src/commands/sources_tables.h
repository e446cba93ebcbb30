/* sources_tables.h - the lists of the command sources. */
#ifndef COMMANDS_SOURCES_TABLES_H
#define COMMANDS_SOURCES_TABLES_H

#include "commands.h"

/* Every source, or one of them (only). */
void sg_sources_fill(struct sg_table *table, const struct sg_source *only);
/* The numbers of the sound laws. */
void sg_sources_fill_laws(struct sg_table *table);
/* The plant that usually stands beside each technique. */
void sg_sources_fill_plant(struct sg_table *table);

#endif
