#include "nest/quantities.h"

#include <string.h>

#include "nest/lattice.h"
#include "nest/piece_yields.h"
#include "nest/whole_yields.h"
#include "nest/yield_program.h"

/* Cells of tables for each percent of effort: shared by the stocks for what one piece of each
 * yields, and once more for the cheapest whole numbers. */
static const int64_t STEPS = 20000000;

/* Work on pricing pieces, for each percent of effort and all stocks together. */
static const int64_t PRICING_STEPS = 600000;

/* Worths that bound best at all of the demand, half of it, a quarter and so on; and how often it is
 * halved until tables are small enough. */
enum { WORTHS_MOST = 6, HALVES_MOST = 12 };

/* Nodes for the plan of one demand that has no table. */
enum { PLAN_NODES = 200 };

struct quantities {
  const struct nest_problem *problem;
  struct yields least; /* what any layout yields at most */
  struct plank_layouts layouts;
  const int64_t *tabled;                          /* per kind: up to so many the tables tell */
  struct whole_yields *bounds;                    /* or NULL */
  struct whole_yields *plans;                     /* or NULL */
  const struct yield_worths *worths[WORTHS_MOST]; /* beyond */
  size_t worths_count;
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

/* Tables of all that is wanted, or of half of it, a quarter and so on, so many of them tried. False
 * where they are not of all. */
static bool fill_tables(struct arena *arena, struct quantities *quantities, int64_t steps,
                        size_t halves) {
  const struct nest_problem *problem = quantities->problem;
  bool all = true;
  int64_t *most = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  memcpy(most, problem->demand, problem->demand_count * sizeof *most);
  quantities->tabled = most;
  for (size_t half = 0; half < halves; half++) {
    quantities->bounds = whole_yields_solve(arena, problem, most, &quantities->least, steps);
    if (quantities->bounds != NULL) break;
    all = false;
    for (size_t d = 0; d < problem->demand_count; d++) most[d] = (most[d] + 1) / 2;
  }
  if (quantities->bounds != NULL)
    quantities->plans =
        whole_yields_solve(arena, problem, most, &quantities->layouts.yields, steps);
  return all;
}

static bool is_tabled(const struct quantities *quantities, const int64_t *demand) {
  for (size_t k = 0; k < yield_kinds(quantities->problem); k++)
    if (demand[k] > quantities->tabled[k]) return false;
  return true;
}

/* Where tables are too large. False where no worths were found. */
static bool add_worths(struct arena *arena, struct quantities *quantities) {
  const struct nest_problem *problem = quantities->problem;
  int64_t *demand = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  memcpy(demand, problem->demand, problem->demand_count * sizeof *demand);
  for (size_t w = 0; w < WORTHS_MOST; w++) {
    const struct yield_worths *worths =
        yield_worths_create(arena, problem, demand, &quantities->least);
    if (worths != NULL) quantities->worths[quantities->worths_count++] = worths;
    for (size_t d = 0; d < problem->demand_count; d++) demand[d] = (demand[d] + 1) / 2;
  }
  return quantities->worths_count > 0;
}

struct quantities *quantities_solve(struct arena *arena, const struct nest_problem *problem,
                                    int64_t effort, bool many) {
  if (!is_told_by_yields(problem)) return NULL;
  if (!has_loads(problem) && (!many || problem->coupling_count > 0 || problem->loads != NULL))
    return NULL;
  struct quantities *quantities = ARENA_NEW(arena, struct quantities);
  quantities->problem = problem;
  if (!add_yields(arena, quantities, effort)) return NULL;
  bool all = fill_tables(arena, quantities, STEPS * effort, many ? HALVES_MOST : 1);
  if (!all && !add_worths(arena, quantities)) return NULL;
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

static cost_t bound_of(const struct quantities *quantities, const int64_t *demand) {
  if (quantities->bounds != NULL && is_tabled(quantities, demand))
    return whole_yields_cost(quantities->bounds, demand);
  cost_t most = 0;
  for (size_t w = 0; w < quantities->worths_count; w++) {
    cost_t bound = yield_worths_bound(quantities->worths[w], demand);
    if (bound > most) most = bound;
  }
  return most;
}

/* How often each layout. */
static bool take_layouts(const struct quantities *quantities, struct arena *arena,
                         const struct nest_problem *problem, int64_t *times) {
  if (!is_tabled(quantities, problem->demand))
    return yield_program_take(arena, problem, problem->demand, &quantities->layouts.yields,
                              PLAN_NODES, times);
  return quantities->plans != NULL &&
         whole_yields_cost(quantities->plans, problem->demand) < COUNT_NEVER &&
         whole_yields_take(quantities->plans, problem->demand, times);
}

bool quantities_answer(const struct quantities *quantities, struct arena *arena,
                       const struct nest_problem *problem, struct nest_answer *answer) {
  memset(answer, 0, sizeof *answer);
  if (!is_part_of(problem, quantities->problem)) return false;
  cost_t bound = bound_of(quantities, problem->demand);
  cost_t area = lattice_area_bound(arena, problem);
  answer->bound = bound > area && bound < COUNT_NEVER ? bound : area;
  answer->listed_bound = answer->bound;
  answer->missing = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  int64_t *times = ARENA_ARRAY(arena, quantities->layouts.yields.count, int64_t);
  answer->complete = take_layouts(quantities, arena, problem, times) &&
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
