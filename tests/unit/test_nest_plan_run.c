/* Small projects planned from end to end. */
#include "nest_workshop.h"

static const struct nest_run_options as_usual = {.effort = 20};

static int64_t bought_or_used(const struct plan *plan, size_t stock) {
  for (size_t i = 0; i < plan->purchase_count; i++)
    if (plan->purchases[i].stock == stock) return plan->purchases[i].used;
  return 0;
}

/* Two of 480 to a plank of 963, a kerf between them: five need three planks. */
static void planks_by_hand(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 9, 1250);
  struct nest_run_options options = {.sets = 5, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.sets, 5);
  assert_int_equal(plan.needed[0], 5);
  assert_int_equal(bought_or_used(&plan, 0), 3);
  assert_int_equal(plan.cost.total, 3 * 1250);
  assert_true(plan.cost.proved);
  assert_int_equal(plan.unplaced_count, 0);
  assert_false(plan.unsafe_rules);
  assert_false(plan.gang_as_blanks);
  assert_false(plan.most);
  assert_null(plan.most_stop);
  assert_int_equal(workshop.diagnostics->errors, 0);
  assert_true(plan.steps > 0);
  /* one mm less and a plank yields but one */
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 962, 100, 9, 1250);
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(bought_or_used(&plan, 0), 5);
}

/* Sets, spares and spoilage as the shop says. */
static void what_is_needed(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 2, 480, 100)->spares = 1;
  workshop_plank(&workshop, "Y1", SOURCE_YARD, 963, 100, -1, 1000);
  workshop.project.shop.sets = 4;
  workshop.project.shop.spoilage = 20000; /* of five sets one is lost */
  assert_int_equal(workshop_plan(&workshop, &as_usual, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.sets, 4);
  assert_int_equal(plan.needed[0], 11);
  assert_int_equal(bought_or_used(&plan, 0), 6);
}

/* Planks alike but for where they come from: the rack is used up first where they cost the same,
 * and stays where the yard's are cheaper. */
static void rack_before_yard(struct arena *arena) {
  static const struct {
    cents_t yard;
    int64_t off_rack;
    cents_t total;
  } cases[] = {{1000, 2, 5000}, {900, 0, 4500}, {1100, 2, 5300}};
  struct nest_run_options options = {.sets = 5, .effort = 20};
  for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
    struct workshop workshop;
    struct plan plan;
    workshop_open(arena, &workshop);
    workshop_part(&workshop, "slat", 2, 480, 100);
    workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 2, 1000);
    workshop_plank(&workshop, "Y1", SOURCE_YARD, 963, 100, -1, cases[c].yard);
    assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
    workshop_check(&workshop, &plan);
    assert_int_equal(bought_or_used(&plan, 0), cases[c].off_rack);
    assert_int_equal(bought_or_used(&plan, 1), 5 - cases[c].off_rack);
    assert_int_equal(plan.cost.total, cases[c].total);
    assert_true(plan.cost.proved);
  }
}

/* Three planks: one off the rack and a pack of two, or, without the rack, two packs. */
static void purchases_in_packs(struct arena *arena) {
  struct nest_run_options options = {.sets = 6, .effort = 20};
  for (int64_t on_rack = 0; on_rack < 2; on_rack++) {
    struct workshop workshop;
    struct plan plan;
    workshop_open(arena, &workshop);
    workshop_part(&workshop, "slat", 1, 480, 100);
    workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, on_rack, 400);
    workshop_plank(&workshop, "Y1", SOURCE_YARD, 963, 100, -1, 1000)->pack = 2;
    assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
    workshop_check(&workshop, &plan);
    assert_int_equal(bought_or_used(&plan, 0), on_rack);
    assert_int_equal(plan.purchase_count, 1 + on_rack);
    const struct purchase *yard = &plan.purchases[on_rack];
    assert_int_equal(yard->stock, 1);
    assert_int_equal(yard->used, on_rack == 1 ? 2 : 3);
    assert_int_equal(yard->bought, on_rack == 1 ? 2 : 4);
    assert_int_equal(plan.cost.total, on_rack == 1 ? 2400 : 4000);
    assert_true(plan.cost.proved);
  }
}

/* Two trims, two crosscuts, at 20.01 an hour and half a minute: 4 x 16.675 cents. */
static void labour_is_rounded_once(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 1010, 100, 1, 1250)->trim_ends = MM(10);
  workshop.project.shop.labour_rate = 2001;
  workshop.project.shop.saw_cut_min = 500;
  struct nest_run_options options = {.sets = 2, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.layout_count, 1);
  assert_int_equal(plan.layouts[0].cuts, 4);
  assert_int_equal(plan.cost.stock, 1250);
  assert_int_equal(plan.cost.handling, 67);
  assert_int_equal(plan.cost.total, 1317);
  assert_true(plan.cost.proved);
}

/* Two woods, so two problems; costs and bounds are of both. */
static void materials_are_planned_apart(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  const char *maple[] = {"maple"};
  const char *walnut[] = {"walnut"};
  workshop_open(arena, &workshop);
  struct part *lid = workshop_part(&workshop, "lid", 2, 480, 100);
  struct part *box = workshop_part(&workshop, "box", 1, 480, 100);
  lid->woods = maple;
  box->woods = walnut;
  lid->wood_count = box->wood_count = 1;
  workshop_plank(&workshop, "M1", SOURCE_YARD, 963, 100, -1, 1000);
  workshop_plank(&workshop, "W1", SOURCE_YARD, 963, 100, -1, 3000)->wood = "walnut";
  struct nest_run_options options = {.sets = 2, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(bought_or_used(&plan, 0), 2);
  assert_int_equal(bought_or_used(&plan, 1), 1);
  assert_int_equal(plan.cost.total, 5000);
  assert_true(plan.cost.proved);
}

/* ---- what finds no place ---- */

static void too_little_stock(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 2, 1250);
  struct nest_run_options options = {.sets = 7, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.unplaced_count, 1);
  assert_int_equal(plan.unplaced[0].part, 0);
  assert_int_equal(plan.unplaced[0].missing, 3);
  assert_non_null(strstr(plan.unplaced[0].why, "slat"));
  assert_non_null(strstr(plan.unplaced[0].why, "3 of 7"));
  assert_int_equal(workshop.diagnostics->errors, 1);
}

/* One part no stock can yield does not keep the others from being planned. */
static void no_stock_at_all(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_part(&workshop, "beam", 2, 2000, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 2, 1250);
  struct nest_run_options options = {.sets = 2, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.unplaced_count, 1);
  assert_int_equal(plan.unplaced[0].part, 1);
  assert_int_equal(plan.unplaced[0].missing, 4);
  assert_true(strlen(plan.unplaced[0].why) > 20);
  assert_true(workshop.diagnostics->errors > 0);
  assert_int_equal(bought_or_used(&plan, 0), 1);
}

/* ---- flaws and copies ---- */

/* A knot in the middle of copy 2 leaves it room for one slat: five need all three. */
static void copies_are_not_mixed_up(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 300, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 700, 100, 3, 1250);
  workshop_flaw(&workshop, 2, 340, 40, 20, 20);
  workshop.project.shop.flaw_margin = MM(50);
  struct nest_run_options options = {.sets = 5, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.unplaced[0].missing, 1);
  workshop.project.shop.flaw_margin = MM(40);
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(bought_or_used(&plan, 0), 3);
}

/* A split is kept clear of further along the grain than across. */
static void splits_are_kept_clear_of(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 400, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 500, 100, 1, 1250);
  workshop_flaw(&workshop, 0, 0, 50, 60, 2)->what = "split";
  workshop.project.shop.split_margin = MM(40);
  struct nest_run_options options = {.sets = 1, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  workshop.project.shop.split_margin = MM(41);
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  workshop_check(&workshop, &plan);
}

/* ---- safe minimums ---- */

/* Two strips of a plank have to be ripped from it. */
static enum status plan_strips(struct arena *arena, struct workshop *workshop, int64_t length,
                               struct plan *plan) {
  workshop_open(arena, workshop);
  workshop_part(workshop, "strip", 1, length, 45);
  workshop_plank(workshop, "W1", SOURCE_RACK, length, 93, 1, 1250);
  struct nest_run_options options = {.sets = 2, .effort = 20};
  enum status status = workshop_plan(workshop, &options, plan);
  workshop_check(workshop, plan);
  return status;
}

static void minimums_are_kept_where_they_can_be(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  assert_int_equal(plan_strips(arena, &workshop, 300, &plan), STATUS_OK);
  assert_false(plan.unsafe_rules);
  assert_int_equal(plan_strips(arena, &workshop, 299, &plan), STATUS_OK);
  assert_true(plan.unsafe_rules);
  assert_int_equal(plan_strips(arena, &workshop, 60, &plan), STATUS_OK);
  assert_true(plan.unsafe_rules);
}

/* A longer plank, dearer, keeps the minimum: it is taken. */
static void money_does_not_buy_an_unsafe_cut(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "strip", 1, 200, 45);
  workshop_plank(&workshop, "short", SOURCE_RACK, 200, 93, 1, 10);
  workshop_plank(&workshop, "long", SOURCE_YARD, 900, 93, -1, 5000);
  struct nest_run_options options = {.sets = 2, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_false(plan.unsafe_rules);
  assert_int_equal(bought_or_used(&plan, 0), 0);
  assert_int_equal(bought_or_used(&plan, 1), 1);
}

/* ---- the most sets ---- */

static void most_sets_of_the_rack(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 2, 480, 100);
  workshop_part(&workshop, "rail", 1, 300, 100);
  /* two slats a plank, or one slat and a rail, or three rails */
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 5, 1250);
  workshop_plank(&workshop, "Y1", SOURCE_YARD, 963, 100, -1, 100);
  struct nest_run_options options = {.most = true, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_true(plan.most);
  /* three sets are six slats and three rails on three planks and one; four are eight and four,
   * on four planks and two */
  assert_int_equal(plan.sets, 3);
  assert_int_equal(plan.needed[0], 6);
  assert_int_equal(plan.needed[1], 3);
  assert_int_equal(bought_or_used(&plan, 1), 0);
  assert_non_null(plan.most_stop);
  assert_non_null(strstr(plan.most_stop, "4 sets"));
  assert_true(strstr(plan.most_stop, "slat") != NULL || strstr(plan.most_stop, "rail") != NULL);
}

static void most_sets_with_spares(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 2, 480, 100)->spares = 1;
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 4, 1250);
  struct nest_run_options options = {.most = true, .effort = 20};
  /* eight slats: three sets and a spare, one left over */
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.sets, 3);
  assert_int_equal(plan.needed[0], 7);
}

static void most_sets_after_spoilage(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 2, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 5, 1250);
  workshop.project.shop.spoilage = 20000;
  struct nest_run_options options = {.most = true, .effort = 20};
  /* ten slats are five sets, of which one is lost */
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_int_equal(plan.sets, 4);
}

static void not_a_single_set(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 3, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 1, 1250);
  workshop_plank(&workshop, "Y1", SOURCE_YARD, 963, 100, -1, 100);
  struct nest_run_options options = {.most = true, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  assert_int_equal(plan.sets, 0);
  assert_int_equal(plan.layout_count, 0);
  assert_non_null(plan.most_stop);
  assert_int_equal(workshop.diagnostics->errors, 1);
  assert_non_null(strstr(workshop.diagnostics->items[0].text, "slat"));
}

/* ---- the run itself ---- */

struct told {
  int calls;
  int64_t steps;
  cost_t bound, cost;
};

static void listen(void *data, const struct nest_progress *progress) {
  struct told *told = data;
  told->calls++;
  told->bound = progress->bound;
  told->cost = progress->cost;
  if (progress->cost >= 0) assert_true(progress->bound <= progress->cost);
}

static void a_busy_workshop(struct arena *arena, struct workshop *workshop) {
  workshop_open(arena, workshop);
  workshop_part(workshop, "side", 2, 305, 64);
  workshop_part(workshop, "end", 2, 203, 64);
  workshop_part(workshop, "divider", 1, 203, 48);
  workshop_plank(workshop, "C1", SOURCE_RACK, 1219, 140, 2, 1175)->trim_ends = MM(13);
  workshop_flaw(workshop, 2, 600, 20, 30, 40);
  workshop_plank(workshop, "C2", SOURCE_YARD, 1829, 140, -1, 1760)->trim_ends = MM(13);
  workshop->project.shop.labour_rate = 2400;
}

static void progress_is_told(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  struct told told = {0};
  a_busy_workshop(arena, &workshop);
  struct nest_run_options options = {
      .sets = 6, .effort = 1, .progress = listen, .progress_data = &told};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_true(told.calls > 0);
  assert_true(told.bound <= plan.cost.total * COST_PER_CENT);
}

static void planned_twice_alike(struct arena *arena) {
  struct workshop workshop;
  struct plan once;
  struct plan again;
  struct nest_run_options options = {.sets = 7, .effort = 1};
  a_busy_workshop(arena, &workshop);
  assert_int_equal(workshop_plan(&workshop, &options, &once), STATUS_OK);
  workshop_check(&workshop, &once);
  a_busy_workshop(arena, &workshop);
  assert_int_equal(workshop_plan(&workshop, &options, &again), STATUS_OK);
  workshop_assert_same(&once, &again);
}

static void gang_parts_get_blanks(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "lid", 1, 138, 34)->way = WAY_GANG;
  workshop.parts[0].hold = HOLD_TAPE;
  workshop_plank(&workshop, "M1", SOURCE_RACK, 900, 200, 2, 1000);
  struct nest_run_options options = {.sets = 2, .effort = 20};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
  workshop_check(&workshop, &plan);
  assert_true(plan.gang_as_blanks);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(planks_by_hand),
      ARENA_TEST(rack_before_yard),
      ARENA_TEST(what_is_needed),
      ARENA_TEST(purchases_in_packs),
      ARENA_TEST(labour_is_rounded_once),
      ARENA_TEST(materials_are_planned_apart),
      ARENA_TEST(too_little_stock),
      ARENA_TEST(no_stock_at_all),
      ARENA_TEST(copies_are_not_mixed_up),
      ARENA_TEST(splits_are_kept_clear_of),
      ARENA_TEST(minimums_are_kept_where_they_can_be),
      ARENA_TEST(money_does_not_buy_an_unsafe_cut),
      ARENA_TEST(most_sets_of_the_rack),
      ARENA_TEST(most_sets_with_spares),
      ARENA_TEST(most_sets_after_spoilage),
      ARENA_TEST(not_a_single_set),
      ARENA_TEST(progress_is_told),
      ARENA_TEST(planned_twice_alike),
      ARENA_TEST(gang_parts_get_blanks),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
