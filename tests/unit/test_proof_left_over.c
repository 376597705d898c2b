/* What a proved plan leaves: the serving trays of tests/proof, whose R2 is resawn into two leaves,
 * with what settling goes by put in. */
#include <jansson.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "proof/left_over.h"

static struct arena *arena;
static struct diagnostics *diagnostics;
static struct left_over left;
static json_t *plan;

static int open_plan(void **state) {
  (void)state;
  json_error_t error;
  plan = json_load_file(SOURCE_ROOT "/tests/proof/serving-mm.json", 0, &error);
  arena = arena_create();
  if (plan == NULL || arena == NULL || ARENA_TRY(arena) != STATUS_OK) return -1;
  diagnostics = diagnostics_create(arena);
  size_t index = 0;
  json_t *stock = NULL;
  json_array_foreach(json_object_get(plan, "stock"), index, stock) {
    bool leaf = json_object_get(stock, "leaf_of") != NULL;
    json_object_set_new(stock, "surface", json_string("planed"));
    json_object_set_new(stock, "crook", json_real(1.5));
    if (!leaf) json_object_set_new(stock, "fingerprint", json_string("00000000000000a7"));
  }
  return 0;
}

static int close_plan(void **state) {
  (void)state;
  json_decref(plan);
  arena_destroy(arena);
  return 0;
}

static enum status ask(void) {
  char *text = json_dumps(plan, JSON_REAL_PRECISION(15));
  assert_non_null(text);
  enum status status = proof_left_over(arena, "plan.json", text, strlen(text), diagnostics, &left);
  free(text);
  return status;
}

static const struct stock *piece_named(const char *name) {
  for (size_t i = 0; i < left.piece_count; i++)
    if (strcmp(left.pieces[i].name, name) == 0) return &left.pieces[i];
  fail_msg("no piece %s", name);
  return NULL;
}

static void stock_of_the_rack_is_used(void **state) {
  (void)state;
  assert_int_equal(ask(), STATUS_OK);
  assert_string_equal(left.project, "serving");
  assert_int_equal(strlen(left.plan), 16);
  assert_int_equal(left.used_count, 1); /* neither its leaves nor what is bought */
  assert_string_equal(left.used[0].name, "R2");
  assert_string_equal(left.used[0].fingerprint, "00000000000000a7");
  assert_int_equal(left.used[0].count, 1);
  assert_int_equal(left.used[0].copies[0], 1);
}

static void offcuts_have_their_share_of_the_price(void **state) {
  (void)state;
  assert_int_equal(ask(), STATUS_OK);
  const struct stock *piece = piece_named("A12-1a");
  assert_int_equal(piece->length, MM(284));
  assert_int_equal(piece->width, MM(156));
  assert_int_equal(piece->thickness, MM(12));
  assert_int_equal(piece->value, 380); /* of 27.50, 284 x 156 in 2000 x 160 */
  assert_int_equal(piece->surface, SURFACE_PLANED);
  assert_int_equal(piece->crook, 0);
  assert_int_equal(piece->trim_ends, 0);
  assert_string_equal(piece->note, "offcut of A12-1");
  assert_int_equal(piece->flaw_count, 0);
}

/* The plank's 9.00 by 352 x 71 in 900 x 120, halved; the leaf's flaw at 600, 68 seen from the
 * offcut's corner at 528, 45. */
static void offcuts_of_leaves_have_theirs_and_their_flaws(void **state) {
  (void)state;
  assert_int_equal(ask(), STATUS_OK);
  static const char *const names[] = {"R2 leaf 10-1b", "R2 leaf 10-2b"};
  for (size_t i = 0; i < 2; i++) {
    const struct stock *piece = piece_named(names[i]);
    assert_int_equal(piece->thickness, MM(10));
    assert_int_equal(piece->value, 104);
    assert_int_equal(piece->flaw_count, 1);
    assert_int_equal(piece->flaws[0].copy, 0);
    assert_int_equal(piece->flaws[0].x, MM(72));
    assert_int_equal(piece->flaws[0].y, MM(23));
    assert_int_equal(piece->flaws[0].length, MM(30));
    assert_int_equal(piece->flaws[0].width, MM(25));
    assert_string_equal(piece->flaws[0].what, "knot");
  }
  assert_int_equal(piece_named("R2 leaf 10-1a")->flaw_count, 0);
  assert_int_equal(left.offcut_count, left.piece_count);
}

static void add_to(json_t *object, const char *key, double more) {
  json_real_set(json_object_get(object, key),
                json_number_value(json_object_get(object, key)) + more);
}

/* A10, of which one is cut, comes in threes: two more at 14.80. */
static void buy_in_threes(void) {
  size_t index = 0;
  json_t *item = NULL;
  json_array_foreach(json_object_get(plan, "stock"), index, item) {
    if (strcmp(json_string_value(json_object_get(item, "stock")), "A10") != 0) continue;
    json_integer_set(json_object_get(item, "pack"), 3);
  }
  json_array_foreach(json_object_get(plan, "purchase"), index, item) {
    if (strcmp(json_string_value(json_object_get(item, "stock")), "A10") != 0) continue;
    json_integer_set(json_object_get(item, "pack"), 3);
    json_integer_set(json_object_get(item, "bought"), 3);
    add_to(item, "cost", 29.60);
  }
  add_to(json_object_get(plan, "cost"), "stock", 29.60);
  add_to(json_object_get(plan, "cost"), "total", 29.60);
  json_object_set_new(plan, "proved", json_false());
}

static void what_packs_hold_beyond_need_is_left(void **state) {
  (void)state;
  buy_in_threes();
  assert_int_equal(ask(), STATUS_OK);
  const struct stock *piece = piece_named("A10 spare");
  assert_int_equal(left.offcut_count, left.piece_count - 1);
  assert_int_equal(piece->count, 2);
  assert_int_equal(piece->value, 1480);
  assert_int_equal(piece->length, MM(1000));
  assert_int_equal(piece->width, MM(120));
  assert_int_equal(piece->crook, MM(3) / 2);
  assert_int_equal(piece->trim_ends, MM(10));
  assert_int_equal(piece->trim_edges, MM(2));
}

static void plans_that_differ_are_told_apart(void **state) {
  (void)state;
  assert_int_equal(ask(), STATUS_OK);
  const char *first = left.plan;
  json_object_set_new(plan, "rack_file", json_string("0000000000000001"));
  assert_int_equal(ask(), STATUS_OK);
  assert_string_not_equal(left.plan, first);
}

static void a_plan_that_says_too_little_is_refused(void **state) {
  (void)state;
  static const char *const keys[] = {"crook", "fingerprint"};
  for (size_t i = 0; i < 2; i++) {
    json_t *stock = json_array_get(json_object_get(plan, "stock"), 0);
    json_t *value = json_incref(json_object_get(stock, keys[i]));
    json_object_del(stock, keys[i]);
    assert_int_equal(ask(), STATUS_BAD_INPUT);
    json_object_set_new(stock, keys[i], value);
  }
  assert_int_equal(diagnostics->errors, 2);
}

static void a_plan_that_is_wrong_is_refused(void **state) {
  (void)state;
  add_to(json_object_get(plan, "cost"), "stock", 1);
  assert_int_equal(ask(), STATUS_PROOF_FAILED);
}

#define LEFT_TEST(function) cmocka_unit_test_setup_teardown(function, open_plan, close_plan)

int main(void) {
  const struct CMUnitTest tests[] = {
      LEFT_TEST(stock_of_the_rack_is_used),
      LEFT_TEST(offcuts_have_their_share_of_the_price),
      LEFT_TEST(offcuts_of_leaves_have_theirs_and_their_flaws),
      LEFT_TEST(what_packs_hold_beyond_need_is_left),
      LEFT_TEST(plans_that_differ_are_told_apart),
      LEFT_TEST(a_plan_that_says_too_little_is_refused),
      LEFT_TEST(a_plan_that_is_wrong_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
