/* The pool of layouts found so far, and plans made of them. */
#ifndef BLANKWRIGHT_NEST_COLUMNS_H
#define BLANKWRIGHT_NEST_COLUMNS_H

#include "nest/pricer.h"

struct column {
  size_t stock;
  struct node root; /* NODE_SPLIT: `blank` is the split's number in the stock */
  int64_t *counts;  /* per demand; below 0 what it takes */
  int64_t cuts;
  cost_t cost; /* one piece of stock and the cuts */
  uint64_t hash;
  bool polished; /* fewer cuts for the same pieces were looked for */
};

struct columns {
  struct arena *arena;
  const struct nest_problem *problem;
  struct column *items;
  size_t count, room;
};

/* An empty pool; it and its columns live in the arena. */
struct columns *columns_create(struct arena *arena, const struct nest_problem *problem);

/* Takes a layout in and returns its number; an equal one (same stock and counts, no more
 * cuts) is found instead of added, *added says which. Tree and counts are copied; what a layout
 * takes of a leaf's row is entered, whatever counts[] says of it. */
size_t columns_add(struct columns *columns, size_t stock, const struct node *root,
                   const int64_t *counts, bool *added);

/* The same for a plank that is split. */
size_t columns_add_split(struct columns *columns, size_t stock, size_t split);

/* Whether a column is used whole or not at all: nothing can be taken out of it. */
bool column_is_whole(const struct nest_problem *problem, const struct column *column);

/* How often each layout is cut. */
struct use {
  size_t column;
  int64_t times;
};

struct uses {
  struct use *items;
  size_t count, room;
};

/* Takes a layout so many times more. */
void uses_add(struct arena *arena, struct uses *uses, size_t column, int64_t times);

/* Exact cost of a plan: whole packs, trims and cuts. */
cost_t uses_cost(const struct columns *columns, const struct uses *uses);

/* How plans of the same cost are ranked: fewer fence settings first, then the larger
 * single rectangle left over. */
struct uses_rank {
  int64_t settings;    /* distinct distances at which crosscuts and rips free a piece */
  double largest_rest; /* area of the largest waste rectangle, in square lengths */
};

/* The rank of a plan, and whether one with the rank `a` is to be preferred to one with `b`. */
struct uses_rank uses_rank_of(struct arena *scratch, const struct columns *columns,
                              const struct uses *uses);

bool uses_ranks_before(const struct uses_rank *a, const struct uses_rank *b);

/* Pieces made per demand. */
void uses_count(const struct columns *columns, const struct uses *uses, int64_t *counts);

/* Takes pieces beyond the demand out again, whole layouts first, then from the layouts
 * with the fewest pieces, so that what is left over is large. */
void uses_clip(struct columns *columns, struct arena *scratch, struct uses *uses,
               const int64_t *demand);

#endif
