/* One look for clamps that keep some of the rules. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_TRY_H
#define BLANKWRIGHT_HOLD_CLAMP_TRY_H

#include "hold/clamp_rows.h"

/* What was found, of which places, and whether it is certain: that nothing keeps the rules where
 * nothing was found, that no fewer clamps do where the aim was AIM_FEWEST. */
struct clamp_try {
  struct clamp_found found;
  struct clear_side *clear;
  struct clamp_places places;
  bool certain;
};

/* Looks over few places and, where `thorough` and those do not settle it, over all of a closed
 * chain of them. */
void clamps_try(struct arena *arena, const struct clamp_problem *problem,
                const struct clamp_asked *asked, bool thorough, struct clamp_try *tried);

/* Whether clamps that keep the rules were found, thrown away at once; not thorough. */
bool clamps_found(struct arena *arena, const struct clamp_problem *problem, unsigned rules);

#endif
