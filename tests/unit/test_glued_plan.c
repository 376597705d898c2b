/* Small projects with gluing up and resawing, sized, planned and put in order by hand arithmetic.
 */
#include "nest_workshop.h"
#include "saw/saw.h"
#include "size/leaves.h"
#include "size/size.h"

static const struct nest_run_options as_usual = {.effort = 20};

struct outcome {
  const struct project *project; /* with leaves */
  struct plan plan;
};

/* Kerf of the resaw 1.5 mm, 1.5 mm cleaned off each face, 1 mm jointed off each edge. */
static struct shop *allow_both(struct workshop *workshop) {
  struct shop *shop = &workshop->project.shop;
  shop->glue_up = shop->resaw = 1;
  shop->resaw_kerf = shop->resaw_clean = MM(3) / 2;
  shop->resaw_max_height = MM(150);
  shop->glue_per_edge = MM(1);
  shop->rip_min_width = MM(20);
  return shop;
}

static enum status plan(struct workshop *workshop, const struct nest_run_options *options,
                        struct outcome *outcome) {
  outcome->project = leaves_add(workshop->arena, &workshop->project);
  size_blanks(workshop->arena, outcome->project, workshop->diagnostics, &workshop->blanks);
  assert_int_equal(workshop->diagnostics->errors, 0);
  enum status status = nest_run(workshop->arena, outcome->project, &workshop->blanks, options,
                                workshop->diagnostics, &outcome->plan);
  if (status == STATUS_OK) saw_order(workshop->arena, outcome->project, &outcome->plan);
  return status;
}

static int64_t count_pieces(const struct node *node) {
  int64_t count = node->kind == NODE_PIECE ? 1 : 0;
  for (size_t i = 0; i < node->child_count; i++) count += count_pieces(&node->children[i]);
  return count;
}

static int64_t pieces_of(const struct outcome *outcome, size_t stock) {
  int64_t count = 0;
  for (size_t l = 0; l < outcome->plan.layout_count; l++)
    if (outcome->plan.layouts[l].stock == stock)
      count += count_pieces(&outcome->plan.layouts[l].root) * outcome->plan.layouts[l].times;
  return count;
}

/* How often a copy of a stock is cut or left as it is. */
static int64_t times_used(const struct outcome *outcome, size_t stock, int64_t copy) {
  int64_t times = 0;
  for (size_t l = 0; l < outcome->plan.layout_count; l++) {
    const struct layout *layout = &outcome->plan.layouts[l];
    if (layout->stock == stock && copy >= layout->first_copy &&
        copy < layout->first_copy + layout->times)
      times++;
  }
  return times;
}

/* 480 x 50, 20 thick, from planks of 45: 20 + 4.5 + 20 leaves 0.5. A leaf holds four. */
static void thin_parts(struct arena *arena, struct workshop *workshop, int64_t count) {
  workshop_open(arena, workshop);
  allow_both(workshop);
  workshop_part(workshop, "side", 1, 480, 50);
  workshop_plank(workshop, "thick", SOURCE_RACK, 963, 103, count, 1000)->thickness = MM(45);
}

static void leaves_of_planks(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options options = {.sets = 13, .effort = 20};
  thin_parts(arena, &workshop, 3);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  assert_int_equal(outcome.project->stock_count, 2);
  assert_int_equal(outcome.plan.purchase_count, 1);
  assert_int_equal(outcome.plan.purchases[0].stock, 0);
  assert_int_equal(outcome.plan.purchases[0].used, 2);
  assert_int_equal(outcome.plan.cost.total, 2000);
  assert_true(outcome.plan.cost.proved);
  assert_int_equal(pieces_of(&outcome, 0), 0);
  assert_int_equal(pieces_of(&outcome, 1), 13);
  for (int64_t copy = 1; copy <= 4; copy++) assert_int_equal(times_used(&outcome, 1, copy), 1);
  assert_int_equal(times_used(&outcome, 1, 5), 0);
}

static void a_leaf_to_spare(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options options = {.sets = 4, .effort = 20};
  thin_parts(arena, &workshop, 1);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  assert_int_equal(pieces_of(&outcome, 1), 4);
  assert_int_equal(times_used(&outcome, 1, 1), 1);
  assert_int_equal(times_used(&outcome, 1, 2), 1); /* whole, for the rack */
  options.sets = 9;
  thin_parts(arena, &workshop, 1);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_NO_PLAN);
}

/* Only the second plank is sound: its leaves are copies 3 and 4. */
static void leaves_of_a_flawed_plank(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options options = {.sets = 8, .effort = 20};
  thin_parts(arena, &workshop, 2);
  workshop_flaw(&workshop, 1, 200, 30, 40, 40);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  assert_int_equal(outcome.plan.cost.total, 1000);
  assert_int_equal(times_used(&outcome, 0, 2), 1);
  assert_int_equal(times_used(&outcome, 0, 1), 0);
  assert_int_equal(times_used(&outcome, 1, 3), 1);
  assert_int_equal(times_used(&outcome, 1, 4), 1);
}

/* Planks are resawn before any leaf is cut, each cut by its caution, all at one setting. */
static void order_of_resawing(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options options = {.sets = 13, .effort = 20};
  int64_t resaws = 0;
  bool leaf_cut = false;
  thin_parts(arena, &workshop, 3);
  workshop.project.stocks[0].trim_ends = MM(1);
  workshop.project.stocks[0].length = MM(965);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  int64_t counted = 0;
  for (size_t l = 0; l < outcome.plan.layout_count; l++)
    counted += outcome.plan.layouts[l].cuts * outcome.plan.layouts[l].times;
  assert_int_equal(outcome.plan.cut_count, counted);
  for (size_t c = 0; c < outcome.plan.cut_count; c++) {
    const struct cut *cut = &outcome.plan.cuts[c];
    assert_int_equal(cut->step, c + 1);
    if (outcome.plan.layouts[cut->layout].stock == 1) leaf_cut = true;
    if (!cut->resaw) continue;
    resaws++;
    assert_false(leaf_cut);
    assert_int_equal(cut->keep, MM(43) / 2); /* a leaf and what is cleaned off it */
    assert_int_equal(cut->span, MM(963));
    assert_int_equal(cut->piece_width, MM(103));
    assert_true((cut->cautions & CAUTION_RESAW) != 0);
    assert_non_null(saw_caution_text(arena, outcome.project, cut, CAUTION_RESAW));
  }
  assert_int_equal(resaws, 2);
}

/* A caution of one cut says or leaves out. */
static void says(struct arena *arena, const struct project *project, const struct cut *cut,
                 const char *words, bool said) {
  const char *text = saw_caution_text(arena, project, cut, CAUTION_RESAW);
  if ((strstr(text, words) != NULL) != said) fail_msg("'%s' in: %s", words, text);
}

/* A plank of 300 x 20 is the least the jointer takes, a leaf of 12 the thinnest. */
static void jointer_of_resawing(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  struct shop *shop = &workshop.project.shop;
  allow_both(&workshop);
  shop->jointer_min_length = MM(300);
  shop->jointer_min_width = MM(20);
  shop->jointer_min_thickness = MM(12);
  struct cut cut = {.resaw = true,
                    .keep = MM(12) + shop->resaw_clean,
                    .piece_length = MM(300),
                    .piece_width = MM(20)};
  says(arena, &workshop.project, &cut, "jointer", false);
  cut.piece_length--;
  says(arena, &workshop.project, &cut, "the jointer takes no less than 300 mm x 20 mm", true);
  cut.piece_length++;
  cut.piece_width--;
  says(arena, &workshop.project, &cut, "the jointer takes no less than 300 mm x 20 mm", true);
  cut.piece_width++;
  cut.keep -= MM(1);
  says(arena, &workshop.project, &cut,
       "Leaves of 11 mm are thinner than the 12 mm the jointer takes", true);
  says(arena, &workshop.project, &cut, "no less than", false);
}

/* 480 x 200 in planks 103 wide: two strips of (200 + 2) / 2. Two planks hold four strips. */
static void blanks_from_strips(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options options = {.sets = 2, .effort = 20};
  workshop_open(arena, &workshop);
  allow_both(&workshop);
  workshop_part(&workshop, "base", 1, 480, 200);
  workshop_plank(&workshop, "narrow", SOURCE_YARD, 963, 103, -1, 1000);
  workshop_plank(&workshop, "wide", SOURCE_YARD, 963, 203, -1, 2100);
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  assert_int_equal(outcome.plan.cost.total, 2000);
  assert_true(outcome.plan.cost.proved);
  assert_int_equal(pieces_of(&outcome, 0), 4);
  assert_int_equal(pieces_of(&outcome, 1), 0);
  workshop.project.stocks[1].value = 1900; /* two at once for less than two narrow ones */
  assert_int_equal(plan(&workshop, &options, &outcome), STATUS_OK);
  assert_int_equal(outcome.plan.cost.total, 1900);
  assert_int_equal(pieces_of(&outcome, 1), 2);
}

/* The rack's planks hold three strips each of two a blank: three planks make four sets. */
static void most_sets_from_strips(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  struct nest_run_options most = {.most = true, .effort = 20};
  workshop_open(arena, &workshop);
  allow_both(&workshop);
  workshop_part(&workshop, "base", 1, 480, 200);
  workshop_plank(&workshop, "narrow", SOURCE_RACK, 1446, 103, 3, 1000);
  assert_int_equal(plan(&workshop, &most, &outcome), STATUS_OK);
  assert_int_equal(outcome.plan.sets, 4);
  assert_int_equal(pieces_of(&outcome, 0), 8);
}

/* Strips may come from leaves: 480 x 200 x 20 from a plank 45 thick and 103 wide. */
static void strips_from_leaves(struct arena *arena) {
  struct workshop workshop;
  struct outcome outcome;
  workshop_open(arena, &workshop);
  allow_both(&workshop);
  workshop_part(&workshop, "base", 1, 480, 200);
  workshop_plank(&workshop, "thick", SOURCE_RACK, 480, 103, 1, 700)->thickness = MM(45);
  workshop_plank(&workshop, "wide", SOURCE_YARD, 480, 200, -1, 800);
  assert_int_equal(plan(&workshop, &as_usual, &outcome), STATUS_OK);
  assert_int_equal(outcome.plan.cost.total, 700);
  assert_int_equal(pieces_of(&outcome, 2), 2);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(leaves_of_planks),         ARENA_TEST(a_leaf_to_spare),
      ARENA_TEST(leaves_of_a_flawed_plank), ARENA_TEST(order_of_resawing),
      ARENA_TEST(jointer_of_resawing),      ARENA_TEST(blanks_from_strips),
      ARENA_TEST(most_sets_from_strips),    ARENA_TEST(strips_from_leaves),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
