#include "nest/branch.h"

#include <math.h>

#include "nest/fewer.h"
#include "nest/improve.h"
#include "nest/lattice.h"
#include "nest/near_plans.h"
#include "nest/plunge.h"
#include "nest/tolerance.h"

enum {
  NODE_ROUNDS = 60,
  MOST_OPEN = 4096,
  LEAF_EXACT_STEPS = 400000,
  MOST_LEAF_SCALE = 4, /* memory grows with exact steps */
  POOL_SHARE = 240,    /* of the steps */
  LEAF_ROUNDS = 200,
  LEAF_POOL_SHARE = 8,   /* of a look at a leaf */
  FIRST_LEAF_SHARE = 60, /* of the steps */
  LARGEST_LEAF_SHARE = 8,
  NEAR_SHARES = 8 /* of a look at a leaf goes so much more to plans it */
};

struct branch_node {
  struct region region;
  cost_t bound;
  int tries; /* how often it was looked into; a leaf may be again */
  bool closed;
};

struct tree {
  struct branch_node *nodes;
  size_t count, room;
};

/* No plan is cheaper than this. */
static cost_t least_bound(const struct search *search, const struct tree *tree) {
  cost_t least = search->best_cost;
  for (size_t i = 0; i < tree->count; i++)
    if (!tree->nodes[i].closed && tree->nodes[i].bound < least) least = tree->nodes[i].bound;
  return least;
}

/* The node to go on with: of those looked into least often the one of the least bound. */
static size_t choose_node(const struct search *search, const struct tree *tree) {
  size_t best = SIZE_MAX;
  for (size_t i = 0; i < tree->count; i++) {
    const struct branch_node *node = &tree->nodes[i];
    if (node->closed || node->bound >= search->best_cost) continue;
    if (best == SIZE_MAX || node->tries < tree->nodes[best].tries ||
        (node->tries == tree->nodes[best].tries && node->bound < tree->nodes[best].bound))
      best = i;
  }
  return best;
}

static void add_node(struct search *search, struct tree *tree, const struct region *region,
                     cost_t bound) {
  struct branch_node *node = ARENA_PUSH(search->arena, tree->nodes, tree->count, tree->room);
  node->region = *region;
  node->bound = bound;
}

static double used_of(const struct search *search, const struct generated *generated, size_t s) {
  double used = 0;
  for (size_t c = 0; c < generated->value_count; c++)
    if (search->columns->items[c].stock == s) used += generated->value[c];
  return used;
}

/* The stock whose count is furthest from whole; else, among whole ones, one that is not
 * fixed yet; SIZE_MAX when all are fixed. */
static size_t choose_stock(const struct search *search, const struct region *region,
                           const struct generated *generated, double *used) {
  size_t best = SIZE_MAX;
  double furthest = TOLERANCE_WHOLE;
  size_t unfixed = SIZE_MAX;
  double unfixed_used = 0;
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    if (region->least[s] == region->most[s]) continue;
    if (search->problem->stocks[s].cost > search->best_cost) continue;
    double value = used_of(search, generated, s);
    double distance = fabs(value - round(value));
    if (distance > furthest) {
      furthest = distance;
      best = s;
      *used = value;
    }
    if (unfixed == SIZE_MAX || value > unfixed_used) {
      unfixed = s;
      unfixed_used = value;
    }
  }
  if (best != SIZE_MAX) return best;
  *used = unfixed_used;
  return unfixed;
}

static void split(struct search *search, struct tree *tree, const struct region *region, size_t s,
                  double used, cost_t bound) {
  int64_t low = (int64_t)floor(used + TOLERANCE_WHOLE);
  bool whole = fabs(used - round(used)) <= TOLERANCE_WHOLE;
  if (low < region->least[s]) low = region->least[s];
  if (low > region->most[s]) low = region->most[s];
  int64_t bounds[3][2] = {{region->least[s], low}, {low + 1, region->most[s]}, {1, 0}};
  if (whole) {
    bounds[0][1] = low - 1;
    bounds[2][0] = bounds[2][1] = low;
  }
  for (size_t part = 0; part < 3; part++) {
    if (bounds[part][0] > bounds[part][1]) continue;
    struct region child = region_copy(search->arena, search->problem, region);
    child.least[s] = bounds[part][0];
    child.most[s] = bounds[part][1];
    add_node(search, tree, &child, bound);
  }
}

static void set_exact_steps(struct search *search, int64_t steps) {
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (search->pricers[s] != NULL) pricer_set_exact_steps(search->pricers[s], steps);
}

/* With all counts fixed nothing is left to branch on: layouts are priced more thoroughly. */
static cost_t leaf_bound(struct search *search, const struct region *region) {
  struct generated generated;
  int64_t scale = search_scale(search);
  set_exact_steps(search, LEAF_EXACT_STEPS * (scale < MOST_LEAF_SCALE ? scale : MOST_LEAF_SCALE));
  generate(search, region, NODE_ROUNDS, &generated);
  set_exact_steps(search, 0);
  return lattice_raise(search->scratch, search->problem, region->least, region->most,
                       generated.bound, search->best_cost);
}

/* Does this set of stock hold the job? The first look is short, those after it ever longer. */
static void solve_leaf(struct search *search, struct tree *tree, size_t at) {
  struct region region = tree->nodes[at].region;
  cost_t bound = tree->nodes[at].bound;
  int tries = tree->nodes[at].tries - 1; /* as a leaf */
  int64_t steps = search->steps_allowed / FIRST_LEAF_SHARE;
  for (int i = 0; i < tries && steps < search->steps_allowed / LARGEST_LEAF_SHARE; i++) steps *= 2;
  if (tries > 0 && near_plans_refute(search, &region, NULL, NEAR_SHARES * steps))
    bound = search->best_cost;
  if (bound < search->best_cost) improve_within(search, &region, bound, LEAF_ROUNDS, steps);
  if (bound < search->best_cost) plunge(search, &region, bound, steps);
  if (bound < search->best_cost && !search_is_over(search)) fewer_within(search, &region, steps);
  if (tries == 1 && bound < search->best_cost) {
    cost_t thorough = leaf_bound(search, &region);
    if (thorough > bound) bound = thorough;
  }
  if (bound < search->best_cost) finish_with_pool(search, &region, steps / LEAF_POOL_SHARE);
  tree->nodes[at].bound = bound;
  tree->nodes[at].tries++;
}

/* Solves one node; what stays open is split or, a leaf, left for another look. */
static void solve_node(struct search *search, struct tree *tree, size_t at) {
  struct region region = tree->nodes[at].region;
  cost_t bound = tree->nodes[at].bound;
  struct arena_mark mark = arena_mark(search->scratch);
  struct generated generated;
  generate(search, &region, NODE_ROUNDS, &generated);
  if (generated.bound > bound) bound = generated.bound;
  bound = lattice_raise(search->scratch, search->problem, region.least, region.most, bound,
                        search->best_cost);
  tree->nodes[at].bound = bound;
  if (bound < search->best_cost && !search_is_over(search)) {
    finish_with_pool(search, &region, search->steps_allowed / POOL_SHARE);
    dive(search, &region);
  }
  double used = 0;
  size_t s = choose_stock(search, &region, &generated, &used);
  if (s == SIZE_MAX && bound < search->best_cost && !search_is_over(search) &&
      near_plans_refute(search, &region, NULL,
                        search->steps_allowed / FIRST_LEAF_SHARE * NEAR_SHARES))
    tree->nodes[at].bound = search->best_cost;
  if (s == SIZE_MAX)
    tree->nodes[at].tries = 1;
  else
    tree->nodes[at].closed = true;
  if (s != SIZE_MAX && bound < search->best_cost) split(search, tree, &region, s, used, bound);
  arena_release(search->scratch, mark);
}

void branch(struct search *search, const struct region *root, int nodes, cost_t *bound,
            void (*report)(void *data, const struct search *search, cost_t bound), void *data) {
  struct tree tree = {NULL, 0, 0};
  struct region region = region_copy(search->arena, search->problem, root);
  /* a plan no dearer than the best uses no more than this of each stock; what is given as
   * it is stays open, since a region may have no plan without it */
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    const struct nest_stock *stock = &search->problem->stocks[s];
    if (stock->given != NULL) continue;
    int64_t most = nest_most_pieces(search->problem, region.demand);
    if (stock->cost > 0 && search->best_cost / stock->cost < most)
      most = search->best_cost / stock->cost;
    if (region.most[s] > most) region.most[s] = most;
  }
  add_node(search, &tree, &region, *bound);
  for (int n = 0; n < nodes && tree.count < MOST_OPEN; n++) {
    cost_t least = least_bound(search, &tree);
    if (least > *bound) *bound = least;
    size_t at = choose_node(search, &tree);
    if (at == SIZE_MAX || search_is_over(search)) break;
    if (tree.nodes[at].tries == 0)
      solve_node(search, &tree, at);
    else
      solve_leaf(search, &tree, at);
    if (report != NULL) report(data, search, *bound);
  }
  cost_t least = least_bound(search, &tree);
  if (least > *bound) *bound = least;
}
