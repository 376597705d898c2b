/* The places of clamps along a side by their choices: the inside of load_clamps.h. */
#ifndef BLANKWRIGHT_HOLD_LOAD_LANES_H
#define BLANKWRIGHT_HOLD_LOAD_LANES_H

#include "hold/load_clamps.h"

/* Fills the lanes of every side, whose places must all be listed and in order. */
void load_lanes_fill(struct load_clamps *clamps);

#endif
