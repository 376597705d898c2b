#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "cost/run.h"
#include "proof/proof.h"
#include "unit/test_write_fixture.h"
#include "write/write.h"

struct parsed {
  struct arena *arena;
  struct fixture fixture;
  struct buffer *text;
  json_t *root;
};

static int open_state(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct parsed *parsed = ARENA_NEW(arena, struct parsed);
  parsed->arena = arena;
  *state = parsed;
  return 0;
}

static int close_state(void **state) {
  struct parsed *parsed = *state;
  json_decref(parsed->root);
  arena_destroy(parsed->arena);
  return 0;
}

static void write_and_parse(struct parsed *parsed) {
  const struct fixture *fixture = &parsed->fixture;
  parsed->text = buffer_create(parsed->arena);
  write_plan_json(parsed->text, fixture->project, &fixture->blanks, &fixture->plan, NULL);
  json_error_t error;
  parsed->root =
      json_loadb(parsed->text->text, parsed->text->length, JSON_REJECT_DUPLICATES, &error);
  if (parsed->root == NULL) fail_msg("line %d: %s", error.line, error.text);
}

/* In double: the comparison of the test library is one of floats. */
static void check_near(double value, double expected, double tolerance) {
  if (!(fabs(value - expected) <= tolerance)) fail_msg("%.15g is not %.15g", value, expected);
}

static double number(const json_t *object, const char *key) {
  const json_t *value = json_object_get(object, key);
  if (!json_is_number(value)) fail_msg("no number '%s'", key);
  return json_number_value(value);
}

static const char *text(const json_t *object, const char *key) {
  const char *value = json_string_value(json_object_get(object, key));
  if (value == NULL) fail_msg("no text '%s'", key);
  return value;
}

static const json_t *item(const struct parsed *parsed, const char *list, size_t index) {
  return json_array_get(json_object_get(parsed->root, list), index);
}

static void mm_plan_says_what_was_made(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  write_and_parse(parsed);
  assert_string_equal(text(parsed->root, "project"), "cribbage");
  assert_string_equal(text(parsed->root, "units"), "mm");
  check_near(number(parsed->root, "sets"), 24, 0);
  check_near(number(parsed->root, "labour_rate"), 66, 0);
  assert_int_equal(json_array_size(json_object_get(parsed->root, "stock")), 3);
  assert_int_equal(json_array_size(json_object_get(parsed->root, "loads")), 0);
  const json_t *plank = item(parsed, "stock", 0);
  assert_string_equal(text(plank, "stock"), "W1");
  check_near(number(plank, "price"), 78, 0);
  const json_t *flaw = json_array_get(json_object_get(plank, "flaws"), 0);
  check_near(number(flaw, "x"), 640, 0);
  assert_string_equal(text(flaw, "what"), "knot");
  const json_t *piece = json_array_get(json_object_get(plank, "pieces"), 0);
  assert_string_equal(text(piece, "name"), "board 1");
  assert_string_equal(text(piece, "role"), "blank");
  assert_string_equal(text(piece, "hold"), "ends");
  /* 292 x 100 around 240 x 72 at (20, 3): 26 at each end, 14 at each side */
  const json_t *finished = json_object_get(piece, "finished");
  check_near(number(finished, "x"), 46, 0);
  check_near(number(finished, "y"), 17, 0);
  check_near(number(finished, "length"), 240, 0);
  check_near(number(finished, "width"), 72, 0);
  const json_t *second = item(parsed, "stock", 2);
  check_near(number(second, "copy"), 2, 0);
  assert_true(json_is_null(json_object_get(second, "available")));
}

/* Stock comes in the project's order, whatever the order of the layouts. */
static void stock_comes_in_order(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  struct plan *plan = &parsed->fixture.plan;
  struct layout first = plan->layouts[0];
  plan->layouts[0] = plan->layouts[1];
  plan->layouts[1] = first;
  for (size_t i = 0; i < plan->cut_count; i++) plan->cuts[i].layout = 1 - plan->cuts[i].layout;
  write_and_parse(parsed);
  assert_string_equal(text(item(parsed, "stock", 0), "stock"), "W1");
  assert_string_equal(text(item(parsed, "stock", 1), "stock"), "Y2");
  check_near(number(item(parsed, "stock", 1), "copy"), 1, 0);
  check_near(number(item(parsed, "stock", 2), "copy"), 2, 0);
  /* and every cut stands with its own stock */
  for (size_t i = 0; i < 3; i++) {
    const json_t *cut = json_array_get(json_object_get(item(parsed, "stock", i), "cuts"), 0);
    check_near(number(cut, "span"), i == 0 ? 1830 : 2440, 0);
  }
}

static void offcuts_are_what_is_large_enough(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  write_and_parse(parsed);
  size_t index = 0;
  const json_t *piece = NULL;
  const json_t *pieces = json_object_get(item(parsed, "stock", 0), "pieces");
  size_t offcuts = 0;
  json_array_foreach(pieces, index, piece) {
    if (strcmp(text(piece, "role"), "offcut") != 0) continue;
    offcuts++;
    assert_string_equal(text(piece, "name"), "offcut W1-1a");
    check_near(number(piece, "x"), 1588, 0);
    check_near(number(piece, "length"), 222, 0);
    check_near(number(piece, "width"), 100, 0);
    assert_null(json_object_get(piece, "part"));
  }
  assert_int_equal(offcuts, 1);
}

/* By hand: 27 boards of 240 x 72 and 32 lids of 138 x 34 from 1830 x 215 and two of
 * 2440 x 150, with one offcut of 222 x 100. */
static void shares_add_up(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  write_and_parse(parsed);
  double stock = 1830.0 * 215 + 2 * 2440.0 * 150;
  check_near(number(parsed->root, "yield"), (27 * 240.0 * 72 + 32 * 138.0 * 34) / stock, 1e-9);
  check_near(number(parsed->root, "offcut_share"), 222.0 * 100 / stock, 1e-9);
  check_near(number(parsed->root, "yield") + number(parsed->root, "waste") +
                 number(parsed->root, "offcut_share"),
             1, 1e-12);
  const json_t *cost = json_object_get(parsed->root, "cost");
  check_near(number(cost, "stock"), 78 + 3 * 58, 0);
  check_near(number(cost, "total"), number(cost, "stock") + number(cost, "handling"), 1e-9);
  check_near(number(item(parsed, "purchase", 1), "bought"), 3, 0);
}

static void names_and_steps_are_unique(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  write_and_parse(parsed);
  json_t *seen = json_object();
  size_t entry = 0;
  const json_t *stock = NULL;
  size_t pieces = 0;
  size_t cuts = 0;
  json_array_foreach(json_object_get(parsed->root, "stock"), entry, stock) {
    size_t index = 0;
    const json_t *value = NULL;
    json_array_foreach(json_object_get(stock, "pieces"), index, value) {
      json_object_set_new(seen, text(value, "name"), json_true());
      pieces++;
    }
    json_array_foreach(json_object_get(stock, "cuts"), index, value) {
      char step[32];
      snprintf(step, sizeof step, "step %g", number(value, "step"));
      json_object_set_new(seen, step, json_true());
      cuts++;
    }
  }
  assert_int_equal(pieces, 27 + 32 + 1);
  assert_int_equal(json_object_size(seen), pieces + cuts);
  check_near(number(parsed->root, "cut_count"), (double)cuts, 0);
  json_decref(seen);
}

/* Every length of the file must be a whole number of 1/8000 mm to within 0.01 of one. */
static void check_lengths(const json_t *value, double units) {
  static const char *const lengths[] = {"x",    "y",    "length",   "width",        "thickness",
                                        "span", "keep", "kerf_rip", "kerf_crosscut"};
  const char *key = NULL;
  json_t *member = NULL;
  size_t index = 0;
  if (json_is_array(value)) {
    json_array_foreach(value, index, member) check_lengths(member, units);
  }
  if (!json_is_object(value)) return;
  json_object_foreach((json_t *)(uintptr_t)value, key, member) {
    check_lengths(member, units);
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
      if (strcmp(key, lengths[i]) != 0) continue;
      double whole = json_number_value(member) * units;
      check_near(whole, nearbyint(whole), 0.01);
    }
  }
}

static void lengths_survive_in_both_units(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  parsed->fixture.project->stocks[0].flaws[0].x = MM(99999) + 1; /* the hardest to print */
  write_and_parse(parsed);
  check_lengths(parsed->root, 8000);
  const json_t *flaw = json_array_get(json_object_get(item(parsed, "stock", 0), "flaws"), 0);
  check_near(number(flaw, "x") * 8000, 99999.0 * 8000 + 1, 0.01);
  json_decref(parsed->root);
  fixture_make_inch(parsed->arena, &parsed->fixture);
  parsed->fixture.project->stocks[0].thickness = 1; /* 1/203200 in */
  write_and_parse(parsed);
  check_lengths(parsed->root, 203200);
  check_near(number(item(parsed, "stock", 0), "thickness") * 203200, 1, 0.01);
  check_near(number(item(parsed, "stock", 0), "width"), 5.5, 0);
}

static void hostile_text_stays_text(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  parsed->fixture.project->name = "a\"b\\c\x01</script>\xFF";
  parsed->fixture.project->parts[0].name = "\"}],";
  write_and_parse(parsed);
  assert_string_equal(text(parsed->root, "project"), "a\"b\\c\x01</script>\xEF\xBF\xBD");
  const json_t *piece = json_array_get(json_object_get(item(parsed, "stock", 0), "pieces"), 0);
  assert_string_equal(text(piece, "part"), "\"}],");
}

static void the_independent_check_takes_it(void **state) {
  struct parsed *parsed = *state;
  for (int i = 0; i < 4; i++) {
    json_decref(parsed->root);
    if (i == 0) fixture_make_mm(parsed->arena, &parsed->fixture);
    if (i == 1) fixture_make_inch(parsed->arena, &parsed->fixture);
    if (i == 2) fixture_make_tiny(parsed->arena, &parsed->fixture, 30);
    if (i == 3) fixture_make_large(parsed->arena, &parsed->fixture, 2);
    fixture_hold(&parsed->fixture);
    run_time_add(parsed->arena, parsed->fixture.project, &parsed->fixture.blanks,
                 &parsed->fixture.plan);
    write_and_parse(parsed);
    struct diagnostics *diagnostics = diagnostics_create(parsed->arena);
    enum status status = proof_check(parsed->arena, "plan.json", parsed->text->text,
                                     parsed->text->length, diagnostics, NULL);
    if (status != STATUS_OK) fail_msg("plan %d: %s", i, diagnostics->items[0].text);
  }
}

static void twenty_thousand_pieces_are_quick(void **state) {
  struct parsed *parsed = *state;
  fixture_make_large(parsed->arena, &parsed->fixture, 200);
  clock_t start = clock();
  write_and_parse(parsed);
  /* Loose, for a build with sanitizers: the release build takes a small part of it. */
  assert_true(clock() - start < 10 * CLOCKS_PER_SEC);
  assert_int_equal(json_array_size(json_object_get(parsed->root, "stock")), 200);
}

static enum status write_with_failure(const struct fixture *fixture, unsigned long nth) {
  struct arena *arena = arena_create();
  if (arena == NULL) return STATUS_SOLVER_FAULT;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    struct buffer *buffer = buffer_create(arena);
    arena_fail_after(nth);
    write_plan_json(buffer, fixture->project, &fixture->blanks, &fixture->plan, NULL);
  }
  arena_fail_after(0);
  arena_destroy(arena);
  return status;
}

/* Every allocation fails once; that nothing leaks then is seen by the sanitizer build. */
static void want_of_memory_is_reported(void **state) {
  struct parsed *parsed = *state;
  fixture_make_mm(parsed->arena, &parsed->fixture);
  unsigned long nth = 1;
  enum status status = write_with_failure(&parsed->fixture, nth);
  while (status == STATUS_NO_MEMORY) status = write_with_failure(&parsed->fixture, ++nth);
  assert_int_equal(status, STATUS_OK);
  assert_true(nth > 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(mm_plan_says_what_was_made, open_state, close_state),
      cmocka_unit_test_setup_teardown(stock_comes_in_order, open_state, close_state),
      cmocka_unit_test_setup_teardown(offcuts_are_what_is_large_enough, open_state, close_state),
      cmocka_unit_test_setup_teardown(shares_add_up, open_state, close_state),
      cmocka_unit_test_setup_teardown(names_and_steps_are_unique, open_state, close_state),
      cmocka_unit_test_setup_teardown(lengths_survive_in_both_units, open_state, close_state),
      cmocka_unit_test_setup_teardown(hostile_text_stays_text, open_state, close_state),
      cmocka_unit_test_setup_teardown(the_independent_check_takes_it, open_state, close_state),
      cmocka_unit_test_setup_teardown(twenty_thousand_pieces_are_quick, open_state, close_state),
      cmocka_unit_test_setup_teardown(want_of_memory_is_reported, open_state, close_state),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
