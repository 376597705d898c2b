#include "nest/bounded_job.h"

static bool can_serve(const struct nest_stock *stock, const struct nest_option *option,
                      const cost_t *value, const int64_t *limit) {
  return option->length <= stock->length && option->width <= stock->width &&
         value[option->demand] > 0 && limit[option->demand] > 0;
}

static void take_options(struct arena *arena, struct bounded_job *job,
                         const struct nest_problem *problem, const cost_t *value,
                         const int64_t *limit) {
  const struct nest_stock *stock = job->stock;
  size_t *dense = ARENA_ARRAY(arena, problem->demand_count, size_t);
  bool *seen = ARENA_ARRAY(arena, problem->demand_count, bool);
  job->options = ARENA_ARRAY(arena, stock->option_count, struct bounded_option);
  job->demand = ARENA_ARRAY(arena, stock->option_count, size_t);
  job->worth = ARENA_ARRAY(arena, stock->option_count, cost_t);
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (!can_serve(stock, option, value, limit)) continue;
    size_t d = option->demand;
    if (!seen[d]) {
      seen[d] = true;
      dense[d] = job->demand_count;
      job->demand[job->demand_count] = d;
      job->worth[job->demand_count++] = value[d];
    }
    job->options[job->option_count++] = (struct bounded_option){
        o, dense[d], {option->length + job->kerf[ALONG_X], option->width + job->kerf[ALONG_Y]}};
  }
}

/* No more copies than there is area for; grown pieces share none. */
static void take_limits(struct arena *arena, struct bounded_job *job, const int64_t *limit) {
  job->limit = ARENA_ARRAY(arena, job->demand_count, int64_t);
  for (size_t i = 0; i < job->option_count; i++) {
    const struct bounded_option *option = &job->options[i];
    int64_t room = (job->whole[ALONG_X] / option->extent[ALONG_X]) *
                   (job->whole[ALONG_Y] / option->extent[ALONG_Y]);
    double area = (double)job->whole[ALONG_X] * (double)job->whole[ALONG_Y];
    double piece = (double)option->extent[ALONG_X] * (double)option->extent[ALONG_Y];
    int64_t most = (int64_t)(area / piece * 1.000001) + 1;
    if (most < room) most = room;
    if (most > job->limit[option->demand]) job->limit[option->demand] = most;
  }
  for (size_t d = 0; d < job->demand_count; d++)
    if (limit[job->demand[d]] < job->limit[d]) job->limit[d] = limit[job->demand[d]];
}

static length_t least_extent(const struct bounded_job *job, int along) {
  length_t least = job->whole[along];
  for (size_t i = 0; i < job->option_count; i++)
    if (job->options[i].extent[along] < least) least = job->options[i].extent[along];
  return least;
}

/* Rules that no cut of this stock can break are left out. */
static void take_rules(struct bounded_job *job) {
  const struct nest_rules *rules = &job->stock->rules;
  job->stages = rules->stages;
  job->first[ALONG_X] = rules->crosscut_first;
  job->first[ALONG_Y] = rules->rip_first;
  length_t shortest = least_extent(job, ALONG_X);
  if (rules->rip_min_length > 0 && rules->rip_min_length + job->kerf[ALONG_X] > shortest)
    job->rip_min = rules->rip_min_length + job->kerf[ALONG_X];
  if (rules->crosscut_capacity > 0 && rules->crosscut_capacity < job->stock->width)
    job->crosscut_capacity = rules->crosscut_capacity + job->kerf[ALONG_Y];
  length_t narrower = (job->stock->width - job->kerf[ALONG_Y]) / 2;
  if (rules->rip_capacity > 0 && rules->rip_capacity < narrower)
    job->strip_capacity = rules->rip_capacity;
  if (job->rip_min > shortest) shortest = job->rip_min;
  job->strip_by_length = rules->rip_no_wider_than_long && shortest - job->kerf[ALONG_X] < narrower;
  job->narrow = job->strip_capacity > 0 || job->strip_by_length;
  bool rules_bind = job->rip_min > 0 || job->crosscut_capacity > 0 || job->narrow;
  bool first_bound = !job->first[ALONG_X] || !job->first[ALONG_Y];
  job->strict = job->cut_cost > 0 || rules_bind || (first_bound && job->stages == 0);
  job->form_aware = job->stages > 0 || job->narrow;
  job->halves = (job->strict || first_bound) && !job->narrow;
  job->full_runs = job->strict && (job->form_aware || first_bound || job->crosscut_capacity > 0);
}

static void pack_lanes(struct arena *arena, struct bounded_job *job) {
  job->lane = ARENA_ARRAY(arena, job->demand_count, struct bounded_lane);
  job->bias = ARENA_ARRAY(arena, job->demand_count + 1, uint64_t);
  job->guard = ARENA_ARRAY(arena, job->demand_count + 1, uint64_t);
  unsigned used = 0;
  for (size_t d = 0; d < job->demand_count; d++) {
    unsigned bits = 1; /* of the largest count, then one more to guard it */
    while ((job->limit[d] >> bits) > 0) bits++;
    if (job->words == 0 || used + bits + 1 > 64) {
      job->words++;
      used = 0;
    }
    size_t word = job->words - 1;
    job->lane[d] = (struct bounded_lane){word, used};
    uint64_t guard = UINT64_C(1) << bits;
    job->guard[word] |= guard << used;
    job->bias[word] |= (guard - 1 - (uint64_t)job->limit[d]) << used;
    used += bits + 1;
  }
}

int64_t bounded_job_count(const struct bounded_job *job, const uint64_t *counts, size_t demand) {
  const struct bounded_lane *lane = &job->lane[demand];
  unsigned bits = 1;
  while ((job->limit[demand] >> bits) > 0) bits++;
  return (int64_t)(counts[lane->word] >> lane->shift & ((UINT64_C(1) << bits) - 1));
}

struct bounded_job *bounded_job_create(struct arena *arena, const struct nest_problem *problem,
                                       const struct nest_stock *stock, const cost_t *value,
                                       const int64_t *limit) {
  struct bounded_job *job = ARENA_NEW(arena, struct bounded_job);
  job->stock = stock;
  job->cut_cost = problem->cut_cost;
  job->kerf[ALONG_X] = stock->kerf_crosscut;
  job->kerf[ALONG_Y] = stock->kerf_rip;
  job->whole[ALONG_X] = stock->length + stock->kerf_crosscut;
  job->whole[ALONG_Y] = stock->width + stock->kerf_rip;
  take_options(arena, job, problem, value, limit);
  take_limits(arena, job, limit);
  take_rules(job);
  pack_lanes(arena, job);
  return job;
}
