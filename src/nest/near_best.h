/* Every layout of a stock in at most three stages that is worth nearly as much as the
 * best: of those that make at least what another makes, one. Cuts are free. */
#ifndef BLANKWRIGHT_NEST_NEAR_BEST_H
#define BLANKWRIGHT_NEST_NEAR_BEST_H

#include "nest/flawed.h"
#include "nest/near_counts.h"
#include "nest/staged.h"

struct near_entry;

struct near_list {
  const struct near_entry **items;
  size_t count, room;
};

/* What is asked: `staged` is priced for option_worth; demand_worth is the same per demand. */
struct near_question {
  const struct nest_stock *stock;
  struct staged *staged;
  struct flawed *flawed; /* of stock with flaws, else NULL; of the same tables */
  const cost_t *option_worth;
  const cost_t *demand_worth; /* per demand, > 0 or of no interest */
  size_t demand_count;        /* at most NEAR_DEMANDS */
  const int64_t *limit;       /* per demand: more copies in one layout are of no use */
  cost_t least;               /* worth wanted */
  int64_t steps;              /* allowed; set to what was taken */
};

/* Lists count vectors, at most the limits, such that each allowed layout worth at least `least`
 * makes no more of any demand than one of them. They may obey fewer of the saw's rules than
 * layouts must. False when steps or memory were used up: then some are missing. Entries live in
 * `arena`. */
bool near_best_list(struct arena *arena, struct near_question *question, struct near_list *list);

/* The count vector of an entry: pieces of each of demand_count demands. */
void near_entry_counts(const struct near_entry *entry, size_t demand_count, int64_t *counts);

/* Builds the layout of an entry. */
void near_entry_build(struct arena *arena, const struct nest_stock *stock,
                      const struct near_entry *entry, struct node *root);

#endif
