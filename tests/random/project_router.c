/* Clamps, cutters and steps of a random project: any of them may be absent. */
#include "project_making.h"

static void make_clamps(struct making *making) {
  struct text_table *table = making_file(
      making, "clamps.csv",
      "clamp kind count width over beside height height_from min_stock max_stock force note");
  for (int64_t c = making_between(making, 1, 3); c > 0; c--) {
    struct filling clamp = making_row(making, table);
    bool side = making_chance(making, 1, 2);
    fill_text(&clamp, "clamp", arena_format(making->arena, "clamp %d", (int)c));
    fill_text(&clamp, "kind", side ? "side" : "hold-down");
    fill_number(&clamp, "count", making_between(making, 1, 12), 0);
    fill_length(&clamp, "width", making_length(making, 10, 40));
    if (side)
      fill_text(&clamp, "over", "0");
    else
      fill_length(&clamp, "over", making_length(making, 5, 25));
    fill_length(&clamp, "beside", making_length(making, 10, 40));
    fill_length(&clamp, "height", making_length(making, 4, 25));
    fill_word(&clamp, "height_from", "stock|bed|");
    if (making_chance(making, 1, 6)) fill_length(&clamp, "min_stock", making_length(making, 0, 15));
    if (making_chance(making, 1, 6))
      fill_length(&clamp, "max_stock", making_length(making, 20, 60));
    if (making_chance(making, 1, 2)) fill_word(&clamp, "force", "300|250 N|70 lbf");
    fill_note(&clamp, "note");
  }
}

static void fill_more_of_cutter(struct filling *cutter, length_t diameter) {
  struct making *making = cutter->making;
  length_t stepover = making_length(making, 1, 10);
  if (making_chance(making, 1, 3)) fill_length(cutter, "plunge", making_length(making, 50, 900));
  if (making_chance(making, 1, 2) && stepover <= diameter)
    fill_length(cutter, "stepover", stepover);
  if (making_chance(making, 1, 3)) fill_length(cutter, "shank", making_length(making, 3, 12));
  if (making_chance(making, 1, 4)) fill_length(cutter, "neck_reach", making_length(making, 0, 60));
  if (making_chance(making, 1, 2)) fill_number(cutter, "flutes", making_between(making, 1, 4), 0);
  if (making_chance(making, 1, 2)) fill_number(cutter, "rpm", making_between(making, 0, 24000), 0);
  fill_note(cutter, "note");
}

static void make_cutters(struct making *making) {
  static const char *const names[CUTTERS_MOST] = {"flat6", "vee 90\xC2\xB0", "face, wide", "1/8\""};
  struct text_table *table = making_file(
      making, "cutters.csv",
      "cutter diameter flute_length flutes rpm feed plunge stepdown stepover stickout shank "
      "neck_reach nut_diameter slot shape angle note");
  making->cutter_count = (size_t)making_between(making, 1, CUTTERS_MOST);
  for (size_t c = 0; c < making->cutter_count; c++) {
    struct filling cutter = making_row(making, table);
    making->cutters[c] = names[c];
    fill_text(&cutter, "cutter", names[c]);
    length_t diameter = making_length(making, 1, 20);
    fill_length(&cutter, "diameter", diameter);
    fill_length(&cutter, "flute_length", making_length(making, 5, 50));
    fill_length(&cutter, "feed", making_length(making, 200, 2000));
    fill_length(&cutter, "stepdown", making_length(making, 1, 4));
    if (making_chance(making, 1, 2))
      fill_length(&cutter, "stickout", making_length(making, 10, 60));
    if (making_chance(making, 1, 2))
      fill_length(&cutter, "nut_diameter", making_length(making, 10, 40));
    fill_more_of_cutter(&cutter, diameter);
    if (making_chance(making, 1, 3))
      fill_number(&cutter, "angle", making_between(making, 0, 180000), 3);
    if (making_chance(making, 1, 3)) fill_number(&cutter, "slot", making_between(making, 0, 8), 0);
  }
}

static void make_steps(struct making *making) {
  struct text_table *table = making_file(
      making, "steps.csv", "part step cutter depth area path count peck side stand place note");
  for (int64_t s = making_between(making, 1, 8); s > 0; s--) {
    struct filling step = making_row(making, table);
    fill_text(&step, "part", making_pick(making, making->parts, making->part_count));
    fill_word(&step, "step", "face|pocket|drill|profile|profile|chamfer");
    fill_text(&step, "cutter", making_pick(making, making->cutters, making->cutter_count));
    if (making_chance(making, 1, 2)) fill_length(&step, "depth", making_length(making, 1, 20));
    if (making_chance(making, 1, 4))
      fill_number(&step, "area", making_between(making, 0, 90000), 1);
    if (making_chance(making, 1, 4)) fill_length(&step, "path", making_length(making, 0, 900));
    if (making_chance(making, 1, 4)) fill_number(&step, "count", making_between(making, 1, 40), 0);
    if (making_chance(making, 1, 6)) fill_length(&step, "peck", making_length(making, 0, 5));
    fill_word(&step, "side", "top|under|");
    fill_word(&step, "stand", "flat|||edge|end");
    fill_word(&step, "place", "bed||||drill press|saw");
    fill_note(&step, "note");
  }
}

void make_router(struct making *making) {
  if (making_chance(making, 1, 2)) make_clamps(making);
  if (making_chance(making, 1, 3)) return;
  make_cutters(making);
  if (making_chance(making, 5, 6)) make_steps(making);
}
