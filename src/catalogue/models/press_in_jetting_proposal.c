/* press_in_jetting_proposal.c - press-in with water jetting: the line of press-in alone, no credit. */
#include "stillground/catalogue.h"

static const struct sg_part parts[] = {
    { NULL, "press-in-2002-tentative", NULL },
};
static const char *const notes[] = {
    "no vibration curve for press-in with a jet is known; no reduction is taken by default",
    "jet-assisted vibratory driving measured 5 to 7 dB less; a reduction for press-in needs the "
    "user's own justification (jetting_reduction_dB with its source)",
    "the pump and the nozzle add a steady source",
    NULL,
};

const struct sg_model sg_model_press_in_jetting_proposal = {
    .id = "press-in-jetting-proposal",
    .title = "Press-in with water jetting, engineering proposal",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_PRESS_IN_JETTING),
    .form = SG_FORM_LARGER,
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .tentative = true,
    .proposal = true,
    .part = parts,
    .npart = SG_COUNT(parts),
    .formula = "v = line of press-in alone, less a reduction that the user justifies",
    .note = notes,
    .cite = { "practice", "engineering proposal", SG_GRADE_PRACTICE },
};
