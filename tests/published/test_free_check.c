/* The check of free plans: a right one passes, and each kind of fault is found. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "published/free_check.h"

/* Two sheets of 10 x 6 (there are no more), gaps of 1 along x and 2 along y; three pieces of
 * 4 x 2 that may turn, one of 9 x 5. */
struct ground {
  struct nest_option options[3];
  struct nest_flaw flaw;
  struct nest_stock stock;
  struct nest_problem problem;
  int64_t demand[2], missing[2];
  size_t sheets[2];
  struct free_place places[4];
  struct free_answer answer;
};

/* A right plan: the large piece alone, the small ones on the other sheet. */
static void lay_out(struct ground *ground) {
  *ground = (struct ground){
      .options = {{.demand = 0, .length = 4, .width = 2, .blank = 0},
                  {.demand = 0, .length = 2, .width = 4, .blank = 0, .turned = true},
                  {.demand = 1, .length = 9, .width = 5, .blank = 1}},
      .demand = {3, 1},
      .places = {{0, 2, 0, 0}, {1, 0, 0, 0}, {1, 0, 0, 4}, {1, 1, 5, 1}},
  };
  ground->stock = (struct nest_stock){.length = 10,
                                      .width = 6,
                                      .kerf_crosscut = 1,
                                      .kerf_rip = 2,
                                      .count = 2,
                                      .pack = 1,
                                      .cost = 7,
                                      .options = ground->options,
                                      .option_count = 3};
  ground->problem = (struct nest_problem){
      .demand = ground->demand, .demand_count = 2, .stocks = &ground->stock, .stock_count = 1};
  ground->answer = (struct free_answer){.complete = true,
                                        .missing = ground->missing,
                                        .sheets = ground->sheets,
                                        .sheet_count = 2,
                                        .places = ground->places,
                                        .place_count = 4,
                                        .cost = 14,
                                        .bound = 14};
}

/* `fault` is part of what must be found; NULL: nothing. */
static void expect(struct ground *ground, const char *fault) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  const char *found = free_check(arena, &ground->problem, &ground->answer);
  if (fault == NULL) {
    assert_null(found);
  } else {
    assert_non_null(found);
    assert_non_null(strstr(found, fault));
  }
  arena_destroy(arena);
}

static void a_right_plan_passes(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  expect(&ground, NULL);
}

static void pieces_lie_inside(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.places[0].x = 2;
  expect(&ground, "reaches out");
  lay_out(&ground);
  ground.places[3].y = -1;
  expect(&ground, "reaches out");
}

static void pieces_keep_their_gaps(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.places[2].y = 3; /* 1 above the other, where 2 are asked for */
  expect(&ground, "overlap");
  lay_out(&ground);
  ground.places[3].x = 4; /* no gap along x, where 1 is asked for */
  expect(&ground, "overlap");
}

static void pieces_keep_off_flaws(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.flaw = (struct nest_flaw){.x = 8, .y = 4, .length = 2, .width = 2};
  ground.stock.flaws = &ground.flaw;
  ground.stock.flaw_count = 1;
  expect(&ground, "flaw");
  ground.flaw.rim_ok = true;
  expect(&ground, "flaw");
  ground.options[2].core_x = 1; /* of 9, so that it ends where the flaw begins */
  expect(&ground, NULL);
}

static void pieces_are_counted(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.demand[0] = 2;
  expect(&ground, "too many");
  lay_out(&ground);
  ground.demand[0] = 4;
  expect(&ground, "missing");
  ground.missing[0] = 1;
  expect(&ground, "complete");
  ground.answer.complete = false;
  expect(&ground, NULL);
}

static void sheets_are_counted(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.stock.count = 1;
  expect(&ground, "more than there are");
  lay_out(&ground);
  ground.answer.cost = 7;
  expect(&ground, "come to");
  lay_out(&ground);
  ground.answer.bound = 15;
  expect(&ground, "bound");
}

static void indices_are_looked_at(void **state) {
  (void)state;
  struct ground ground;
  lay_out(&ground);
  ground.places[1].sheet = 2;
  expect(&ground, "no sheet");
  lay_out(&ground);
  ground.places[1].option = 3;
  expect(&ground, "no option");
  lay_out(&ground);
  ground.sheets[1] = 1;
  expect(&ground, "no stock");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_right_plan_passes),    cmocka_unit_test(pieces_lie_inside),
      cmocka_unit_test(pieces_keep_their_gaps), cmocka_unit_test(pieces_keep_off_flaws),
      cmocka_unit_test(pieces_are_counted),     cmocka_unit_test(sheets_are_counted),
      cmocka_unit_test(indices_are_looked_at),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
