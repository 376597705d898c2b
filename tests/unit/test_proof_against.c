/* A plan against the project it was made for: the first fixture, and the project it
 * answers, changed in one place at a time. */
#include "base/fingerprint.h"
#include "model/project.h"
#include "model/stock_fingerprint.h"
#include "proof/against.h"
#include "proof/alter.h"

static const char *walnut_or_cherry[] = {"Walnut", "cherry"};
static const char *walnut[] = {"walnut"};
static const char *maple[] = {"maple"};

/* What the fixture answers, in static memory: each test starts from a fresh one. */
static struct part parts[3];
static struct stock stocks[3];
static struct flaw flaws[2];

static struct project fresh_project(struct arena *arena) {
  static const struct part right_parts[3] = {
      {.name = "slat",
       .per_set = 3,
       .length = MM(300),
       .width = MM(60),
       .thickness = MM(18),
       .woods = walnut_or_cherry,
       .wood_count = 2,
       .way = WAY_SAW,
       .faced = FACED_ONE,
       .match = "a"},
      {.name = "rail",
       .per_set = 1,
       .length = MM(300),
       .width = MM(90),
       .thickness = MM(18),
       .woods = walnut,
       .wood_count = 1,
       .way = WAY_SAW,
       .faced = FACED_ONE,
       .match = "a"},
      {.name = "foot",
       .per_set = 1,
       .length = MM(120),
       .width = MM(60),
       .thickness = MM(12),
       .woods = maple,
       .wood_count = 1,
       .way = WAY_BLANK,
       .grain = GRAIN_ACROSS,
       .faced = FACED_ONE},
  };
  static const struct stock right_stocks[3] = {
      {.name = "W1",
       .wood = "walnut",
       .length = MM(1830),
       .width = MM(215),
       .thickness = MM(20),
       .count = 1,
       .value = 7800,
       .pack = 1,
       .trim_ends = MM(20),
       .trim_edges = MM(3),
       .flaws = flaws,
       .flaw_count = 2},
      {.name = "M1",
       .source = SOURCE_YARD,
       .wood = "Maple",
       .length = MM(900),
       .width = MM(160),
       .thickness = MM(14),
       .count = -1,
       .value = 1550,
       .pack = 2,
       .trim_ends = MM(10),
       .trim_edges = MM(2)},
      {.name = "A0",
       .wood = "ash",
       .length = MM(500),
       .width = MM(100),
       .thickness = MM(20),
       .count = 4,
       .value = 100,
       .pack = 1},
  };
  memcpy(parts, right_parts, sizeof parts);
  memcpy(stocks, right_stocks, sizeof stocks);
  flaws[0] = (struct flaw){
      .copy = 1, .x = MM(640), .y = MM(60), .length = MM(40), .width = MM(35), .what = "knot"};
  flaws[1] = (struct flaw){.copy = 2, .x = MM(10), .y = MM(10), .length = MM(5), .width = MM(5)};
  struct project project = {
      .name = "slats", .parts = parts, .part_count = 3, .stocks = stocks, .stock_count = 3};
  shop_set_defaults(arena, &project.shop, UNIT_MM);
  project.shop.first_cut = FIRST_CROSSCUT;
  project.shop.labour_rate = 2400;
  project.shop.rip_min_length = MM(250);
  return project;
}

/* Whether the project is refused with a message that has `subject`; NULL: accepted. */
static void expect_dumped(struct project *project, struct arena *arena, int64_t sets,
                          const char *dumped, const char *subject) {
  struct diagnostics *diagnostics = diagnostics_create(arena);
  enum status status =
      proof_against_project(arena, project, sets, dumped, strlen(dumped), diagnostics);
  bool found = false;
  for (size_t i = 0; i < diagnostics->count; i++) {
    if (subject != NULL && strstr(diagnostics->items[i].text, subject) != NULL) found = true;
    if (subject == NULL) print_error("%s\n", diagnostics->items[i].text);
  }
  if (subject != NULL && !found) print_error("not told: %s\n", subject);
  assert_true(found == (subject != NULL));
  assert_int_equal(status, subject == NULL ? STATUS_OK : STATUS_PROOF_FAILED);
}

static void expect(struct project *project, struct arena *arena, int64_t sets,
                   const char *subject) {
  json_t *plan = load_plan(plan_files[0]);
  char *dumped = dump_plan(plan);
  expect_dumped(project, arena, sets, dumped, subject);
  free(dumped);
  json_decref(plan);
}

/* The plan with what settling goes by in its first entry, which is of W1. */
static void expect_settling(struct project *project, struct arena *arena, const char *fingerprint,
                            double crook, const char *subject) {
  json_t *plan = load_plan(plan_files[0]);
  json_t *stock = json_array_get(json_object_get(plan, "stock"), 0);
  assert_string_equal(json_string_value(json_object_get(stock, "stock")), "W1");
  json_object_set_new(stock, "surface", json_string("rough"));
  json_object_set_new(stock, "crook", json_real(crook));
  json_object_set_new(stock, "fingerprint", json_string(fingerprint));
  char *dumped = dump_plan(plan);
  expect_dumped(project, arena, 3, dumped, subject);
  free(dumped);
  json_decref(plan);
}

static void test_what_settling_goes_by_is_the_projects(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct project project = fresh_project(arena);
  const char *right = fingerprint_text(arena, stock_fingerprint(&stocks[0]));
  expect_settling(&project, arena, right, 0, NULL);
  expect_settling(&project, arena, right, 1, "crook of 'W1'");
  expect_settling(&project, arena, "0123456789abcdef", 0, "fingerprint of 'W1'");
  stocks[0].surface = SURFACE_PLANED;
  expect_settling(&project, arena, right, 0, "surface (planed: 1) of 'W1'");
  arena_destroy(arena);
}

static void test_right_project_is_accepted(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct project project = fresh_project(arena);
  expect(&project, arena, 3, NULL);
  arena_destroy(arena);
}

static void test_sets_and_count(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct project project = fresh_project(arena);
  expect(&project, arena, 2, "'sets'");
  expect(&project, arena, 4, "part 'slat'");
  parts[2].spares = 1;
  expect(&project, arena, 3, "part 'foot'");
  arena_destroy(arena);
}

static void test_every_setting_counts(void **state) {
  (void)state;
  static const struct {
    enum setting setting;
    const char *subject;
  } settings[] = {
      {SETTING_kerf_crosscut, "'kerf_crosscut'"},
      {SETTING_kerf_rip, "'kerf_rip'"},
      {SETTING_saw_stages, "'saw_stages'"},
      {SETTING_first_cut, "'first_cut'"},
      {SETTING_flaw_margin, "'flaw_margin'"},
      {SETTING_split_margin, "'split_margin'"},
      {SETTING_offcut_min_length, "'offcut_min_length'"},
      {SETTING_offcut_min_width, "'offcut_min_width'"},
      {SETTING_rip_min_length, "'rip_min_length'"},
      {SETTING_rip_capacity, "'rip_capacity'"},
      {SETTING_crosscut_capacity, "'crosscut_capacity'"},
      {SETTING_labour_rate, "'labour_rate'"},
      {SETTING_saw_cut_min, "'saw_cut_min'"},
      {SETTING_setup_min, "'setup_min'"},
      {SETTING_fence_setting_min, "'fence_setting_min'"},
      {SETTING_tab_clean_min, "'tab_clean_min'"},
      {SETTING_units, "'units'"},
  };
  struct arena *arena = arena_create();
  for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
    struct project project = fresh_project(arena);
    *shop_value(&project.shop, settings[i].setting) += 1;
    expect(&project, arena, 3, settings[i].subject);
  }
  arena_destroy(arena);
}

static void change_part(struct part *part, int which) {
  switch (which) {
    case 0:
      part->length += 1;
      break;
    case 1:
      part->width += 1;
      break;
    case 2:
      part->thickness += 1;
      break;
    case 3:
      part->wood_count = 0;
      break;
    case 4:
      part->match = part->match == NULL ? "b" : NULL;
      break;
    case 5:
      part->grain = GRAIN_ANY;
      break;
    case 6:
      part->way = WAY_GANG;
      break;
    case 7:
      part->per_set += 1;
      break;
    default:
      part->name = "another";
      break;
  }
}

static void test_every_part_counts(void **state) {
  (void)state;
  static const char *const subjects[] = {"'slat'", "'rail'", "'foot'"};
  struct arena *arena = arena_create();
  for (int which = 0; which < 9; which++) {
    for (size_t part = 0; part < 3; part++) {
      struct project project = fresh_project(arena);
      change_part(&parts[part], which);
      expect(&project, arena, 3, subjects[part]);
    }
  }
  struct project project = fresh_project(arena);
  project.part_count = 2;
  expect(&project, arena, 3, "'foot'");
  arena_destroy(arena);
}

static void change_stock(struct stock *stock, int which) {
  switch (which) {
    case 0:
      stock->length += 1;
      break;
    case 1:
      stock->width += 1;
      break;
    case 2:
      stock->thickness += 1;
      break;
    case 3:
      stock->value += 1;
      break;
    case 4:
      stock->count += 2;
      break;
    case 5:
      stock->pack += 1;
      break;
    case 6:
      stock->trim_ends += 1;
      break;
    case 7:
      stock->trim_edges += 1;
      break;
    case 8:
      stock->wood = "elm";
      break;
    case 9:
      stock->kind = STOCK_SHEET;
      break;
    case 10:
      stock->source = stock->source == SOURCE_YARD ? SOURCE_RACK : SOURCE_YARD;
      break;
    default:
      stock->name = "another";
      break;
  }
}

static void test_every_stock_counts(void **state) {
  (void)state;
  static const char *const subjects[] = {"'W1'", "'M1'"};
  struct arena *arena = arena_create();
  for (int which = 0; which < 12; which++) {
    for (size_t stock = 0; stock < 2; stock++) {
      struct project project = fresh_project(arena);
      change_stock(&stocks[stock], which);
      expect(&project, arena, 3, subjects[stock]);
    }
  }
  arena_destroy(arena);
}

static void test_every_flaw_counts(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  for (int which = 0; which < 7; which++) {
    struct project project = fresh_project(arena);
    struct flaw *flaw = &flaws[0];
    switch (which) {
      case 0:
        flaw->x += 1;
        break;
      case 1:
        flaw->y += 1;
        break;
      case 2:
        flaw->length += 1;
        break;
      case 3:
        flaw->width += 1;
        break;
      case 4:
        flaw->what = "split";
        break;
      case 5:
        flaw->rim_ok = true;
        break;
      default:
        flaw->copy = 2;
        break;
    }
    expect(&project, arena, 3, "'W1' copy 1");
  }
  struct project project = fresh_project(arena);
  flaws[1].copy = 0; /* of every copy: now one the plan does not know of */
  expect(&project, arena, 3, "'W1' copy 1");
  arena_destroy(arena);
}

/* The fixture's stock is 2 mm thicker than every part: right for one faced side. */
static void test_thickness_taken_off_is_limited(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct project project = fresh_project(arena);
  project.shop.face_min = MM(2);
  project.shop.face_max = MM(2);
  expect(&project, arena, 3, NULL);
  project.shop.face_max = MM(2) - 1;
  expect(&project, arena, 3, "thickness out of limits: piece 'slat 1' of 'W1' copy 1");
  project = fresh_project(arena);
  parts[1].faced = FACED_NONE;
  expect(&project, arena, 3, "thickness out of limits: piece 'rail 2'");
  project = fresh_project(arena);
  project.shop.face_min = MM(1) + 1;
  expect(&project, arena, 3, NULL);
  parts[2].faced = FACED_TWO;
  expect(&project, arena, 3, "thickness out of limits: piece 'foot 3'");
  arena_destroy(arena);
}

static void test_no_plan_is_bad_input(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct project project = fresh_project(arena);
  struct diagnostics *diagnostics = diagnostics_create(arena);
  assert_int_equal(proof_against_project(arena, &project, 3, "{}", 2, diagnostics),
                   STATUS_BAD_INPUT);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_right_project_is_accepted),
      cmocka_unit_test(test_what_settling_goes_by_is_the_projects),
      cmocka_unit_test(test_sets_and_count),
      cmocka_unit_test(test_every_setting_counts),
      cmocka_unit_test(test_every_part_counts),
      cmocka_unit_test(test_every_stock_counts),
      cmocka_unit_test(test_every_flaw_counts),
      cmocka_unit_test(test_thickness_taken_off_is_limited),
      cmocka_unit_test(test_no_plan_is_bad_input),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
