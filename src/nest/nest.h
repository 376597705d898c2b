/* The optimiser: least money for a demand, with a bound no allowed plan lies under.
 * Everything returned lives in the arena given. */
#ifndef BLANKWRIGHT_NEST_NEST_H
#define BLANKWRIGHT_NEST_NEST_H

#include "base/arena.h"
#include "base/threads.h"
#include "model/plan.h"
#include "nest/problem.h"

struct nest_progress {
  cost_t cost;  /* best so far, or -1 */
  cost_t bound; /* or -1 */
  int64_t steps;
};

struct nest_options {
  int64_t effort; /* steps allowed, in thousands of table cells; 0 is 400,000 */
  void (*progress)(void *data, const struct nest_progress *progress); /* or NULL */
  void *progress_data;
  size_t beside;            /* other problems that are solved at the same time and share memory */
  struct threads *threads;  /* or NULL; the answer is the same with any number of them */
  bool (*stop)(void *data); /* or NULL; once it is true, the answer is the best plan so far. Asked
                               by the thread that solves */
  void *stop_data;
};

/* One way to cut one stock, or units of a given one (then `root` is empty). x and y of the nodes
 * count from the usable corner; a piece node's `blank` and `turned` are those of its option. */
struct nest_layout {
  size_t stock; /* index into the problem's stocks */
  int64_t times;
  struct node root; /* the usable rectangle */
  int64_t cuts;
  int64_t *counts; /* pieces per demand; NULL where the problem was solved in portions */
};

struct nest_answer {
  bool complete;    /* every demand is met exactly */
  bool undecided;   /* not complete, and it is not shown that no plan is: more effort may help */
  int64_t *missing; /* per demand */
  struct nest_layout *layouts;
  size_t layout_count, layout_room;
  cost_t cost;         /* packs, stock and cuts of the plan */
  cost_t bound;        /* no complete plan costs less; 0 when nothing better is known */
  cost_t listed_bound; /* none of the loads that assemblies stand for; the same without loads */
  int64_t steps;
  bool interrupted; /* the search ended because it was told to stop; cost and bound hold */
};

/* Deterministic: the same problem and effort give the same answer on any machine.
 * Raises STATUS_NO_MEMORY or STATUS_SOLVER_FAULT on the arena. When no complete plan is
 * found, `complete` is false and the layouts hold as much as was placed. */
void nest_solve(struct arena *arena, const struct nest_problem *problem,
                const struct nest_options *options, struct nest_answer *answer);

/* The same for a problem that is not so large that it has to be solved in portions (portions.h). */
void nest_solve_whole(struct arena *arena, const struct nest_problem *problem,
                      const struct nest_options *options, struct nest_answer *answer);

#endif
