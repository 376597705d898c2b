/* What chains of clamps ask of each place along a load: the second half of making load_clamps. */
#ifndef BLANKWRIGHT_HOLD_LOAD_SIDES_H
#define BLANKWRIGHT_HOLD_LOAD_SIDES_H

#include "hold/load_clamps.h"

/* Tells of each place whether a chain may begin or end there, what may come before it, and what
 * it meets around the corners. Takes away places that the coupling at corners does not look at:
 * only with clamps that reach further on the load than others are wide. */
void load_sides_fill(struct load_clamps *clamps);

#endif
