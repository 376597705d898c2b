/* Why no stock can yield a part, and what would cure it. */
#ifndef BLANKWRIGHT_SIZE_REFUSAL_H
#define BLANKWRIGHT_SIZE_REFUSAL_H

#include "base/diagnostics.h"
#include "size/choice.h"

/* The stock that came nearest to yielding the part. */
struct nearest {
  enum refusal why; /* REFUSAL_WOOD when no stock has the wood */
  size_t stock;     /* unless REFUSAL_WOOD */
  length_t miss;    /* what it is too thick, thin, long or wide by, together */
  length_t too_long, too_wide;
  length_t length, width; /* of the piece wanted, for REFUSAL_TOO_LONG and _WIDE */
};

/* Keeps the nearer of two: one that passed more checks, then one that misses by less,
 * then the earlier. */
void refusal_note(struct nearest *nearest, const struct nearest *other);

/* Adds the one error for a part nothing yields. */
void refusal_tell(struct arena *arena, const struct project *project, size_t part,
                  const struct nearest *nearest, struct diagnostics *diagnostics);

#endif
