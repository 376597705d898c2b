#include "nest/free_plan.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_SETS = 64, MOST_SET_NODES = 100000 };

static cost_t cost_of_counts(const struct nest_problem *problem, const int64_t *count) {
  cost_t cost = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    cost += nest_stock_cost(&problem->stocks[s], count[s]);
  return cost;
}

void free_plan_read(struct arena *arena, const struct free_state *state, struct free_plan *plan) {
  const struct nest_problem *problem = state->job->problem;
  int64_t *count = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  plan->sheets = ARENA_ARRAY(arena, state->sheet_count, uint32_t);
  plan->places = ARENA_ARRAY(arena, state->job->item_count, struct free_place);
  plan->sheet_count = 0;
  plan->place_count = 0;
  for (size_t b = 0; b < state->sheet_count; b++) {
    const struct free_sheet *sheet = state->sheets[b];
    if (sheet->count == 0) continue;
    for (size_t p = 0; p < sheet->count; p++)
      plan->places[plan->place_count++] =
          (struct free_place){plan->sheet_count, sheet->pieces[p].option,
                              sheet->pieces[p].place.left, sheet->pieces[p].place.bottom};
    plan->sheets[plan->sheet_count++] = sheet->stock;
    count[sheet->stock]++;
  }
  plan->cost = cost_of_counts(problem, count);
  plan->unplaced = free_state_open_area(state);
}

/* --- A first plan --- */

static bool dearer_for_its_area(const struct free_job *job, size_t s, size_t other) {
  return (double)job->problem->stocks[s].cost * (double)job->stocks[other].area >=
         (double)job->problem->stocks[other].cost * (double)job->stocks[s].area;
}

/* The stock to add for an open demand, or SIZE_MAX. */
static size_t stock_to_add(const struct free_job *job, const int64_t *used, uint32_t demand) {
  size_t best = SIZE_MAX;
  for (size_t s = 0; s < job->problem->stock_count; s++) {
    const struct free_stock *stock = &job->stocks[s];
    if (stock->first[demand] == stock->first[demand + 1] ||
        used[s] >= nest_stock_most(&job->problem->stocks[s]))
      continue;
    if (best == SIZE_MAX || !dearer_for_its_area(job, s, best)) best = s;
  }
  return best;
}

static void lay_in_order(struct arena *arena, const struct free_job *job,
                         const struct free_way *way, struct free_plan *plan, int64_t *steps) {
  struct free_random random = free_random_seeded(1);
  struct free_state *state = free_state_create(arena, job, NULL, 0);
  uint32_t *work = ARENA_ARRAY(arena, 2 * job->item_count + 2, uint32_t);
  int64_t *used = ARENA_ARRAY(arena, job->problem->stock_count, int64_t);
  bool *given_up = ARENA_ARRAY(arena, job->problem->demand_count, bool);
  for (;;) {
    uint32_t next = UINT32_MAX;
    for (size_t i = 0; i < state->open_count; i++) {
      uint32_t demand = job->demand_of[state->open[i]];
      if (!given_up[demand] &&
          (next == UINT32_MAX || job->rank[way->order][demand] < job->rank[way->order][next]))
        next = demand;
    }
    if (next == UINT32_MAX) break;
    size_t stock = stock_to_add(job, used, next);
    if (stock == SIZE_MAX) {
      given_up[next] = true;
      continue;
    }
    used[stock]++;
    free_state_add_sheet(state, (uint32_t)stock);
    size_t before = state->open_count;
    free_recreate(state, &random, way, work);
    free_state_commit(state);
    if (state->open_count == before) given_up[next] = true; /* flaws are in the way */
  }
  free_plan_read(arena, state, plan);
  *steps += state->steps;
}

static bool better_plan(const struct free_plan *a, const struct free_plan *b) {
  if (a->unplaced != b->unplaced) return a->unplaced < b->unplaced;
  return a->cost < b->cost;
}

void free_plan_first(struct arena *arena, const struct free_job *job, struct free_plan *plan,
                     int64_t *steps) {
  for (int order = 0; order < ORDER_COUNT; order++)
    for (int rule = 0; rule < RULE_COUNT; rule++) {
      struct free_way way = {order, (enum free_rule)rule, CORNER_LOW_LEFT, 0};
      struct free_plan tried;
      lay_in_order(arena, job, &way, &tried, steps);
      if ((order == 0 && rule == 0) || better_plan(&tried, plan)) *plan = tried;
      if (job->item_count > 500) return;
    }
}

/* --- Sets of sheets --- */

struct set_search {
  struct arena *arena;
  const struct free_job *job;
  cost_t below;
  int64_t wanted; /* area of all pieces */
  int64_t *count;
  int64_t nodes;
  struct free_sets sets;
};

static int64_t most_of(const struct set_search *search, size_t s) {
  if (search->job->stocks[s].width == 0) return 0;
  int64_t most = nest_stock_most(&search->job->problem->stocks[s]);
  int64_t enough = (int64_t)search->job->item_count;
  return most < enough ? most : enough;
}

static bool can_be_joined(struct set_search *search) {
  const struct nest_problem *problem = search->job->problem;
  cost_t cost = cost_of_counts(problem, search->count);
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (search->count[s] >= most_of(search, s)) continue;
    cost_t more = nest_stock_cost(&problem->stocks[s], search->count[s] + 1) -
                  nest_stock_cost(&problem->stocks[s], search->count[s]);
    if (cost + more < search->below) return true;
  }
  return false;
}

static int roomiest_first(const void *left, const void *right) {
  const struct free_set *a = left, *b = right;
  if (a->area != b->area) return a->area > b->area ? -1 : 1;
  return (a->cost > b->cost) - (a->cost < b->cost);
}

static void add_set(struct set_search *search) {
  const struct free_job *job = search->job;
  size_t stocks = job->problem->stock_count;
  struct free_set set = {NULL, 0, 0, cost_of_counts(job->problem, search->count)};
  for (size_t s = 0; s < stocks; s++) {
    set.area += search->count[s] * job->stocks[s].area;
    set.sheets += search->count[s];
  }
  if (set.area < search->wanted || can_be_joined(search)) return;
  struct free_sets *sets = &search->sets;
  if (sets->count == 4 * MOST_SETS) {
    qsort(sets->items, sets->count, sizeof *sets->items, roomiest_first);
    sets->count = MOST_SETS;
  }
  set.count = ARENA_ARRAY(search->arena, stocks, int64_t);
  memcpy(set.count, search->count, stocks * sizeof *set.count);
  *ARENA_PUSH(search->arena, sets->items, sets->count, sets->room) = set;
}

static void choose_counts(struct set_search *search, size_t s, cost_t cost) {
  const struct nest_problem *problem = search->job->problem;
  if (++search->nodes > MOST_SET_NODES) return;
  if (s == problem->stock_count) {
    add_set(search);
    return;
  }
  int64_t most = most_of(search, s);
  while (most > 0 && cost + nest_stock_cost(&problem->stocks[s], most) >= search->below) most--;
  for (int64_t n = most; n >= 0; n--) {
    search->count[s] = n;
    choose_counts(search, s + 1, cost + nest_stock_cost(&problem->stocks[s], n));
  }
  search->count[s] = 0;
}

struct free_sets free_sets_below(struct arena *arena, const struct free_job *job, cost_t below) {
  struct set_search search = {.arena = arena, .job = job, .below = below};
  search.count = ARENA_ARRAY(arena, job->problem->stock_count, int64_t);
  for (size_t i = 0; i < job->item_count; i++) search.wanted += job->area[job->demand_of[i]];
  choose_counts(&search, 0, 0);
  struct free_sets *sets = &search.sets;
  if (sets->count > 0) qsort(sets->items, sets->count, sizeof *sets->items, roomiest_first);
  if (sets->count > MOST_SETS) sets->count = MOST_SETS;
  return *sets;
}
