#include "model/clamping.h"

#define DEFAULT_HOLD_DOWN "default hold-down"

const char *bed_side_text(enum bed_side side) {
  static const char *const names[BED_SIDES] = {"left", "right", "front", "back"};
  return names[side];
}

/* Common practice, no source. */
static struct clamp default_hold_down(enum unit unit) {
  struct clamp clamp = {.name = DEFAULT_HOLD_DOWN,
                        .kind = CLAMP_HOLD_DOWN,
                        .count = INT64_C(1000000),
                        .height_from = HEIGHT_FROM_STOCK,
                        .max_stock = LENGTH_MAX};
  bool inch = unit == UNIT_INCH;
  clamp.width = inch ? LENGTH_PER_INCH : MM(25);
  clamp.over = inch ? LENGTH_PER_INCH * 5 / 8 : MM(15);
  clamp.beside = inch ? LENGTH_PER_INCH : MM(25);
  clamp.height = inch ? LENGTH_PER_INCH / 2 : MM(12);
  return clamp;
}

void clamp_set_of(const struct project *project, struct clamp_set *clamps) {
  clamps->stated_default = project->clamp_count == 0;
  clamps->stand_in = default_hold_down(shop_unit(&project->shop));
  clamps->items = clamps->stated_default ? &clamps->stand_in : project->clamps;
  clamps->count = clamps->stated_default ? 1 : project->clamp_count;
}

bool clamp_takes(const struct shop *shop, const struct clamp *clamp, length_t raw) {
  if (clamp->count < 1 || raw < clamp->min_stock || raw > clamp->max_stock) return false;
  return clamp->kind != CLAMP_SIDE || raw >= shop->side_clamp_min_stock;
}

const char *clamp_name(const struct project *project, size_t clamp) {
  return project->clamp_count == 0 ? DEFAULT_HOLD_DOWN : project->clamps[clamp].name;
}

/* In the order of the setting's choices. */
bool bed_has_stop(const struct shop *shop, enum bed_side side) {
  static const bool stops[5][BED_SIDES] = {{true, false, true, false},
                                           {false, true, true, false},
                                           {true, false, false, true},
                                           {false, true, false, true},
                                           {false, false, false, false}};
  return stops[shop->stops][side];
}

const char *bed_origin_text(const struct shop *shop) {
  static const char *const names[] = {"front-left", "front-right", "back-left", "back-right",
                                      "centre"};
  return names[shop->origin];
}

void bed_origin(const struct shop *shop, const struct load *load, length_t *x, length_t *y) {
  *x = shop->origin == 1 || shop->origin == 3 ? load->length : 0;
  *y = shop->origin == 2 || shop->origin == 3 ? load->width : 0;
  if (shop->origin < 4) return;
  *x = load->length / 2;
  *y = load->width / 2;
}

bool held_clamp_at_end(const struct load *load, const struct held_clamp *held) {
  return (held->side == BED_LEFT || held->side == BED_RIGHT) != load->across;
}

bool held_clamp_keeps_side(const struct project *project, const struct load *load,
                           const struct held_clamp *held) {
  static const enum bed_side opposite[BED_SIDES] = {BED_RIGHT, BED_LEFT, BED_BACK, BED_FRONT};
  return project->clamp_count > 0 && project->clamps[held->clamp].kind == CLAMP_SIDE &&
         held_clamp_at_end(load, held) && bed_has_stop(&project->shop, opposite[held->side]);
}

length_t held_clamp_over(const struct load *load, const struct held_clamp *clamp) {
  switch (clamp->side) {
    case BED_LEFT:
      return clamp->x + clamp->length;
    case BED_RIGHT:
      return load->length - clamp->x;
    case BED_FRONT:
      return clamp->y + clamp->width;
    default:
      return load->width - clamp->y;
  }
}

int64_t load_count(const struct load *load, size_t part) {
  int64_t count = 0;
  for (size_t i = 0; i < load->part_count; i++)
    if (load->parts[i].part == part) count++;
  return count;
}

struct hole held_hole(const struct held_part *part, struct hole hole) {
  if (!part->turned) return (struct hole){part->x + hole.x, part->y + hole.y};
  return (struct hole){part->x + part->length - hole.y, part->y + hole.x};
}
