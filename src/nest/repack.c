/* Late acceptance after Burke and Bykov, EJOR 258 (2017), over moves that take cells out and
 * put pieces back, after the ruin and recreate principle of Schrimpf et al., J. Comput.
 * Phys. 159 (2000). */
#include "nest/repack.h"

#include <string.h>

#include "nest/repack_state.h"
#include "nest/repack_tree.h"

/* Cells taken out at once at most; one place in SKIP not seen; rounds without a better plan
 * before all is begun anew. */
enum { RUIN = 9, SKIP = 20, HISTORY = 300, PATIENCE = 20000, ROUND_STEPS = 50 };

/* Ranks are shaken within a factor of two, so finely. */
enum { RANKS = 1 << 20 };

struct search_run {
  struct packing *packing;
  struct arena *arena;
  struct standing history[HISTORY];
  struct standing current;
  struct standing best;        /* of this start */
  int64_t least_open;          /* over all starts */
  struct nest_layout *layouts; /* of that state */
  size_t layout_count;
  int64_t *open;
  const double *density; /* where not all can be placed: per demand, worth by area; or NULL */
  double most_density, most_worth;
  int64_t *rank;
};

static bool is_worse(const struct standing *a, const struct standing *b) {
  if (a->open_area != b->open_area) return a->open_area > b->open_area;
  return a->value < b->value;
}

/* Any cell that is not free: a piece, or a cut with all that is in it. */
static void take_out_one(struct packing *packing) {
  if (packing->live_count == 0) return;
  size_t number = packing->live[packing_below(packing, packing->live_count)];
  const struct plate *plate = &packing->plates[number];
  for (;;) {
    uint16_t cell = (uint16_t)packing_below(packing, plate->cell_count);
    uint8_t kind = plate->cells[cell].kind;
    if (kind != CELL_PIECE && kind != CELL_CUT) continue;
    packing_take_out(packing, number, cell);
    return;
  }
}

static void keep_best(struct search_run *run) {
  struct packing *packing = run->packing;
  run->least_open = run->current.open_area;
  run->layout_count = 0;
  memcpy(run->open, packing->open, packing->problem->demand_count * sizeof *run->open);
  run->layouts = ARENA_ARRAY(run->arena, packing->live_count, struct nest_layout);
  for (size_t i = 0; i < packing->live_count; i++) {
    struct nest_layout *layout = &run->layouts[run->layout_count];
    if (repack_to_layout(run->arena, packing, packing->live[i], layout)) {
      run->layout_count++;
      continue;
    }
    for (size_t d = 0; d < packing->problem->demand_count; d++)
      if (!nest_is_match(packing->problem, d)) run->open[d] += layout->counts[d];
  }
}

/* By their places, by worth, or by worth for the wood they take, each as likely; a little shaken.
 */
static void draw_ranks(struct search_run *run) {
  struct packing *packing = run->packing;
  if (run->density == NULL) return;
  size_t rule = packing_below(packing, 3);
  packing->rank = rule == 0 ? NULL : run->rank;
  for (size_t d = 0; d < packing->problem->demand_count && rule > 0; d++) {
    double weight = rule == 1 ? (double)packing->area[d] : run->density[d];
    double most = rule == 1 ? run->most_worth : run->most_density;
    run->rank[d] = (int64_t)(weight / most * (double)(RANKS + packing_below(packing, RANKS)));
  }
}

static void start_history(struct search_run *run) {
  run->current = run->packing->standing;
  run->best = run->current;
  for (size_t h = 0; h < HISTORY; h++) run->history[h] = run->current;
}

static void try_round(struct search_run *run, size_t slot) {
  struct packing *packing = run->packing;
  size_t count = 1 + packing_below(packing, RUIN);
  for (size_t i = 0; i < count; i++) take_out_one(packing);
  packing_tighten(packing);
  draw_ranks(run);
  packing_put_back(packing, SKIP);
  packing->steps += ROUND_STEPS; /* so that work ends where no place is ever looked at */
  struct standing next = packing->standing;
  if (is_worse(&next, &run->current) && is_worse(&next, &run->history[slot])) {
    packing_restore(packing);
  } else {
    packing_keep(packing);
    run->current = next;
  }
  if (!is_worse(&run->current, &run->history[slot])) run->history[slot] = run->current;
}

/* Steps are used up, or all is placed that has a size at all. */
static bool is_done(const struct search_run *run, int64_t steps) {
  const struct packing *packing = run->packing;
  return packing->steps >= steps || packing->plate_count == 0 ||
         run->least_open <= packing->hopeless_area;
}

/* Rounds until complete, out of steps, or nothing better for long. */
static void run_from_here(struct search_run *run, int64_t steps) {
  struct packing *packing = run->packing;
  packing_keep(packing);
  draw_ranks(run);
  packing_put_back(packing, SKIP);
  packing_keep(packing);
  start_history(run);
  if (run->current.open_area < run->least_open) keep_best(run);
  int64_t barren = 0;
  for (int64_t round = 0; !is_done(run, steps) && barren < PATIENCE; round++) {
    try_round(run, (size_t)(round % HISTORY));
    barren++;
    if (is_worse(&run->best, &run->current)) {
      run->best = run->current;
      barren = 0;
    }
    if (run->current.open_area < run->least_open) keep_best(run);
  }
}

static void put_start(struct arena *arena, struct packing *packing, const struct nest_layout *start,
                      size_t start_count) {
  if (start == NULL) return;
  for (size_t i = 0; i < start_count; i++)
    for (int64_t t = 0; t < start[i].times; t++)
      if (!repack_from_layout(arena, packing, &start[i])) break;
}

static struct search_run *open_run(struct arena *arena, struct arena *scratch,
                                   struct packing *packing, uint64_t seed) {
  struct search_run *run = ARENA_NEW(scratch, struct search_run);
  packing->random = seed;
  run->packing = packing;
  run->arena = arena;
  run->least_open = INT64_MAX;
  run->open = ARENA_ARRAY(arena, packing->problem->demand_count, int64_t);
  return run;
}

static void run_all(struct arena *scratch, struct search_run *run, const struct nest_layout *start,
                    size_t start_count, int64_t steps) {
  put_start(scratch, run->packing, start, start_count);
  run_from_here(run, steps);
  while (!is_done(run, steps)) {
    packing_clear(run->packing);
    run_from_here(run, steps);
  }
}

void repack(struct arena *arena, const struct nest_problem *problem, const int64_t *demand,
            const int64_t *available, const struct nest_layout *start, size_t start_count,
            int64_t steps, uint64_t seed, struct repack_result *result) {
  struct arena *scratch = arena_create_child(arena);
  struct arena_mark mark = arena_mark(scratch);
  struct packing *packing = packing_create(scratch, problem, demand, available);
  struct search_run *run = open_run(arena, scratch, packing, seed);
  run_all(scratch, run, start, start_count, steps);
  *result = (struct repack_result){.complete = true,
                                   .open = run->open,
                                   .layouts = run->layouts,
                                   .layout_count = run->layout_count,
                                   .steps = packing->steps};
  for (size_t d = 0; d < problem->demand_count; d++)
    if (run->open[d] > 0) result->complete = false;
  arena_release(scratch, mark);
}

/* ---- one piece of stock, most worth ---- */

/* More copies than its area holds are of no use. */
static int64_t *useful_copies(struct arena *arena, const struct nest_problem *problem,
                              const struct nest_stock *stock, const cost_t *worth,
                              const int64_t *limit) {
  int64_t *useful = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    int64_t room = stock->length * stock->width / (option->length * option->width);
    if (worth[option->demand] > 0 && limit[option->demand] > 0 && room > useful[option->demand])
      useful[option->demand] = room < limit[option->demand] ? room : limit[option->demand];
  }
  return useful;
}

/* Of the areas that the packing counts by so far. */
static void set_densities(struct arena *arena, struct search_run *run, const cost_t *worth,
                          const int64_t *useful) {
  const struct packing *packing = run->packing;
  size_t count = packing->problem->demand_count;
  double *density = ARENA_ARRAY(arena, count, double);
  run->rank = ARENA_ARRAY(arena, count, int64_t);
  run->most_worth = run->most_density = 1e-9;
  for (size_t d = 0; d < count; d++) {
    if (useful[d] <= 0) continue;
    density[d] = (double)worth[d] / (double)packing->area[d];
    if (density[d] > run->most_density) run->most_density = density[d];
    if ((double)worth[d] > run->most_worth) run->most_worth = (double)worth[d];
  }
  run->density = density;
}

bool repack_layout(struct arena *arena, const struct nest_problem *problem, size_t stock,
                   const cost_t *worth, const int64_t *limit, const struct nest_layout *start,
                   int64_t steps, struct nest_layout *layout, int64_t *spent) {
  struct arena *scratch = arena_create_child(arena);
  struct arena_mark mark = arena_mark(scratch);
  int64_t *available = ARENA_ARRAY(scratch, problem->stock_count, int64_t);
  available[stock] = 1;
  int64_t *useful = useful_copies(scratch, problem, &problem->stocks[stock], worth, limit);
  struct packing *packing = packing_create(scratch, problem, useful, available);
  struct search_run *run = open_run(arena, scratch, packing, 1);
  set_densities(scratch, run, worth, useful);
  packing_set_worths(packing, worth);
  run_all(scratch, run, start, start == NULL ? 0 : 1, steps);
  *spent += packing->steps;
  bool any = run->layout_count > 0;
  if (any) *layout = run->layouts[0];
  arena_release(scratch, mark);
  return any;
}
