#include "nest/most.h"

#include "base/buffer.h"

enum { SETS_LIMIT = 1000000 };

/* No more sets than the area of the rack holds of each part's smallest blank. */
static int64_t sets_by_area(const struct project *project, const struct blanks *blanks) {
  double least_area = 0;
  double rack_area = 0;
  for (size_t p = 0; p < project->part_count; p++) {
    double smallest = 0;
    for (size_t b = 0; b < blanks->count; b++) {
      const struct blank *blank = &blanks->items[b];
      if (blank->role == ROLE_LOAD) continue;
      double area = (double)blank->length * (double)blank->width;
      if (blank->strips > 0) area *= (double)blank->strips;
      if (blank->part == p && (smallest <= 0 || area < smallest)) smallest = area;
    }
    if (blanks->shares != NULL && blanks->shares[p].area > 0)
      smallest = (double)blanks->shares[p].area;
    least_area += smallest * (double)project->parts[p].per_set;
  }
  for (size_t s = 0; s < project->stock_count; s++) {
    const struct stock *stock = &project->stocks[s];
    if (stock->source == SOURCE_RACK) /* leaves among them */
      rack_area += (double)stock->length * (double)stock->width * (double)stock->count;
  }
  if (least_area <= 0) return 0;
  double sets = rack_area / least_area;
  return sets > SETS_LIMIT ? SETS_LIMIT : (int64_t)sets;
}

/* More than everything on the rack and every cut in it can cost. */
static cost_t dearer_than_rack(const struct nest_problem *problem) {
  cost_t total = COST_PER_CENT;
  int64_t pieces = 1;
  for (size_t d = 0; d < problem->demand_count; d++) pieces += problem->demand[d];
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t most = nest_stock_most(&problem->stocks[s]);
    total += nest_stock_cost(&problem->stocks[s], most < pieces ? most : pieces);
  }
  return total + 4 * pieces * problem->cut_cost;
}

/* Adds the sets that are not made as a kind of stock that yields a set as it is. */
static void add_sets_not_made(struct arena *arena, const struct project *project,
                              struct material *material, int64_t sets) {
  struct nest_problem *problem = &material->problem;
  int64_t *given = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  struct nest_stock *stocks = arena_grow(arena, problem->stocks, problem->stock_count,
                                         problem->stock_count + 1, sizeof *stocks);
  for (size_t d = 0; d < problem->demand_count - problem->coupling_count; d++)
    given[d] = d < material->part_demands ? project->parts[material->parts[d]].per_set : 1;
  stocks[problem->stock_count] = (struct nest_stock){
      .count = sets, .pack = 1, .cost = dearer_than_rack(problem), .given = given};
  problem->stocks = stocks;
  problem->stock_count++;
}

static int64_t not_made(const struct nest_problem *problem, const struct nest_answer *answer) {
  int64_t times = 0;
  for (size_t l = 0; l < answer->layout_count; l++) {
    const struct nest_stock *stock = &problem->stocks[answer->layouts[l].stock];
    if (stock->given != NULL && !stock->assembly) times += answer->layouts[l].times;
  }
  return times;
}

/* Whether a plan for so many sets was found on the rack alone; what is missing is added to text. */
static bool holds_sets(struct arena *arena, const struct project *project,
                       const struct blanks *blanks, const struct nest_options *options,
                       int64_t sets, struct buffer *text) {
  int64_t *needed = project_needed_of_each(arena, project, sets);
  struct materials materials = setup_materials(arena, project, blanks, needed, true, false);
  bool holds = true;
  for (size_t m = 0; m < materials.count; m++) {
    struct material *material = &materials.items[m];
    struct nest_answer answer;
    setup_rules(project, material, SAFETY_STRICT);
    nest_solve(arena, &material->problem, options, &answer);
    holds = holds && answer.complete;
    for (size_t d = 0; d < material->part_demands; d++)
      if (answer.missing[d] > 0)
        buffer_format(text, "%s%lld more '%s'", text->length > 0 ? ", " : "",
                      (long long)answer.missing[d], project->parts[material->parts[d]].name);
  }
  return holds;
}

/* What is missing when one set more is asked of the rack. */
static const char *what_stops(struct arena *arena, const struct project *project,
                              const struct blanks *blanks, const struct nest_options *options,
                              int64_t sets, bool proved) {
  struct buffer *text = buffer_create(arena);
  (void)holds_sets(arena, project, blanks, options, sets, text);
  if (text->length == 0) buffer_add(text, "a little more of every wood");
  return arena_format(
      arena, "%lld %s would need room for %s%s", (long long)sets, sets == 1 ? "set" : "sets",
      text->text, proved ? "" : " (none was found, though it is not proved that there is none)");
}

/* By halving; fewer than `sets`. */
static int64_t sets_found(struct arena *arena, const struct project *project,
                          const struct blanks *blanks, const struct nest_options *options,
                          int64_t sets) {
  int64_t held = 0, open = sets;
  while (open - held > 1) {
    int64_t middle = held + (open - held) / 2;
    if (holds_sets(arena, project, blanks, options, middle, buffer_create(arena)))
      held = middle;
    else
      open = middle;
  }
  return held;
}

/* The most sets whose parts, spoilage included, `made` sets cover. */
static int64_t sets_after_spoilage(const struct project *project, int64_t made) {
  if (project->part_count == 0) return 0;
  const struct part *first = &project->parts[0];
  int64_t sets = made;
  while (sets > 0 && project_needed(project, 0, sets) > made * first->per_set + first->spares)
    sets--;
  return sets;
}

struct most_sets most_sets_of_rack(struct arena *arena, const struct project *project,
                                   const struct blanks *blanks,
                                   const struct nest_options *options) {
  struct most_sets most = {.proved = true, .planned = true};
  int64_t sets = sets_by_area(project, blanks);
  int64_t *needed = ARENA_ARRAY(arena, project->part_count, int64_t);
  for (size_t p = 0; p < project->part_count; p++)
    needed[p] = project->parts[p].per_set * sets + project->parts[p].spares;
  struct materials materials = setup_materials(arena, project, blanks, needed, true, true);
  if (sets > 0 && materials.count > 0) {
    most.material = materials.items[0];
    struct nest_problem *problem = &most.material.problem;
    add_sets_not_made(arena, project, &most.material, sets);
    setup_rules(project, &most.material, SAFETY_STRICT);
    nest_solve(arena, problem, options, &most.answer);
    cost_t one = problem->stocks[problem->stock_count - 1].cost;
    int64_t missing = not_made(problem, &most.answer);
    most.made = most.answer.complete ? sets - missing : 0;
    /* a plan with one set more costs less than the sets it does not make and one more */
    most.proved =
        most.answer.complete && most.answer.bound > (missing - 1) * one + (one - COST_PER_CENT);
    most.planned = most.answer.complete;
  }
  most.sets = sets_after_spoilage(project, most.made);
  if (!most.planned) most.sets = sets_found(arena, project, blanks, options, sets);
  if (most.sets < most.made) most.planned = false;
  most.stop = what_stops(arena, project, blanks, options, most.sets + 1, most.proved);
  return most;
}
