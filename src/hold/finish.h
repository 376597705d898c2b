/* The last word on the loads a plan uses: clamps chosen by the integer program, tabs, cautions. */
#ifndef BLANKWRIGHT_HOLD_FINISH_H
#define BLANKWRIGHT_HOLD_FINISH_H

#include "hold/caution.h"
#include "model/plan.h"

/* Changes clamps and tabs of the loads that the plan's layouts are cut into, each once, says how
 * often and for what they are fixed, and adds the cautions of the bed to the plan. A load whose
 * clamps the program cannot better keeps those it was found with. Raises STATUS_SOLVER_FAULT. */
void loads_finish(struct arena *arena, const struct project *project, const struct blanks *blanks,
                  struct plan *plan);

/* Fixings and tabs of every load there could be, as far as times ask for them. */
void loads_time(struct arena *arena, const struct project *project, const struct blanks *blanks);

#endif
