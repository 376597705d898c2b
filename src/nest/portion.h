/* One portion of a large problem (see portions.h): which demands and stocks are in it, and the
 * problem made of them. */
#ifndef BLANKWRIGHT_NEST_PORTION_H
#define BLANKWRIGHT_NEST_PORTION_H

#include "nest/nest.h"

struct portion {
  const struct nest_problem *whole;
  const int64_t *open; /* wanted still, per demand of the whole */
  const int64_t *left; /* pieces of each stock of the whole still to be had; -1: no limit */
  bool *has_demand, *has_stock;
  struct nest_problem problem;
  size_t *demand; /* of the whole, per demand of the portion */
  size_t *stock;  /* of the whole, per stock of the portion */
};

/* Makes `problem` of what is chosen, in the arena. */
void portion_build(struct arena *arena, struct portion *portion);

/* Whether `leaf` is what some split of the plank makes: both name the same row that couples. */
bool portion_is_leaf_of(const struct nest_stock *leaf, const struct nest_stock *plank);

#endif
