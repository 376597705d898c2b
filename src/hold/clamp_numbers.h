/* How many clamps it takes at the very least, places left aside. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_NUMBERS_H
#define BLANKWRIGHT_HOLD_CLAMP_NUMBERS_H

#include "hold/clamp_places.h"

/* A lower bound: no choice of places keeps the rules asked for (RULE_... of clamp_rows.h) with
 * fewer clamps. kinds[axis] holds the sides of an axis (side_axis). -1 when no choice keeps them at
 * all. What is looked at is: how many cover each side by itself, the balance, how many there are
 * of the kind, the room on the bed, and the largest forces there are. */
int64_t clamp_numbers(const struct clamp_problem *problem, const struct clear_side *clear,
                      unsigned rules, const enum clamp_kind *kinds);

#endif
