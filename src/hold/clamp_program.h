/* Clamps for a load: fewest, then most even, then symmetric, by an integer program over places;
 * or why there are none. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_PROGRAM_H
#define BLANKWRIGHT_HOLD_CLAMP_PROGRAM_H

#include "hold/clamp_refusal.h"

struct clamp_answer {
  bool held; /* by the clamps, or there is nothing to be held */
  /* That no fewer do, or that none do, is certain. Else places that were not looked at, or more
   * effort, might do better: see clamp_places(). */
  bool certain;
  struct held_clamp *clamps; /* by side, then along it; what clamp_choice.clamp hands through */
  size_t clamp_count;
  bool friction_known;          /* the force of each of these clamps is */
  int64_t friction;             /* held, thousandths of a newton, rounded down */
  struct clamp_refusal refusal; /* where not held */
};

/* Chooses; the answer lives in the arena. Of answers with the fewest clamps one is taken whose
 * largest free stretch of a covered side is least (to within `mark`), of those the one whose
 * clamps are most evenly about the middle of each side and alike on opposite sides. Where clamps
 * stand anywhere that choice is among the places listed, and the clamps are then moved within
 * their clear stretches. Raises STATUS_SOLVER_FAULT. */
void clamps_choose(struct arena *arena, const struct clamp_problem *problem,
                   struct clamp_answer *answer);

#endif
