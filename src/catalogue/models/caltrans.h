/* caltrans.h - what the Caltrans 2013 relations share: the reference distance and the attenuation
 * exponent by ground class. Data only; included by the models of chapter 7. */
#ifndef STILLGROUND_CATALOGUE_CALTRANS_H
#define STILLGROUND_CATALOGUE_CALTRANS_H

#define CITE(locus) { "caltrans2013", locus, SG_GRADE_SEEN }
#define RECALLED(locus) { "caltrans2013", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
#define CALTRANS_ATTENUATION                                                                       \
    { SG_ROLE_R_REF, "D_ref", NULL,  SG_LEVEL_ANY, 25,  "ft", CITE("Eq. 9 to 12") },                \
    { SG_ROLE_N,     "n",     NULL,  SG_LEVEL_ANY, 1.1, "",   CITE("suggested default") },          \
    { SG_ROLE_N,     "n",     "I",   SG_LEVEL_ANY, 1.4, "",   RECALLED("Table 17, class I") },      \
    { SG_ROLE_N,     "n",     "II",  SG_LEVEL_ANY, 1.3, "",   RECALLED("Table 17, class II") },     \
    { SG_ROLE_N,     "n",     "III", SG_LEVEL_ANY, 1.1, "",   CITE("Table 17, class III") },        \
    { SG_ROLE_N,     "n",     "IV",  SG_LEVEL_ANY, 1.0, "",   CITE("Table 17, class IV") }
/* clang-format on */

#define CALTRANS_NEAR_NOTE                                                                         \
    "inside 25 ft (7.62 m) a larger n gives larger values; the manual says n above 1.1 then "       \
    "overestimates"

#endif
