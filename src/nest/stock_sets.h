/* Sets of stock within a budget that may hold a job. */
#ifndef BLANKWRIGHT_NEST_STOCK_SETS_H
#define BLANKWRIGHT_NEST_STOCK_SETS_H

#include "base/arena.h"
#include "nest/problem.h"
#include "nest/stock_cuts.h"

struct stock_set {
  int64_t *pieces; /* per stock */
  double rank;     /* more room in larger pieces */
};

struct stock_sets {
  struct stock_set *items; /* the most likely first */
  size_t count;
};

/* At most `most` sets of at most available[s] pieces of each stock, whose pieces beside the
 * used[s] there are already cost at most `budget` more, and whose area is at least `area`
 * (square lengths). Of sets of which one contains another only the larger is listed. Where
 * `known` is not NULL, none is listed that with used[] cannot hold the job as far as is known.
 * Limited work: of very many sets some are not looked at. */
struct stock_sets stock_sets_list(struct arena *arena, const struct nest_problem *problem,
                                  const int64_t *available, const int64_t *used, cost_t budget,
                                  double area, const struct stock_choice *known, size_t most);

#endif
