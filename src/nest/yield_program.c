#include "nest/yield_program.h"

#include <math.h>
#include <string.h>

#include "solver/program.h"

struct yield_worths {
  size_t kinds;
  cost_t *worth;  /* per kind */
  cost_t surplus; /* of what yields of stocks of which there are few are worth beyond their cost */
};

/* More than any demand takes: a stock that is not limited. */
static const int64_t ENOUGH = INT64_C(1000000000);

static int64_t pieces_of(const struct nest_problem *problem, size_t stock) {
  int64_t most = nest_stock_most(&problem->stocks[stock]);
  return most < ENOUGH ? most : ENOUGH;
}

static double in_cents(cost_t cost) { return (double)cost / (double)COST_PER_CENT; }

/* ---- worths: the dual of the cheapest fractions of yields ---- */

/* Columns: the worth of a part of each kind, then what one piece of each stock is worth more. */
static struct program *state_worths(struct arena *arena, const struct nest_problem *problem,
                                    const int64_t *demand, const struct yields *yields) {
  size_t kinds = yield_kinds(problem);
  struct program *program = program_create(arena);
  for (size_t k = 0; k < kinds; k++)
    program_add_column(program, PROGRAM_CONTINUOUS, 0, INFINITY, -(double)demand[k]);
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t most = pieces_of(problem, s);
    program_add_column(program, PROGRAM_CONTINUOUS, 0, most == ENOUGH ? 0 : INFINITY,
                       most == ENOUGH ? 0 : (double)most);
  }
  for (size_t y = 0; y < yields->count; y++) {
    const struct yield *yield = &yields->items[y];
    for (size_t k = 0; k < kinds; k++)
      if (yield->counts[k] > 0) program_put(program, k, (double)yield->counts[k]);
    program_put(program, kinds + yield->stock, -1);
    program_end_row(program, -INFINITY, in_cents(yield->cost));
  }
  return program;
}

static cost_t worth_of(const struct yield_worths *worths, const struct yield *yield) {
  cost_t worth = 0;
  for (size_t k = 0; k < worths->kinds; k++) worth += worths->worth[k] * yield->counts[k];
  return worth;
}

/* Lowers the worths until no yield of a stock that is not limited is worth more than it costs. */
static void lower_worths(const struct nest_problem *problem, const struct yields *yields,
                         struct yield_worths *worths) {
  for (size_t y = 0; y < yields->count; y++) {
    const struct yield *yield = &yields->items[y];
    if (pieces_of(problem, yield->stock) < ENOUGH) continue;
    cost_t worth = worth_of(worths, yield);
    if (worth <= yield->cost) continue;
    double share = (double)yield->cost / (double)worth * (1 - 1e-12);
    for (size_t k = 0; k < worths->kinds; k++)
      worths->worth[k] = (cost_t)((double)worths->worth[k] * share);
    while (worth_of(worths, yield) > yield->cost)
      for (size_t k = 0; k < worths->kinds; k++)
        if (worths->worth[k] > 0) worths->worth[k]--;
  }
}

static void set_surplus(struct arena *arena, const struct nest_problem *problem,
                        const struct yields *yields, struct yield_worths *worths) {
  cost_t *most = ARENA_ARRAY(arena, problem->stock_count, cost_t);
  for (size_t y = 0; y < yields->count; y++) {
    const struct yield *yield = &yields->items[y];
    cost_t more = worth_of(worths, yield) - yield->cost;
    if (more > most[yield->stock]) most[yield->stock] = more;
  }
  for (size_t s = 0; s < problem->stock_count; s++)
    if (most[s] > 0) worths->surplus += most[s] * pieces_of(problem, s);
}

struct yield_worths *yield_worths_create(struct arena *arena, const struct nest_problem *problem,
                                         const int64_t *demand, const struct yields *yields) {
  struct program_result result;
  program_solve(state_worths(arena, problem, demand, yields), 0, &result);
  if (!result.found) return NULL;
  struct yield_worths *worths = ARENA_NEW(arena, struct yield_worths);
  worths->kinds = yield_kinds(problem);
  worths->worth = ARENA_ARRAY(arena, worths->kinds, cost_t);
  for (size_t k = 0; k < worths->kinds; k++)
    if (result.values[k] > 0) worths->worth[k] = (cost_t)(result.values[k] * (double)COST_PER_CENT);
  lower_worths(problem, yields, worths);
  set_surplus(arena, problem, yields, worths);
  return worths;
}

cost_t yield_worths_bound(const struct yield_worths *worths, const int64_t *demand) {
  cost_t bound = -worths->surplus;
  for (size_t k = 0; k < worths->kinds; k++) bound += worths->worth[k] * demand[k];
  return bound;
}

/* ---- plans ---- */

bool yield_program_take(struct arena *arena, const struct nest_problem *problem,
                        const int64_t *demand, const struct yields *yields, int64_t nodes,
                        int64_t *times) {
  struct program *program = program_create(arena);
  for (size_t y = 0; y < yields->count; y++)
    program_add_column(program, PROGRAM_INTEGER, 0, INFINITY, in_cents(yields->items[y].cost));
  for (size_t k = 0; k < yield_kinds(problem); k++) {
    for (size_t y = 0; y < yields->count; y++)
      if (yields->items[y].counts[k] > 0)
        program_put(program, y, (double)yields->items[y].counts[k]);
    program_end_row(program, (double)demand[k], INFINITY);
  }
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t most = pieces_of(problem, s);
    if (most == ENOUGH) continue;
    for (size_t y = 0; y < yields->count; y++)
      if (yields->items[y].stock == s) program_put(program, y, 1);
    program_end_row(program, 0, (double)most);
  }
  struct program_result result;
  program_solve(program, nodes, &result);
  for (size_t y = 0; y < yields->count && result.found; y++) times[y] = (int64_t)result.values[y];
  return result.found && yields_can_be_had(problem, yields, times);
}
