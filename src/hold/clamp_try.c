#include "hold/clamp_try.h"

#include "hold/clamp_numbers.h"

/* The kinds of way number w; ways that differ on an axis that is not held are the same. */
static bool kinds_of_way(const struct clamp_problem *problem, int way, enum clamp_kind *kinds) {
  for (int axis = 0; axis < 2; axis++) {
    bool hold_down = way >> axis & 1;
    if (hold_down && !side_axis_held(problem, axis == 0 ? BED_LEFT : BED_FRONT)) return false;
    kinds[axis] = hold_down ? CLAMP_HOLD_DOWN : CLAMP_SIDE;
  }
  return true;
}

void clamp_ways(const struct clamp_problem *problem, const struct clear_side *clear, unsigned rules,
                struct clamp_ways *ways) {
  *ways = (struct clamp_ways){.problem = problem, .clear = clear};
  for (int way = 0; way < MOST_WAYS; way++) {
    enum clamp_kind kinds[2];
    if (!kinds_of_way(problem, way, kinds)) continue;
    int64_t least = clamp_numbers(problem, clear, rules, kinds);
    if (least < 0) continue;
    size_t at = ways->count++;
    for (; at > 0 && ways->least[at - 1] > least; at--) {
      ways->least[at] = ways->least[at - 1];
      ways->kind[at][0] = ways->kind[at - 1][0];
      ways->kind[at][1] = ways->kind[at - 1][1];
    }
    ways->least[at] = least;
    ways->kind[at][0] = kinds[0];
    ways->kind[at][1] = kinds[1];
  }
}

void clamp_ways_solve(struct arena *arena, const struct clamp_ways *ways,
                      const struct clamp_places *places, const struct clamp_asked *asked,
                      struct clamp_found *found) {
  *found = (struct clamp_found){.answer = PROGRAM_INFEASIBLE};
  bool stopped = false;
  for (size_t w = 0; w < ways->count; w++) {
    if (asked->number >= 0 && ways->least[w] > asked->number) break;
    if (found->found && asked->aim == AIM_FEWEST && ways->least[w] >= (int64_t)found->count) break;
    struct clamp_asked one = *asked;
    one.kind[0] = ways->kind[w][0];
    one.kind[1] = ways->kind[w][1];
    struct clamp_found other;
    clamp_rows_solve(arena, ways->problem, places, &one, &other);
    if (other.answer == PROGRAM_STOPPED) stopped = true;
    if (other.found && (!found->found || other.value < found->value - 1e-6)) *found = other;
    if (found->found && asked->aim == AIM_ANY) return;
  }
  if (stopped)
    found->answer = PROGRAM_STOPPED;
  else
    found->answer = found->found ? PROGRAM_OPTIMAL : PROGRAM_INFEASIBLE;
}

/* The places found join the few, sorted as they are. */
static void join(struct arena *arena, const struct clamp_found *found,
                 struct clamp_places *places) {
  struct clamp_place *all = ARENA_ARRAY(arena, places->count + found->count, struct clamp_place);
  size_t count = 0;
  for (size_t i = 0; i < places->count; i++) all[count++] = places->places[i];
  for (size_t i = 0; i < found->count; i++) all[count++] = found->places[i];
  places->places = all;
  places->count = clamp_places_sort(all, count);
}

/* True when what was found is certain. */
static bool look(struct arena *arena, const struct clamp_asked *asked,
                 const struct clamp_places *places, struct clamp_try *tried) {
  struct clamp_found found;
  clamp_ways_solve(arena, &tried->ways, places, asked, &found);
  if (found.found && (!tried->found.found || found.value < tried->found.value))
    tried->found = found;
  if (tried->found.found && asked->aim == AIM_ANY) return true;
  if (tried->found.found && asked->aim == AIM_FEWEST &&
      (int64_t)tried->found.count <= tried->ways.least[0])
    return true;
  return places->complete && found.answer != PROGRAM_STOPPED;
}

void clamps_try(struct arena *arena, const struct clamp_problem *problem,
                const struct clamp_asked *asked, bool thorough, struct clamp_try *tried) {
  *tried = (struct clamp_try){.clear = clear_sides(arena, problem), .certain = true};
  clamp_ways(problem, tried->clear, asked->rules, &tried->ways);
  if (tried->ways.count == 0) return;
  tried->places = clamp_places(arena, problem, tried->clear, CLAMP_FEW);
  tried->certain = look(arena, asked, &tried->places, tried);
  if (tried->certain || problem->pitch > 0 || !thorough) return;
  struct clamp_places chain = clamp_places(arena, problem, tried->clear, CLAMP_CHAIN);
  tried->certain = look(arena, asked, &chain, tried);
  join(arena, &tried->found, &tried->places);
}

bool clamps_found(struct arena *arena, const struct clamp_problem *problem, unsigned rules) {
  struct arena_mark start = arena_mark(arena);
  struct clamp_asked asked = asked_in_full(problem);
  asked.rules = rules;
  asked.aim = AIM_ANY;
  struct clamp_try tried;
  clamps_try(arena, problem, &asked, false, &tried);
  bool found = tried.found.found;
  arena_release(arena, start);
  return found;
}
