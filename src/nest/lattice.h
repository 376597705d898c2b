/* What plans can cost at all: whole packs of stock at their prices and whole cuts. A
 * bound may be raised to the next cost that is achievable. */
#ifndef BLANKWRIGHT_NEST_LATTICE_H
#define BLANKWRIGHT_NEST_LATTICE_H

#include "base/arena.h"
#include "nest/problem.h"

/* The least achievable cost that is at least `bound`, when between least[s] and most[s]
 * pieces of each stock are used; `bound` itself where that cannot be told, and `above`
 * when nothing below `above` is achievable. Work stays below about a million steps. */
cost_t lattice_raise(struct arena *arena, const struct nest_problem *problem, const int64_t *least,
                     const int64_t *most, cost_t bound, cost_t above);

/* No complete plan costs less: the pieces' areas with a kerf on two sides each, filled by
 * fractions of the stock that is cheapest for its area. */
cost_t lattice_area_bound(struct arena *arena, const struct nest_problem *problem);

#endif
