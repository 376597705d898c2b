/* A plan of layouts at hand by exchanging one after the other for another, or adding one, or
 * leaving one out; exchanges for the worse are taken ever less (threshold accepting, Dueck and
 * Scheuer, J. Comput. Phys. 90, 1990). Finds plans among thousands of layouts, and refutes none. */
#ifndef BLANKWRIGHT_NEST_POOL_EXCHANGE_H
#define BLANKWRIGHT_NEST_POOL_EXCHANGE_H

#include "nest/pool_plan.h"

/* True when a plan cheaper than `below` was found that keeps to `most`; `least` is not looked at,
 * nor are layouts of stock that is given as it is or rows that couple. worth[] >= 0 is what a piece
 * is worth, per demand, so that layouts are worth about what they cost. The same numbers and seed
 * give the same answer. */
bool pool_exchange(struct arena *arena, struct pool_question *question, const cost_t *worth,
                   uint64_t seed, int64_t *taken);

#endif
