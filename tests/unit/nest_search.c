#include "nest_search.h"
#include "nest/unstaged.h"

void job_open(struct job *job) {
  *job = (struct job){0};
  job->problem.demand = job->demand;
  job->problem.stocks = job->stocks;
}

void job_piece(struct job *job, length_t length, length_t width, int64_t times) {
  size_t d = job->problem.demand_count++;
  assert_true(d < JOB_DEMANDS);
  job->options[d] = plain_option(d, d, length, width);
  job->demand[d] = times;
}

struct nest_stock *job_stock(struct job *job, length_t length, length_t width, length_t kerf,
                             int64_t count, cost_t cost) {
  assert_true(job->stock_count < JOB_STOCKS);
  struct nest_stock *stock = &job->stocks[job->stock_count++];
  *stock = plain_stock(length, width, kerf);
  stock->count = count;
  stock->cost = cost;
  stock->options = job->options;
  return stock;
}

struct search *job_search(struct arena *arena, struct job *job, cost_t not_made, int64_t steps) {
  struct nest_problem *problem = &job->problem;
  size_t first = job->stock_count;
  problem->stock_count = first;
  for (size_t s = 0; s < first; s++) job->stocks[s].option_count = problem->demand_count;
  for (size_t d = 0; d < problem->demand_count; d++) {
    job->given[d][d] = 1;
    job->stocks[problem->stock_count++] =
        (struct nest_stock){.count = -1, .pack = 1, .cost = not_made, .given = job->given[d]};
  }
  struct search *search = ARENA_NEW(arena, struct search);
  search->arena = arena;
  search->scratch = arena_create_child(arena);
  search->problem = problem;
  search->columns = columns_create(arena, problem);
  search->best_cost = COST_UNKNOWN;
  search->steps_allowed = steps;
  search->memory = side_memory(arena, problem->stock_count);
  search->pricers = ARENA_ARRAY(arena, problem->stock_count, struct pricer *);
  search->not_made = ARENA_ARRAY(arena, problem->demand_count, size_t);
  for (size_t s = 0; s < first; s++)
    search->pricers[s] =
        pricer_create(search->memory[s].lasting, problem, s, &(size_t){UNSTAGED_CELLS_MOST});
  for (size_t d = 0; d < problem->demand_count; d++) {
    struct node nothing = {.kind = NODE_WASTE};
    bool added = false;
    search->not_made[d] = columns_add(search->columns, first + d, &nothing, job->given[d], &added);
  }
  return search;
}

struct region job_region(struct arena *arena, const struct search *search) {
  const struct nest_problem *problem = search->problem;
  int64_t *least = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  int64_t *most = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  for (size_t s = 0; s < problem->stock_count; s++) most[s] = nest_stock_most(&problem->stocks[s]);
  struct region region = {problem->demand, least, most};
  return region_copy(arena, problem, &region);
}

static void check_layout(const struct job *job, const struct column *column) {
  cost_t worth[JOB_DEMANDS] = {0};
  struct tree_look look;
  const char *fault = tree_fault(&job->stocks[column->stock], &column->root, worth, 0, true, &look);
  if (fault != NULL) fail_msg("%s", fault);
  assert_int_equal(look.cuts, column->cuts);
  for (size_t d = 0; d < job->problem.demand_count; d++)
    assert_int_equal(look.counts[d], column->counts[d]);
}

int64_t job_check_best(const struct job *job, const struct search *search) {
  int64_t made[JOB_DEMANDS] = {0};
  int64_t used[JOB_STOCKS + JOB_DEMANDS] = {0};
  int64_t not_made = 0;
  for (size_t u = 0; u < search->best.count; u++) {
    const struct use *use = &search->best.items[u];
    const struct column *column = &search->columns->items[use->column];
    if (use->times == 0) continue;
    assert_true(use->times > 0);
    used[column->stock] += use->times;
    for (size_t d = 0; d < job->problem.demand_count; d++)
      made[d] += column->counts[d] * use->times;
    if (column->stock >= job->stock_count)
      not_made += use->times;
    else
      check_layout(job, column);
  }
  for (size_t d = 0; d < job->problem.demand_count; d++) assert_int_equal(made[d], job->demand[d]);
  for (size_t s = 0; s < job->stock_count; s++)
    assert_true(used[s] <= nest_stock_most(&job->stocks[s]));
  assert_int_equal(search->best_cost, uses_cost(search->columns, &search->best));
  return not_made;
}
