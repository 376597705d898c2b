#include "nest/quantities.h"

#include <string.h>

#include "nest/lattice.h"
#include "nest/piece_yields.h"
#include "nest/whole_yields.h"

/* Cells of tables for each percent of effort: shared by the stocks for what one piece of each
 * yields, and once more for the cheapest whole numbers. */
static const int64_t STEPS = 20000000;

/* Work on pricing pieces, for each percent of effort and all stocks together. */
static const int64_t PRICING_STEPS = 600000;

struct quantities {
  const struct nest_problem *problem;
  struct yields least; /* what any layout yields at most */
  struct whole_yields *bounds;
  struct plank_layouts layouts;
  struct whole_yields *plans; /* or NULL */
};

static bool has_loads(const struct nest_problem *problem) {
  return problem->loads != NULL && problem->loads->least_count > 0;
}

static bool is_told_by_yields(const struct nest_problem *problem) {
  if (problem->match_count > 0) return false;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->is_leaf || stock->split_count > 0) return false;
    if (stock->given != NULL && !stock->assembly) return false;
    for (size_t d = yield_kinds(problem); stock->assembly && d < problem->demand_count; d++)
      if (stock->given[d] < -1) return false;
  }
  return true;
}

static int64_t steps_of_stock(const struct nest_problem *problem, int64_t effort) {
  int64_t cut = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (nest_is_cut(&problem->stocks[s])) cut++;
  return cut == 0 ? 0 : STEPS * effort / cut;
}

/* The yields of every stock. */
static bool add_yields(struct arena *arena, struct quantities *quantities, int64_t effort) {
  const struct nest_problem *problem = quantities->problem;
  struct arena *scratch = arena_create_child(arena);
  int64_t steps = steps_of_stock(problem, effort), pricing = PRICING_STEPS * effort;
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (!nest_is_cut(&problem->stocks[s])) continue;
    if (!has_loads(problem)) {
      if (!piece_yields_add(arena, problem, s, problem->demand, &pricing, &quantities->least,
                            &quantities->layouts))
        return false;
      continue;
    }
    if (!plank_yields_add(arena, scratch, problem, s, problem->demand, steps, &quantities->least))
      return false;
    plank_layouts_add(arena, scratch, problem, s, problem->demand, steps, &quantities->layouts);
  }
  return true;
}

struct quantities *quantities_solve(struct arena *arena, const struct nest_problem *problem,
                                    int64_t effort, bool pieces_too) {
  if (!is_told_by_yields(problem)) return NULL;
  if (!has_loads(problem) && (!pieces_too || problem->coupling_count > 0 || problem->loads != NULL))
    return NULL;
  struct quantities *quantities = ARENA_NEW(arena, struct quantities);
  quantities->problem = problem;
  if (!add_yields(arena, quantities, effort)) return NULL;
  quantities->bounds =
      whole_yields_solve(arena, problem, problem->demand, &quantities->least, STEPS * effort);
  if (quantities->bounds == NULL) return NULL;
  quantities->plans = whole_yields_solve(arena, problem, problem->demand,
                                         &quantities->layouts.yields, STEPS * effort);
  return quantities;
}

/* Whether it differs at most in the numbers wanted, which are no larger. */
static bool is_part_of(const struct nest_problem *problem, const struct nest_problem *whole) {
  if (problem->demand_count != whole->demand_count || problem->stock_count != whole->stock_count ||
      problem->coupling_count != whole->coupling_count)
    return false;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (problem->demand[d] > whole->demand[d]) return false;
  return true;
}

static bool takes_more(const struct nest_problem *problem, const struct nest_answer *answer) {
  for (size_t d = 0; d < yield_kinds(problem); d++) {
    int64_t made = 0;
    for (size_t l = 0; l < answer->layout_count; l++)
      made += answer->layouts[l].times * answer->layouts[l].counts[d];
    if (made > problem->demand[d]) return true;
  }
  return false;
}

/* Whether one of the loads is not needed: nothing would be left in it. */
static bool wastes_a_load(struct arena *arena, const struct nest_problem *problem,
                          const struct nest_answer *answer) {
  size_t kinds = yield_kinds(problem);
  int64_t *made = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t l = 0; l < answer->layout_count; l++)
    for (size_t d = 0; d < problem->demand_count; d++)
      made[d] += answer->layouts[l].times * answer->layouts[l].counts[d];
  for (size_t d = kinds; d < problem->demand_count; d++) {
    const struct nest_stock *assembly = nest_assembly_of(problem, d);
    for (size_t k = 0; assembly != NULL && k < kinds; k++) made[k] += made[d] * assembly->given[k];
  }
  for (size_t d = kinds; d < problem->demand_count; d++) {
    const struct nest_stock *assembly = nest_assembly_of(problem, d);
    bool needed = made[d] == 0 || assembly == NULL;
    for (size_t k = 0; !needed && k < kinds; k++)
      needed = made[k] - assembly->given[k] < problem->demand[k];
    if (!needed) return true;
  }
  return false;
}

/* False where a part that is sawn as it is would be made more often than wanted, or a load in vain.
 */
static bool add_plan(const struct quantities *quantities, struct arena *arena,
                     const struct nest_problem *problem, const int64_t *times,
                     struct nest_answer *answer) {
  const struct yields *yields = &quantities->layouts.yields;
  for (size_t y = 0; y < yields->count; y++) {
    const struct plank_layout *layout = &quantities->layouts.items[y];
    if (times[y] == 0) continue;
    *ARENA_PUSH(arena, answer->layouts, answer->layout_count, answer->layout_room) =
        (struct nest_layout){.stock = yields->items[y].stock,
                             .times = times[y],
                             .root = layout->root,
                             .cuts = layout->cuts,
                             .counts = layout->counts};
    answer->cost += times[y] * yields->items[y].cost;
  }
  return !takes_more(problem, answer) && !wastes_a_load(arena, problem, answer);
}

bool quantities_answer(const struct quantities *quantities, struct arena *arena,
                       const struct nest_problem *problem, struct nest_answer *answer) {
  memset(answer, 0, sizeof *answer);
  if (!is_part_of(problem, quantities->problem)) return false;
  cost_t bound = whole_yields_cost(quantities->bounds, problem->demand);
  cost_t area = lattice_area_bound(arena, problem);
  answer->bound = bound > area && bound < COUNT_NEVER ? bound : area;
  answer->listed_bound = answer->bound;
  answer->missing = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  if (quantities->plans == NULL ||
      whole_yields_cost(quantities->plans, problem->demand) >= COUNT_NEVER)
    return false;
  int64_t *times = ARENA_ARRAY(arena, quantities->layouts.yields.count, int64_t);
  answer->complete = whole_yields_take(quantities->plans, problem->demand, times) &&
                     add_plan(quantities, arena, problem, times, answer);
  return answer->complete;
}

const struct load_wish *quantities_wishes(struct arena *arena, const struct nest_problem *problem,
                                          int64_t effort, size_t *count) {
  struct plank_layouts layouts = {.wish_count = 0};
  struct arena *scratch = arena_create_child(arena), *own = arena_create_child(arena);
  struct arena_mark mark = arena_mark(own);
  int64_t steps = steps_of_stock(problem, effort);
  bool any = has_loads(problem) && is_told_by_yields(problem);
  for (size_t s = 0; any && s < problem->stock_count; s++)
    if (nest_is_cut(&problem->stocks[s]))
      plank_layouts_add(own, scratch, problem, s, problem->demand, steps, &layouts);
  *count = layouts.wish_count;
  struct load_wish *wishes = ARENA_ARRAY(arena, layouts.wish_count, struct load_wish);
  if (layouts.wish_count > 0) memcpy(wishes, layouts.wishes, layouts.wish_count * sizeof *wishes);
  arena_release(own, mark);
  return wishes;
}
