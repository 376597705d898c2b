#include "hold/load_least.h"

#include "hold/load_memory.h"
#include "hold/load_places.h"

/* Steps for one question about many sizes and about nearly one, and of one that is answered without
 * a search. */
enum { QUESTION_STEPS = 60000, LAST_STEPS = 20000000, LAST_MARKS = 8, PLAIN_STEPS = 2000 };

/* Places of clamps looked at along a side. */
enum { PLACES_ALONG = 60 };

/* ---- looser rules ---- */

/* A clamp that begins anywhere covers a narrower one at the next of places `step` apart. Chains of
 * those leave so much more free. False where a clamp is too narrow for it. */
static bool loosen_places(struct arena *arena, struct clamp_problem *problem) {
  if (problem->pitch > 0) return true;
  size_t kinds = problem->choice_count < 1 ? 1 : problem->choice_count;
  length_t side = 0; /* the longest that is held */
  if (clamp_pair_held(problem, 0)) side = problem->width;
  if (clamp_pair_held(problem, 1)) side = larger(side, problem->length);
  length_t step = side / (length_t)(PLACES_ALONG / kinds) + 1;
  struct clamp_choice *choices = ARENA_ARRAY(arena, kinds, struct clamp_choice);
  for (size_t c = 0; c < problem->choice_count; c++) {
    choices[c] = problem->choices[c];
    choices[c].width -= step;
    if (choices[c].width <= 0) return false;
  }
  problem->choices = choices;
  problem->pitch = step;
  problem->end += step;
  problem->span += 2 * step;
  return true;
}

/* Whether all clamps there are find bed beside a load that leaves so much room. */
static bool bodies_fit(const struct clamp_problem *problem, enum bed_side low, length_t room) {
  if (!clamp_pair_held(problem, low / 2)) return true;
  for (size_t c = 0; c < problem->choice_count; c++)
    if (2 * problem->choices[c].beside > room) return false;
  return true;
}

/* A smaller load lies in the corner of a larger one, the clamps of its far sides moved out: behind
 * the last clamp of a side so much more lies free, and no more bed is taken than the larger one
 * and its clamps would take. */
struct slack load_loosen_sizes(struct clamp_problem *problem, struct slack slack) {
  bool upright = clamp_pair_held(problem, 0), flat = clamp_pair_held(problem, 1);
  if (!flat && bodies_fit(problem, BED_LEFT, problem->bed_length - problem->length)) slack.x = 0;
  if (!upright && bodies_fit(problem, BED_FRONT, problem->bed_width - problem->width)) slack.y = 0;
  length_t free = larger(flat ? slack.x : 0, upright ? slack.y : 0);
  problem->end += free;
  problem->span += free;
  problem->bed_length += slack.x;
  problem->bed_width += slack.y;
  return slack;
}

/* ---- one question ---- */

static bool is_plainly_too_small(const struct load_group *group, const struct part_set *set,
                                 const length_t *most) {
  length_t inset = 2 * group->edge - group->gap;
  if (most[0] <= inset || most[1] <= inset) return true;
  return group_area(group, set) > (double)(most[0] - inset) * (double)(most[1] - inset);
}

/* Whether the sizes are so few that halving them would hardly tell more. */
static bool are_few(const struct load_group *group, struct slack slack) {
  length_t most = LAST_MARKS * group->bed->project->shop.mark_step;
  return slack.x < most && slack.y < most;
}

static struct slack slack_of(const struct load_sizes *sizes, bool across, length_t mark) {
  length_t ways[2];
  for (int way = 0; way < 2; way++) ways[way] = sizes->most[way] - sizes->over[way] - mark;
  return (struct slack){ways[across ? 1 : 0], ways[across ? 0 : 1]};
}

static enum load_outcome ask(struct load_group *group, const struct part_set *set,
                             const struct load_sizes *sizes, enum hold hold, bool across,
                             struct slack *slack, int64_t *steps) {
  struct arena *arena = group->bed->arena;
  struct arena_mark mark = arena_mark(arena);
  struct load_item items[GROUP_PARTS_MOST];
  struct load_problem problem = {
      .gap = group->gap, .edge = group->edge, .items = items, .to_refute = true};
  problem.item_count = group_items(group, set, across, items);
  problem.hold = group_problem(group, hold, across, sizes->most[0], sizes->most[1]);
  *slack = load_loosen_sizes(&problem.hold,
                             slack_of(sizes, across, group->bed->project->shop.mark_step));
  enum load_outcome outcome = LOAD_OPEN;
  struct load_begins begins[2];
  *steps -= PLAIN_STEPS;
  problem.pushed = load_places_list(&problem, begins);
  if (problem.pushed ||
      (!load_stands_in_line(&problem.hold) && loosen_places(arena, &problem.hold))) {
    struct load_answer answer;
    int64_t limit = are_few(group, *slack) ? LAST_STEPS : QUESTION_STEPS;
    if (limit > *steps) limit = *steps;
    outcome = load_memory_fits(group->bed->memory, arena, &problem, limit, &answer);
    *steps -= answer.steps;
  }
  arena_release(arena, mark);
  return outcome;
}

/* ---- sizes, halved where they are too many to be refuted at once ---- */

static bool refutes(struct load_group *group, const struct part_set *set,
                    const struct load_sizes *sizes, enum hold hold, bool across, int64_t *steps) {
  length_t mark = group->bed->project->shop.mark_step;
  if (is_plainly_too_small(group, set, sizes->most)) return true;
  if (*steps <= 0) return false;
  struct slack slack;
  enum load_outcome outcome = ask(group, set, sizes, hold, across, &slack, steps);
  if (outcome == LOAD_REFUTED) return true;
  if (outcome == LOAD_OPEN && are_few(group, slack)) return false;
  int way = (slack.x >= slack.y) != across ? 0 : 1;
  int64_t marks = larger(slack.x, slack.y) / mark + 1;
  if (marks < 2) return false;
  struct load_sizes high = *sizes, low = *sizes;
  high.over[way] = low.most[way] = sizes->over[way] + marks / 2 * mark;
  return refutes(group, set, &high, hold, across, steps) &&
         refutes(group, set, &low, hold, across, steps);
}

bool group_refutes(struct load_group *group, const struct part_set *set,
                   const struct load_sizes *sizes, int64_t *steps) {
  length_t mark = group->bed->project->shop.mark_step;
  for (size_t h = 0; h < group->hold_count; h++)
    for (int across = 0; across < 2; across++) {
      struct load_size most = group_most(group, group->holds[h], across == 1);
      struct load_sizes held = *sizes;
      held.most[0] = smaller(held.most[0], most.length / mark * mark);
      held.most[1] = smaller(held.most[1], most.width / mark * mark);
      if (held.most[0] <= held.over[0] || held.most[1] <= held.over[1]) continue;
      if (!refutes(group, set, &held, group->holds[h], across == 1, steps)) return false;
    }
  return true;
}
