#include "nest/bounded.h"

#include <string.h>

#include "nest/bounded_build.h"
#include "nest/bounded_search.h"
#include "nest/cutting.h"

enum {
  MOST_POINTS = 4000,
  LEAST_CELLS = 64,
  MOST_CELLS = 2000000,
  MOST_ROUNDS = 120,
  FIRST_ROUNDS = 30,    /* from prices that are good already */
  FRUITLESS_ROUNDS = 8, /* then the step is halved */
  CELLS_PER_STEP = 2,
  WORK_PER_STEP = 100, /* run parts tried in the tables, for a step */
  FIRST_WORK = 8 /* the same where it is asked again and again at worths that change little: there
                    the tables are most of the work, and count as what they take */
};

/* One search: prices of copies on their way down to the least bound. */
struct descent {
  struct bounded_pool pool;
  struct bounded_inside *inside;
  struct bounded_best best;
  cost_t *price;             /* present */
  int64_t *counts;           /* of the layout it gives */
  cost_t bound;              /* least so far */
  cost_t *kept[MOST_PRICES]; /* of the least bounds, best first */
  cost_t kept_bound[MOST_PRICES];
  size_t kept_count;
};

static void keep_prices(struct descent *descent, cost_t bound) {
  const struct bounded_job *job = descent->pool.job;
  size_t at = descent->kept_count;
  if (at == MOST_PRICES) at--;
  if (descent->kept_count == MOST_PRICES && bound >= descent->kept_bound[at]) return;
  cost_t *own = descent->kept[at];
  if (own == NULL) own = ARENA_ARRAY(descent->pool.arena, job->demand_count, cost_t);
  memcpy(own, descent->price, job->demand_count * sizeof *own);
  while (at > 0 && descent->kept_bound[at - 1] > bound) {
    descent->kept[at] = descent->kept[at - 1];
    descent->kept_bound[at] = descent->kept_bound[at - 1];
    at--;
  }
  descent->kept[at] = own;
  descent->kept_bound[at] = bound;
  if (descent->kept_count < MOST_PRICES) descent->kept_count++;
}

/* One bound, and the layouts its own layout leads to. */
static cost_t price_once(struct descent *descent) {
  const struct bounded_job *job = descent->pool.job;
  cost_t bound = bounded_inside_price(descent->inside, descent->price) + job->cut_cost;
  for (size_t d = 0; d < job->demand_count; d++) bound += descent->price[d] * job->limit[d];
  for (int full = 0; full < (job->full_runs ? 2 : 1); full++) {
    uint32_t block =
        bounded_inside_trace(descent->inside, &descent->pool, full == 1, descent->counts);
    if (block != BLOCK_NONE) bounded_consider(&descent->pool, block, &descent->best);
  }
  if (bound < descent->bound) descent->bound = bound;
  return bound;
}

/* Moves prices along the copies too many. False when no price moves. */
static bool move_prices(struct descent *descent, cost_t bound, int64_t share) {
  const struct bounded_job *job = descent->pool.job;
  int64_t square = 0;
  for (size_t d = 0; d < job->demand_count; d++) {
    int64_t over = descent->counts[d] - job->limit[d];
    if (over > 0 || descent->price[d] > 0) square += over * over;
  }
  if (square == 0) return false;
  cost_t gap = bound - descent->best.value;
  bool moved = false;
  for (size_t d = 0; d < job->demand_count; d++) {
    int64_t over = descent->counts[d] - job->limit[d];
    cost_t price = descent->price[d] + gap / square * over * share / 16 +
                   gap % square * over * share / 16 / square;
    if (price < 0) price = 0;
    if (price > job->worth[d]) price = job->worth[d];
    moved = moved || price != descent->price[d];
    descent->price[d] = price;
  }
  return moved;
}

static void descend(struct descent *descent, int64_t most_work) {
  int64_t share = 16;
  int fruitless = 0;
  int rounds = descent->best.first ? FIRST_ROUNDS : MOST_ROUNDS;
  for (int round = 0; round < rounds && share > 0; round++) {
    cost_t before = descent->bound;
    cost_t bound = price_once(descent);
    keep_prices(descent, bound);
    if (descent->bound <= descent->best.value || descent->inside->work > most_work) return;
    if (bounded_is_found(&descent->best)) return;
    fruitless = descent->bound < before ? 0 : fruitless + 1;
    if (fruitless == FRUITLESS_ROUNDS) {
      share /= 2;
      fruitless = 0;
      memcpy(descent->price, descent->kept[0],
             descent->pool.job->demand_count * sizeof *descent->price);
      bound = price_once(descent);
    }
    if (!move_prices(descent, bound, share)) return;
  }
}

static void build_blocks(struct descent *descent, int64_t steps, int64_t *done) {
  struct bounded_prices prices = {.count = descent->kept_count};
  for (int d = 0; d < 2; d++) prices.axis[d] = descent->inside->axis[d];
  prices.charged = descent->inside->waste > 0;
  for (size_t p = 0; p < prices.count; p++) {
    bounded_inside_price(descent->inside, descent->kept[p]);
    prices.price[p] = descent->kept[p];
    prices.outside[p] =
        bounded_outside_create(descent->pool.arena, descent->inside, descent->kept[p]);
  }
  cost_t bound = bounded_build_blocks(&descent->pool, &prices, steps, &descent->best, done);
  if (bound < descent->bound) descent->bound = bound;
}

static size_t cells_of(const struct bounded_job *job, const struct bounded_axis *const *axis) {
  size_t forms = job->stages > 0 && job->stages <= MOST_LEVELS ? 2 * (size_t)job->stages : 1;
  return forms * (axis[ALONG_X]->top + 1) * (axis[ALONG_Y]->top + 1);
}

/* Tables no larger than the steps allow: first all that matters, then without telling exact
 * fits apart, then scaled. True when wastes can be counted. */
static bool choose_axes(struct arena *scratch, const struct bounded_job *job, int64_t steps,
                        const struct bounded_axis **axis) {
  size_t most = steps > MOST_CELLS / CELLS_PER_STEP ? MOST_CELLS : (size_t)steps * CELLS_PER_STEP;
  if (most < LEAST_CELLS) most = LEAST_CELLS;
  for (int halves = job->halves && job->cut_cost > 0 ? 1 : 0; halves >= 0; halves--) {
    for (int d = 0; d < 2; d++)
      axis[d] = bounded_axis_create(scratch, job, d, halves == 1, MOST_POINTS);
    bool scaled = axis[ALONG_X]->scale > 1 || axis[ALONG_Y]->scale > 1;
    if (!scaled && cells_of(job, axis) <= most) return halves == 1;
  }
  for (size_t points = MOST_POINTS; points >= 16 && cells_of(job, axis) > most; points /= 2)
    for (int d = 0; d < 2; d++)
      if (axis[d]->point_count > points)
        axis[d] = bounded_axis_create(scratch, job, d, false, points);
  return false;
}

static void search(struct arena *scratch, const struct bounded_job *job, int64_t steps,
                   struct descent *descent, int64_t *done) {
  const struct bounded_axis *axis[2];
  bool charged = choose_axes(scratch, job, steps, axis);
  descent->pool.job = job;
  descent->pool.arena = scratch;
  descent->inside = bounded_inside_create(scratch, job, axis[ALONG_X], axis[ALONG_Y], charged);
  descent->counts = ARENA_ARRAY(scratch, job->demand_count, int64_t);
  descend(descent, WORK_PER_STEP * steps);
  bool open = descent->bound > descent->best.value && !bounded_is_found(&descent->best);
  if (open && steps > 0) build_blocks(descent, steps, done);
  *done += descent->inside->work / (descent->best.first ? FIRST_WORK : WORK_PER_STEP);
}

static void run(struct arena *arena, const struct bounded_job *job, struct bounded_best best,
                int64_t steps, cost_t *price, struct arena *scratch,
                struct bounded_answer *answer) {
  struct descent descent = {.best = best, .bound = INT64_MAX};
  descent.price = ARENA_ARRAY(scratch, job->demand_count, cost_t);
  for (size_t d = 0; price != NULL && d < job->demand_count; d++)
    descent.price[d] =
        price[job->demand[d]] < job->worth[d] ? price[job->demand[d]] : job->worth[d];
  search(scratch, job, steps, &descent, &answer->steps);
  for (size_t d = 0; price != NULL && d < job->demand_count; d++)
    price[job->demand[d]] = descent.kept[0][d];
  answer->bound = descent.bound > descent.best.value ? descent.bound : descent.best.value;
  if (descent.best.block == BLOCK_NONE) return;
  answer->value = descent.best.value;
  const uint64_t *counts = bounded_counts(&descent.pool, descent.best.block);
  for (size_t d = 0; d < job->demand_count; d++)
    answer->counts[job->demand[d]] = bounded_job_count(job, counts, d);
  bounded_build(arena, &descent.pool, descent.best.block, descent.best.along, &answer->root);
}

/* best: what has to be surpassed. */
static void run_apart(struct arena *arena, const struct nest_problem *problem,
                      const struct nest_stock *stock, const cost_t *value, const int64_t *limit,
                      struct bounded_best best, int64_t steps, cost_t *price,
                      struct bounded_answer *answer) {
  *answer = (struct bounded_answer){
      .bound = best.value,
      .root = {.kind = NODE_WASTE, .length = stock->length, .width = stock->width}};
  answer->counts = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  struct arena *scratch = arena_create_child(arena);
  struct arena_mark empty = arena_mark(scratch);
  const struct bounded_job *job = bounded_job_create(scratch, problem, stock, value, limit);
  if (job->option_count > 0) run(arena, job, best, steps, price, scratch, answer);
  arena_release(scratch, empty);
}

void bounded_search(struct arena *arena, const struct nest_problem *problem,
                    const struct nest_stock *stock, const cost_t *value, const int64_t *limit,
                    int64_t steps, struct bounded_answer *answer) {
  struct bounded_best nothing = {.block = BLOCK_NONE};
  run_apart(arena, problem, stock, value, limit, nothing, steps, NULL, answer);
}

void bounded_search_above(struct arena *arena, const struct nest_problem *problem,
                          const struct nest_stock *stock, const cost_t *value, const int64_t *limit,
                          cost_t floor, int64_t steps, cost_t *price,
                          struct bounded_answer *answer) {
  struct bounded_best best = {.value = floor, .block = BLOCK_NONE, .first = true};
  run_apart(arena, problem, stock, value, limit, best, steps, price, answer);
}
