#include "hold/load.h"

#include <string.h>

#include "hold/load_area.h"
#include "hold/load_build.h"
#include "hold/load_exact.h"
#include "hold/load_sets.h"

/* Steps one question gets at first, times 8 with each round of questions; steps of the first
 * search, and the share of all so far that it gets again each time the steps have doubled. */
enum { FIRST_STEPS = 200000, ROUND_FACTOR = 8, FIRST_SEARCH = 10000000, SEARCH_SHARE = 5 };

struct load_search {
  struct arena *arena;
  const struct load_job *job;
  struct load_exact *exact;
  struct load_views *views;
  struct load_refuted refuted;
  struct load_built best;
  struct load_order order; /* the search goes on from */
  uint64_t seed;
  int64_t area;  /* of the room, less what clamps take */
  int64_t stuck; /* most worth of a set beyond what the exact search knows exactly; 0: none */
  int64_t effort, steps;
  int64_t again; /* steps after which it is searched for better ones again */
};

static void all_counts(const struct load_job *job, uint8_t *counts) {
  memset(counts, 0, LOAD_ITEMS_MOST);
  for (size_t i = 0; i < job->count; i++) counts[i] = (uint8_t)job->kinds[i].most;
}

/* What every rule makes of the parts, the largest first. */
static void build_first(const struct load_job *job, const uint8_t *counts, struct load_built *best,
                        struct load_order *order, int64_t *steps) {
  struct load_built now;
  load_order_begin(job, counts, LOAD_LEFT, order);
  best->count = 0;
  best->worth = -1;
  for (enum load_rule rule = LOAD_LEFT; rule < LOAD_RULES; rule++) {
    struct load_order tried = *order;
    tried.rule = rule;
    load_build(job, &tried, &now, steps);
    if (now.worth > best->worth) {
      *best = now;
      *order = tried;
    }
    if (best->count == order->count) break;
  }
}

static int64_t worth_of(const struct load_job *job, const uint8_t *counts) {
  int64_t worth = 0;
  for (size_t i = 0; i < job->count; i++) worth += counts[i] * job->kinds[i].worth;
  return worth;
}

/* Of all there is, a plain bound. */
static int64_t worth_offered(const struct load_search *search) {
  const struct load_problem *problem = search->job->problem;
  uint8_t counts[LOAD_ITEMS_MOST];
  all_counts(search->job, counts);
  if (!search->job->limited) return worth_of(search->job, counts);
  int64_t worth = 0;
  for (size_t i = 0; i < problem->item_count; i++)
    if (problem->items[i].most > 0) worth += problem->items[i].most * problem->items[i].worth;
  return worth;
}

static int64_t area_of(const struct load_job *job, const uint8_t *counts) {
  int64_t area = 0;
  for (size_t i = 0; i < job->count; i++) area += counts[i] * job->kinds[i].area;
  return area;
}

static bool plainly_refuted(struct load_search *search, const uint8_t *counts) {
  return area_of(search->job, counts) > search->area ||
         load_refuted_has(search->job, &search->refuted, counts, &search->steps) ||
         load_views_refute(search->views, counts, &search->steps);
}

static void take_layout(struct load_search *search, const struct load_part *parts, size_t count) {
  const struct load_job *job = search->job;
  struct load_built *best = &search->best;
  best->count = count;
  best->worth = best->area = 0;
  best->open = job->open;
  memcpy(best->parts, parts, count * sizeof *parts);
  for (size_t i = 0; i < count; i++) {
    best->worth += job->kinds[parts[i].kind].worth;
    best->area += job->kinds[parts[i].kind].area;
    load_take_places(job, parts[i], false, &best->open);
  }
}

static size_t parts_of(const struct load_job *job, const uint8_t *counts) {
  size_t parts = 0;
  for (size_t i = 0; i < job->count; i++) parts += counts[i];
  return parts;
}

/* Leaves out parts as long as the rest is still refuted with about as much work: the smaller
 * the refuted set, the more sets it refutes. */
static void refute_core(struct load_search *search, const uint8_t *counts, int64_t work) {
  const struct load_job *job = search->job;
  uint8_t core[LOAD_ITEMS_MOST];
  struct load_part parts[LOAD_PARTS_MOST];
  memcpy(core, counts, sizeof core);
  for (size_t i = job->count; i-- > 0;) {
    while (core[i] > 0 && search->steps < search->effort) {
      core[i]--;
      int64_t ignored = 0;
      bool refuted = load_views_refute(search->views, core, &ignored) ||
                     load_exact_lay(search->exact, core, 2 * work + 20000, parts, &search->steps) ==
                         LOAD_REFUTED;
      if (refuted) continue;
      core[i]++;
      break;
    }
  }
  load_refuted_add(&search->refuted, core);
}

static enum load_outcome ask(struct load_search *search, const uint8_t *counts, int64_t limit) {
  struct load_part parts[LOAD_PARTS_MOST];
  if (parts_of(search->job, counts) > LOAD_PARTS_MOST) return LOAD_OPEN;
  if (plainly_refuted(search, counts)) return LOAD_REFUTED;
  if (search->effort - search->steps < limit) limit = search->effort - search->steps;
  int64_t before = search->steps;
  enum load_outcome outcome = load_exact_lay(search->exact, counts, limit, parts, &search->steps);
  if (outcome == LOAD_OPEN && search->steps - before < limit) {
    int64_t worth = worth_of(search->job, counts);
    if (worth > search->stuck) search->stuck = worth;
    return LOAD_REFUTED; /* not asked again */
  }
  if (outcome == LOAD_REFUTED) refute_core(search, counts, search->steps - before);
  if (outcome == LOAD_FOUND) take_layout(search, parts, parts_of(search->job, counts));
  return outcome;
}

static void improve(struct load_search *search, int64_t steps, bool ties_too) {
  int64_t limit = search->steps + steps;
  if (limit > search->effort) limit = search->effort;
  load_improve(search->job, &search->order, ++search->seed, limit, ties_too, &search->best,
               &search->steps);
}

/* Goes through the sets, the most worth first, until all above the best are refuted or the effort
 * is used up. Returns the bound. Each round asks longer of those still open. */
static int64_t go_through(struct load_search *search, struct load_sets *sets) {
  int64_t limit = FIRST_STEPS;
  while (sets->count > 0) {
    size_t open = 0;
    size_t i = 0;
    for (; i < sets->count && search->steps < search->effort; i++) {
      const struct load_set *set = &sets->items[i];
      if (set->worth <= search->best.worth) break;
      if (search->steps >= search->again) {
        improve(search, search->steps / SEARCH_SHARE, true);
        search->again = 2 * search->steps;
      }
      if (ask(search, set->counts, limit) == LOAD_OPEN) sets->items[open++] = *set;
    }
    if (search->steps >= search->effort && i < sets->count) {
      /* those not asked again stay open too */
      const struct load_set *first = open > 0 ? &sets->items[0] : &sets->items[i];
      return first->worth > search->best.worth ? first->worth : search->best.worth;
    }
    while (open > 0 && sets->items[open - 1].worth <= search->best.worth) open--;
    sets->count = open;
    limit *= ROUND_FACTOR;
    if (open > 0 && search->steps >= search->effort) return sets->items[0].worth;
  }
  return search->best.worth > sets->above ? search->best.worth : sets->above;
}

static int64_t prove(struct load_search *search) {
  struct load_sets sets = {NULL, 0, 0};
  int64_t bound;
  do {
    load_sets_list(search->arena, search->job, search->area, search->best.worth, &search->refuted,
                   &sets, &search->steps);
    bound = go_through(search, &sets);
    if (search->stuck > bound) return search->stuck;
  } while (bound > search->best.worth && bound == sets.above && search->steps < search->effort);
  return bound;
}

static void search_begin(struct load_search *search) {
  const struct load_job *job = search->job;
  search->exact = load_exact_begin(search->arena, job);
  search->views = load_views_begin(search->arena, job);
  load_refuted_begin(search->arena, job, &search->refuted);
  search->area = job->length * job->width - load_clamped_area(job);
}

static void finish(struct load_search *search, struct load_answer *answer) {
  load_write(search->arena, search->job, search->best.parts, search->best.count, answer);
  answer->steps = search->steps;
  answer->proved = answer->worth == answer->bound;
}

void load_best(struct arena *arena, const struct load_problem *problem, int64_t effort,
               struct load_answer *answer) {
  struct load_job *job = ARENA_NEW(arena, struct load_job);
  struct load_search search = {.arena = arena, .job = job, .effort = effort};
  uint8_t counts[LOAD_ITEMS_MOST];
  *answer = (struct load_answer){.steps = 0};
  load_job_begin(arena, problem, job);
  all_counts(job, counts);
  if (!load_clamps_possible(job->clamps, &job->open)) {
    answer->bound = job->clamps->exact ? 0 : worth_offered(&search);
    answer->proved = answer->bound == 0;
    return;
  }
  build_first(job, counts, &search.best, &search.order, &search.steps);
  answer->bound = worth_offered(&search);
  improve(&search, FIRST_SEARCH, true);
  if (search.best.worth < answer->bound) {
    search_begin(&search);
    search.again = 4 * search.steps;
    if (search.best.worth < answer->bound && !job->limited) answer->bound = prove(&search);
  }
  finish(&search, answer);
}

/* Every copy must have its place: `most` was cut to what the area holds. */
static bool all_offered(const struct load_problem *problem, const struct load_job *job) {
  int64_t asked = 0;
  int64_t offered = 0;
  for (size_t i = 0; i < problem->item_count; i++)
    if (problem->items[i].most > 0) asked += problem->items[i].most;
  for (size_t i = 0; i < job->count; i++) offered += job->kinds[i].most;
  return asked == offered;
}

static enum load_outcome fit_hard(struct load_search *search, const uint8_t *counts) {
  search_begin(search);
  if (plainly_refuted(search, counts)) return LOAD_REFUTED;
  bool to_refute = search->job->problem->to_refute;
  int64_t quarter = search->effort / 4;
  if (quarter > FIRST_STEPS) quarter = FIRST_STEPS;
  struct load_part parts[LOAD_PARTS_MOST];
  if (!to_refute) improve(search, quarter, false);
  if (search->best.count == search->order.count) return LOAD_FOUND;
  int64_t left = search->effort - search->steps;
  enum load_outcome outcome =
      load_exact_lay(search->exact, counts, to_refute ? left : left / 2, parts, &search->steps);
  if (outcome == LOAD_FOUND) take_layout(search, parts, parts_of(search->job, counts));
  if (outcome != LOAD_OPEN || to_refute) return outcome;
  improve(search, search->effort, false);
  return search->best.count == search->order.count ? LOAD_FOUND : LOAD_OPEN;
}

enum load_outcome load_fits(struct arena *arena, const struct load_problem *problem, int64_t effort,
                            struct load_answer *answer) {
  struct load_job *job = ARENA_NEW(arena, struct load_job);
  struct load_search search = {.arena = arena, .job = job, .effort = effort};
  uint8_t counts[LOAD_ITEMS_MOST];
  *answer = (struct load_answer){.steps = 0};
  load_job_begin(arena, problem, job);
  if (!all_offered(problem, job)) return job->limited ? LOAD_OPEN : LOAD_REFUTED;
  all_counts(job, counts);
  if (area_of(job, counts) > job->length * job->width) return LOAD_REFUTED;
  if (!load_clamps_possible(job->clamps, &job->open))
    return job->clamps->exact ? LOAD_REFUTED : LOAD_OPEN;
  if (job->limited) return LOAD_OPEN;
  build_first(job, counts, &search.best, &search.order, &search.steps);
  enum load_outcome outcome = LOAD_FOUND;
  if (search.best.count < search.order.count) outcome = fit_hard(&search, counts);
  answer->bound = worth_of(job, counts);
  answer->steps = search.steps;
  if (outcome == LOAD_FOUND) finish(&search, answer);
  return outcome;
}
