/* What sets of stock must satisfy to hold a job: at any worths of pieces the planks of a set must
 * be worth as much, each cut at its best, as all pieces wanted. Such cuts on sets of stock hold
 * for every set, so what refutes one refutes others (after Benders, Numer. Math. 1962). */
#ifndef BLANKWRIGHT_NEST_STOCK_CUTS_H
#define BLANKWRIGHT_NEST_STOCK_CUTS_H

#include "base/arena.h"
#include "nest/problem.h"

struct stock_cut {
  cost_t *worth; /* per demand, at least 0 */
  cost_t need;   /* of all pieces wanted */
  cost_t *most;  /* per stock: no layout is worth more; INT64_MAX / 4 where that is not known */
};

/* Sets that are not asked for again, nor any set they hold. */
struct stock_refusals {
  const int64_t **pieces; /* per stock */
  size_t count, room;
};

struct stock_choice {
  const struct nest_problem *problem;
  size_t stock_count;   /* the first ones of the problem */
  const int64_t *least; /* per stock */
  const int64_t *most;
  struct stock_cut *cuts;
  size_t cut_count, cut_room;
  struct stock_refusals refused;
  struct stock_refusals
      refuted; /* of those: shown not to hold the job, though they meet all cuts */
};

/* Whether a set meets a cut. */
bool stock_cut_allows(const struct stock_choice *choice, const struct stock_cut *cut,
                      const int64_t *pieces);

/* Whether a set may hold the job, as far as that is known: it meets all cuts and is not refuted. */
bool stock_choice_may_hold(const struct stock_choice *choice, const int64_t *pieces);

/* The cheapest set that meets all cuts and is not refused, cheaper than `below`, into pieces[];
 * of packs bought all pieces are taken. Returns its cost, or `below` when there is none, or -1
 * when *steps (counted down) did not do. */
cost_t stock_choice_cheapest(struct arena *scratch, const struct stock_choice *choice, cost_t below,
                             int64_t *pieces, int64_t *steps);

#endif
