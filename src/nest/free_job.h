/* A nesting problem made ready for free laying: every piece and sheet grown by the gap, one
 * item for each piece wanted. Lives in the arena it was made in and is only read then. */
#ifndef BLANKWRIGHT_NEST_FREE_JOB_H
#define BLANKWRIGHT_NEST_FREE_JOB_H

#include "nest/free_space.h"
#include "nest/problem.h"

#define FREE_WHOLE (INT64_C(1) << 24) /* area of the largest sheet in the search's measure */

/* A way to lay a demand's piece on a stock. */
struct free_shape {
  int32_t width, height; /* along x and y, grown */
  int32_t core_x, core_y;
  uint32_t option;
};

/* A flaw that is held against the piece itself, not kept as a place taken: it may lie in a rim, or
 * is narrower than the gap. */
struct free_flaw {
  struct free_rect place;
  bool rim_ok;
};

struct free_stock {
  int32_t width, height; /* grown; 0 when nothing can be laid on it */
  int32_t gap_x, gap_y;
  int64_t area; /* in the search's measure */
  struct free_shape *shapes;
  size_t *first; /* shapes of demand d: first[d] .. first[d + 1] - 1; all fit an empty sheet */
  struct free_rects empty;
  struct free_flaw *flaws;
  size_t flaw_count;
};

/* Orders in which pieces may be laid; each has a rank for every demand, smallest first. */
enum free_order {
  ORDER_AREA,
  ORDER_LONG_SIDE,
  ORDER_SHORT_SIDE,
  ORDER_WIDTH,
  ORDER_HEIGHT,
  ORDER_COUNT
};

struct free_job {
  const struct nest_problem *problem;
  struct free_stock *stocks;
  size_t item_count;
  uint32_t *demand_of;         /* per item */
  int64_t *area;               /* per demand: its smallest shape, in the search's measure */
  uint32_t *rank[ORDER_COUNT]; /* per demand */
  struct free_least least;
};

/* What cannot be laid on any stock has no item. */
struct free_job *free_job_create(struct arena *arena, const struct nest_problem *problem);

/* Whether the shape can lie in a room of its stock clear of the flaws held against it: at (*x, *y),
 * a corner of the room, or else beside flaws or the room's edges; *x and *y are set then. */
bool free_job_place(const struct free_stock *stock, const struct free_shape *shape,
                    const struct free_rect *room, int32_t *x, int32_t *y);

#endif
