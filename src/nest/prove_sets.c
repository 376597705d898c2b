#include "nest/prove_sets.h"

#include <string.h>

#include "nest/fewer.h"
#include "nest/improve.h"
#include "nest/near_plans.h"
#include "nest/plunge.h"
#include "nest/set_branch.h"
#include "nest/stock_cuts.h"

static const int64_t PRICING_STEPS = INT64_C(20000000);

enum {
  WALK_STEPS = 50000000,
  IMPROVE_ROUNDS = 200,
  FIRST_SHARE = 16, /* of the steps, for a first look at a set */
  LEAST_SHARE = 2,
  FILL_SHARE = 4,     /* of those for one look */
  PLUNGING_SHARE = 4, /* of those to fill it */
  POOL_SHARE = 2,
  IMPROVING_SHARE = 2
};

/* A set neither refuted nor filled. */
struct open_set {
  const int64_t *pieces;
  cost_t cost;
  bool open;
};

struct set_proof {
  struct search *search;
  const struct region *region;
  struct set_job job;
  struct stock_choice choice;
  int64_t *pieces; /* the set looked at */
  int64_t stop;
  cost_t reached; /* cheaper sets are refuted, filled or put by */
  struct open_set *open;
  size_t open_count, open_room;
  int64_t share; /* of the steps, for one look */
};

static bool can_prove(const struct search *search) {
  const struct nest_problem *problem = search->problem;
  if (problem->cut_cost > 0 || problem->coupling_count > 0 || problem->match_count > 0)
    return false;
  for (size_t s = 0; s + problem->demand_count < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->given != NULL || stock->split_count > 0 || stock->is_leaf) return false;
    if (stock->trim_cost > 0) return false;
  }
  return true;
}

/* A bound on what a layout of a stock not in the set is worth: told well where it is worth less
 * than its share of the price of a plan. */
static cost_t most_worth(struct set_proof *proof, size_t s, const cost_t *worth, cost_t need) {
  struct search *search = proof->search;
  double share = (double)search->problem->stocks[s].cost / (double)search->best_cost;
  struct arena *scratch = search->memory[s].scratch;
  struct arena_mark mark = arena_mark(scratch);
  struct priced priced;
  pricer_set_hurried(search->pricers[s], pricer_is_slow(search->pricers[s]));
  pricer_run(scratch, search->pricers[s], worth, proof->region->demand,
             (cost_t)((double)need * share), PRICING_STEPS, &priced);
  pricer_set_hurried(search->pricers[s], false);
  arena_release(scratch, mark);
  return priced.bound;
}

/* What refutes a set is asked of all. `most` per stock; -1 where it is not known. */
static void keep_cut(struct set_proof *proof, const cost_t *worth, const cost_t *most) {
  size_t demands = proof->search->problem->demand_count;
  struct arena *arena = proof->search->arena;
  struct stock_choice *choice = &proof->choice;
  struct stock_cut *cut = ARENA_PUSH(arena, choice->cuts, choice->cut_count, choice->cut_room);
  *cut = (struct stock_cut){ARENA_ARRAY(arena, demands, cost_t), 0,
                            ARENA_ARRAY(arena, choice->stock_count, cost_t)};
  memcpy(cut->worth, worth, demands * sizeof *worth);
  for (size_t d = 0; d < demands; d++) cut->need += worth[d] * proof->region->demand[d];
  for (size_t s = 0; s < choice->stock_count; s++)
    cut->most[s] = most[s] >= 0 ? most[s] : most_worth(proof, s, worth, cut->need);
}

/* Is the set worth the demand at all, layouts taken in fractions? Where that is not told, the
 * worths at which it nearly was. */
static enum set_outcome relax(struct set_proof *proof, struct near_worths *known) {
  struct arena *scratch = proof->search->scratch;
  size_t stocks = proof->choice.stock_count;
  struct set_node node = {.groups = ARENA_ARRAY(scratch, stocks, struct set_group)};
  cost_t *most = ARENA_ARRAY(scratch, stocks, cost_t);
  for (size_t s = 0; s < stocks; s++)
    if (proof->pieces[s] > 0)
      node.groups[node.group_count++] = (struct set_group){s, proof->pieces[s]};
  struct set_relaxed relaxed;
  enum set_outcome outcome = set_relax(&proof->job, &node, &relaxed);
  for (size_t s = 0; s < stocks; s++) most[s] = -1;
  for (size_t g = 0; g < node.group_count; g++) most[node.groups[g].stock] = relaxed.most[g];
  if (outcome == SET_REFUTED) keep_cut(proof, relaxed.worth, most);
  *known = (struct near_worths){relaxed.worth, most};
  return outcome;
}

static cost_t set_cost(const struct set_proof *proof, const int64_t *pieces) {
  cost_t cost = 0;
  for (size_t s = 0; s < proof->choice.stock_count; s++)
    cost += nest_stock_cost(&proof->search->problem->stocks[s], pieces[s]);
  return cost;
}

static bool is_over(const struct set_proof *proof) {
  return search_steps(proof->search) >= proof->stop || search_is_over(proof->search);
}

/* Looks for a plan within the set. */
static bool fill(struct set_proof *proof, int64_t steps) {
  struct search *search = proof->search;
  int64_t kept = search->plans_kept;
  struct region region = region_copy(search->arena, search->problem, proof->region);
  for (size_t s = 0; s < proof->choice.stock_count; s++) region.most[s] = proof->pieces[s];
  cost_t cost = set_cost(proof, proof->pieces);
  if (search->best_cost > cost) plunge(search, &region, cost, steps / PLUNGING_SHARE);
  if (search->best_cost > cost) finish_with_pool(search, &region, steps / POOL_SHARE);
  if (search->best_cost > cost)
    improve_within(search, &region, cost, IMPROVE_ROUNDS, steps / IMPROVING_SHARE);
  if (search->best_cost > cost && !is_over(proof)) fewer_within(search, &region, steps);
  return search->plans_kept != kept && search->best_cost <= cost;
}

/* Layouts near the best ones listed: is there a plan of them? True when the set is refuted or
 * filled. */
static bool refute_by_layouts(struct set_proof *proof, const struct near_worths *known,
                              int64_t steps) {
  struct search *search = proof->search;
  cost_t cost = set_cost(proof, proof->pieces);
  struct region region = region_copy(search->scratch, search->problem, proof->region);
  for (size_t s = 0; s < proof->choice.stock_count; s++) region.most[s] = proof->pieces[s];
  bool refuted = near_plans_refute(search, &region, known, steps);
  return refuted || search->best_cost <= cost;
}

static void set_stop(struct set_proof *proof, int64_t steps) {
  proof->job.stop = search_steps(proof->search) + steps;
  if (proof->job.stop > proof->stop) proof->job.stop = proof->stop;
}

/* Whether its layouts or a branching tell of a set that its relaxation does not tell of. */
static bool look_closely(struct set_proof *proof, enum set_outcome outcome,
                         const struct near_worths *known, int64_t steps) {
  if (fill(proof, steps / FILL_SHARE)) return true;
  if (refute_by_layouts(proof, outcome == SET_NOT_TOLD ? known : NULL, steps)) return true;
  set_stop(proof, steps);
  return set_branch(&proof->job, proof->pieces) != SET_NOT_TOLD;
}

/* One look at a set; the steps are what it may take. True when it is settled: refuted, or filled.
 */
static bool look_into(struct set_proof *proof, int64_t steps) {
  struct search *search = proof->search;
  struct arena_mark mark = arena_mark(search->scratch);
  struct near_worths known;
  set_stop(proof, steps);
  enum set_outcome outcome = relax(proof, &known);
  bool told = outcome == SET_REFUTED || look_closely(proof, outcome, &known, steps);
  arena_release(search->scratch, mark);
  return told;
}

static int64_t *copy_pieces(const struct set_proof *proof) {
  size_t count = proof->choice.stock_count;
  int64_t *copy = ARENA_ARRAY(proof->search->arena, count, int64_t);
  memcpy(copy, proof->pieces, count * sizeof *copy);
  return copy;
}

static void add_set(struct set_proof *proof, struct stock_refusals *sets, const int64_t *pieces) {
  *ARENA_PUSH(proof->search->arena, sets->pieces, sets->count, sets->room) = pieces;
}

/* The cheapest set not refused is looked into until none is cheaper than the best plan. What stays
 * open is put by. */
static void walk_sets(struct set_proof *proof) {
  struct search *search = proof->search;
  while (!is_over(proof)) {
    int64_t walk = WALK_STEPS;
    cost_t cost = stock_choice_cheapest(search->scratch, &proof->choice, search->best_cost,
                                        proof->pieces, &walk);
    search->steps += WALK_STEPS - walk;
    if (cost < 0) return;
    proof->reached = cost;
    if (cost >= search->best_cost) return;
    size_t cuts = proof->choice.cut_count;
    bool settled = look_into(proof, search->steps_allowed / FIRST_SHARE);
    if (settled && proof->choice.cut_count > cuts) continue;
    if (search->best_cost <= cost) continue;
    int64_t *pieces = copy_pieces(proof);
    add_set(proof, &proof->choice.refused, pieces);
    if (settled)
      add_set(proof, &proof->choice.refuted, pieces);
    else
      *ARENA_PUSH(search->arena, proof->open, proof->open_count, proof->open_room) =
          (struct open_set){pieces, cost, true};
  }
}

/* Sets put by are looked into again, ever longer. */
static void look_again(struct set_proof *proof) {
  struct search *search = proof->search;
  bool any = true;
  while (any && !is_over(proof)) {
    any = false;
    if (proof->share > LEAST_SHARE) proof->share /= 2;
    for (size_t i = 0; i < proof->open_count && !is_over(proof); i++) {
      struct open_set *open = &proof->open[i];
      if (!open->open || open->cost >= search->best_cost) continue;
      memcpy(proof->pieces, open->pieces, proof->choice.stock_count * sizeof *proof->pieces);
      open->open = !look_into(proof, search->steps_allowed / proof->share);
      if (!open->open && search->best_cost > open->cost)
        add_set(proof, &proof->choice.refuted, open->pieces);
      any = true;
    }
  }
}

struct set_proof *prove_sets_open(struct search *search, const struct region *region) {
  if (!can_prove(search)) return NULL;
  const struct nest_problem *problem = search->problem;
  struct set_proof *proof = ARENA_NEW(search->arena, struct set_proof);
  int64_t *most = ARENA_ARRAY(search->arena, problem->stock_count, int64_t);
  int64_t pieces = nest_most_pieces(problem, region->demand);
  *proof = (struct set_proof){.search = search,
                              .region = region,
                              .job = set_job_open(search, region->demand),
                              .share = FIRST_SHARE};
  proof->choice = (struct stock_choice){.problem = problem,
                                        .stock_count = proof->job.stock_count,
                                        .least = region->least,
                                        .most = most};
  for (size_t s = 0; s < proof->choice.stock_count; s++)
    most[s] = region->most[s] < pieces ? region->most[s] : pieces;
  proof->pieces = ARENA_ARRAY(search->arena, problem->stock_count, int64_t);
  search->known = &proof->choice;
  return proof;
}

void prove_sets(struct set_proof *proof, cost_t *bound, int64_t steps) {
  if (proof == NULL) return;
  struct search *search = proof->search;
  proof->stop = search_steps(search) + steps;
  walk_sets(proof);
  look_again(proof);
  cost_t proved = proof->reached < search->best_cost ? proof->reached : search->best_cost;
  for (size_t i = 0; i < proof->open_count; i++)
    if (proof->open[i].open && proof->open[i].cost < proved) proved = proof->open[i].cost;
  if (proved > *bound) *bound = proved;
}
