/* What a problem looks like with a change made to it, and the search for changes that help. */
#include "hold/clamp_cure.h"

#include "hold/clamp_try.h"

enum { MOST_MORE = 4, MOST_MARKS = 1024 };

static length_t mark_of(const struct clamp_problem *problem) {
  return problem->mark > 0 ? problem->mark : LENGTH_PER_MM / 2;
}

/* Wood is added outside a side: what lies on the load keeps its distance from the others. */
static void grow(struct clamp_problem *problem, struct clamp_obstacle *obstacles,
                 enum bed_side side, length_t by) {
  length_t shift_x = side == BED_LEFT ? by : 0;
  length_t shift_y = side == BED_FRONT ? by : 0;
  if (side_axis(side) == 0)
    problem->length += by;
  else
    problem->width += by;
  for (size_t o = 0; o < problem->obstacle_count; o++) {
    obstacles[o].x += shift_x;
    obstacles[o].y += shift_y;
  }
}

/* A quarter turn against the clock: left comes to the front, front to the right. */
static void turn(struct clamp_problem *problem, const struct clamp_problem *old,
                 struct clamp_obstacle *obstacles) {
  static const enum bed_side turned[BED_SIDES] = {BED_FRONT, BED_BACK, BED_RIGHT, BED_LEFT};
  problem->length = old->width;
  problem->width = old->length;
  for (int side = 0; side < BED_SIDES; side++) problem->held[turned[side]] = old->held[side];
  for (size_t o = 0; o < old->obstacle_count; o++) {
    const struct clamp_obstacle *before = &old->obstacles[o];
    obstacles[o].x = old->width - before->y - before->width;
    obstacles[o].y = before->x;
    obstacles[o].length = before->width;
    obstacles[o].width = before->length;
  }
}

struct clamp_problem clamps_cured(struct arena *arena, const struct clamp_problem *problem,
                                  const struct clamp_cure *cure) {
  struct clamp_problem cured = *problem;
  struct clamp_choice *choices = ARENA_ARRAY(arena, problem->choice_count, struct clamp_choice);
  struct clamp_obstacle *obstacles =
      ARENA_ARRAY(arena, problem->obstacle_count, struct clamp_obstacle);
  for (size_t c = 0; c < problem->choice_count; c++) choices[c] = problem->choices[c];
  for (size_t o = 0; o < problem->obstacle_count; o++) obstacles[o] = problem->obstacles[o];
  if (cure->kind == CURE_GROW) grow(&cured, obstacles, cure->side, cure->grow);
  if (cure->kind == CURE_GROW && cure->both)
    grow(&cured, obstacles, side_opposite(cure->side), cure->grow);
  if (cure->kind == CURE_TURN) turn(&cured, problem, obstacles);
  if (cure->kind == CURE_MORE)
    for (size_t c = 0; c < problem->choice_count; c++)
      if (choices[c].clamp == cure->clamp) choices[c].count += cure->more;
  cured.choices = choices;
  cured.obstacles = obstacles;
  return cured;
}

static bool cures(struct arena *arena, const struct clamp_problem *problem,
                  const struct clamp_cure *cure) {
  struct arena_mark start = arena_mark(arena);
  struct clamp_problem cured = clamps_cured(arena, problem, cure);
  bool found = clamps_found(arena, &cured, RULES_ALL);
  arena_release(arena, start);
  return found;
}

static bool cures_by_marks(struct arena *arena, const struct clamp_problem *problem,
                           struct clamp_cure cure, int64_t marks) {
  cure.grow = marks * mark_of(problem);
  return cures(arena, problem, &cure);
}

/* The least number of marks found, or 0; at most `most` is looked at. */
static int64_t grow_marks(struct arena *arena, const struct clamp_problem *problem,
                          struct clamp_cure cure, int64_t most) {
  int64_t fails = 0;
  int64_t helps = 1;
  while (helps < most && !cures_by_marks(arena, problem, cure, helps)) {
    fails = helps;
    helps *= 2;
  }
  if (helps >= most) {
    helps = most;
    if (most <= fails || !cures_by_marks(arena, problem, cure, most)) return 0;
  }
  while (helps - fails > 1) {
    int64_t middle = fails + (helps - fails) / 2;
    if (cures_by_marks(arena, problem, cure, middle))
      helps = middle;
    else
      fails = middle;
  }
  return helps;
}

/* Each side by itself, then both sides of an axis alike; what adds the least in all is kept. */
bool cure_by_growing(struct arena *arena, const struct clamp_problem *problem,
                     struct clamp_cure *cure) {
  static const struct clamp_cure ways[] = {{.side = BED_LEFT},
                                           {.side = BED_RIGHT},
                                           {.side = BED_FRONT},
                                           {.side = BED_BACK},
                                           {.side = BED_LEFT, .both = true},
                                           {.side = BED_FRONT, .both = true}};
  length_t mark = mark_of(problem);
  int64_t best = 0;
  for (size_t w = 0; w < sizeof ways / sizeof *ways; w++) {
    struct clamp_cure way = ways[w];
    way.kind = CURE_GROW;
    int64_t sides = way.both ? 2 : 1;
    int64_t most = (side_bed(problem, way.side) - side_across(problem, way.side)) / mark;
    if (most > MOST_MARKS) most = MOST_MARKS;
    if (best > 0 && most > best - 1) most = best - 1;
    if (most < sides) continue;
    int64_t marks = grow_marks(arena, problem, way, most / sides);
    if (marks == 0) continue;
    best = marks * sides;
    *cure = way;
    cure->grow = marks * mark;
  }
  return best > 0;
}

bool cure_by_more(struct arena *arena, const struct clamp_problem *problem,
                  struct clamp_cure *cure) {
  for (int64_t more = 1; more <= MOST_MORE; more++)
    for (size_t c = 0; c < problem->choice_count; c++) {
      *cure =
          (struct clamp_cure){.kind = CURE_MORE, .clamp = problem->choices[c].clamp, .more = more};
      if (cures(arena, problem, cure)) return true;
    }
  return false;
}

bool cure_by_turning(struct arena *arena, const struct clamp_problem *problem,
                     struct clamp_cure *cure) {
  *cure = (struct clamp_cure){.kind = CURE_TURN};
  return cures(arena, problem, cure);
}
