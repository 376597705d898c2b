#include "hold/load_places.h"

#include <string.h>

enum { STOPS_MOST = 1024 };

/* Both kinds of places along one axis, each once; parts' from the room's corner, grown by the gap,
 * clamps' from the load's. */
struct axis {
  const struct load_problem *problem;
  size_t way; /* 0: x, 1: y */
  length_t whole, room;
  length_t parts[STOPS_MOST];
  size_t part_count;
  struct load_begins *begins;
  bool too_many;
};

static length_t least_extent(const struct axis *axis) {
  const struct load_problem *problem = axis->problem;
  length_t least = axis->whole;
  for (size_t i = 0; i < problem->item_count; i++) {
    const struct load_item *item = &problem->items[i];
    length_t extent = axis->way == 0 ? item->length : item->width;
    if (item->turns) extent = smaller(item->length, item->width);
    if (item->most > 0) least = smaller(least, extent);
  }
  return least + problem->gap;
}

static void add_part(struct axis *axis, length_t at) {
  if (at < 0 || at + least_extent(axis) > axis->room) return;
  for (size_t i = 0; i < axis->part_count; i++)
    if (axis->parts[i] == at) return;
  if (axis->part_count == STOPS_MOST)
    axis->too_many = true;
  else
    axis->parts[axis->part_count++] = at;
}

static void add_clamp(struct axis *axis, size_t choice, length_t at) {
  struct load_begins *begins = axis->begins;
  if (at < 0 || at + axis->problem->hold.choices[choice].width > axis->whole) return;
  for (size_t i = 0; i < begins->count; i++)
    if (begins->items[i].at == at && begins->items[i].choice == choice) return;
  if (begins->count == LOAD_PLACES_MOST)
    axis->too_many = true;
  else
    begins->items[begins->count++] = (struct load_begin){at, choice};
}

/* A clamp of each choice there is. */
static void add_clamps(struct axis *axis, length_t at, bool behind) {
  const struct clamp_problem *hold = &axis->problem->hold;
  if (!clamp_pair_held(hold, 1 - axis->way)) return;
  for (size_t c = 0; c < hold->choice_count; c++)
    if (hold->choices[c].count > 0) add_clamp(axis, c, behind ? at - hold->choices[c].width : at);
}

/* From a part's outline to a keep-out. */
static length_t clearance(const struct axis *axis, size_t choice) {
  return axis->problem->hold.reach + axis->problem->hold.choices[choice].keep_out;
}

static void stopped_by_part(struct axis *axis, length_t at) {
  const struct load_problem *problem = axis->problem;
  const struct clamp_problem *hold = &problem->hold;
  for (size_t i = 0; i < problem->item_count; i++)
    for (int turned = 0; turned < 2; turned++) {
      const struct load_item *item = &problem->items[i];
      length_t extent = (axis->way == 0) == (turned == 0) ? item->length : item->width;
      length_t end = at + extent + problem->gap;
      if (item->most < 1 || (turned == 1 && !item->turns) || end > axis->room) continue;
      add_part(axis, end);
      if (!clamp_pair_held(hold, 1 - axis->way)) continue;
      for (size_t c = 0; c < hold->choice_count; c++)
        if (hold->choices[c].count > 0)
          add_clamp(axis, c, problem->edge + at + extent + clearance(axis, c));
    }
}

/* `at`: where the clamp's body ends. */
static void part_behind_clamp(struct axis *axis, size_t choice, length_t at) {
  add_part(axis, at + clearance(axis, choice) - axis->problem->edge);
}

static void stopped_by_clamp(struct axis *axis, struct load_begin begin) {
  const struct clamp_problem *hold = &axis->problem->hold;
  length_t end = begin.at + hold->choices[begin.choice].width;
  part_behind_clamp(axis, begin.choice, end);
  add_clamps(axis, end, false);
  add_clamps(axis, begin.at - hold->span, true);
}

static void stopped_by_corners(struct axis *axis) {
  const struct clamp_problem *hold = &axis->problem->hold;
  add_part(axis, 0);
  add_clamps(axis, 0, false);
  add_clamps(axis, axis->whole - smaller(hold->end, hold->span), true);
  if (!clamp_pair_held(hold, axis->way)) return;
  for (size_t c = 0; c < hold->choice_count; c++) {
    if (hold->choices[c].count < 1) continue;
    part_behind_clamp(axis, c, hold->choices[c].over);
    add_clamps(axis, hold->choices[c].over, false);
  }
}

static bool list_axis(const struct load_problem *problem, size_t way, struct load_begins *begins) {
  const struct clamp_problem *hold = &problem->hold;
  length_t whole = way == 0 ? hold->length : hold->width;
  struct axis axis = {.problem = problem,
                      .way = way,
                      .whole = whole,
                      .room = whole - 2 * problem->edge + problem->gap,
                      .begins = begins};
  begins->count = 0;
  stopped_by_corners(&axis);
  size_t parts = 0, clamps = 0;
  while (!axis.too_many && (parts < axis.part_count || clamps < begins->count)) {
    if (parts < axis.part_count)
      stopped_by_part(&axis, axis.parts[parts++]);
    else
      stopped_by_clamp(&axis, begins->items[clamps++]);
  }
  return !axis.too_many;
}

bool load_stands_in_line(const struct clamp_problem *hold) {
  bool any = false;
  for (size_t c = 0; c < hold->choice_count; c++)
    any = any || (hold->choices[c].kind == CLAMP_SIDE && hold->choices[c].count > 0);
  for (size_t side = 0; any && side < BED_SIDES; side += 2)
    if (clamp_pair_held(hold, side / 2) && !hold->stop[side] && !hold->stop[side + 1]) return true;
  return false;
}

bool load_places_list(const struct load_problem *problem, struct load_begins begins[2]) {
  for (size_t i = 0; i < problem->item_count; i++)
    if (problem->items[i].round && problem->items[i].most > 0) return false;
  if (problem->hold.choice_count > LOAD_CHOICES_MOST || load_stands_in_line(&problem->hold))
    return false;
  return list_axis(problem, 0, &begins[0]) && list_axis(problem, 1, &begins[1]);
}
