/* The loads the nester may choose from: which gang parts share one, in what sizes, held how. */
#ifndef BLANKWRIGHT_HOLD_CATALOGUE_H
#define BLANKWRIGHT_HOLD_CATALOGUE_H

#include "base/diagnostics.h"
#include "model/blank.h"

struct catalogue;
struct load_memory;

/* Puts loads in the place of the gang parts' own blanks: for parts that are made of the same stock,
 * equally thick and faced alike, sets of them that lie in one load no larger than bed and travel,
 * each with its parts and clamps placed. needed[] is per part, as far as it limits what one load
 * may hold. Parts with a match letter keep blanks of their own. A part that no load can hold gets
 * one error with the reason. Sets shares and the least handling of `blanks`, and what loads come to
 * at least, looked into with `effort` percent of the usual work; deterministic. NULL where no parts
 * share loads. */
struct catalogue *catalogue_add_loads(struct arena *arena, const struct project *project,
                                      const int64_t *needed, int64_t effort,
                                      struct load_memory *memory, struct diagnostics *diagnostics,
                                      struct blanks *blanks);

/* Adds the load of a blank once more, `length` long and as wide as before, for every stock it can
 * be sawn from: what would be cut off behind it stays on. False, and nothing added, where the
 * length is no whole number of mark_step or the parts cannot be held in such a load. */
bool catalogue_stretch(struct catalogue *catalogue, size_t blank, length_t length);

#endif
