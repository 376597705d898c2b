/* Whether the layouts of a set of stock, taken in fractions, hold a job: a linear program with
 * layouts priced for limited copies, also where it is laid down how many pieces of a demand come
 * from some of the planks. */
#ifndef BLANKWRIGHT_NEST_SET_RELAX_H
#define BLANKWRIGHT_NEST_SET_RELAX_H

#include "nest/generate.h"
#include "nest/stock_cuts.h"

enum { MOST_GROUPS = 60 };

/* Planks of one kind that are not told apart. */
struct set_group {
  size_t stock;
  int64_t count; /* at least 1 */
};

/* So many pieces of a demand, at least or at most, come from the groups named. */
struct set_row {
  size_t demand;
  uint64_t groups; /* bit by bit */
  bool at_most;
  int64_t value;
};

struct set_node {
  struct set_group *groups; /* at most MOST_GROUPS */
  size_t group_count;
  struct set_row *rows;
  size_t row_count;
};

/* What all relaxations of one job share. */
struct set_job {
  struct search *search;
  const int64_t *demand;
  size_t stock_count;  /* stocks to cut, the first ones */
  cost_t *weight;      /* per demand: what a piece that is not made costs in the relaxation */
  cost_t **copy_price; /* per stock and demand: where the exact pricing starts */
  double area;         /* of all that is wanted, square lengths */
  int64_t stop;        /* steps of the search */
};

/* SET_REFUTED: no whole plan of the set holds the job. SET_HOLDS: layouts in fractions do.
 * SET_NOT_TOLD: the pricing is not exact enough, or no steps are left. */
enum set_outcome { SET_REFUTED, SET_HOLDS, SET_NOT_TOLD };

/* How often the layouts of a group are taken. */
struct set_use {
  size_t group, column;
  double times;
};

struct set_relaxed {
  struct set_use *uses; /* those taken at all */
  size_t use_count;
  cost_t *worth; /* per demand: where refuted without rows, what refutes */
  cost_t *most;  /* per group: of a layout at these worths */
};

/* In the search's arena; demand[] must stay in place. `stop` is the caller's to set. */
struct set_job set_job_open(struct search *search, const int64_t *demand);

/* Solves it; the result lives in the search's scratch arena. Layouts found join the pool. */
enum set_outcome set_relax(struct set_job *job, const struct set_node *node,
                           struct set_relaxed *relaxed);

#endif
