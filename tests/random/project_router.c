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
    length_t diameter = making->cutter_diameter[c] = making_length(making, 1, 20);
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

/* How many of them in a row at this step lie within a room, 0 for none. */
static int64_t fit_in_row(length_t first, length_t step, length_t room, int64_t most) {
  int64_t count = 0;
  while (count < most && first + count * step <= room) count++;
  return count;
}

/* A row along the part or across it, or a field of both, all multiples of its first place so that
 * each may be written as a length; in the square within a round. False where none fits. */
static bool fill_holes(struct filling *step, size_t part, size_t cutter) {
  struct making *making = step->making;
  length_t radius = (making->cutter_diameter[cutter] + 1) / 2;
  length_t x = making_length(making, 2, 60), y = making_length(making, 2, 30);
  length_t inset = making->part_round[part] ? making->part_length[part] * 15 / 100 : 0;
  if (x < inset + radius || y < inset + radius) return false;
  int64_t along = fit_in_row(x, x, making->part_length[part] - inset - radius, 4);
  int64_t across = fit_in_row(y, y, making->part_width[part] - inset - radius, 3);
  if (along == 0 || across == 0) return false;
  if (making_chance(making, 1, 2)) across = 1;
  const char *times = making_chance(making, 1, 2) ? "x" : " \xC3\x97 ";
  const char *first =
      arena_format(making->arena, "%s%s%s", filled_length(step, x), times, filled_length(step, y));
  const char *cell = first;
  if (along * across > 1)
    cell = arena_format(making->arena, "%s to %s%s%s by %s%s%s", first,
                        filled_length(step, along * x), times, filled_length(step, across * y),
                        filled_length(step, x), times, filled_length(step, y));
  fill_text(step, "holes", cell);
  if (making_chance(making, 1, 2))
    fill_number(step, "count", along * across, 0);
  else
    fill_text(step, "count", "");
  return true;
}

static void fill_step(struct filling *step) {
  struct making *making = step->making;
  static const char *const kinds[] = {"face",    "pocket",  "drill",  "drill",
                                      "profile", "profile", "chamfer"};
  size_t part = (size_t)making_between(making, 0, (int64_t)making->part_count - 1);
  size_t cutter = (size_t)making_between(making, 0, (int64_t)making->cutter_count - 1);
  const char *kind = making_pick(making, kinds, sizeof kinds / sizeof *kinds);
  fill_text(step, "part", making->parts[part]);
  fill_text(step, "step", kind);
  fill_text(step, "cutter", making->cutters[cutter]);
  if (making_chance(making, 1, 2)) fill_length(step, "depth", making_length(making, 1, 20));
  if (making_chance(making, 1, 4)) fill_number(step, "area", making_between(making, 0, 90000), 1);
  if (making_chance(making, 1, 4)) fill_length(step, "path", making_length(making, 0, 900));
  if (making_chance(making, 1, 4)) fill_number(step, "count", making_between(making, 1, 40), 0);
  if (making_chance(making, 1, 6)) fill_length(step, "peck", making_length(making, 0, 5));
  fill_word(step, "side", "top|under|");
  bool placed = kind[0] == 'd' && making_chance(making, 2, 3) && fill_holes(step, part, cutter);
  fill_word(step, "stand", placed ? "flat||" : "flat|||edge|end");
  fill_word(step, "place", "bed||||drill press|saw");
  fill_note(step, "note");
}

static void make_steps(struct making *making) {
  struct text_table *table =
      making_file(making, "steps.csv",
                  "part step cutter depth area path count holes peck side stand place note");
  for (int64_t s = making_between(making, 1, 8); s > 0; s--) {
    struct filling step = making_row(making, table);
    fill_step(&step);
  }
}

void make_router(struct making *making) {
  if (making_chance(making, 1, 2)) make_clamps(making);
  if (making_chance(making, 1, 3)) return;
  make_cutters(making);
  if (making_chance(making, 5, 6)) make_steps(making);
}
