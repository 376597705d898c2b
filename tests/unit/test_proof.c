/* The independent check on plans that are right, on limits that just hold, and on the
 * keys a plan has to have. */
#include "proof/alter.h"

static void test_right_plans_pass(void **state) {
  (void)state;
  for (size_t i = 0; i < FIXTURES; i++) {
    json_t *plan = load_plan(plan_files[i]);
    assert_non_null(plan);
    char *dumped = dump_plan(plan);
    assert_true(passes(dumped, strlen(dumped)));
    free(dumped);
    json_decref(plan);
  }
}

/* A plan as the check sees it, and what it says. */
struct verdict {
  struct arena *arena;
  struct diagnostics *diagnostics;
  enum status status;
  const char *summary;
};

static struct verdict judge_text(const char *plan, size_t length) {
  struct verdict verdict = {.arena = arena_create()};
  assert_non_null(verdict.arena);
  verdict.diagnostics = diagnostics_create(verdict.arena);
  verdict.status = proof_check(verdict.arena, "some plan.json", plan, length, verdict.diagnostics,
                               &verdict.summary);
  return verdict;
}

/* Takes the plan over. */
static struct verdict judge(json_t *plan) {
  char *dumped = dump_plan(plan);
  struct verdict verdict = judge_text(dumped, strlen(dumped));
  free(dumped);
  json_decref(plan);
  return verdict;
}

static size_t count_starting(const struct verdict *verdict, const char *fault) {
  size_t count = 0;
  for (size_t i = 0; i < verdict->diagnostics->count; i++) {
    if (strncmp(verdict->diagnostics->items[i].text, fault, strlen(fault)) == 0) count++;
  }
  return count;
}

static void test_summary_says_what_was_checked(void **state) {
  (void)state;
  struct verdict verdict = judge(load_plan(plan_files[0]));
  assert_int_equal(verdict.status, STATUS_OK);
  assert_non_null(strstr(verdict.summary, "15 pieces and 3 offcuts from 2 pieces of stock"));
  assert_non_null(strstr(verdict.summary, "30 cuts"));
  arena_destroy(verdict.arena);
}

static void test_no_plan_at_all_is_bad_input(void **state) {
  (void)state;
  const char *const texts[] = {
      "",         "{",
      "[]",       "7",
      "{}",       "{\"format\": 1}",
      "\xff\xfe", "{\"format\": 1, \"format\": 1, \"program\": \"blankwright\"}"};
  for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
    struct verdict verdict = judge_text(texts[i], strlen(texts[i]));
    assert_int_equal(verdict.status, STATUS_BAD_INPUT);
    assert_true(verdict.diagnostics->errors > 0);
    assert_string_equal(verdict.diagnostics->items[0].place.file, "some plan.json");
    assert_null(verdict.summary);
    arena_destroy(verdict.arena);
  }
}

/* Of the first fixture the feet take three stages (crosscut, rip, crosscut), all else two:
 * the last crosscut of a foot parts it from another foot, so it is no mere trim. */
static void test_stages_are_counted_per_piece(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[0]);
  put_number(plan, "saw_stages", 2);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_PROOF_FAILED);
  assert_int_equal(count_starting(&verdict, "too many stages: piece 'foot"), 3);
  assert_int_equal(verdict.diagnostics->count, 3);
  arena_destroy(verdict.arena);

  plan = load_plan(plan_files[0]);
  put_text(plan, "saw_stages", "any");
  verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);
}

/* A single blank freed by a crosscut and a rip takes one stage, the last trim is free. */
static void test_last_trim_is_no_stage(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[2]);
  put_number(plan, "saw_stages", 1);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);
}

/* The knot of the first fixture, 40 x 35 at (640, 60) with 5 around it, ends at y = 100,
 * where the kerf of 3.2 below 'rail 3' begins: the piece starts at 103.2. */
static void test_flaw_margin_just_holds(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[0]);
  put_number(plan, "flaw_margin", 8.2);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);

  plan = load_plan(plan_files[0]);
  put_number(plan, "flaw_margin", 8.201);
  verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_PROOF_FAILED);
  assert_int_equal(verdict.diagnostics->count, 1);
  assert_non_null(strstr(verdict.diagnostics->items[0].text, "piece 'rail 3' of 'W1' copy 1"));
  arena_destroy(verdict.arena);
}

/* The end split of the third fixture begins at x = 380, its blank ends at 292. */
static void test_split_margin_just_holds(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[2]);
  put_number(plan, "split_margin", 88);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);

  plan = load_plan(plan_files[2]);
  put_number(plan, "split_margin", 88.001);
  verdict = judge(plan);
  assert_int_equal(count_starting(&verdict, "flaw touched: piece 'board 1'"), 1);
  arena_destroy(verdict.arena);
}

/* Its knot may lie in the rim: it ends at x = 10, the cutter (reach 8 outside the part at
 * 26) comes to 18, so a margin of 8 just leaves it clear. */
static void test_flaw_in_a_rim_just_holds(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[2]);
  put_number(plan, "flaw_margin", 8);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);

  plan = load_plan(plan_files[2]);
  put_number(plan, "flaw_margin", 8.001);
  verdict = judge(plan);
  assert_int_equal(count_starting(&verdict, "flaw touched: piece 'board 1'"), 1);
  arena_destroy(verdict.arena);
}

/* 8 cuts at 0.7 minutes and 24 an hour are 2.24; at 0.701 minutes 2.2432, raised to 2.25. */
static void test_handling_is_rounded_up_once(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[2]);
  put_number(plan, "saw_cut_min", 0.701);
  put_number(list(plan, "cost"), "handling", 2.25);
  put_number(list(plan, "cost"), "total", 18.5);
  put_number(plan, "bound", 18.5);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);
}

static void test_messages_are_limited(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[0]);
  for (int i = 0; i < 150; i++) json_array_append_new(list(plan, "purchase"), json_null());
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_PROOF_FAILED);
  assert_int_equal(verdict.diagnostics->count, 100);
  arena_destroy(verdict.arena);
}

/* ---- a long plan ---- */

/* `planks` planks, each crosscut into `pieces` bars of 80 x 60 x 20 mm. */
static json_t *long_plan(int planks, int pieces) {
  json_t *plan = load_plan(plan_files[2]);
  json_t *entry = json_array_get(list(plan, "stock"), 0);
  json_t *piece_form = json_array_get(list(entry, "pieces"), 0);
  json_t *cut_form = json_array_get(list(entry, "cuts"), 0);
  double length = 80.0 * pieces + 3.0 * (pieces - 1);
  json_t *stocks = json_array();
  int step = 0, bar = 0;
  for (int i = 0; i < planks; i++) {
    json_t *stock = json_copy(entry), *bars = json_array(), *cuts = json_array();
    put_number(stock, "copy", i + 1);
    put_number(stock, "available", planks);
    put_number(stock, "length", length);
    put_number(stock, "width", 60);
    json_object_set_new(stock, "flaws", json_array());
    for (int j = 0; j < pieces; j++) {
      char name[32];
      (void)snprintf(name, sizeof name, "bar %d", ++bar);
      json_t *piece = json_copy(piece_form);
      put_text(piece, "role", "part");
      put_text(piece, "name", name);
      put_number(piece, "x", 83.0 * j);
      put_number(piece, "length", 80);
      put_number(piece, "width", 60);
      json_object_set_new(
          piece, "finished",
          json_pack("{s:f,s:i,s:i,s:i}", "x", 83.0 * j, "y", 0, "length", 80, "width", 60));
      json_array_append_new(bars, piece);
      if (j + 1 == pieces) continue;
      json_t *cut = json_copy(cut_form);
      put_number(cut, "step", ++step);
      put_number(cut, "x", 83.0 * j + 80);
      put_number(cut, "span", 60);
      put_number(cut, "keep", 80);
      json_array_append_new(cuts, cut);
    }
    json_object_set_new(stock, "pieces", bars);
    json_object_set_new(stock, "cuts", cuts);
    json_array_append_new(stocks, stock);
  }
  json_object_set_new(plan, "stock", stocks);
  json_object_set_new(plan, "loads", json_array());
  json_object_set_new(plan, "needed",
                      json_pack("[{s:s,s:i,s:i,s:i,s:i,s:i,s:s,s:s,s:[]}]", "part", "board",
                                "count", bar, "per_set", 1, "length", 80, "width", 60, "thickness",
                                20, "way", "saw", "grain", "along", "woods"));
  put_number(plan, "sets", bar);
  json_object_set_new(
      plan, "purchase",
      json_pack("[{s:s,s:s,s:i,s:i,s:i,s:i,s:i}]", "stock", "W9", "source", "rack", "used", planks,
                "bought", 0, "pack", 1, "price", 9, "cost", 9 * planks));
  put_number(plan, "labour_rate", 0);
  json_object_set_new(
      plan, "cost",
      json_pack("{s:i,s:i,s:i}", "stock", 9 * planks, "handling", 0, "total", 9 * planks));
  put_number(plan, "bound", 9 * planks);
  put_number(plan, "yield", 80.0 * pieces / length);
  put_number(plan, "waste", 1 - 80.0 * pieces / length);
  put_number(plan, "fence_settings", 1);
  put_number(plan, "cut_count", step);
  return plan;
}

static void test_long_plans_pass(void **state) {
  (void)state;
  struct verdict verdict = judge(long_plan(400, 10));
  assert_int_equal(verdict.diagnostics->count, 0);
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);
  verdict = judge(long_plan(1, 900));
  assert_int_equal(verdict.status, STATUS_OK);
  arena_destroy(verdict.arena);
}

/* One flaw in one place of a long plan is found, and nothing else is said. */
static void test_one_slip_in_a_long_plan(void **state) {
  (void)state;
  json_t *plan = long_plan(100, 10);
  json_t *stock = json_array_get(list(plan, "stock"), 57);
  put_number(json_array_get(list(stock, "cuts"), 4), "keep", 80.125);
  struct verdict verdict = judge(plan);
  assert_int_equal(verdict.status, STATUS_PROOF_FAILED);
  assert_non_null(strstr(verdict.diagnostics->items[0].text, "one fence setting for two: cut 518"));
  assert_int_equal(count_starting(&verdict, "wrong keep: cut 518 (crosscut) of 'W9' copy 58"), 1);
  assert_int_equal(verdict.diagnostics->count, 2);
  arena_destroy(verdict.arena);
}

/* ---- memory ---- */

/* Runs out of memory at the nth allocation; false once it no longer does. */
static bool starve(const char *plan, size_t length, unsigned long allocations) {
  struct arena *volatile arena = arena_create();
  assert_non_null(arena);
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    struct diagnostics *diagnostics = diagnostics_create(arena);
    arena_fail_after(allocations);
    status = proof_check(arena, "plan", plan, length, diagnostics, NULL);
  }
  arena_fail_after(0);
  arena_destroy(arena);
  assert_true(status == STATUS_OK || status == STATUS_NO_MEMORY);
  return status == STATUS_NO_MEMORY;
}

static void test_running_out_of_memory_is_told(void **state) {
  (void)state;
  json_t *plan = load_plan(plan_files[2]);
  char *dumped = dump_plan(plan);
  size_t length = strlen(dumped);
  unsigned long failed = 0;
  while (starve(dumped, length, failed + 1)) failed++;
  assert_true(failed > 10);
  free(dumped);
  json_decref(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_right_plans_pass),
      cmocka_unit_test(test_summary_says_what_was_checked),
      cmocka_unit_test(test_no_plan_at_all_is_bad_input),
      cmocka_unit_test(test_stages_are_counted_per_piece),
      cmocka_unit_test(test_last_trim_is_no_stage),
      cmocka_unit_test(test_flaw_margin_just_holds),
      cmocka_unit_test(test_split_margin_just_holds),
      cmocka_unit_test(test_flaw_in_a_rim_just_holds),
      cmocka_unit_test(test_handling_is_rounded_up_once),
      cmocka_unit_test(test_messages_are_limited),
      cmocka_unit_test(test_long_plans_pass),
      cmocka_unit_test(test_one_slip_in_a_long_plan),
      cmocka_unit_test(test_running_out_of_memory_is_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
