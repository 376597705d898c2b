#include "nest/dual_feasible.h"

#include <stdlib.h>
#include <string.h>

#include "nest/raster.h"

__extension__ typedef __int128 wide;

#define ONE (INT64_C(1) << 40) /* what a whole sheet holds, before its weight */

static const cost_t NEVER = INT64_MAX / 4;
static const int64_t MOST_WORK = 20000000;
enum { MOST_WEIGHT = 1 << 20, MOST_MULTIPLE = 20, MOST_CLIQUE_WORK = 400 };

/* One way to lay a demand's piece on a stock, grown by its kerfs. */
struct laid {
  size_t demand, stock;
  length_t size[2]; /* along x, along y */
};

struct function {
  enum dual_family family;
  length_t k;
};

/* Functions with their values for every laid, as shares of the sheet's. */
struct functions {
  struct function *items;
  size_t count, room;
  double *share[2]; /* [axis][function * laid_count + laid] */
};

struct bound_work {
  struct arena *arena;
  const struct nest_problem *problem;
  struct laid *laid; /* by demand, then stock */
  size_t laid_count, laid_room;
  bool alternatives; /* some demand may be laid in more than one way on a stock */
  int64_t *weight;   /* per stock: what a sheet of it counts for, 1 .. MOST_WEIGHT; 0 given */
  struct functions on[2];
  wide *worth; /* per demand */
  cost_t best;
};

static length_t whole_of(const struct bound_work *work, size_t stock, int axis) {
  const struct nest_stock *is = &work->problem->stocks[stock];
  return axis == 0 ? is->length + is->kerf_crosscut : is->width + is->kerf_rip;
}

static bool is_sheet(const struct nest_stock *stock) {
  return stock->given == NULL && nest_stock_most(stock) > 0 && stock->length > 0 &&
         stock->width > 0;
}

static void list_laid(struct bound_work *work) {
  const struct nest_problem *problem = work->problem;
  for (size_t d = 0; d < problem->demand_count; d++)
    for (size_t s = 0; problem->demand[d] > 0 && s < problem->stock_count; s++) {
      const struct nest_stock *stock = &problem->stocks[s];
      size_t before = work->laid_count;
      for (size_t o = 0; is_sheet(stock) && o < stock->option_count; o++) {
        const struct nest_option *option = &stock->options[o];
        if (option->demand != d || option->length > stock->length || option->width > stock->width)
          continue;
        *ARENA_PUSH(work->arena, work->laid, work->laid_count, work->laid_room) = (struct laid){
            d, s, {option->length + stock->kerf_crosscut, option->width + stock->kerf_rip}};
      }
      if (work->laid_count > before + 1) work->alternatives = true;
    }
}

/* --- What it costs to hold `wanted` when a piece of each stock holds `held`. --- */

static size_t cheapest_for_held(const struct nest_problem *problem, const wide *held,
                                const bool *used) {
  size_t best = SIZE_MAX;
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (used[s] || held[s] <= 0) continue;
    if (best == SIZE_MAX ||
        (wide)problem->stocks[s].cost * held[best] < (wide)problem->stocks[best].cost * held[s])
      best = s;
  }
  return best;
}

static cost_t cover_cost(struct bound_work *work, const wide *held, wide wanted) {
  const struct nest_problem *problem = work->problem;
  struct arena_mark mark = arena_mark(work->arena);
  bool *used = ARENA_ARRAY(work->arena, problem->stock_count, bool);
  wide cost = 0;
  if (problem->stock_count == 1 && held[0] > 0) { /* whole pieces, whole packs */
    wide pieces = (wanted + held[0] - 1) / held[0];
    bool enough = pieces <= nest_stock_most(&problem->stocks[0]);
    cost = enough ? nest_stock_cost(&problem->stocks[0], (int64_t)pieces) : NEVER;
    wanted = 0;
  }
  while (wanted > 0) {
    size_t s = cheapest_for_held(problem, held, used);
    if (s == SIZE_MAX) {
      cost = NEVER;
      break;
    }
    wide most = nest_stock_most(&problem->stocks[s]);
    used[s] = true;
    if (most >= (wanted + held[s] - 1) / held[s]) {
      cost += ((wide)problem->stocks[s].cost * wanted + held[s] - 1) / held[s];
      wanted = 0;
    } else {
      cost += (wide)problem->stocks[s].cost * most;
      wanted -= held[s] * most;
    }
  }
  arena_release(work->arena, mark);
  return cost > NEVER ? NEVER : (cost_t)cost;
}

/* The bound of worth[] per piece, when no sheet of stock s holds more than sheet_holds[s]. */
static void try_worths(struct bound_work *work, const wide *sheet_holds) {
  const struct nest_problem *problem = work->problem;
  struct arena_mark mark = arena_mark(work->arena);
  wide *held = ARENA_ARRAY(work->arena, problem->stock_count, wide);
  wide wanted = 0;
  for (size_t d = 0; d < problem->demand_count; d++) wanted += work->worth[d] * problem->demand[d];
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    held[s] = is_sheet(stock) ? sheet_holds[s] : 0;
    for (size_t d = 0; stock->given != NULL && d < problem->demand_count; d++)
      held[s] += work->worth[d] * stock->given[d];
  }
  cost_t cost = cover_cost(work, held, wanted);
  if (cost > work->best) work->best = cost;
  arena_release(work->arena, mark);
}

/* --- The functions --- */

/* A size that DUAL_COUNT counts, with the copies there are of it. */
struct counted {
  length_t size;
  size_t demand;
};

static int smaller_first(const void *left, const void *right) {
  const struct counted *a = left, *b = right;
  return (a->size > b->size) - (a->size < b->size);
}

/* For DUAL_COUNT on a stock: the smallest size >= k that each demand can have there, repeated for
 * its copies; no more than fit together are listed. */
static struct dual_sizes sizes_at_hand(struct bound_work *work, size_t stock, int axis,
                                       length_t k) {
  length_t left = whole_of(work, stock, axis);
  struct counted *counted = ARENA_ARRAY(work->arena, work->laid_count, struct counted);
  size_t kinds = 0;
  for (size_t i = 0; i < work->laid_count; i++) {
    const struct laid *laid = &work->laid[i];
    if (laid->stock != stock || laid->size[axis] < k || 2 * laid->size[axis] > left) continue;
    if (kinds == 0 || counted[kinds - 1].demand != laid->demand)
      counted[kinds++] = (struct counted){laid->size[axis], laid->demand};
    else if (laid->size[axis] < counted[kinds - 1].size)
      counted[kinds - 1].size = laid->size[axis];
  }
  qsort(counted, kinds, sizeof *counted, smaller_first);
  length_t *listed = NULL;
  size_t count = 0, room = 0;
  for (size_t i = 0; i < kinds && counted[i].size <= left; i++)
    for (int64_t n = work->problem->demand[counted[i].demand]; n > 0 && counted[i].size <= left;
         n--, left -= counted[i].size)
      *ARENA_PUSH(work->arena, listed, count, room) = counted[i].size;
  return (struct dual_sizes){listed, count};
}

/* The function as it applies to a stock: k is clipped to what the family allows there. */
static int64_t value_on(const struct function *function, length_t whole, length_t x,
                        const struct dual_sizes *sizes) {
  length_t k = function->k;
  bool halved = function->family == DUAL_CLIP || function->family == DUAL_STEP ||
                function->family == DUAL_COUNT;
  if (halved && k > whole / 2) k = whole / 2;
  if (halved && k < 1) return dual_value(DUAL_PLAIN, 1, whole, x, sizes);
  return dual_value(function->family, k, whole, x, sizes);
}

static struct dual_sizes sizes_for(struct bound_work *work, const struct function *function,
                                   size_t stock, int axis) {
  struct dual_sizes none = {NULL, 0};
  if (function->family != DUAL_COUNT) return none;
  length_t most = whole_of(work, stock, axis) / 2;
  return sizes_at_hand(work, stock, axis, function->k < most ? function->k : most);
}

/* Shares of the sheet per laid. False when the function says nothing on some stock. */
static bool fill_shares(struct bound_work *work, const struct function *function, int axis,
                        double *share) {
  for (size_t s = 0; s < work->problem->stock_count; s++) {
    if (work->weight[s] == 0) continue;
    struct arena_mark mark = arena_mark(work->arena);
    struct dual_sizes sizes = sizes_for(work, function, s, axis);
    length_t whole = whole_of(work, s, axis);
    int64_t most = value_on(function, whole, whole, &sizes);
    for (size_t i = 0; most > 0 && i < work->laid_count; i++)
      if (work->laid[i].stock == s)
        share[i] =
            (double)value_on(function, whole, work->laid[i].size[axis], &sizes) / (double)most;
    arena_release(work->arena, mark);
    if (most <= 0) return false;
  }
  return true;
}

static bool no_greater(const double *a, const double *b, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (a[i] > b[i]) return false;
  return true;
}

/* Whether function b is at least as good as a everywhere, on the axes they are used on. */
static bool is_beaten(const struct bound_work *work, const struct functions *functions, size_t a,
                      size_t b) {
  for (int axis = 0; axis < 2; axis++)
    if (functions->share[axis] != NULL &&
        !no_greater(functions->share[axis] + a * work->laid_count,
                    functions->share[axis] + b * work->laid_count, work->laid_count))
      return false;
  return true;
}

static void move_function(const struct bound_work *work, struct functions *functions, size_t to,
                          size_t from) {
  functions->items[to] = functions->items[from];
  for (int axis = 0; axis < 2; axis++)
    if (functions->share[axis] != NULL && to != from)
      memcpy(functions->share[axis] + to * work->laid_count,
             functions->share[axis] + from * work->laid_count, work->laid_count * sizeof(double));
}

/* Adds a function unless one at hand is as good; drops those it beats. There is room. */
static void offer(struct bound_work *work, struct functions *functions, enum dual_family family,
                  length_t k) {
  size_t added = functions->count;
  functions->items[added] = (struct function){family, k};
  for (int axis = 0; axis < 2; axis++)
    if (functions->share[axis] != NULL &&
        !fill_shares(work, &functions->items[added], axis,
                     functions->share[axis] + added * work->laid_count))
      return;
  for (size_t f = 0; f < added; f++)
    if (is_beaten(work, functions, added, f)) return;
  size_t kept = 0;
  for (size_t f = 0; f < added; f++)
    if (!is_beaten(work, functions, f, added)) move_function(work, functions, kept++, f);
  move_function(work, functions, kept, added);
  functions->count = kept + 1;
}

/* Where the functions with a length change what they say: sizes up to half a sheet, and
 * what large pieces leave. Ascending, distinct, at most `most` of them, evenly chosen. */
static size_t breaks(struct bound_work *work, const bool *axis_used, size_t most, length_t *k) {
  size_t count = 0;
  for (size_t i = 0; i < work->laid_count; i++)
    for (int axis = 0; axis < 2; axis++) {
      if (!axis_used[axis]) continue;
      length_t whole = whole_of(work, work->laid[i].stock, axis);
      length_t size = work->laid[i].size[axis];
      length_t beside = whole - size;
      if (2 * size <= whole) k[count++] = size;
      if (2 * size >= whole && beside > 0) k[count++] = beside;
      if (2 * size > whole) k[count++] = beside < whole / 2 ? beside + 1 : whole / 2;
    }
  size_t distinct = length_sort_unique(k, count);
  if (distinct <= most) return distinct;
  for (size_t i = 0; i < most; i++) k[i] = k[i * distinct / most];
  return most;
}

static void make_functions(struct bound_work *work, struct functions *functions,
                           const bool *axis_used, size_t most) {
  size_t room = 3 * most + 2 * MOST_MULTIPLE + 2;
  functions->items = ARENA_ARRAY(work->arena, room, struct function);
  for (int axis = 0; axis < 2; axis++)
    if (axis_used[axis])
      functions->share[axis] = ARENA_ARRAY(work->arena, room * work->laid_count, double);
  length_t *k = ARENA_ARRAY(work->arena, 4 * work->laid_count, length_t);
  size_t count = breaks(work, axis_used, most, k);
  offer(work, functions, DUAL_PLAIN, 1);
  for (length_t m = 1; m <= MOST_MULTIPLE; m++) {
    offer(work, functions, DUAL_ROUND, m);
    if (m > 1) offer(work, functions, DUAL_SPLIT, m);
  }
  for (size_t i = 0; i < count; i++) {
    offer(work, functions, DUAL_CLIP, k[i]);
    offer(work, functions, DUAL_STEP, k[i]);
    offer(work, functions, DUAL_COUNT, k[i]);
  }
}

/* --- Pairs of functions --- */

/* Which functions a bound is made of: first and second on x and y; `mixed` takes the mean with
 * the same pair exchanged. */
struct pair {
  size_t first, second;
  bool mixed;
  double worth;
};

static double pair_worth(const struct bound_work *work, const double *x1, const double *y1,
                         const double *x2, const double *y2) {
  double total = 0;
  for (size_t i = 0; i < work->laid_count;) {
    size_t demand = work->laid[i].demand;
    double least = -1;
    for (; i < work->laid_count && work->laid[i].demand == demand; i++) {
      double worth = (x1[i] * y1[i] + x2[i] * y2[i]) * (double)work->weight[work->laid[i].stock];
      if (least < 0 || worth < least) least = worth;
    }
    total += least * (double)work->problem->demand[demand];
  }
  return total;
}

static struct pair best_pair(const struct bound_work *work) {
  struct pair best = {0, 0, false, -1};
  size_t n = work->laid_count;
  const struct functions *on_x = &work->on[0], *on_y = &work->on[work->alternatives ? 0 : 1];
  for (size_t a = 0; a < on_x->count; a++)
    for (size_t b = 0; b < on_y->count; b++) {
      const double *x = on_x->share[0] + a * n, *y = on_y->share[1] + b * n;
      double worth = pair_worth(work, x, y, x, y);
      if (worth > best.worth) best = (struct pair){a, b, false, worth};
      if (!work->alternatives || b <= a) continue;
      worth = pair_worth(work, x, y, on_x->share[0] + b * n, on_x->share[1] + a * n);
      if (worth > best.worth) best = (struct pair){a, b, true, worth};
    }
  return best;
}

/* Share of a sheet in ONEs, rounded down. */
static int64_t whole_share(struct bound_work *work, const struct function *on_x,
                           const struct function *on_y, const struct laid *laid) {
  length_t whole_x = whole_of(work, laid->stock, 0), whole_y = whole_of(work, laid->stock, 1);
  struct dual_sizes sizes_x = sizes_for(work, on_x, laid->stock, 0);
  struct dual_sizes sizes_y = sizes_for(work, on_y, laid->stock, 1);
  wide most =
      (wide)value_on(on_x, whole_x, whole_x, &sizes_x) * value_on(on_y, whole_y, whole_y, &sizes_y);
  wide value = (wide)value_on(on_x, whole_x, laid->size[0], &sizes_x) *
               value_on(on_y, whole_y, laid->size[1], &sizes_y);
  return most > 0 ? (int64_t)(value * ONE / most) : 0;
}

static void use_pair(struct bound_work *work, const struct pair *pair) {
  const struct nest_problem *problem = work->problem;
  const struct function *first = &work->on[0].items[pair->first];
  const struct function *second = &work->on[work->alternatives ? 0 : 1].items[pair->second];
  wide *holds = ARENA_ARRAY(work->arena, problem->stock_count, wide);
  for (size_t s = 0; s < problem->stock_count; s++) holds[s] = (wide)work->weight[s] * 2 * ONE;
  memset(work->worth, 0, problem->demand_count * sizeof *work->worth);
  for (size_t i = 0; i < work->laid_count; i++) {
    const struct laid *laid = &work->laid[i];
    struct arena_mark mark = arena_mark(work->arena);
    wide worth = whole_share(work, first, second, laid);
    worth += pair->mixed ? whole_share(work, second, first, laid) : worth;
    worth *= work->weight[laid->stock];
    bool is_first = i == 0 || work->laid[i - 1].demand != laid->demand;
    if (is_first || worth < work->worth[laid->demand]) work->worth[laid->demand] = worth;
    arena_release(work->arena, mark);
  }
  try_worths(work, holds);
}

/* --- Weights of the stocks --- */

static double measure_of(const struct bound_work *work, size_t s, bool by_area) {
  if (!by_area) return (double)work->problem->stocks[s].cost;
  return (double)whole_of(work, s, 0) * (double)whole_of(work, s, 1);
}

static void set_weights(struct bound_work *work, bool by_area) {
  double greatest = 1;
  for (size_t s = 0; s < work->problem->stock_count; s++)
    if (is_sheet(&work->problem->stocks[s]) && measure_of(work, s, by_area) > greatest)
      greatest = measure_of(work, s, by_area);
  for (size_t s = 0; s < work->problem->stock_count; s++) {
    work->weight[s] = 0;
    if (!is_sheet(&work->problem->stocks[s])) continue;
    int64_t weight = (int64_t)(measure_of(work, s, by_area) / greatest * MOST_WEIGHT);
    work->weight[s] = weight < 1 ? 1 : weight;
  }
}

static size_t sheet_kinds(const struct nest_problem *problem) {
  size_t kinds = 0;
  for (size_t s = 0; s < problem->stock_count; s++) kinds += is_sheet(&problem->stocks[s]);
  return kinds;
}

/* --- Pieces that cannot lie together --- */

static bool lie_together(const struct bound_work *work, size_t demand, size_t other) {
  for (size_t i = 0; i < work->laid_count; i++) {
    const struct laid *one = &work->laid[i];
    if (one->demand != demand) continue;
    for (size_t j = 0; j < work->laid_count; j++) {
      const struct laid *two = &work->laid[j];
      if (two->demand != other || two->stock != one->stock) continue;
      if (one->size[0] + two->size[0] <= whole_of(work, one->stock, 0) ||
          one->size[1] + two->size[1] <= whole_of(work, one->stock, 1))
        return true;
    }
  }
  return false;
}

/* Takes demands in the order of their least area, greatest first, as long as none can lie with
 * one taken or with itself. Each sheet holds one. */
static void try_clique(struct bound_work *work) {
  const struct nest_problem *problem = work->problem;
  if (work->laid_count > MOST_CLIQUE_WORK) return;
  size_t *member = ARENA_ARRAY(work->arena, problem->demand_count + 1, size_t);
  wide *area = ARENA_ARRAY(work->arena, problem->demand_count + 1, wide);
  wide *holds = ARENA_ARRAY(work->arena, problem->stock_count, wide);
  size_t members = 0;
  for (size_t i = 0; i < work->laid_count; i++) {
    const struct laid *laid = &work->laid[i];
    wide laid_area = (wide)laid->size[0] * laid->size[1];
    if (area[laid->demand] == 0 || laid_area < area[laid->demand]) area[laid->demand] = laid_area;
  }
  memset(work->worth, 0, problem->demand_count * sizeof *work->worth);
  for (size_t s = 0; s < problem->stock_count; s++) holds[s] = 1;
  for (;;) {
    size_t next = problem->demand_count;
    for (size_t d = 0; d < problem->demand_count; d++)
      if (area[d] > 0 && (next == problem->demand_count || area[d] > area[next])) next = d;
    if (next == problem->demand_count) break;
    area[next] = 0;
    bool alone = !lie_together(work, next, next);
    for (size_t m = 0; m < members && alone; m++) alone = !lie_together(work, next, member[m]);
    if (!alone) continue;
    member[members++] = next;
    work->worth[next] = 1;
  }
  try_worths(work, holds);
}

static void try_functions(struct bound_work *work) {
  static const bool both[2] = {true, true}, x[2] = {true, false}, y[2] = {false, true};
  int64_t most = 8; /* functions with lengths, of each family */
  while (most < 200 && (3 * most + 40) * (3 * most + 40) * (int64_t)work->laid_count < MOST_WORK)
    most += 4;
  memset(work->on, 0, sizeof work->on);
  make_functions(work, &work->on[0], work->alternatives ? both : x, (size_t)most);
  if (!work->alternatives) make_functions(work, &work->on[1], y, (size_t)most);
  struct pair pair = best_pair(work);
  if (pair.worth > 0) use_pair(work, &pair);
}

cost_t dual_feasible_bound(struct arena *arena, const struct nest_problem *problem) {
  struct arena_mark mark = arena_mark(arena);
  struct bound_work work = {.arena = arena, .problem = problem};
  list_laid(&work);
  work.weight = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  work.worth = ARENA_ARRAY(arena, problem->demand_count, wide);
  if (work.laid_count > 0) {
    set_weights(&work, false);
    try_functions(&work);
    if (sheet_kinds(problem) > 1) {
      set_weights(&work, true);
      try_functions(&work);
    }
    try_clique(&work);
  }
  arena_release(arena, mark);
  return work.best;
}
