/* press_in_augering_proposal.c - press-in with augering: the larger of the press-in line and a
 * drilling curve that the user selects. */
#include "stillground/catalogue.h"

static const struct sg_part parts[] = {
    { NULL, "press-in-2002-tentative", NULL },
    { "rotary", "caltrans-rotary", NULL },
    { "caisson", "fta-ppv", "caisson-drilling" },
};
static const char *const notes[] = {
    "the larger of two curves, both shown in the hand calculation",
    "rotary: one measured figure with an assumed slope; caisson: a stand-in of a table, on the safe side",
    NULL,
};

const struct sg_model sg_model_press_in_augering_proposal = {
    .id = "press-in-augering-proposal",
    .title = "Press-in with augering, engineering proposal",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING),
    .form = SG_FORM_LARGER,
    .default_variant = { "rotary", "rotary", "rotary", "rotary", "rotary" },
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .tentative = true,
    .proposal = true,
    .part = parts,
    .npart = SG_COUNT(parts),
    .formula = "v = larger of the press-in line and the drilling curve (rotary or caisson)",
    .note = notes,
    .cite = { "practice", "engineering proposal", SG_GRADE_PRACTICE },
};
