#include "nest/set_branch.h"

#include <math.h>
#include <string.h>

#include "nest/tolerance.h"

enum { MOST_DEPTH = 200, POOL_EVERY = 6, POOL_SHARE = 200 /* of the steps */ };

struct branching {
  struct set_job *job;
  struct region region; /* of the set */
  int64_t nodes;
};

/* How many pieces of each demand come from a group, in fractions. */
static double made_in(const struct branching *branching, const struct set_relaxed *relaxed,
                      size_t group, size_t demand) {
  double made = 0;
  for (size_t u = 0; u < relaxed->use_count; u++) {
    const struct set_use *use = &relaxed->uses[u];
    if (use->group != group) continue;
    made += use->times * (double)branching->job->search->columns->items[use->column].counts[demand];
  }
  return made;
}

static double from_whole(double value) { return fabs(value - round(value)); }

/* Where to branch. */
struct choice {
  size_t group, demand;
  double made;
  bool any;
};

/* The pieces in a group furthest from whole, by their weight. */
static struct choice choose_pieces(const struct branching *branching, const struct set_node *node,
                                   const struct set_relaxed *relaxed) {
  struct choice choice = {.any = false};
  double best = 0;
  for (size_t g = 0; g < node->group_count; g++)
    for (size_t d = 0; d < branching->job->search->problem->demand_count; d++) {
      double made = made_in(branching, relaxed, g, d);
      double distance = from_whole(made);
      if (distance <= TOLERANCE_WHOLE) continue;
      double rank = distance * (double)branching->job->weight[d];
      if (rank <= best) continue;
      best = rank;
      choice = (struct choice){g, d, made, true};
    }
  return choice;
}

/* A group with layouts in fractions, else none. */
static size_t choose_group(const struct set_relaxed *relaxed) {
  for (size_t u = 0; u < relaxed->use_count; u++)
    if (from_whole(relaxed->uses[u].times) > TOLERANCE_WHOLE) return relaxed->uses[u].group;
  return SIZE_MAX;
}

/* Whether the pieces of a demand in one plank are laid down. */
static bool is_fixed(const struct set_node *node, size_t group, size_t demand) {
  int64_t least = 0;
  int64_t most = INT64_MAX;
  for (size_t i = 0; i < node->row_count; i++) {
    const struct set_row *row = &node->rows[i];
    if (row->demand != demand || row->groups != UINT64_C(1) << group) continue;
    if (row->at_most && row->value < most) most = row->value;
    if (!row->at_most && row->value > least) least = row->value;
  }
  return most <= least;
}

static void keep_whole(const struct branching *branching, const struct set_relaxed *relaxed) {
  struct search *search = branching->job->search;
  struct uses uses = {NULL, 0, 0};
  for (size_t u = 0; u < relaxed->use_count; u++)
    uses_add(search->arena, &uses, relaxed->uses[u].column, llround(relaxed->uses[u].times));
  keep_plan(search, &uses);
}

static enum set_outcome explore(struct branching *branching, const struct set_node *node,
                                int depth);

static struct set_node copy_node(struct arena *arena, const struct set_node *node) {
  struct set_node copy = *node;
  copy.groups = ARENA_ARRAY(arena, node->group_count + 1, struct set_group);
  copy.rows = ARENA_ARRAY(arena, node->row_count + 2, struct set_row);
  memcpy(copy.groups, node->groups, node->group_count * sizeof *copy.groups);
  if (node->row_count > 0) memcpy(copy.rows, node->rows, node->row_count * sizeof *copy.rows);
  return copy;
}

/* One child: between `least` and `most` pieces of the demand in the group. */
static enum set_outcome explore_between(struct branching *branching, const struct set_node *node,
                                        const struct choice *choice, int64_t least, int64_t most,
                                        int depth) {
  int64_t wanted = branching->job->demand[choice->demand];
  if (least > most || least > wanted) return SET_REFUTED;
  struct set_node child = copy_node(branching->job->search->scratch, node);
  struct set_row row = {choice->demand, UINT64_C(1) << choice->group, true, most};
  if (most < wanted) child.rows[child.row_count++] = row;
  row.at_most = false;
  row.value = least;
  if (least > 0) child.rows[child.row_count++] = row;
  return explore(branching, &child, depth + 1);
}

/* The worse of two children's outcomes for refuting their parent. */
static enum set_outcome both(enum set_outcome a, enum set_outcome b) {
  if (a == SET_HOLDS || b == SET_HOLDS) return SET_HOLDS;
  return a == SET_REFUTED && b == SET_REFUTED ? SET_REFUTED : SET_NOT_TOLD;
}

static enum set_outcome branch_on_pieces(struct branching *branching, const struct set_node *node,
                                         const struct choice *choice, int depth) {
  int64_t low = (int64_t)floor(choice->made);
  enum set_outcome more = explore_between(branching, node, choice, low + 1, INT64_MAX, depth);
  if (more == SET_HOLDS) return more;
  return both(more, explore_between(branching, node, choice, 0, low, depth));
}

/* Several planks alike: one of them is told apart. */
static enum set_outcome branch_on_plank(struct branching *branching, const struct set_node *node,
                                        size_t group, int depth) {
  if (node->group_count >= MOST_GROUPS) return SET_NOT_TOLD;
  struct set_node child = copy_node(branching->job->search->scratch, node);
  size_t apart = child.group_count++;
  child.groups[apart] = (struct set_group){child.groups[group].stock, 1};
  child.groups[group].count--;
  for (size_t i = 0; i < child.row_count; i++)
    if (child.rows[i].groups >> group & 1) child.rows[i].groups |= UINT64_C(1) << apart;
  return explore(branching, &child, depth + 1);
}

/* Whole numbers of pieces, but from layouts in fractions: one, two, .. of the demands in the plank
 * are laid down. */
static enum set_outcome branch_on_layout(struct branching *branching, const struct set_node *node,
                                         const struct set_relaxed *relaxed, size_t group,
                                         int depth) {
  const struct set_job *job = branching->job;
  struct choice choice = {.group = group};
  for (size_t d = 0; d < job->search->problem->demand_count; d++) {
    double made = made_in(branching, relaxed, group, d);
    if (made > (double)job->demand[d] + TOLERANCE_WHOLE || is_fixed(node, group, d)) continue;
    if (choice.any && job->weight[d] <= job->weight[choice.demand]) continue;
    choice = (struct choice){group, d, made, true};
  }
  if (!choice.any) return SET_NOT_TOLD;
  int64_t own = llround(choice.made);
  enum set_outcome outcome = explore_between(branching, node, &choice, own, own, depth);
  if (outcome == SET_HOLDS) return outcome;
  outcome = both(outcome, explore_between(branching, node, &choice, own + 1, INT64_MAX, depth));
  if (outcome == SET_HOLDS) return outcome;
  return both(outcome, explore_between(branching, node, &choice, 0, own - 1, depth));
}

static enum set_outcome split(struct branching *branching, const struct set_node *node,
                              const struct set_relaxed *relaxed, enum set_outcome outcome,
                              int depth) {
  struct choice choice = choose_pieces(branching, node, relaxed);
  if (choice.any) return branch_on_pieces(branching, node, &choice, depth);
  size_t group = choose_group(relaxed);
  if (group == SIZE_MAX && outcome == SET_HOLDS) {
    cost_t before = branching->job->search->best_cost;
    keep_whole(branching, relaxed);
    return branching->job->search->best_cost < before ? SET_HOLDS : SET_NOT_TOLD;
  }
  if (group == SIZE_MAX) return SET_NOT_TOLD;
  if (node->groups[group].count > 1) return branch_on_plank(branching, node, group, depth);
  return branch_on_layout(branching, node, relaxed, group, depth);
}

static bool is_over(const struct branching *branching) {
  return search_steps(branching->job->search) >= branching->job->stop ||
         search_is_over(branching->job->search);
}

static enum set_outcome explore(struct branching *branching, const struct set_node *node,
                                int depth) {
  struct search *search = branching->job->search;
  if (depth > MOST_DEPTH || is_over(branching)) return SET_NOT_TOLD;
  struct arena_mark mark = arena_mark(search->scratch);
  struct set_relaxed relaxed;
  enum set_outcome outcome = set_relax(branching->job, node, &relaxed);
  if (outcome != SET_REFUTED) {
    cost_t before = search->best_cost;
    if (branching->nodes++ % POOL_EVERY == 0)
      finish_with_pool(search, &branching->region, search->steps_allowed / POOL_SHARE);
    outcome =
        search->best_cost < before ? SET_HOLDS : split(branching, node, &relaxed, outcome, depth);
  }
  arena_release(search->scratch, mark);
  return outcome;
}

enum set_outcome set_branch(struct set_job *job, const int64_t *pieces) {
  struct search *search = job->search;
  const struct nest_problem *problem = search->problem;
  struct arena_mark mark = arena_mark(search->scratch);
  struct branching branching = {.job = job};
  branching.region = (struct region){ARENA_ARRAY(search->scratch, problem->demand_count, int64_t),
                                     ARENA_ARRAY(search->scratch, problem->stock_count, int64_t),
                                     ARENA_ARRAY(search->scratch, problem->stock_count, int64_t)};
  memcpy(branching.region.demand, job->demand,
         problem->demand_count * sizeof *branching.region.demand);
  struct set_node root = {.groups =
                              ARENA_ARRAY(search->scratch, job->stock_count, struct set_group)};
  for (size_t s = 0; s < job->stock_count; s++) {
    branching.region.most[s] = pieces[s];
    if (pieces[s] > 0) root.groups[root.group_count++] = (struct set_group){s, pieces[s]};
  }
  enum set_outcome outcome =
      root.group_count > MOST_GROUPS ? SET_NOT_TOLD : explore(&branching, &root, 0);
  arena_release(search->scratch, mark);
  return outcome;
}
