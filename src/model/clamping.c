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

const char *clamp_name(const struct project *project, size_t clamp) {
  return project->clamp_count == 0 ? DEFAULT_HOLD_DOWN : project->clamps[clamp].name;
}

int64_t load_count(const struct load *load, size_t part) {
  int64_t count = 0;
  for (size_t i = 0; i < load->part_count; i++)
    if (load->parts[i].part == part) count++;
  return count;
}
