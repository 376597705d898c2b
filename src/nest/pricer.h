/* The pricing problem of one kind of stock: the layout worth the most at given worths
 * per demand, each demand served only so often. Three ends are possible, and only the
 * bound says which: worth == bound (best layout found), bound <= goal (none worth more
 * than the goal exists), else the search stopped early; the bound is valid in all.
 * Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_PRICER_H
#define BLANKWRIGHT_NEST_PRICER_H

#include "nest/cutting.h"
#include "nest/near_best.h"

struct pricer;

struct priced {
  cost_t worth;     /* of the layout: worths of its pieces less its cuts */
  cost_t bound;     /* no allowed layout is worth more */
  struct node root; /* WASTE alone when nothing is worth a cut */
  int64_t *counts;  /* pieces per demand, at most the limits */
  int64_t cuts;
};

/* Tables for any number of stages have at most *cells cells, which are taken off it; without them
 * the bound is weaker. */
struct pricer *pricer_create(struct arena *arena, const struct nest_problem *problem, size_t stock,
                             size_t *cells);

/* Prices with worth[d] >= 0 and at most limit[d] pieces of each demand. Stops looking for a
 * better layout once one worth more than `goal` is found that meets the limits; where none
 * is, the layout may be any (a goal of COST_UNKNOWN's size asks for a good one all the same). About
 * `steps` table cells of work. Layout and counts are made in `arena`. */
void pricer_run(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                const int64_t *limit, cost_t goal, int64_t steps, struct priced *priced);

/* A layout that is good but not the best, fast: the best unlimited layout as if there were no
 * flaws, without what is too much or lies on a flaw, its waste filled. No bound is known. */
void pricer_run_quickly(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                        const int64_t *limit, struct priced *priced);

/* A layout that is good but not always the best, in a small table; no bound is known. False, and
 * nothing done, where the stock has flaws or is cut in few stages only, or parts must match. */
bool pricer_run_limited(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                        const int64_t *limit, struct priced *priced);

/* As pricer_run, for a stock with flaws: repeat_cost[d] >= 0 is what a copy is first taken to cost,
 * and afterwards what gave the least bound; at worths that changed but little that is a good start.
 * Exact with limits where `steps` do and layouts near the bound can be listed: cuts are free, at
 * most three stages, no parts that match, few sorts, flaws not too fine. */
void pricer_run_listed(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                       const int64_t *limit, cost_t goal, int64_t steps, cost_t *repeat_cost,
                       struct priced *priced);

/* Whether the stock has flaws, so that a full run takes long. */
bool pricer_is_slow(const struct pricer *pricer);

/* Steps a run may spend on the exact search when the relaxation leaves a gap, also limited to
 * what is left of its own; 0 is the usual. */
void pricer_set_exact_steps(struct pricer *pricer, int64_t steps);

/* Hurried runs leave a gap that limits on copies make: no exact search, few relaxations. */
void pricer_set_hurried(struct pricer *pricer, bool hurried);

/* Rough runs do not search around flaws: their bound is as if there were none. */
void pricer_set_rough(struct pricer *pricer, bool rough);

/* Large tables are filled but a few times a run, and there is no exact search; patient runs go
 * on all the same. */
void pricer_set_patient(struct pricer *pricer, bool patient);

/* A bound on what a layout is worth; *exact: also of those in more stages than lists hold. Cuts are
 * free. repeat_cost[] as in pricer_run_listed. */
cost_t pricer_most_worth(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                         const int64_t *limit, int64_t steps, cost_t *repeat_cost, bool *exact);

/* Whether lists can hold every layout of the stock. */
bool pricer_can_list(const struct pricer *pricer, const int64_t *limit);

/* Lists the layouts worth at least `least` as near_best_list does, worth[d] > 0; *steps allowed,
 * then taken. The nearer repeat_cost[] is to what limits make copies cost, the sooner. */
bool pricer_list_near(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                      const int64_t *limit, const cost_t *repeat_cost, cost_t least, int64_t *steps,
                      struct near_list *list);

/* Counts the pieces of a tree. */
void pricer_count(const struct pricer *pricer, const struct node *root, int64_t *counts);

/* Steps of all runs so far. */
int64_t pricer_steps(const struct pricer *pricer);

/* Takes pieces out of a layout until no demand has more than its limit, and packs what is
 * left towards the low corner where the stock has no flaws. The layout is made in `arena`;
 * `scratch` is another. */
void pricer_clip(struct arena *arena, struct arena *scratch, const struct nest_problem *problem,
                 const struct nest_stock *stock, const int64_t *limit, struct node *root,
                 int64_t *counts);

#endif
