/* limits_tables.h - the tables of the command limits. */
#ifndef COMMANDS_LIMITS_TABLES_H
#define COMMANDS_LIMITS_TABLES_H

#include "commands.h"

/* Every set with the number of its rows and of those that are unverified. */
void sg_limits_fill_sets(struct sg_table *table);
/* One set row by row, and what it says beside them. */
void sg_limits_fill_rows(struct sg_table *table, const struct sg_limit_set *set);
void sg_limits_fill_factors(struct sg_table *table, const struct sg_limit_set *set);

#endif
