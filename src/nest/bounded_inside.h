/* What rectangles are worth inside when copies are not limited but have a price: a dynamic
 * program over the indices of two axes. Stages are told apart where they are few. Every
 * layout within the limits is worth no more; where the axes are not scaled, halves are told
 * apart or wastes cost nothing, and strips are not bound, the worth is attained. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_INSIDE_H
#define BLANKWRIGHT_NEST_BOUNDED_INSIDE_H

#include "nest/bounded_axis.h"
#include "nest/bounded_block.h"

enum { MOST_LEVELS = 4 }; /* stages told apart; any more are taken for no limit */

#define WORTH_NEVER (INT64_MIN / 4)

/* A part that begins runs best: better than any run of smaller ones as large. */
struct bounded_pick {
  uint32_t point, unit; /* a point of the axis along the run, and as its multiple of the unit */
  cost_t worth;
};

struct bounded_picks {
  struct bounded_pick *items;
  size_t count, room;
};

/* A form is a direction and a level: 2 * (level - 1) + direction. Without levels both
 * directions share table 0. */
struct bounded_inside {
  const struct bounded_job *job;
  struct arena *arena;
  const struct bounded_axis *axis[2];
  size_t width[2];      /* indices along each axis */
  int levels;           /* 0: any */
  size_t forms;         /* 2 without levels */
  bool *may_divide[2];  /* [d][index of the other axis]: the rules let d be divided */
  cost_t waste;         /* what one waste takes */
  cost_t *option_worth; /* at the present prices */
  cost_t *piece;        /* [cell]: one piece of exactly that size, or WORTH_NEVER */
  bool
      is_reached[2 * MOST_LEVELS]; /* whether a layout can have such runs; else nothing is filled */
  cost_t *table[2 * MOST_LEVELS];
  struct bounded_picks *picks[2 * MOST_LEVELS]; /* per index across the run */
  struct bounded_picks *lasts[2 * MOST_LEVELS]; /* between points: only as the last part */
  cost_t *lower_best;                           /* scratch: best piece of less width, per x */
  cost_t root[2];                               /* the stock, first cut along each direction */
  int64_t work;                                 /* run parts tried so far */
};

/* Tables that are not yet filled, in the arena. `charged`: each waste takes the cost of a cut. */
struct bounded_inside *bounded_inside_create(struct arena *arena, const struct bounded_job *job,
                                             const struct bounded_axis *x,
                                             const struct bounded_axis *y, bool charged);

/* Fills the tables: each copy of demand d costs price[d]. Returns what the stock is worth. */
cost_t bounded_inside_price(struct bounded_inside *inside, const cost_t *price);

/* Counts the copies in the layout that bounded_inside_price found (into counts, per demand
 * of the job), and builds blocks of it as far as the limits and the rules allow. Returns the
 * last block, begun full when `full`, or BLOCK_NONE. */
uint32_t bounded_inside_trace(const struct bounded_inside *inside, struct bounded_pool *pool,
                              bool full, int64_t *counts);

/* The cell of a table for these indices of the two axes. */
static inline size_t bounded_cell(const struct bounded_inside *inside, size_t x, size_t y) {
  return y * inside->width[ALONG_X] + x;
}

#endif
