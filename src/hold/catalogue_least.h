/* How small loads can be at all, whatever the set of parts, the place of the clamps and the way
 * of holding. */
#ifndef BLANKWRIGHT_HOLD_CATALOGUE_LEAST_H
#define BLANKWRIGHT_HOLD_CATALOGUE_LEAST_H

#include "hold/load_group.h"
#include "model/blank.h"

/* Adds what every load of the group comes to at least, from stocks of which stocks[] is true, to
 * blanks->least. Nothing is added, and false returned, where the sets of parts are too many
 * to look into with `effort` percent of the usual work. */
bool catalogue_add_least(struct load_group *group, const bool *stocks, int64_t effort,
                         struct blanks *blanks);

#endif
