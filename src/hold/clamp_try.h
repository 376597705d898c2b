/* Looks for clamps that keep some or all of the rules, by every way to hold: an axis by side
 * clamps or by hold-downs. Each way is an integer program of its own, which knows no other kind
 * and so has a tight relaxation. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_TRY_H
#define BLANKWRIGHT_HOLD_CLAMP_TRY_H

#include "hold/clamp_rows.h"

/* A problem, its clear stretches, and the least number of clamps each way takes. */
enum { MOST_WAYS = 4 };
struct clamp_ways {
  const struct clamp_problem *problem;
  const struct clear_side *clear;
  enum clamp_kind kind[MOST_WAYS][2];
  int64_t least[MOST_WAYS]; /* rising; ways that cannot hold are left out */
  size_t count;
};
void clamp_ways(const struct clamp_problem *problem, const struct clear_side *clear, unsigned rules,
                struct clamp_ways *ways);

/* The best of all ways over the places (of AIM_ANY the first). found->answer is PROGRAM_STOPPED
 * where some way that could have been better was not looked through. */
void clamp_ways_solve(struct arena *arena, const struct clamp_ways *ways,
                      const struct clamp_places *places, const struct clamp_asked *asked,
                      struct clamp_found *found);

/* What was found, of which places, and whether it is certain: that nothing keeps the rules where
 * nothing was found, that no fewer clamps do where the aim was AIM_FEWEST. */
struct clamp_try {
  struct clamp_found found;
  struct clear_side *clear;
  struct clamp_ways ways;
  struct clamp_places places; /* few, with those found among them */
  bool certain;
};

/* Looks over few places and, where `thorough` and those do not settle it, over all of a closed
 * chain of them. */
void clamps_try(struct arena *arena, const struct clamp_problem *problem,
                const struct clamp_asked *asked, bool thorough, struct clamp_try *tried);

/* Whether a look that is not thorough finds clamps that keep the rules; they are not kept. False
 * does not show that there are none. */
bool clamps_found(struct arena *arena, const struct clamp_problem *problem, unsigned rules);

#endif
