/* How long the run of a plan takes. */
#ifndef BLANKWRIGHT_COST_RUN_H
#define BLANKWRIGHT_COST_RUN_H

#include "base/arena.h"
#include "model/plan.h"

/* Sets the plan's time from its loads, as they are fixed on the bed, its saw cuts and fence
 * settings, and the hand minutes of parts and sets. Parts beyond the demand that a load has room
 * for are not made and take no time. */
void run_time_add(struct arena *arena, const struct project *project, const struct blanks *blanks,
                  struct plan *plan);

#endif
