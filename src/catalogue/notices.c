/* notices.c - who must be told, and how long before: hints that defer to the authority. */
#include "stillground/catalogue.h"

#define SEEN(document, locus) { document, locus, SG_GRADE_SEEN }
#define SHAKING (SG_TECHNIQUE_BIT(SG_IMPACT) | SG_TECHNIQUE_BIT(SG_VIBRATORY))

/* clang-format off */
static const struct sg_notice_row rows[] = {
    { "jp-noise", "Japan", "notification of specified construction work", SG_LEAD_CLEAR_DAYS, 7, SHAKING, false, false,
      "works that end on their first day are exempt; one-day works repeated at intervals count as continuous", SEEN("jp-notification-pages", "worked example: start 1 April, file by 24 March") },
    { "uk-s61", "United Kingdom", "prior consent under section 61", SG_LEAD_CALENDAR_DAYS, 28, SG_ANY_TECHNIQUE, false, false,
      "the authority decides within 28 days; some ask for a draft 6 to 8 weeks ahead", SEEN("uk-s61-pages", "apply at least 28 days before the works") },
    { "uk-s61-draft", "United Kingdom", "draft application and first contact, where the authority asks for it", SG_LEAD_CALENDAR_DAYS, 56, SG_ANY_TECHNIQUE, false, false,
      "6 weeks, 8 weeks and 2 months are stated by different authorities; the longest counted in days stands here", SEEN("uk-s61-pages", "draft stage at least 8 weeks ahead") },
    { "uk-s61-change", "United Kingdom", "dispensation for a change that raises a level", SG_LEAD_WORKING_DAYS, 5, SG_ANY_TECHNIQUE, false, true,
      "a change that leaves the predicted levels as they are is a variation", SEEN("uk-s61-pages", "form of one authority: at least 5 working days ahead") },
    { "hk-percussive", "Hong Kong", "permit for percussive piling", SG_LEAD_CALENDAR_DAYS, 28, SG_TECHNIQUE_BIT(SG_IMPACT), false, false,
      "28 days by statute; fewer are aimed at only when every item of the checklist is met", SEEN("hk-pp-permit", "application form 2") },
    { "gb-rail", "United Kingdom", "first contact with the owner of the railway", SG_LEAD_CALENDAR_DAYS, 42, SG_ANY_TECHNIQUE, true, false,
      "method statement for works within 10 m; the owner's rules win", SEEN("gb-rail-letter", "contact at least 6 weeks before the works") },
};
/* clang-format on */

size_t sg_notice_count(void)
{
    return SG_COUNT(rows);
}

const struct sg_notice_row *sg_notice_at(size_t index)
{
    return index < SG_COUNT(rows) ? &rows[index] : NULL;
}
