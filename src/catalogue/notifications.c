/* notifications.c - which technique is specified construction work that must be notified.
 * Local ordinances may add duties. */
#include "stillground/catalogue.h"

#define TABLE(row) { "jp-method-table", row, SG_GRADE_SEEN }
#define NOT_IN_TABLE { "jp-method-table", "press-in with augering is not in the table", SG_GRADE_MEMORY_MID }

static const char noise_act[] = "Noise Regulation Act";
static const char vibration_act[] = "Vibration Regulation Act";
static const char lead[] = "notify 7 clear days ahead; works that end on their first day are exempt";

/* clang-format off */
static const struct sg_notification_row rows[] = {
    { SG_IMPACT,            "Japan", noise_act,     true,  true,  lead, TABLE("impact") },
    { SG_IMPACT,            "Japan", vibration_act, true,  true,  lead, TABLE("impact") },
    { SG_VIBRATORY,         "Japan", noise_act,     true,  true,  lead, TABLE("vibratory") },
    { SG_VIBRATORY,         "Japan", vibration_act, true,  true,  lead, TABLE("vibratory") },
    { SG_PRESS_IN,          "Japan", noise_act,     false, true,  "", TABLE("press-in") },
    { SG_PRESS_IN,          "Japan", vibration_act, false, true,  "", TABLE("press-in") },
    { SG_PRESS_IN_JETTING,  "Japan", noise_act,     false, true,  "", TABLE("press-in with water jet") },
    { SG_PRESS_IN_JETTING,  "Japan", vibration_act, false, true,  "", TABLE("press-in with water jet") },
    { SG_PRESS_IN_AUGERING, "Japan", noise_act,     false, false, "unconfirmed: ask the municipality", NOT_IN_TABLE },
    { SG_PRESS_IN_AUGERING, "Japan", vibration_act, false, false, "unconfirmed: ask the municipality", NOT_IN_TABLE },
};
/* clang-format on */

size_t sg_notification_count(void)
{
    return SG_COUNT(rows);
}

const struct sg_notification_row *sg_notification_at(size_t index)
{
    return index < SG_COUNT(rows) ? &rows[index] : NULL;
}
