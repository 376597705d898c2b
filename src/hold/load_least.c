#include "hold/load_least.h"

#include "hold/load_memory.h"
#include "hold/load_places.h"

/* Steps for one question about many sizes and about nearly one, and of one that is answered without
 * a search. */
enum { QUESTION_STEPS = 60000, LAST_STEPS = 20000000, LAST_MARKS = 8, PLAIN_STEPS = 2000 };

/* Places of clamps looked at along a side, and where these tell too little. */
enum { PLACES_ALONG = 60, PLACES_CLOSE = 120 };

/* ---- looser rules ---- */

/* A clamp that begins anywhere covers a narrower one at the next of places `step` apart. Chains of
 * those leave so much more free. False where a clamp is too narrow for it. */
static bool loosen_places(struct arena *arena, size_t places, struct clamp_problem *problem) {
  if (problem->pitch > 0) return true;
  size_t kinds = problem->choice_count < 1 ? 1 : problem->choice_count;
  length_t side = 0; /* the longest that is held */
  if (clamp_pair_held(problem, 0)) side = problem->width;
  if (clamp_pair_held(problem, 1)) side = larger(side, problem->length);
  length_t step = side / (length_t)(places / kinds) + 1;
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

/* What is asked of sizes. */
struct question {
  struct load_group *group;
  const struct part_set *set;
  enum hold hold;
  bool across;
  bool keep; /* a load that comes to light is added to the group's */
  int64_t *steps;
};

/* The problem was not loosened: what was found is a load. */
static void keep_found(const struct question *question, const struct load_sizes *sizes,
                       const struct load_answer *answer) {
  group_add(question->group, question->set, question->hold, question->across,
            (struct load_size){sizes->most[0], sizes->most[1]}, answer);
}

/* With so many places of clamps along a side, if they cannot be told exactly. */
static enum load_outcome ask_at(const struct question *question, const struct load_problem *problem,
                                size_t places, int64_t limit, struct load_answer *answer) {
  const struct bed *bed = question->group->bed;
  struct load_problem loose = *problem;
  if (!loose.pushed && !loosen_places(bed->arena, places, &loose.hold)) return LOAD_OPEN;
  enum load_outcome outcome =
      load_memory_fits(bed->memory, bed->arena, &loose, smaller(limit, *question->steps), answer);
  *question->steps -= answer->steps;
  return outcome;
}

/* `exact`: no rule was loosened. */
static enum load_outcome ask_problem(const struct question *question, struct load_problem *problem,
                                     bool few, bool *exact, struct load_answer *answer) {
  struct load_begins begins[2];
  int64_t limit = few ? LAST_STEPS : QUESTION_STEPS;
  *question->steps -= PLAIN_STEPS;
  problem->pushed = load_places_list(problem, begins);
  bool loose = !problem->pushed && problem->hold.pitch <= 0;
  *exact = *exact && !loose;
  if (!problem->pushed && load_stands_in_line(&problem->hold)) return LOAD_OPEN;
  enum load_outcome outcome = ask_at(question, problem, PLACES_ALONG, limit, answer);
  return loose && few && outcome == LOAD_FOUND
             ? ask_at(question, problem, PLACES_CLOSE, limit, answer)
             : outcome;
}

/* Where one pair of sides alone is held, its clamps are of one kind: each kind apart has fewer
 * places, which are told exactly or more closely. */
static enum load_outcome ask_each_kind(const struct question *question,
                                       const struct load_problem *problem, bool few, bool *exact,
                                       struct load_answer *answer) {
  const struct clamp_problem *hold = &problem->hold;
  struct clamp_choice *choices =
      ARENA_ARRAY(question->group->bed->arena, hold->choice_count + 1, struct clamp_choice);
  bool sizes_exact = *exact;
  for (enum clamp_kind kind = CLAMP_HOLD_DOWN;; kind = CLAMP_SIDE) {
    struct load_problem of_kind = *problem;
    of_kind.hold.choices = choices;
    of_kind.hold.choice_count = 0;
    for (size_t c = 0; c < hold->choice_count; c++)
      if (hold->choices[c].kind == kind) choices[of_kind.hold.choice_count++] = hold->choices[c];
    *exact = sizes_exact;
    enum load_outcome outcome = ask_problem(question, &of_kind, few, exact, answer);
    if (outcome != LOAD_REFUTED || kind == CLAMP_SIDE) return outcome;
  }
}

static enum load_outcome ask(const struct question *question, const struct load_sizes *sizes,
                             struct slack *slack) {
  struct load_group *group = question->group;
  struct arena *arena = group->bed->arena;
  struct arena_mark mark = arena_mark(arena);
  struct load_item items[GROUP_PARTS_MOST];
  struct load_problem problem = {
      .gap = group->gap, .edge = group->edge, .items = items, .to_refute = true};
  problem.item_count = group_items(group, question->set, question->across, items);
  problem.hold =
      group_problem(group, question->hold, question->across, sizes->most[0], sizes->most[1]);
  *slack = load_loosen_sizes(
      &problem.hold, slack_of(sizes, question->across, group->bed->project->shop.mark_step));
  struct load_answer answer;
  bool few = are_few(group, *slack);
  bool exact = slack->x == 0 && slack->y == 0;
  bool one_pair = clamp_pair_held(&problem.hold, 0) != clamp_pair_held(&problem.hold, 1);
  enum load_outcome outcome = one_pair ? ask_each_kind(question, &problem, few, &exact, &answer)
                                       : ask_problem(question, &problem, few, &exact, &answer);
  if (question->keep && exact && outcome == LOAD_FOUND)
    keep_found(question, sizes, &answer);
  else
    arena_release(arena, mark);
  return outcome;
}

/* ---- sizes, halved where they are too many to be refuted at once ---- */

static bool refutes(const struct question *question, const struct load_sizes *sizes) {
  const struct load_group *group = question->group;
  length_t mark = group->bed->project->shop.mark_step;
  if (is_plainly_too_small(group, question->set, sizes->most)) return true;
  if (*question->steps <= 0) return false;
  struct slack slack;
  enum load_outcome outcome = ask(question, sizes, &slack);
  if (outcome == LOAD_REFUTED) return true;
  if (outcome == LOAD_OPEN && are_few(group, slack)) return false;
  int way = (slack.x >= slack.y) != question->across ? 0 : 1;
  int64_t marks = larger(slack.x, slack.y) / mark + 1;
  if (marks < 2) return false;
  struct load_sizes high = *sizes, low = *sizes;
  high.over[way] = low.most[way] = sizes->over[way] + marks / 2 * mark;
  return refutes(question, &high) && refutes(question, &low);
}

bool group_refutes(struct load_group *group, const struct part_set *set,
                   const struct load_sizes *sizes, bool keep, int64_t *steps) {
  length_t mark = group->bed->project->shop.mark_step;
  for (size_t h = 0; h < group->hold_count; h++)
    for (int across = 0; across < 2; across++) {
      struct load_size most = group_most(group, group->holds[h], across == 1);
      struct load_sizes held = *sizes;
      held.most[0] = smaller(held.most[0], most.length / mark * mark);
      held.most[1] = smaller(held.most[1], most.width / mark * mark);
      if (held.most[0] <= held.over[0] || held.most[1] <= held.over[1]) continue;
      struct question question = {group, set, group->holds[h], across == 1, keep, steps};
      if (!refutes(&question, &held)) return false;
    }
  return true;
}
