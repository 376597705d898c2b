/* From planks and blanks to bare nesting problems. */
#include "nest/setup.h"

#include "nest_workshop.h"

static struct blank *add_blank(struct workshop *workshop, size_t part, size_t stock, int64_t length,
                               int64_t width) {
  struct blank *blank = ARENA_PUSH(workshop->arena, workshop->blanks.items, workshop->blanks.count,
                                   workshop->blanks.room);
  *blank = (struct blank){.part = part,
                          .stock = stock,
                          .role = ROLE_PART,
                          .hold = HOLD_AUTO,
                          .clamp = SIZE_MAX,
                          .length = MM(length),
                          .width = MM(width),
                          .may_lie_straight = true};
  return blank;
}

static struct materials materials_of(struct workshop *workshop, const int64_t *needed,
                                     bool rack_only, bool together) {
  return setup_materials(workshop->arena, &workshop->project, &workshop->blanks, needed, rack_only,
                         together);
}

/* One part, one plank, one piece needed. */
static struct material *only_material(struct workshop *workshop) {
  static const int64_t needed[] = {1};
  if (workshop->project.part_count == 0) workshop_part(workshop, "slat", 1, 100, 50);
  if (workshop->blanks.count == 0) add_blank(workshop, 0, 0, 100, 50);
  struct materials materials = materials_of(workshop, needed, false, false);
  assert_int_equal(materials.count, 1);
  return &materials.items[0];
}

static void sizes_are_those_within_the_trims(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  struct stock *plank = workshop_plank(&workshop, "W1", SOURCE_RACK, 1830, 215, 2, 7800);
  plank->trim_ends = MM(20);
  plank->trim_edges = MM(3);
  workshop.project.shop.kerf_rip = MM(4);
  const struct material *material = only_material(&workshop);
  assert_int_equal(material->problem.demand_count, 1);
  assert_int_equal(material->problem.demand[0], 1);
  assert_int_equal(material->parts[0], 0);
  assert_int_equal(material->problem.stock_count, 1);
  const struct nest_stock *stock = &material->problem.stocks[0];
  assert_int_equal(stock->length, MM(1790));
  assert_int_equal(stock->width, MM(209));
  assert_int_equal(stock->kerf_crosscut, MM(3));
  assert_int_equal(stock->kerf_rip, MM(4));
  assert_int_equal(stock->count, 2);
  assert_int_equal(stock->pack, 1);
  assert_int_equal(stock->cost, 7800 * COST_PER_CENT);
  assert_int_equal(stock->trim_cost, 0);
  assert_null(stock->given);
}

/* Half a minute at 24.00 an hour is 20 cents. */
static void cuts_and_trims_cost_labour(struct arena *arena) {
  for (int trims = 0; trims < 4; trims++) {
    struct workshop workshop;
    workshop_open(arena, &workshop);
    struct stock *plank = workshop_plank(&workshop, "W1", SOURCE_RACK, 1830, 215, 2, 7800);
    plank->trim_ends = trims % 2 == 1 ? MM(20) : 0;
    plank->trim_edges = trims / 2 == 1 ? MM(3) : 0;
    workshop.project.shop.labour_rate = 2400;
    workshop.project.shop.saw_cut_min = 500;
    assert_int_equal(setup_cut_cost(&workshop.project.shop), 20 * COST_PER_CENT);
    const struct material *material = only_material(&workshop);
    const struct nest_stock *stock = &material->problem.stocks[0];
    cost_t trim_cost = (trims % 2 + trims / 2) * 2 * 20 * COST_PER_CENT;
    assert_int_equal(material->problem.cut_cost, 20 * COST_PER_CENT);
    assert_int_equal(stock->trim_cost, trim_cost);
    assert_int_equal(stock->cost, 7800 * COST_PER_CENT + trim_cost);
  }
  /* the least there is: a thousandth of a minute at a cent an hour */
  struct shop shop = {.labour_rate = 1, .saw_cut_min = 1};
  assert_int_equal(setup_cut_cost(&shop) * 60000, COST_PER_CENT);
}

static void packs_are_of_the_yard(struct arena *arena) {
  static const int64_t needed[] = {1};
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 100, 50);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 100, 5, 100)->pack = 4;
  workshop_plank(&workshop, "Y1", SOURCE_YARD, 900, 100, -1, 100)->pack = 4;
  add_blank(&workshop, 0, 0, 100, 50);
  add_blank(&workshop, 0, 1, 100, 50);
  struct materials materials = materials_of(&workshop, needed, false, false);
  assert_int_equal(materials.items[0].problem.stocks[0].pack, 1);
  assert_int_equal(materials.items[0].problem.stocks[1].pack, 4);
  assert_int_equal(materials.items[0].problem.stocks[1].count, -1);
}

/* ---- flaws ---- */

static void assert_flaw(const struct nest_flaw *flaw, int64_t x, int64_t y, int64_t length,
                        int64_t width) {
  assert_int_equal(flaw->x, MM(x));
  assert_int_equal(flaw->y, MM(y));
  assert_int_equal(flaw->length, MM(length));
  assert_int_equal(flaw->width, MM(width));
}

static void flaws_are_grown(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  struct stock *plank = workshop_plank(&workshop, "W1", SOURCE_RACK, 1830, 215, 1, 7800);
  plank->trim_ends = MM(20);
  plank->trim_edges = MM(3);
  workshop.project.shop.flaw_margin = MM(5);
  workshop.project.shop.split_margin = MM(25);
  workshop_flaw(&workshop, 0, 640, 60, 40, 35);
  workshop_flaw(&workshop, 0, 0, 100, 200, 2)->what = "End SPLIT, left";
  workshop_flaw(&workshop, 0, 900, 0, 10, 10)->rim_ok = true;
  workshop_flaw(&workshop, 0, 950, 0, 10, 10)->what = NULL;
  const struct nest_stock *stock = &only_material(&workshop)->problem.stocks[0];
  assert_int_equal(stock->flaw_count, 4);
  assert_flaw(&stock->flaws[0], 640 - 5 - 20, 60 - 5 - 3, 50, 45);
  assert_false(stock->flaws[0].rim_ok);
  assert_flaw(&stock->flaws[1], -25 - 20, 100 - 5 - 3, 250, 12);
  assert_flaw(&stock->flaws[2], 900 - 5 - 20, -5 - 3, 20, 20);
  assert_true(stock->flaws[2].rim_ok);
  assert_flaw(&stock->flaws[3], 950 - 5 - 20, -5 - 3, 20, 20);
}

/* Copies 2 and 5 of six have flaws of their own, all have the one of copy 0. */
static void copies_with_their_own_flaws_stand_alone(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 200, 6, 100);
  workshop_flaw(&workshop, 2, 100, 0, 10, 10);
  workshop_flaw(&workshop, 0, 200, 0, 10, 10);
  workshop_flaw(&workshop, 5, 300, 0, 10, 10);
  workshop_flaw(&workshop, 5, 400, 0, 10, 10);
  const struct material *material = only_material(&workshop);
  bool seen[7] = {false};
  assert_int_equal(material->problem.stock_count, 3);
  for (size_t s = 0; s < 3; s++) {
    const struct stock_group *group = &material->groups[s];
    assert_int_equal(group->stock, 0);
    assert_int_equal(material->problem.stocks[s].stock, 0);
    assert_int_equal(material->problem.stocks[s].count, group->count);
    for (int64_t i = 0; i < group->count; i++) {
      int64_t copy = group->copies == NULL ? group->first_copy + i : group->copies[i];
      size_t flaws = copy == 5 ? 3 : copy == 2 ? 2 : 1;
      assert_true(copy >= 1 && copy <= 6 && !seen[copy]);
      seen[copy] = true;
      assert_int_equal(material->problem.stocks[s].flaw_count, flaws);
    }
  }
  for (int copy = 1; copy <= 6; copy++) assert_true(seen[copy]);
}

static void copies_that_are_alike_are_one_group(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 200, 6, 100);
  workshop_flaw(&workshop, 0, 200, 0, 10, 10);
  const struct material *material = only_material(&workshop);
  assert_int_equal(material->problem.stock_count, 1);
  assert_int_equal(material->groups[0].count, 6);
  assert_int_equal(material->groups[0].first_copy, 1);
  assert_null(material->groups[0].copies);
}

/* ---- options ---- */

static void options_lie_as_blanks_may(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 120, 1, 100);
  add_blank(&workshop, 0, 0, 110, 50)->may_lie_turned = true;
  add_blank(&workshop, 0, 0, 130, 40)->may_lie_turned = true; /* too long to lie across */
  struct blank *across = add_blank(&workshop, 0, 0, 100, 60);
  across->may_lie_turned = true;
  across->may_lie_straight = false;
  const struct nest_stock *stock = &only_material(&workshop)->problem.stocks[0];
  assert_int_equal(stock->option_count, 4);
  int turned = 0;
  for (size_t o = 0; o < 4; o++) {
    const struct nest_option *option = &stock->options[o];
    const struct blank *blank = &workshop.blanks.items[option->blank];
    turned += option->turned ? 1 : 0;
    assert_int_equal(option->demand, 0);
    assert_int_equal(option->length, option->turned ? blank->width : blank->length);
    assert_int_equal(option->width, option->turned ? blank->length : blank->width);
    assert_int_equal(option->core_x, 0);
    assert_int_equal(option->core_y, 0);
  }
  assert_int_equal(turned, 2);
}

/* A rim may hold a flaw where no clamp stands on it: outside what the cutters reach. */
static void rims_that_may_hold_flaws(struct arena *arena) {
  static const struct {
    enum hold hold;
    int64_t ends, sides;
  } cases[] = {{HOLD_TAPE, 6, 2}, {HOLD_ENDS, 0, 2}, {HOLD_SIDES, 6, 0}, {HOLD_ALL, 0, 0}};
  for (size_t c = 0; c < 4; c++) {
    struct workshop workshop;
    workshop_open(arena, &workshop);
    workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 300, 1, 100);
    struct blank *blank = add_blank(&workshop, 0, 0, 268, 100);
    blank->role = ROLE_BLANK;
    blank->hold = cases[c].hold;
    blank->margin_ends = MM(14);
    blank->margin_sides = MM(10);
    blank->reach = MM(8);
    blank->may_lie_turned = true;
    const struct nest_stock *stock = &only_material(&workshop)->problem.stocks[0];
    assert_int_equal(stock->option_count, 2);
    for (size_t o = 0; o < 2; o++) {
      const struct nest_option *option = &stock->options[o];
      assert_int_equal(option->core_x, MM(option->turned ? cases[c].sides : cases[c].ends));
      assert_int_equal(option->core_y, MM(option->turned ? cases[c].ends : cases[c].sides));
    }
  }
}

static void stock_that_yields_nothing_is_left_out(struct arena *arena) {
  static const int64_t needed[] = {1};
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 100, 50);
  workshop_plank(&workshop, "trimmed away", SOURCE_RACK, 900, 52, 1, 100)->trim_edges = MM(30);
  workshop_plank(&workshop, "too narrow", SOURCE_RACK, 900, 52, 1, 100)->trim_edges = MM(2);
  workshop_plank(&workshop, "none there", SOURCE_RACK, 900, 100, 0, 100);
  workshop_plank(&workshop, "good", SOURCE_RACK, 900, 54, 1, 100)->trim_edges = MM(2);
  for (size_t s = 0; s < 4; s++) add_blank(&workshop, 0, s, 100, 50);
  struct materials materials = materials_of(&workshop, needed, false, false);
  assert_int_equal(materials.count, 1);
  assert_int_equal(materials.items[0].problem.stock_count, 1);
  assert_int_equal(materials.items[0].groups[0].stock, 3);
}

/* ---- materials ---- */

/* Parts 0 and 2 share W1, part 1 has Y1 of its own, part 3 shares W2 with part 2. */
static void open_four_parts(struct arena *arena, struct workshop *workshop) {
  static const size_t pairs[][2] = {{0, 0}, {2, 0}, {1, 2}, {2, 1}, {3, 1}};
  workshop_open(arena, workshop);
  for (int p = 0; p < 4; p++) workshop_part(workshop, "part", 1, 100, 50);
  workshop_plank(workshop, "W1", SOURCE_RACK, 900, 100, 3, 100);
  workshop_plank(workshop, "W2", SOURCE_RACK, 900, 100, 3, 100);
  workshop_plank(workshop, "Y1", SOURCE_YARD, 900, 100, -1, 100);
  for (size_t i = 0; i < 5; i++) add_blank(workshop, pairs[i][0], pairs[i][1], 100, 50);
}

static void parts_that_share_stock_are_one_problem(struct arena *arena) {
  static const int64_t needed[] = {4, 5, 6, 7};
  struct workshop workshop;
  open_four_parts(arena, &workshop);
  struct materials materials = materials_of(&workshop, needed, false, false);
  assert_int_equal(materials.count, 2);
  const struct material *shared = &materials.items[0];
  const struct material *alone = &materials.items[1];
  assert_int_equal(shared->problem.demand_count, 3);
  assert_int_equal(shared->problem.stock_count, 2);
  for (size_t d = 0; d < 3; d++)
    assert_int_equal(shared->problem.demand[d], needed[shared->parts[d]]);
  assert_int_equal(alone->problem.demand_count, 1);
  assert_int_equal(alone->parts[0], 1);
  assert_int_equal(alone->problem.demand[0], 5);
  assert_int_equal(alone->problem.stocks[0].stock, 2);
}

static void parts_not_needed_are_left_out(struct arena *arena) {
  static const int64_t needed[] = {4, 0, 0, 7};
  struct workshop workshop;
  open_four_parts(arena, &workshop);
  struct materials materials = materials_of(&workshop, needed, false, false);
  /* without part 2 nothing ties part 0 to part 3 */
  assert_int_equal(materials.count, 2);
  for (size_t m = 0; m < 2; m++) {
    assert_int_equal(materials.items[m].problem.demand_count, 1);
    assert_int_equal(materials.items[m].parts[0], m == 0 ? 0 : 3);
    assert_int_equal(materials.items[m].problem.stock_count, 1);
    assert_int_equal(materials.items[m].problem.stocks[0].stock, m);
    assert_int_equal(materials.items[m].problem.stocks[0].option_count, 1);
  }
}

static void the_rack_alone_and_all_together(struct arena *arena) {
  static const int64_t needed[] = {4, 5, 6, 7};
  struct workshop workshop;
  open_four_parts(arena, &workshop);
  struct materials materials = materials_of(&workshop, needed, true, true);
  assert_int_equal(materials.count, 1);
  assert_int_equal(materials.items[0].problem.demand_count, 4);
  assert_int_equal(materials.items[0].problem.stock_count, 2);
  for (size_t s = 0; s < 2; s++)
    assert_int_equal(workshop.stocks[materials.items[0].problem.stocks[s].stock].source,
                     SOURCE_RACK);
}

/* ---- rules ---- */

static struct nest_rules rules_of(struct workshop *workshop, enum safety safety) {
  struct material *material = only_material(workshop);
  setup_rules(&workshop->project, material, safety);
  return material->problem.stocks[0].rules;
}

static void rules_give_way_step_by_step(struct arena *arena) {
  static const int64_t rip_min[] = {300, 200, 100, 0};
  for (int safety = SAFETY_STRICT; safety <= SAFETY_NONE; safety++) {
    struct workshop workshop;
    workshop_open(arena, &workshop);
    workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 200, 1, 100);
    workshop.project.shop.rip_capacity = MM(600);
    workshop.project.shop.crosscut_capacity = MM(310);
    struct nest_rules rules = rules_of(&workshop, (enum safety)safety);
    bool kept = safety != SAFETY_NONE;
    assert_int_equal(rules.rip_min_length, MM(rip_min[safety]));
    assert_int_equal(rules.rip_no_wider_than_long, kept);
    assert_int_equal(rules.rip_capacity, kept ? MM(600) : 0);
    assert_int_equal(rules.crosscut_capacity, kept ? MM(310) : 0);
    assert_int_equal(rules.stages, 3);
    assert_true(rules.crosscut_first && rules.rip_first);
  }
}

static void rules_of_stages_first_cut_and_sheets(struct arena *arena) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 200, 1, 100)->kind = STOCK_SHEET;
  workshop.project.shop.saw_stages = 0;
  workshop.project.shop.first_cut = FIRST_RIP;
  struct nest_rules rules = rules_of(&workshop, SAFETY_STRICT);
  assert_int_equal(rules.stages, 0);
  assert_false(rules.crosscut_first);
  assert_true(rules.rip_first);
  assert_int_equal(rules.crosscut_capacity, 0);
  assert_int_equal(rules.rip_capacity, workshop.project.shop.rip_capacity);
  workshop.project.shop.saw_stages = 2;
  workshop.project.shop.first_cut = FIRST_CROSSCUT;
  rules = rules_of(&workshop, SAFETY_STRICT);
  assert_int_equal(rules.stages, 2);
  assert_true(rules.crosscut_first);
  assert_false(rules.rip_first);
}

/* ---- the raw tree ---- */

static const struct node *find_piece(const struct node *node) {
  if (node->kind == NODE_PIECE) return node;
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *found = find_piece(&node->children[i]);
    if (found != NULL) return found;
  }
  return NULL;
}

/* Children lie a kerf apart and none has less than no extent; only in front of the first and
 * behind the last may a kerf reach beyond the wood. */
static void check_raw(const struct node *node, length_t kerf) {
  bool crosscut = node->kind == NODE_CROSSCUT;
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    length_t size = crosscut ? child->length : child->width;
    length_t low = crosscut ? child->x : child->y;
    assert_true(size >= 0);
    assert_int_equal(crosscut ? child->width : child->length,
                     crosscut ? node->width : node->length);
    if (i + 1 < node->child_count) {
      const struct node *next = &node->children[i + 1];
      assert_int_equal(crosscut ? next->x : next->y, low + size + kerf);
    }
    check_raw(child, kerf);
  }
}

static struct node raw_tree(struct arena *arena, length_t trim_ends, length_t trim_edges) {
  struct workshop workshop;
  workshop_open(arena, &workshop);
  struct stock *plank = workshop_plank(&workshop, "W1", SOURCE_RACK, 900, 200, 1, 100);
  plank->trim_ends = trim_ends;
  plank->trim_edges = trim_edges;
  struct node usable = {.kind = NODE_PIECE,
                        .length = plank->length - 2 * trim_ends,
                        .width = plank->width - 2 * trim_edges};
  return setup_raw_tree(arena, &workshop.project, 0, &usable);
}

static void check_trims(struct arena *arena, length_t trim_ends, length_t trim_edges,
                        int64_t cuts) {
  struct node root = raw_tree(arena, trim_ends, trim_edges);
  const struct node *piece = find_piece(&root);
  assert_int_equal(root.x, 0);
  assert_int_equal(root.y, 0);
  assert_int_equal(root.length, MM(900));
  assert_int_equal(root.width, MM(200));
  assert_non_null(piece);
  assert_int_equal(piece->x, trim_ends);
  assert_int_equal(piece->y, trim_edges);
  assert_int_equal(piece->length, MM(900) - 2 * trim_ends);
  assert_int_equal(piece->width, MM(200) - 2 * trim_edges);
  assert_int_equal(cutting_count_cuts(&root), cuts);
  check_raw(&root, MM(3));
}

static void trims_around_the_usable_rectangle(struct arena *arena) {
  check_trims(arena, 0, 0, 0);
  check_trims(arena, MM(20), 0, 2);
  check_trims(arena, 0, MM(6), 2);
  check_trims(arena, MM(20), MM(6), 4);
  check_trims(arena, MM(3), MM(3), 4);
}

/* Edges first, over the raw length, then the ends. */
static void edges_are_trimmed_first(struct arena *arena) {
  struct node root = raw_tree(arena, MM(20), MM(6));
  assert_int_equal(root.kind, NODE_RIP);
  assert_true(root.trim);
  assert_int_equal(root.child_count, 3);
  assert_int_equal(root.children[0].width, MM(3));
  assert_int_equal(root.children[2].width, MM(3));
  assert_int_equal(root.children[1].kind, NODE_CROSSCUT);
  assert_true(root.children[1].trim);
  assert_int_equal(root.children[1].children[0].length, MM(17));
  assert_int_equal(root.children[1].children[2].length, MM(17));
}

/* The kerf sticks out of the raw plank on both sides and nothing is left of the trims. */
static void trims_thinner_than_the_kerf(struct arena *arena) {
  check_trims(arena, MM(2), MM(1), 4);
  struct node root = raw_tree(arena, MM(2), MM(1));
  assert_int_equal(root.children[0].width, 0);
  assert_int_equal(root.children[2].width, 0);
  assert_int_equal(root.children[0].y, MM(1) - MM(3));
  assert_int_equal(root.children[1].y, MM(1));
  assert_int_equal(root.children[2].y, MM(200) - MM(1) + MM(3));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(sizes_are_those_within_the_trims),
      ARENA_TEST(cuts_and_trims_cost_labour),
      ARENA_TEST(packs_are_of_the_yard),
      ARENA_TEST(flaws_are_grown),
      ARENA_TEST(copies_with_their_own_flaws_stand_alone),
      ARENA_TEST(copies_that_are_alike_are_one_group),
      ARENA_TEST(options_lie_as_blanks_may),
      ARENA_TEST(rims_that_may_hold_flaws),
      ARENA_TEST(stock_that_yields_nothing_is_left_out),
      ARENA_TEST(parts_that_share_stock_are_one_problem),
      ARENA_TEST(parts_not_needed_are_left_out),
      ARENA_TEST(the_rack_alone_and_all_together),
      ARENA_TEST(rules_give_way_step_by_step),
      ARENA_TEST(rules_of_stages_first_cut_and_sheets),
      ARENA_TEST(trims_around_the_usable_rectangle),
      ARENA_TEST(edges_are_trimmed_first),
      ARENA_TEST(trims_thinner_than_the_kerf),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
