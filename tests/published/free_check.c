#include "published/free_check.h"

#include <inttypes.h>

/* Where a placed piece lies. */
struct box {
  size_t sheet;
  length_t x, y, length, width;
};

static bool apart(length_t a, length_t a_size, length_t b, length_t b_size, length_t gap) {
  return a + a_size + gap <= b || b + b_size + gap <= a;
}

static bool on_flaw(const struct nest_stock *stock, const struct nest_option *option,
                    const struct box *box) {
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &stock->flaws[i];
    length_t rim_x = flaw->rim_ok ? option->core_x : 0;
    length_t rim_y = flaw->rim_ok ? option->core_y : 0;
    if (!apart(box->x + rim_x, box->length - 2 * rim_x, flaw->x, flaw->length, 0) &&
        !apart(box->y + rim_y, box->width - 2 * rim_y, flaw->y, flaw->width, 0))
      return true;
  }
  return false;
}

static const char *check_place(struct arena *arena, const struct nest_problem *problem,
                               const struct free_answer *answer, size_t index, struct box *box) {
  const struct free_place *place = &answer->places[index];
  if (place->sheet >= answer->sheet_count)
    return arena_format(arena, "place %zu: there is no sheet %zu", index, place->sheet);
  const struct nest_stock *stock = &problem->stocks[answer->sheets[place->sheet]];
  if (place->option >= stock->option_count)
    return arena_format(arena, "place %zu: there is no option %zu", index, place->option);
  const struct nest_option *option = &stock->options[place->option];
  *box = (struct box){place->sheet, place->x, place->y, option->length, option->width};
  if (box->x < 0 || box->y < 0 || box->x + box->length > stock->length ||
      box->y + box->width > stock->width)
    return arena_format(arena, "place %zu reaches out of its sheet", index);
  if (on_flaw(stock, option, box)) return arena_format(arena, "place %zu lies on a flaw", index);
  return NULL;
}

static const char *check_overlaps(struct arena *arena, const struct nest_problem *problem,
                                  const struct free_answer *answer, const struct box *boxes) {
  for (size_t i = 0; i < answer->place_count; i++) {
    const struct box *a = &boxes[i];
    const struct nest_stock *stock = &problem->stocks[answer->sheets[a->sheet]];
    for (size_t j = 0; j < i; j++) {
      const struct box *b = &boxes[j];
      if (a->sheet != b->sheet || apart(a->x, a->length, b->x, b->length, stock->kerf_crosscut) ||
          apart(a->y, a->width, b->y, b->width, stock->kerf_rip))
        continue;
      return arena_format(arena, "places %zu and %zu overlap", j, i);
    }
  }
  return NULL;
}

static const char *check_counts(struct arena *arena, const struct nest_problem *problem,
                                const struct free_answer *answer) {
  bool met = true;
  int64_t *open = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) open[d] = problem->demand[d];
  for (size_t i = 0; i < answer->place_count; i++) {
    const struct free_place *place = &answer->places[i];
    open[problem->stocks[answer->sheets[place->sheet]].options[place->option].demand]--;
  }
  for (size_t d = 0; d < problem->demand_count; d++) {
    if (open[d] != 0) met = false;
    if (open[d] < 0) return arena_format(arena, "demand %zu: %" PRId64 " too many", d, -open[d]);
    if (open[d] != answer->missing[d])
      return arena_format(arena, "demand %zu: says %" PRId64 " missing, %" PRId64 " are", d,
                          answer->missing[d], open[d]);
  }
  return met == answer->complete ? NULL : arena_format(arena, "complete is not what it says");
}

static const char *check_sheets(struct arena *arena, const struct nest_problem *problem,
                                const struct free_answer *answer) {
  cost_t cost = 0;
  int64_t *used = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  for (size_t i = 0; i < answer->sheet_count; i++) {
    if (answer->sheets[i] >= problem->stock_count)
      return arena_format(arena, "there is no stock %zu", answer->sheets[i]);
    const struct nest_stock *stock = &problem->stocks[answer->sheets[i]];
    if (stock->count >= 0 && ++used[answer->sheets[i]] > stock->count)
      return arena_format(arena, "more than there are of stock %zu", answer->sheets[i]);
    cost += stock->cost;
  }
  if (cost != answer->cost)
    return arena_format(arena, "cost says %" PRId64 ", the sheets come to %" PRId64, answer->cost,
                        cost);
  if (answer->complete && answer->bound > cost)
    return arena_format(arena, "bound %" PRId64 " over cost %" PRId64, answer->bound, cost);
  return NULL;
}

const char *free_check(struct arena *arena, const struct nest_problem *problem,
                       const struct free_answer *answer) {
  const char *fault = check_sheets(arena, problem, answer);
  struct box *boxes = ARENA_ARRAY(arena, answer->place_count, struct box);
  for (size_t i = 0; i < answer->place_count && fault == NULL; i++)
    fault = check_place(arena, problem, answer, i, &boxes[i]);
  if (fault == NULL) fault = check_overlaps(arena, problem, answer, boxes);
  return fault != NULL ? fault : check_counts(arena, problem, answer);
}
