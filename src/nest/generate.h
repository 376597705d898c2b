/* Column generation: the linear program over layouts, layouts priced in as they are
 * found to pay, and the bound that the shadow prices prove. */
#ifndef BLANKWRIGHT_NEST_GENERATE_H
#define BLANKWRIGHT_NEST_GENERATE_H

#include "nest/columns.h"
#include "nest/master.h"
#include "nest/side.h"

struct grid;

/* What all parts of a search share. The problem has a kind of stock for pieces that are not
 * made, so that every region with enough of it has a plan. */
struct search {
  struct arena *arena;
  struct arena *scratch; /* released by whoever marks it, last in first out */
  const struct nest_problem *problem;
  struct pricer **pricers; /* per stock */
  struct columns *columns;
  size_t *not_made; /* per demand: the column of a piece that is not made */
  cost_t best_cost; /* of the best complete plan; COST_UNKNOWN before there is one */
  struct uses best;
  struct uses_rank best_rank;
  int64_t steps;
  int64_t steps_allowed;
  const struct nest_options *options; /* NULL: no threads, nothing stops it */
  struct stock_memory *memory;        /* per stock, of its pricer */
  struct grid *grids;                 /* per stock, or NULL; see grid.h */
  int64_t round_steps;                /* of the last round of pricing */
  bool interrupted;                   /* it was told to stop */
  uint64_t seeds;                     /* handed out so far */
  int64_t plans_kept;                 /* times that `best` was set */
  const struct stock_choice *known;   /* which sets of stock hold the job; NULL: nothing is known */
};

#define COST_UNKNOWN (INT64_MAX / 4)

/* A part of the problem: pieces wanted, and bounds on the pieces of each stock. */
struct region {
  int64_t *demand;
  int64_t *least;
  int64_t *most;
};

/* A deep copy in the arena. */
struct region region_copy(struct arena *arena, const struct nest_problem *problem,
                          const struct region *region);

struct generated {
  cost_t bound;   /* no plan of the region is cheaper; may be negative */
  bool converged; /* no layout pays any more */
  cost_t *price;  /* per demand: the shadow prices of that bound */
  double *value;  /* per column at hand */
  size_t value_count;
};

/* Runs at most `rounds` rounds, or until the bound reaches best_cost. Results live in the
 * search's scratch arena, new columns in its pool. */
void generate(struct search *search, const struct region *region, int rounds,
              struct generated *generated);

/* Where there is one kind of stock alone and cuts are free, plans cost whole pieces: the price
 * of one; else 0. */
cost_t generate_only_price(const struct search *search);

/* A master program of a region with every column at hand, in the scratch arena. */
struct master *open_master(const struct search *search, const struct region *region);

/* Steps done so far, those of pricers and grids among them. */
int64_t search_steps(const struct search *search);

/* Whether the steps are used up or the search was told to stop: every loop asks, and ends with
 * what it has. */
bool search_is_over(struct search *search);

/* How many times the usual steps are allowed, at least 1: limits on rounds grow with it. */
int64_t search_scale(const struct search *search);

/* Does work(data, stock) for each of the stocks named, side by side where `expected_steps` of
 * pricing are worth it. A part prices with the stock's pricer and memory alone. */
void search_price_stocks(struct search *search, const size_t *stocks, size_t count,
                         int64_t expected_steps, side_work *work, void *data);

#endif
