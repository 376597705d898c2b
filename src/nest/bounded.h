/* The best single layout when each demand may be served only so often: exact, by
 * building blocks best first. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_H
#define BLANKWRIGHT_NEST_BOUNDED_H

#include "base/arena.h"
#include "model/plan.h"
#include "nest/problem.h"

struct bounded_answer {
  cost_t value;     /* of the best layout found: values of its pieces less its cuts */
  cost_t bound;     /* no allowed layout is worth more */
  struct node root; /* that layout, from the usable corner */
  int64_t *counts;  /* pieces per demand */
  int64_t steps;    /* work done */
};

/* The layout of one piece of `stock` (its flaws are ignored) worth the most: each piece
 * of demand d adds value[d] (>= 0), at most limit[d] pieces serve it, and each cut
 * takes cut_cost (>= 0). Stops when value == bound or after about `steps` block
 * combinations; the bound is valid in both cases, and memory grows with `steps`. Where it
 * stops with steps left, value falls short of the bound in one case only: cuts cost, strips are
 * bound (rip_capacity, rip_no_wider_than_long), and waste has to be ripped off in slices. */
void bounded_search(struct arena *arena, const struct nest_problem *problem,
                    const struct nest_stock *stock, const cost_t *value, const int64_t *limit,
                    int64_t steps, struct bounded_answer *answer);

/* The same where only layouts worth more than `floor` (>= 0) matter: ends with the first one found,
 * or with a bound that is no more than the floor where there is none; value is 0 where none was
 * found. price[d] >= 0 is what a copy is first taken to cost, and afterwards what gave the least
 * bound: at worths that changed but little that is a good start. */
void bounded_search_above(struct arena *arena, const struct nest_problem *problem,
                          const struct nest_stock *stock, const cost_t *value, const int64_t *limit,
                          cost_t floor, int64_t steps, cost_t *price,
                          struct bounded_answer *answer);

#endif
