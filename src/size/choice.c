#include "size/choice.h"

struct thickness_window choice_window(const struct shop *shop, const struct part *part) {
  length_t t = part->thickness;
  switch (part->faced) {
    case FACED_ONE:
      return (struct thickness_window){t + shop->face_min, t + shop->face_max};
    case FACED_TWO:
      return (struct thickness_window){t + 2 * shop->face_min, t + 2 * shop->face_max};
    default:
      return (struct thickness_window){t - shop->thickness_tolerance,
                                       t + shop->thickness_tolerance};
  }
}

/* The last choice of `stops` is "none"; every other has one stop for each direction. */
static bool has_stops(const struct shop *shop) { return shop->stops != 4; }

/* A hold-down holds the side it stands on; a side clamp needs a stop or another opposite. */
static int64_t clamps_needed(const struct shop *shop, enum clamp_kind kind, enum hold hold) {
  int64_t sides = hold == HOLD_ALL ? 4 : 2;
  return kind == CLAMP_SIDE && has_stops(shop) ? sides / 2 : sides;
}

struct sizing {
  const struct project *project;
  const struct clamp_set *clamps;
  const struct part *part;
  const struct reach *reach;
  length_t raw;
};

static length_t clamped_margin(const struct sizing *sizing, const struct clamp *clamp) {
  const struct shop *shop = &sizing->project->shop;
  const struct reach *reach = sizing->reach;
  length_t top = clamp->height - (clamp->height_from == HEIGHT_FROM_BED ? sizing->raw : 0);
  length_t clear = reach_to_clamp(reach, shop, sizing->raw, sizing->part->thickness, top);
  length_t over = clamp->kind == CLAMP_SIDE ? 0 : clamp->over;
  return larger(reach->cutter_diameter + shop->rim, clear + shop->clear_gap + over);
}

static length_t free_margin(const struct sizing *sizing) {
  const struct shop *shop = &sizing->project->shop;
  const struct reach *reach = sizing->reach;
  return larger(reach->cutter_diameter + shop->rim, reach->outside) + shop->squareness;
}

/* Clamps of one kind that do with no more margin may stand beside each other. */
static int64_t clamps_within(const struct sizing *sizing, enum clamp_kind kind, length_t margin) {
  int64_t count = 0;
  for (size_t i = 0; i < sizing->clamps->count; i++) {
    const struct clamp *clamp = &sizing->clamps->items[i];
    if (clamp->kind == kind && clamp_takes(&sizing->project->shop, clamp, sizing->raw) &&
        clamped_margin(sizing, clamp) <= margin && count < INT64_MAX - clamp->count)
      count += clamp->count;
  }
  return count;
}

/* The clamp that needs the least margin (a larger one is beaten in every size); side
 * clamps before hold-downs. False when none owned can hold so. */
static bool best_clamp(const struct sizing *sizing, enum hold hold, size_t *best,
                       length_t *margin) {
  const struct shop *shop = &sizing->project->shop;
  const enum clamp_kind kinds[] = {CLAMP_SIDE, CLAMP_HOLD_DOWN};
  bool found = false;
  for (size_t k = 0; k < 2; k++) {
    for (size_t i = 0; i < sizing->clamps->count; i++) {
      const struct clamp *clamp = &sizing->clamps->items[i];
      if (clamp->kind != kinds[k] || !clamp_takes(shop, clamp, sizing->raw)) continue;
      length_t needs = clamped_margin(sizing, clamp);
      if (found && needs >= *margin) continue;
      if (clamps_within(sizing, kinds[k], needs) < clamps_needed(shop, kinds[k], hold)) continue;
      found = true;
      *best = i;
      *margin = needs;
    }
  }
  return found;
}

/* False when there is no clamp for this way of holding. */
static bool make_choice(const struct sizing *sizing, enum hold hold, struct choice *choice) {
  length_t loose = free_margin(sizing);
  length_t clamped = loose;
  size_t clamp = SIZE_MAX;
  if (hold != HOLD_TAPE && !best_clamp(sizing, hold, &clamp, &clamped)) return false;
  if (sizing->clamps->stated_default) clamp = SIZE_MAX;
  choice->hold = hold;
  choice->clamp = clamp;
  choice->margin_ends = hold == HOLD_ENDS || hold == HOLD_ALL ? clamped : loose;
  choice->margin_sides = hold == HOLD_SIDES || hold == HOLD_ALL ? clamped : loose;
  length_t step = sizing->project->shop.mark_step;
  choice->length = length_raise(sizing->part->length + 2 * choice->margin_ends, step);
  choice->width = length_raise(sizing->part->width + 2 * choice->margin_sides, step);
  return true;
}

static bool beats(const struct choice *a, const struct choice *b) {
  return a->length <= b->length && a->width <= b->width;
}

static bool kept(const struct choice *made, size_t count, size_t index) {
  for (size_t i = 0; i < count; i++) {
    if (i == index || !beats(&made[i], &made[index])) continue;
    if (i < index || !beats(&made[index], &made[i])) return false;
  }
  return true;
}

size_t choice_blanks(const struct project *project, const struct clamp_set *clamps,
                     const struct part *part, const struct reach *reach, length_t raw,
                     struct choice *choices) {
  struct sizing sizing = {project, clamps, part, reach, raw};
  struct choice made[CHOICES_MOST];
  size_t count = 0;
  for (enum hold hold = HOLD_ENDS; hold <= HOLD_TAPE; hold++) {
    bool asked = part->hold == hold ||
                 (part->hold == HOLD_AUTO && (hold == HOLD_ENDS || hold == HOLD_SIDES));
    if (asked && make_choice(&sizing, hold, &made[count])) count++;
  }
  size_t left = 0;
  for (size_t i = 0; i < count; i++)
    if (kept(made, count, i)) choices[left++] = made[i];
  return left;
}

struct choice choice_sawn(const struct shop *shop, const struct part *part) {
  return (struct choice){.hold = HOLD_AUTO,
                         .clamp = SIZE_MAX,
                         .length = part->length + 2 * shop->saw_allowance,
                         .width = part->width + 2 * shop->saw_allowance,
                         .margin_ends = shop->saw_allowance,
                         .margin_sides = shop->saw_allowance};
}
