/* Parts and clamps of one load, placed together, with a bound. The only entry to the load_* files.
 * Work is counted in steps of one to two nanoseconds, so that the same input gives the same
 * answer on any machine. Results live in the arena, and what was worked with (up to some
 * megabytes a question) stays in it: release it to a mark between questions. Raises only for want
 * of memory. */
#ifndef BLANKWRIGHT_HOLD_LOAD_H
#define BLANKWRIGHT_HOLD_LOAD_H

#include "hold/load_problem.h"

/* The load of the most worth. `effort`: steps after which it gives what it has. */
void load_best(struct arena *arena, const struct load_problem *problem, int64_t effort,
               struct load_answer *answer);

/* Are all copies of all items (`most` of each) together a load that can be held? With LOAD_FOUND
 * *answer holds it, otherwise its steps alone. Easy questions take a small part of a millisecond.
 */
enum load_outcome load_fits(struct arena *arena, const struct load_problem *problem, int64_t effort,
                            struct load_answer *answer);

#endif
