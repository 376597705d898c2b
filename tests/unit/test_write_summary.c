#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "saw/saw.h"
#include "unit/test_write_fixture.h"
#include "write/view.h"
#include "write/write.h"

struct bench {
  struct arena *arena;
  struct fixture fixture;
  struct buffer *buffer;
};

static int open_bench(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct bench *bench = ARENA_NEW(arena, struct bench);
  bench->arena = arena;
  bench->buffer = buffer_create(arena);
  *state = bench;
  return 0;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  arena_destroy(bench->arena);
  return 0;
}

/* Lines as wide as the terminal at most, and nothing a terminal would obey. */
static void check_lines(const char *text) {
  size_t column = 0;
  for (const char *c = text; *c != '\0'; c++) {
    if (*c != '\n' && (unsigned char)*c < 0x20) fail_msg("a control character is printed");
    column = *c == '\n' ? 0 : column + (((unsigned char)*c & 0xC0) != 0x80);
    if (column > 80) fail_msg("a line is too long: %.90s", c - 80);
  }
}

/* With line ends and runs of blanks as one blank. */
static const char *summary(struct bench *bench) {
  const struct fixture *fixture = &bench->fixture;
  buffer_clear(bench->buffer);
  write_summary(bench->buffer, fixture->project, &fixture->blanks, &fixture->plan);
  check_lines(bench->buffer->text);
  char *flat = arena_copy_text(bench->arena, bench->buffer->text);
  char *to = flat;
  for (const char *c = flat; *c != '\0'; c++) {
    char letter = *c == '\n' ? ' ' : *c;
    if (letter == ' ' && to > flat && to[-1] == ' ') continue;
    *to++ = letter;
  }
  *to = '\0';
  return flat;
}

static void check_says(const char *text, const char *what) {
  if (strstr(text, what) == NULL) fail_msg("'%s' is not said in: %s", what, text);
}

static void check_silent(const char *text, const char *what) {
  if (strstr(text, what) != NULL) fail_msg("'%s' is said in: %s", what, text);
}

static void it_says_what_to_take_and_to_buy(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  const char *text = summary(bench);
  check_says(text, "cribbage: 24 sets, lengths in mm");
  check_says(text, "Take from the rack W1 walnut plank, 1830 x 215 x 21 78.00");
  check_says(text, "11 x board, 1 offcut");
  check_says(text, "Buy Y2 walnut plank, 2440 x 150 x 21 174.00");
  check_says(text, "3 (1 pack of 3, 2 used) at 58.00, yard A: 16 x board, 32 x lid");
}

/* 78 cuts of half a minute at 66.00 an hour are 42.90 (by hand). */
static void it_says_what_the_run_costs(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  const char *text = summary(bench);
  check_says(text, "stock 252.00");
  check_says(text, "handling at 66.00 an hour 42.90 78 saw cuts, 39 min");
  check_says(text, "total 294.90");
  /* 24.90 of 270.00 is 9.2 % */
  check_says(text, "less than 270.00; this one is at most 24.90 (9.2 %) above");
  check_says(text, "finished parts 54.8 %, offcuts to keep 2.0 %, waste 43.2 %");
}

static void a_proof_is_claimed_only_where_there_is_one(void **state) {
  struct bench *bench = *state;
  fixture_make_inch(bench->arena, &bench->fixture);
  check_says(summary(bench), "Proved: no plan of at most 3 saw stages costs less.");
  bench->fixture.plan.cost.proved = false;
  bench->fixture.plan.cost.bound = 0;
  const char *text = summary(bench);
  check_silent(text, "Proved");
  check_says(text, "Nothing is proved");
  bench->fixture.project->shop.saw_stages = 0;
  check_says(summary(bench), "a plan of any number of saw stages");
}

static void each_caution_is_said_once(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct plan *plan = &bench->fixture.plan;
  for (size_t i = 0; i < plan->cut_count; i++) plan->cuts[i].cautions = 0;
  plan->cuts[4].cautions = CAUTION_RIP_SHORT | CAUTION_SLIVER;
  plan->cuts[9].cautions = CAUTION_RIP_SHORT;
  const char *text = summary(bench);
  check_says(text, arena_format(bench->arena, "%s (2 cuts, first step 5)",
                                saw_caution_name(CAUTION_RIP_SHORT)));
  check_says(text, arena_format(bench->arena, "%s (step 5)", saw_caution_name(CAUTION_SLIVER)));
  check_says(text, "Always");
  check_says(text, "come before anything said here");
  plan->cuts[4].cautions = 0;
  plan->cuts[9].cautions = 0;
  check_says(summary(bench), "planing (W1-1, Y2-1, Y2-2): pieces shorter than the 350 mm");
  for (size_t s = 0; s < bench->fixture.project->stock_count; s++)
    bench->fixture.project->stocks[s].surface = SURFACE_PLANED;
  check_silent(summary(bench), "Cautions");
  plan->unsafe_rules = true;
  check_says(summary(bench), "No layout keeps all of the shop's minimums");
}

static void what_is_missing_is_said_with_its_reason(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  check_silent(summary(bench), "Could not be placed");
  struct unplaced unplaced = {0, 3, "the rack is used up; one more W1 would do"};
  bench->fixture.plan.unplaced = &unplaced;
  bench->fixture.plan.unplaced_count = 1;
  check_says(summary(bench), "Could not be placed 3 board: the rack is used up; one more W1");
}

static void a_plan_of_nothing_can_be_summed_up(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.plan = (struct plan){.sets = 24};
  const char *text = summary(bench);
  check_says(text, "cribbage: 24 sets");
  check_silent(text, "Cost");
}

static void defaults_that_mattered_are_named(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  const char *text = summary(bench);
  check_says(text, "travel_x 340 mm");
  check_silent(text, "bed_length"); /* given by the owner */
  check_silent(text, "resaw_max_height");
  bench->fixture.project->shop.given[SETTING_travel_x] = true;
  check_silent(summary(bench), "travel_x");
  fixture_make_inch(bench->arena, &bench->fixture); /* sawn parts of planed wood */
  text = summary(bench);
  check_says(text, "crosscut_capacity 12 in");
  check_silent(text, "travel_x");
  check_silent(text, "planer_min_length");
}

static void gang_parts_are_spoken_of(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  check_silent(summary(bench), "way gang");
  bench->fixture.plan.gang_as_blanks = true;
  check_says(summary(bench), "Parts of way gang are cut as blanks of their own");
}

static void hostile_names_are_harmless(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.project->name = "\x1B[2J\x07name";
  bench->fixture.project->parts[0].name =
      "a-part-of-a-name-longer-than-any-line-of-a-terminal-and-without-a-blank-to-break-it-at-all-"
      "so-that-it-must-be-broken-within";
  bench->fixture.project->stocks[1].supplier = "\x9B\xFF\r\n";
  bench->fixture.project->stocks[1].wood = "a wood with a name so long that it fills the line";
  check_says(summary(bench), "[2J\xEF\xBF\xBDname");
}

static void the_check_lists_parts_with_their_sizes(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct fixture *fixture = &bench->fixture;
  struct part *part = &fixture->project->parts[0];
  part->faced = FACED_ONE;
  fixture->project->shop.face_min = MM(1);
  fixture->project->shop.face_max = MM(4);
  write_check(bench->buffer, fixture->project, &fixture->blanks);
  check_lines(bench->buffer->text);
  check_says(bench->buffer->text, "board: 24 of 240 x 72 x 18");
  check_says(bench->buffer->text, "raw stock 19 to 22 thick");
  check_says(bench->buffer->text, "292 x 100");
  check_says(bench->buffer->text, "sawn to size");
  check_says(bench->buffer->text, "either way round");
  check_says(bench->buffer->text, "daylight 110 mm");
  fixture->blanks.count = 1;
  buffer_clear(bench->buffer);
  write_check(bench->buffer, fixture->project, &fixture->blanks);
  check_says(bench->buffer->text, "no stock can yield it");
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(it_says_what_to_take_and_to_buy),
      BENCH_TEST(it_says_what_the_run_costs),
      BENCH_TEST(a_proof_is_claimed_only_where_there_is_one),
      BENCH_TEST(each_caution_is_said_once),
      BENCH_TEST(what_is_missing_is_said_with_its_reason),
      BENCH_TEST(a_plan_of_nothing_can_be_summed_up),
      BENCH_TEST(defaults_that_mattered_are_named),
      BENCH_TEST(gang_parts_are_spoken_of),
      BENCH_TEST(hostile_names_are_harmless),
      BENCH_TEST(the_check_lists_parts_with_their_sizes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
