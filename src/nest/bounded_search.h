/* Best-first building of blocks under the bounds of several sets of prices. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_SEARCH_H
#define BLANKWRIGHT_NEST_BOUNDED_SEARCH_H

#include "nest/bounded_outside.h"

struct bounded_best {
  cost_t value; /* with block NONE what is to be surpassed: 0 where nothing is cut */
  bool first;   /* the first block found will do */
  uint32_t block;
  int along;   /* its first cut */
  cost_t most; /* the most any had been worth if wastes never took more than one cut */
};

/* Whether that is all that was asked for. */
static inline bool bounded_is_found(const struct bounded_best *best) {
  return best->first && best->block != BLOCK_NONE;
}

/* Takes the block for the best layout if it is worth more. */
void bounded_consider(struct bounded_pool *pool, uint32_t block, struct bounded_best *best);

/* The prices that bounds are made of. */
struct bounded_prices {
  size_t count;
  const cost_t *price[MOST_PRICES]; /* per demand of the job */
  struct bounded_outside *outside[MOST_PRICES];
  const struct bounded_axis *axis[2];
  bool charged; /* wastes are counted outside */
};

/* Builds blocks until the best layout is proved or about `steps` pairs were tried, which
 * are added to *done. Improves *best; returns a bound on every layout. */
cost_t bounded_build_blocks(struct bounded_pool *pool, const struct bounded_prices *prices,
                            int64_t steps, struct bounded_best *best, int64_t *done);

#endif
