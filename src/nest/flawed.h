/* The best unlimited layout of a stock with flaws, in at most three stages: the staged
 * programs where a rectangle holds no flaw, and a lazy search where it does. A flawed
 * part of a row first counts as if it were clear; only parts on a best path are looked
 * into, until the best path holds no guess. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_FLAWED_H
#define BLANKWRIGHT_NEST_FLAWED_H

#include "nest/staged.h"

struct flawed;

/* `staged` holds the tables of the same stock; it must outlive this. */
struct flawed *flawed_create(struct arena *arena, const struct nest_stock *stock,
                             struct staged *staged, cost_t cut_cost);

/* Searches with the worths the tables were priced for. *bound is valid however early the
 * search stops (after about `steps`), `root` is a layout and *worth what it is worth;
 * both meet when the search ran to its end. */
void flawed_search(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                   int64_t steps, struct node *root, cost_t *worth, cost_t *bound);

/* Searches from now on also end once the bound on the whole stock is no more than this; 0 unless
 * set. */
void flawed_stop_at(struct flawed *flawed, cost_t bound);

/* A good layout, also where the search would take too long: parts start at few places then. Returns
 * what it is worth. Takes about `steps`. */
cost_t flawed_layout(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                     int64_t steps, struct node *root);

/* Whether parts of a row may start at so many places that a search would take seconds and
 * much memory: raster points of both directions behind every flaw. */
bool flawed_is_dense(const struct flawed *flawed);

/* Work of all searches so far. */
int64_t flawed_steps(const struct flawed *flawed);

#endif
