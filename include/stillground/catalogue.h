/* catalogue.h - published numbers as data, all of them: documents, quantities, techniques, soils,
 * sections, prediction models, sound sources, limit sets.
 *
 * The rows live in src/catalogue/, one file a model or a limit set, listed in models.def and
 * limits.def. Nothing here computes; vibration.h, sound.h and limits.h read these rows.
 */
#ifndef STILLGROUND_CATALOGUE_H
#define STILLGROUND_CATALOGUE_H

#include "stillground/ground.h"
#include "stillground/limit_set.h"
#include "stillground/model.h"
#include "stillground/sound_source.h"
#include "stillground/vocabulary.h"

#endif
