#include "project_maker.h"

#include "base/text.h"
#include "project_making.h"

/* ---- shop ---- */

static void set(struct making *making, struct text_table *table, const char *name,
                const char *words) {
  struct filling row = making_row(making, table);
  fill_text(&row, "setting", name);
  fill_word(&row, "value", words);
  fill_note(&row, "note");
}

static length_t set_length(struct making *making, struct text_table *table, const char *name,
                           int64_t low, int64_t high) {
  struct filling row = making_row(making, table);
  length_t value = making_length(making, low, high);
  fill_text(&row, "setting", name);
  fill_length(&row, "value", value);
  return value;
}

static void set_number(struct making *making, struct text_table *table, const char *name,
                       int64_t number, int decimals) {
  struct filling row = making_row(making, table);
  fill_text(&row, "setting", name);
  fill_number(&row, "value", number, decimals);
}

/* Lengths that may be given or not, in mm. */
static void set_some_lengths(struct making *making, struct text_table *table) {
  static const struct {
    const char *name;
    int low, high, of; /* given once in `of` */
  } lengths[] = {{"kerf_rip", 0, 5, 2},
                 {"kerf_crosscut", 0, 5, 2},
                 {"saw_allowance", 0, 2, 3},
                 {"trim_ends", 0, 30, 5},
                 {"trim_edges", 0, 8, 5},
                 {"flaw_margin", 0, 12, 4},
                 {"split_margin", 0, 60, 6},
                 {"offcut_min_length", 0, 300, 4},
                 {"offcut_min_width", 0, 80, 4},
                 {"rip_min_length", 0, 450, 3},
                 {"rip_min_width", 0, 40, 8},
                 {"crosscut_capacity", 40, 400, 6},
                 {"rip_capacity", 30, 500, 6},
                 {"hands_off", 0, 300, 8},
                 {"crosscut_hold", 0, 400, 8},
                 {"stop_min", 0, 200, 8},
                 {"sheet_max_length", 300, 1500, 8},
                 {"bed_pitch", 0, 50, 6},
                 {"waste_board", 0, 20, 10},
                 {"overcut", 0, 2, 10},
                 {"clearance", 0, 10, 10},
                 {"rim", 0, 15, 4},
                 {"web", 0, 12, 6},
                 {"part_gap", 0, 30, 10},
                 {"floor_min", 0, 6, 12},
                 {"tab_width", 2, 12, 12},
                 {"tab_height", 1, 5, 12},
                 {"tab_spacing", 40, 250, 10},
                 {"tab_corner", 0, 40, 12},
                 {"clamp_span", 40, 300, 8},
                 {"clamp_end", 10, 100, 8},
                 {"blade_height", 50, 150, 12},
                 {"rip_narrow", 40, 120, 12},
                 {"planer_min_length", 0, 500, 15},
                 {"jointer_min_width", 0, 40, 15},
                 {"paper_margin", 0, 20, 15},
                 {"paper_overlap", 0, 40, 15},
                 {"clear_gap", 0, 6, 6},
                 {"nut_margin", 0, 4, 8},
                 {"squareness", 0, 2, 4},
                 {"side_clamp_min_stock", 0, 20, 8}};
  for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
    if (making_chance(making, 1, lengths[i].of))
      (void)set_length(making, table, lengths[i].name, lengths[i].low, lengths[i].high);
}

static void set_mark_step(struct making *making, struct text_table *table) {
  static const length_t steps[] = {
      MM(1) / 1000, MM(7) / 10,           MM(3) / 10,         MM(1), MM(13), MM(5),
      MM(9) / 4,    LENGTH_PER_INCH / 32, LENGTH_PER_INCH / 4};
  struct filling row = making_row(making, table);
  fill_text(&row, "setting", "mark_step");
  fill_length(&row, "value", steps[making_between(making, 0, 8)]);
}

static void set_facing(struct making *making, struct text_table *table) {
  making->face_min = making->unit == UNIT_MM ? MM(4) / 5 : LENGTH_PER_INCH / 32;
  making->face_max = making->unit == UNIT_MM ? MM(4) : LENGTH_PER_INCH * 5 / 32;
  making->tolerance = making->unit == UNIT_MM ? MM(3) / 10 : LENGTH_PER_INCH / 64;
  if (making_chance(making, 1, 5)) making->face_min = set_length(making, table, "face_min", 0, 2);
  if (making_chance(making, 1, 5)) making->face_max = set_length(making, table, "face_max", 4, 7);
  if (making_chance(making, 1, 5))
    making->tolerance = set_length(making, table, "thickness_tolerance", 0, 1);
}

/* Numbers that may be given or not. */
static void set_some_numbers(struct making *making, struct text_table *table) {
  static const struct {
    const char *name;
    int low, high, decimals, of; /* given once in `of` */
  } numbers[] = {{"setup_min", 0, 9000, 3, 6},       {"probe_min", 0, 3000, 3, 8},
                 {"tool_change_min", 0, 3000, 3, 8}, {"fence_setting_min", 0, 3000, 3, 8},
                 {"tab_clean_min", 0, 2000, 3, 10},  {"attended_share", 0, 100, 2, 8},
                 {"season_swing", 0, 120, 1, 10},    {"hold_safety", 10, 50, 1, 8},
                 {"friction", 5, 120, 2, 8},         {"cutting_energy", 0, 150, 0, 10}};
  for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
    if (making_chance(making, 1, numbers[i].of))
      set_number(making, table, numbers[i].name,
                 making_between(making, numbers[i].low, numbers[i].high), numbers[i].decimals);
}

/* Most beds take any part; of some each measure is what it is. */
static void set_room(struct making *making, struct text_table *table) {
  static const struct {
    const char *name;
    int low, roomy, high;
  } rooms[] = {{"bed_length", 200, 520, 900}, {"bed_width", 150, 320, 700},
               {"travel_x", 150, 480, 800},   {"travel_y", 120, 300, 600},
               {"travel_z", 50, 100, 250},    {"daylight", 80, 160, 350}};
  bool roomy = making_chance(making, 2, 3);
  for (size_t i = 0; i < sizeof rooms / sizeof *rooms; i++)
    if (roomy || making_chance(making, 1, 8))
      (void)set_length(making, table, rooms[i].name, roomy ? rooms[i].roomy : rooms[i].low,
                       rooms[i].high);
}

static void set_bed(struct making *making, struct text_table *table) {
  set_room(making, table);
  if (making_chance(making, 1, 8)) set(making, table, "stops", "none|left+front|right+back");
  if (making_chance(making, 1, 6))
    set(making, table, "origin", "front-left|front-right|back-left|back-right|centre");
  if (making_chance(making, 1, 8)) set(making, table, "cut_force_min", "0|20 N|90|12 lbf");
  if (making_chance(making, 1, 8)) set(making, table, "paper", "A4|Letter");
}

static void set_labour(struct making *making, struct text_table *table) {
  if (making_chance(making, 1, 2)) return;
  set_number(making, table, "labour_rate", making_between(making, 1, 9000), 2);
  if (making_chance(making, 1, 2))
    set_number(making, table, "saw_cut_min", making_between(making, 0, 3000), 3);
}

static void set_gluing_and_resawing(struct making *making, struct text_table *table) {
  if (making_chance(making, 3, 4)) set(making, table, "glue_up", "yes|yes|Yes|no");
  if (making_chance(making, 3, 4)) set(making, table, "resaw", "yes|yes|Yes|no");
  if (making_chance(making, 1, 2)) (void)set_length(making, table, "glue_per_edge", 0, 3);
  if (making_chance(making, 1, 2)) (void)set_length(making, table, "resaw_kerf", 0, 3);
  if (making_chance(making, 1, 2)) (void)set_length(making, table, "resaw_clean", 0, 3);
  if (making_chance(making, 1, 2)) (void)set_length(making, table, "resaw_max_height", 60, 400);
}

void make_shop(struct making *making) {
  struct text_table *table = making_file(making, "shop.csv", "setting value note");
  if (making->unit == UNIT_INCH || making_chance(making, 1, 2)) {
    struct filling row = making_row(making, table);
    fill_text(&row, "setting", "units");
    fill_text(&row, "value", making->unit == UNIT_MM ? "mm" : "inch");
  }
  if (making_chance(making, 4, 5))
    set_number(making, table, "sets",
               making_between(making, 1, making_chance(making, 1, 9) ? 40 : 9), 0);
  if (making_chance(making, 2, 3)) set(making, table, "saw_stages", "1|2|2|3|3|4|any");
  if (making_chance(making, 1, 2)) set(making, table, "first_cut", "crosscut|rip|either|Rip");
  if (making_chance(making, 1, 2)) set_mark_step(making, table);
  if (making_chance(making, 1, 8)) set(making, table, "spoilage", "5 %|0.1|12.5 %|0");
  if (making_chance(making, 1, 4)) set_gluing_and_resawing(making, table);
  set_facing(making, table);
  set_some_lengths(making, table);
  set_some_numbers(making, table);
  set_bed(making, table);
  set_labour(making, table);
}

/* ---- money ---- */

static void add_item(struct making *making, struct text_table *table, const char *name,
                     int64_t value, int decimals) {
  struct filling row = making_row(making, table);
  fill_text(&row, "item", name);
  fill_number(&row, "value", value, decimals);
  fill_note(&row, "note");
}

/* By low, likely and high, by past sales, or not told. */
static void add_demand(struct making *making, struct text_table *table) {
  if (making_chance(making, 1, 3)) {
    int64_t low = making_between(making, 0, 10), likely = low + making_between(making, 0, 10);
    add_item(making, table, "demand_low", low, 0);
    add_item(making, table, "demand_likely", likely, 0);
    add_item(making, table, "demand_high", likely + making_between(making, 0, 20), 0);
  } else if (making_chance(making, 1, 2)) {
    for (int64_t past = making_between(making, 1, 4); past > 0; past--)
      add_item(making, table, "sales", making_between(making, 0, 30), 0);
  }
}

static void make_money_file(struct making *making) {
  static const struct {
    const char *name;
    int high, decimals;
  } items[] = {{"price", 9000, 2},          {"finish_per_set", 500, 2},
               {"packing_per_set", 300, 2}, {"hand_minutes_per_set", 60, 0},
               {"machine_rate", 500, 2},    {"hourly_rate", 4000, 2},
               {"stall_fee", 9000, 2},      {"travel", 5000, 2},
               {"selling_hours", 90, 1},    {"payment_percent", 50, 1},
               {"payment_fixed", 50, 2},    {"tax_percent", 250, 1},
               {"unsold_value", 3000, 2}};
  struct text_table *table = making_file(making, "money.csv", "item value note");
  for (size_t i = 0; i < sizeof items / sizeof *items; i++)
    if (making_chance(making, 1, 2))
      add_item(making, table, items[i].name, making_between(making, 0, items[i].high),
               items[i].decimals);
  add_demand(making, table);
}

void make_money(struct making *making) {
  if (making_chance(making, 1, 3)) make_money_file(making);
  if (making_chance(making, 1, 4)) {
    struct text_table *table = making_file(making, "bought.csv", "price item per_set pack");
    struct filling row = making_row(making, table);
    fill_text(&row, "item", "peg");
    fill_number(&row, "per_set", making_between(making, 0, 20000), 3);
    if (making_chance(making, 1, 2)) fill_number(&row, "pack", making_between(making, 1, 100), 0);
    fill_number(&row, "price", making_between(making, 0, 5000), 2);
  }
}

/* ------------------------------------------------------------------------------------- */

static void choose_raws(struct making *making) {
  static const char *const woods[] = {"walnut", "maple", "cherry", "birch-ply", "h\xC3\xAAtre"};
  making->imperial =
      making->unit == UNIT_INCH ? making_chance(making, 5, 6) : making_chance(making, 1, 8);
  making->raw_count = (size_t)making_between(making, 1, RAWS_MOST);
  for (size_t r = 0; r < making->raw_count; r++) {
    struct raw *raw = &making->raws[r];
    raw->wood = making_pick(making, woods, sizeof woods / sizeof *woods);
    raw->thickness = making->imperial ? LENGTH_PER_INCH / 16 * making_between(making, 6, 28)
                                      : MM(1) / 2 * making_between(making, 20, 90);
    if (making_chance(making, 1, 25))
      raw->thickness += making->imperial ? 2 * LENGTH_PER_INCH : MM(60);
  }
}

struct random_project *random_project(struct arena *arena, uint64_t seed) {
  struct random_source source = {.state = seed * 16 + 11};
  struct random_project *project = ARENA_NEW(arena, struct random_project);
  struct making making = {.arena = arena, .source = &source, .project = project};
  making.unit = making_chance(&making, 2, 5) ? UNIT_INCH : UNIT_MM;
  making.fine = making_chance(&making, 1, 8);
  choose_raws(&making);
  make_shop(&making);
  make_parts(&making);
  make_stocks(&making);
  make_router(&making);
  make_money(&making);
  if (making_chance(&making, 1, 6)) project->sets = making_between(&making, 1, 12);
  project->most = project->sets == 0 && making_chance(&making, 1, 6);
  project->effort = making_chance(&making, 1, 4) ? making_between(&making, 1, 8) : 1;
  return project;
}
