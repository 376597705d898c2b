/* How long the run of a plan takes. */
#ifndef BLANKWRIGHT_COST_RUN_H
#define BLANKWRIGHT_COST_RUN_H

#include "base/arena.h"
#include "model/plan.h"

/* Sets the plan's time from its loads, as they are fixed on the bed, its saw cuts and fence
 * settings, and the hand minutes of parts and sets. */
void run_time_add(struct arena *arena, const struct project *project, const struct blanks *blanks,
                  struct plan *plan);

#endif
