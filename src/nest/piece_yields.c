#include "nest/piece_yields.h"

#include <string.h>

#include "nest/bounded.h"
#include "nest/generate.h"
#include "nest/pricer.h"

enum { CELLS_MOST = 200 };

/* For one question, and cells of tables for any number of stages. */
static const int64_t QUESTION_STEPS = 1000000;
static const size_t TABLE_CELLS = 4000000;

struct asking {
  struct arena *arena, *scratch;
  const struct nest_problem *problem;
  size_t stock;
  struct pricer *pricer;
  int64_t *steps; /* left */
  struct count_box box;
  struct yields *least;
  struct plank_layouts *layouts;
};

/* No layout of so many pieces takes more cuts: each parts two rectangles with pieces in them, or is
 * one of at most four trims of one. */
static int64_t cuts_most(int64_t pieces) { return 10 * pieces + 10; }

/* By area. */
static void limit_kinds(const struct nest_problem *problem, const struct nest_stock *stock,
                        const int64_t *most, int64_t *limit) {
  double room =
      (double)(stock->length + stock->kerf_crosscut) * (double)(stock->width + stock->kerf_rip);
  memset(limit, 0, yield_kinds(problem) * sizeof *limit);
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    double takes =
        (double)(option->length + stock->kerf_crosscut) * (double)(option->width + stock->kerf_rip);
    int64_t all = (int64_t)(room / takes + 1e-6);
    if (all > most[option->demand]) all = most[option->demand];
    if (all > limit[option->demand]) limit[option->demand] = all;
  }
}

static void add_least(const struct asking *asking, const int64_t *counts, cost_t cuts) {
  const struct nest_stock *stock = &asking->problem->stocks[asking->stock];
  *ARENA_PUSH(asking->arena, asking->least->items, asking->least->count, asking->least->room) =
      (struct yield){asking->stock, counts, stock->cost + cuts};
}

static void add_layout(const struct asking *asking, const int64_t *counts,
                       const struct priced *priced) {
  struct plank_layouts *layouts = asking->layouts;
  struct yields *yields = &layouts->yields;
  const struct nest_stock *stock = &asking->problem->stocks[asking->stock];
  struct plank_layout layout = {
      .root = cutting_copy(asking->arena, &priced->root, 0, 0),
      .cuts = priced->cuts,
      .counts = ARENA_ARRAY(asking->arena, asking->problem->demand_count, int64_t)};
  memcpy(layout.counts, priced->counts, asking->box.kinds * sizeof *counts);
  size_t number = yields->count;
  *ARENA_PUSH(asking->arena, yields->items, yields->count, yields->room) =
      (struct yield){asking->stock, counts, stock->cost + priced->cuts * asking->problem->cut_cost};
  *ARENA_PUSH(asking->arena, layouts->items, number, layouts->room) = layout;
}

/* The layout worth the most, its bound taken without flaws too. */
static void price(struct asking *asking, const cost_t *worth, const int64_t *limit,
                  struct priced *priced) {
  const struct nest_problem *problem = asking->problem;
  const struct nest_stock *stock = &problem->stocks[asking->stock];
  struct bounded_answer answer;
  bounded_search(asking->scratch, problem, stock, worth, limit, QUESTION_STEPS, &answer);
  *asking->steps -= answer.steps;
  *priced = (struct priced){answer.value, answer.bound, answer.root, answer.counts, 0};
  if (stock->flaw_count > 0) {
    int64_t before = pricer_steps(asking->pricer);
    pricer_run(asking->scratch, asking->pricer, worth, limit, COST_UNKNOWN, QUESTION_STEPS, priced);
    *asking->steps -= pricer_steps(asking->pricer) - before;
    priced->bound = smaller(priced->bound, answer.bound);
  }
  priced->cuts = cutting_count_cuts(&priced->root);
}

/* Whether a layout may yield just the numbers of the cell. */
static bool ask(struct asking *asking, size_t cell) {
  const struct nest_problem *problem = asking->problem;
  size_t kinds = asking->box.kinds;
  struct arena_mark mark = arena_mark(asking->scratch);
  int64_t *limit = ARENA_ARRAY(asking->scratch, problem->demand_count, int64_t);
  cost_t *worth = ARENA_ARRAY(asking->scratch, problem->demand_count, cost_t);
  int64_t pieces = 0;
  for (size_t k = 0; k < kinds; k++) {
    limit[k] = count_box_count(&asking->box, cell, k);
    pieces += limit[k];
  }
  cost_t cuts = problem->cut_cost * cuts_most(pieces);
  for (size_t k = 0; k < kinds; k++) worth[k] = limit[k] > 0 ? cuts + 1 : 0;
  struct priced priced;
  price(asking, worth, limit, &priced);
  cost_t all = pieces * (cuts + 1);
  bool may = priced.bound >= all - cuts;
  if (may) {
    int64_t *counts = ARENA_ARRAY(asking->arena, kinds, int64_t);
    memcpy(counts, limit, kinds * sizeof *counts);
    add_least(asking, counts, priced.bound < all ? all - priced.bound : 0);
    if (memcmp(priced.counts, limit, kinds * sizeof *limit) == 0 &&
        cutting_obeys(&priced.root, &problem->stocks[asking->stock].rules))
      add_layout(asking, counts, &priced);
  }
  arena_release(asking->scratch, mark);
  return may;
}

/* What is not possible with a piece less is not possible. */
static bool is_out(const struct asking *asking, const bool *possible, size_t cell) {
  for (size_t k = 0; k < asking->box.kinds; k++)
    if (count_box_count(&asking->box, cell, k) > 0 && !possible[cell - asking->box.stride[k]])
      return true;
  return false;
}

bool piece_yields_add(struct arena *arena, const struct nest_problem *problem, size_t stock,
                      const int64_t *most, int64_t *steps, struct yields *least,
                      struct plank_layouts *layouts) {
  struct asking asking = {.arena = arena,
                          .scratch = arena_create_child(arena),
                          .problem = problem,
                          .stock = stock,
                          .steps = steps,
                          .least = least,
                          .layouts = layouts};
  struct arena_mark empty = arena_mark(asking.scratch);
  int64_t *limit = ARENA_ARRAY(arena, yield_kinds(problem), int64_t);
  limit_kinds(problem, &problem->stocks[stock], most, limit);
  if (!count_box_open(arena, yield_kinds(problem), limit, CELLS_MOST, &asking.box)) return false;
  size_t cells = TABLE_CELLS;
  struct arena *pricing = arena_create_child(arena); /* a pricer adds to what it knows */
  struct arena_mark nothing = arena_mark(pricing);
  if (problem->stocks[stock].flaw_count > 0)
    asking.pricer = pricer_create(pricing, problem, stock, &cells);
  bool *possible = ARENA_ARRAY(arena, asking.box.cells, bool);
  possible[0] = true;
  size_t c = 1;
  for (; c < asking.box.cells; c++) {
    if (*steps <= 0) break;
    possible[c] = !is_out(&asking, possible, c) && ask(&asking, c);
  }
  arena_release(asking.scratch, empty);
  arena_release(pricing, nothing);
  return c == asking.box.cells;
}
