/* How blanks of their own are held: each with its one part in the middle. */
#ifndef BLANKWRIGHT_HOLD_BLANK_LOADS_H
#define BLANKWRIGHT_HOLD_BLANK_LOADS_H

#include "base/diagnostics.h"
#include "model/blank.h"

/* Gives every blank the load it is, with clamps that hold it by the rules, and takes out those
 * that nothing owned holds, as long as another of the same part is left. Where none is, one
 * error says which rule fails and what would cure it. needed[] is per part: 0 leaves it out. */
void blank_loads_add(struct arena *arena, const struct project *project, const int64_t *needed,
                     struct diagnostics *diagnostics, struct blanks *blanks);

#endif
