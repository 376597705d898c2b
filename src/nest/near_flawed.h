/* The part of near_best.c that lists layouts around flaws. */
#ifndef BLANKWRIGHT_NEST_NEAR_FLAWED_H
#define BLANKWRIGHT_NEST_NEAR_FLAWED_H

#include "nest/flawed_areas.h"
#include "nest/near_cells.h"

/* Offers the layouts of the whole stock that divide it, worth at least `least`. */
void near_list_flawed(struct near *near, struct flawed *flawed, cost_t least,
                      struct near_list *list);

/* Builds a placed entry. */
void near_build_placed(struct arena *arena, const struct nest_stock *stock,
                       const struct near_entry *entry, struct node *root);

#endif
