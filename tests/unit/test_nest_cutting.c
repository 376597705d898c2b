/* Cut trees: made, measured, moved, tidied, and held against the rules. */
#include "nest_fixture.h"

static struct node rectangle(length_t x, length_t y, length_t length, length_t width) {
  return (struct node){.kind = NODE_WASTE, .x = x, .y = y, .length = length, .width = width};
}

static void assert_place(const struct node *node, length_t x, length_t y, length_t length,
                         length_t width) {
  assert_int_equal(node->x, x);
  assert_int_equal(node->y, y);
  assert_int_equal(node->length, length);
  assert_int_equal(node->width, width);
}

/* ---- dividing ---- */

static void children_follow_at_a_kerf(struct arena *arena) {
  static const length_t extents[] = {30, 20};
  struct node node = rectangle(5, 7, 100, 40);
  struct node *children = cutting_divide(arena, &node, DIVIDE_LENGTH, 3, extents, 2);
  assert_int_equal(node.kind, NODE_CROSSCUT);
  assert_ptr_equal(node.children, children);
  assert_int_equal(node.child_count, 3);
  assert_place(&children[0], 5, 7, 30, 40);
  assert_place(&children[1], 38, 7, 20, 40);
  assert_place(&children[2], 61, 7, 44, 40);
  for (int i = 0; i < 3; i++) assert_int_equal(children[i].kind, NODE_WASTE);
  assert_int_equal(cutting_count_cuts(&node), 2);
}

static void a_rip_divides_the_width(struct arena *arena) {
  static const length_t extents[] = {10, 10};
  struct node node = rectangle(5, 7, 100, 40);
  struct node *children = cutting_divide(arena, &node, DIVIDE_WIDTH, 2, extents, 2);
  assert_int_equal(node.kind, NODE_RIP);
  assert_int_equal(node.child_count, 3);
  assert_place(&children[1], 5, 19, 100, 10);
  assert_place(&children[2], 5, 31, 100, 16);
}

static void parts_that_fill_leave_no_waste(struct arena *arena) {
  static const length_t extents[] = {48, 49};
  struct node node = rectangle(0, 0, 100, 40);
  cutting_divide(arena, &node, DIVIDE_LENGTH, 3, extents, 2);
  assert_int_equal(node.child_count, 2);
  assert_int_equal(cutting_count_cuts(&node), 1);
}

/* Less than a kerf is left behind the last part: the cut is made, nothing is left of it. */
static void what_is_left_is_thinner_than_the_kerf(struct arena *arena) {
  for (length_t left = 1; left <= 3; left++) {
    length_t extent = 100 - left;
    struct node node = rectangle(0, 0, 100, 40);
    struct node *children = cutting_divide(arena, &node, DIVIDE_LENGTH, 3, &extent, 1);
    assert_int_equal(node.child_count, 2);
    assert_place(&children[1], extent + 3, 0, 0, 40);
    assert_int_equal(cutting_count_cuts(&node), 1);
  }
}

static void one_part_that_fills_needs_no_cut(struct arena *arena) {
  length_t extent = 100;
  struct node node = rectangle(0, 0, 100, 40);
  assert_null(cutting_divide(arena, &node, DIVIDE_LENGTH, 3, &extent, 1));
  assert_int_equal(node.kind, NODE_WASTE);
  assert_int_equal(node.child_count, 0);
}

/* ---- placing ---- */

static struct node placed(struct arena *arena, length_t length, length_t width, bool rip_first) {
  struct nest_stock stock = plain_stock(100, 40, 3);
  struct nest_option option = plain_option(0, 4, length, width);
  option.turned = true;
  stock.kerf_rip = 2;
  struct node node = rectangle(10, 20, 100, 40);
  cutting_place(arena, &node, &stock, &option, rip_first);
  return node;
}

static void assert_piece(const struct node *node, length_t length, length_t width) {
  assert_int_equal(node->kind, NODE_PIECE);
  assert_int_equal(node->blank, 4);
  assert_true(node->turned);
  assert_place(node, 10, 20, length, width);
}

static void a_piece_is_freed_by_a_rip_and_a_crosscut(struct arena *arena) {
  struct node node = placed(arena, 60, 30, true);
  assert_int_equal(node.kind, NODE_RIP);
  assert_place(&node.children[1], 10, 52, 100, 8);
  assert_int_equal(node.children[0].kind, NODE_CROSSCUT);
  assert_piece(&node.children[0].children[0], 60, 30);
  assert_place(&node.children[0].children[1], 73, 20, 37, 30);
  node = placed(arena, 60, 30, false);
  assert_int_equal(node.kind, NODE_CROSSCUT);
  assert_place(&node.children[1], 73, 20, 37, 40);
  assert_int_equal(node.children[0].kind, NODE_RIP);
  assert_piece(&node.children[0].children[0], 60, 30);
  assert_int_equal(cutting_count_cuts(&node), 2);
}

static void a_piece_that_fits_needs_fewer_cuts(struct arena *arena) {
  struct node node = placed(arena, 100, 40, true);
  assert_piece(&node, 100, 40);
  node = placed(arena, 100, 30, false);
  assert_int_equal(node.kind, NODE_RIP);
  assert_piece(&node.children[0], 100, 30);
  node = placed(arena, 60, 40, true);
  assert_int_equal(node.kind, NODE_CROSSCUT);
  assert_piece(&node.children[0], 60, 40);
  assert_int_equal(cutting_count_cuts(&node), 1);
}

/* ---- measuring and copying ---- */

/* crosscut [ rip [ piece 0, piece 1, waste ], piece 2, waste ] */
static struct node two_stages(struct arena *arena) {
  static const length_t lengths[] = {40, 20};
  static const length_t widths[] = {10, 12};
  struct node root = rectangle(0, 0, 100, 40);
  struct node *columns = cutting_divide(arena, &root, DIVIDE_LENGTH, 3, lengths, 2);
  struct node *strips = cutting_divide(arena, &columns[0], DIVIDE_WIDTH, 2, widths, 2);
  for (size_t i = 0; i < 2; i++) strips[i].kind = NODE_PIECE;
  strips[1].blank = 1;
  columns[1].kind = NODE_PIECE;
  columns[1].blank = 2;
  return root;
}

static void cuts_and_pieces_are_counted(struct arena *arena) {
  static const size_t demand_of_blank[] = {1, 0, 1};
  struct node root = two_stages(arena);
  int64_t counts[] = {10, 20};
  assert_int_equal(cutting_count_cuts(&root), 4);
  cutting_count_pieces(&root, demand_of_blank, counts);
  assert_int_equal(counts[0], 11);
  assert_int_equal(counts[1], 22);
  struct node bare = rectangle(0, 0, 5, 5);
  assert_int_equal(cutting_count_cuts(&bare), 0);
}

static void assert_moved(const struct node *copy, const struct node *node, length_t dx,
                         length_t dy) {
  assert_int_equal(copy->kind, node->kind);
  assert_int_equal(copy->blank, node->blank);
  assert_place(copy, node->x + dx, node->y + dy, node->length, node->width);
  assert_int_equal(copy->child_count, node->child_count);
  for (size_t i = 0; i < node->child_count; i++) {
    assert_true(copy->children != node->children);
    assert_moved(&copy->children[i], &node->children[i], dx, dy);
  }
}

static void a_copy_is_deep_and_moved(struct arena *arena) {
  struct node root = two_stages(arena);
  struct node copy = cutting_copy(arena, &root, 11, -4);
  assert_moved(&copy, &root, 11, -4);
}

/* ---- tidying ---- */

static void a_tree_without_a_piece_is_waste(struct arena *arena) {
  struct node root = two_stages(arena);
  struct nest_stock stock = plain_stock(100, 40, 3);
  root.children[0].children[0].kind = NODE_WASTE;
  root.children[0].children[1].kind = NODE_WASTE;
  root.children[1].kind = NODE_WASTE;
  cutting_tidy(&root, &stock);
  assert_int_equal(root.kind, NODE_WASTE);
  assert_int_equal(root.child_count, 0);
  assert_place(&root, 0, 0, 100, 40);
}

static void waste_beside_waste_is_one(struct arena *arena) {
  struct node root = two_stages(arena);
  struct nest_stock stock = plain_stock(100, 40, 3);
  stock.kerf_rip = 2;
  root.children[1].kind = NODE_WASTE;
  root.children[0].children[1].kind = NODE_WASTE;
  cutting_tidy(&root, &stock);
  assert_int_equal(root.child_count, 2);
  assert_place(&root.children[1], 43, 0, 57, 40);
  assert_int_equal(root.children[0].child_count, 2);
  assert_place(&root.children[0].children[1], 0, 12, 40, 28);
  assert_int_equal(cutting_count_cuts(&root), 2);
}

static void a_tidy_tree_stays(struct arena *arena) {
  struct node root = two_stages(arena);
  struct nest_stock stock = plain_stock(100, 40, 3);
  struct node before = cutting_copy(arena, &root, 0, 0);
  cutting_tidy(&root, &stock);
  assert_moved(&root, &before, 0, 0);
}

/* Waste in front stays where it is: the piece behind it must not move (flaws). */
static void waste_in_front_keeps_its_place(struct arena *arena) {
  struct node root = two_stages(arena);
  struct nest_stock stock = plain_stock(100, 40, 3);
  for (size_t i = 0; i < 2; i++) root.children[0].children[i].kind = NODE_WASTE;
  cutting_tidy(&root, &stock);
  assert_int_equal(root.child_count, 3);
  assert_place(&root.children[0], 0, 0, 40, 40);
  assert_place(&root.children[1], 43, 0, 20, 40);
  assert_int_equal(root.children[1].kind, NODE_PIECE);
}

/* Random trees, waste put in at random: the pieces and their places stay, no cut is added. */
static size_t gather(const struct node *node, struct node *pieces, size_t count) {
  if (node->kind == NODE_PIECE) pieces[count++] = *node;
  for (size_t i = 0; i < node->child_count; i++) count = gather(&node->children[i], pieces, count);
  return count;
}

static void cut_at_random(struct arena *arena, struct node *node, const struct nest_stock *stock,
                          int depth) {
  enum division division = random_chance(1, 2) ? DIVIDE_LENGTH : DIVIDE_WIDTH;
  length_t whole = division == DIVIDE_LENGTH ? node->length : node->width;
  length_t kerf = division == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
  length_t extents[2];
  size_t count = 0;
  node->blank = (size_t)random_between(0, 3);
  if (depth == 0 || whole < 2) {
    if (whole > 0 && random_chance(1, 2)) node->kind = NODE_PIECE;
    return;
  }
  for (length_t left = whole; left > 1 && count < 2; left -= extents[count - 1] + kerf)
    extents[count++] = random_between(1, left - 1);
  struct node *children = cutting_divide(arena, node, division, kerf, extents, count);
  if (children == NULL) return;
  for (size_t i = 0; i < node->child_count; i++)
    if (children[i].length > 0 && children[i].width > 0)
      cut_at_random(arena, &children[i], stock, depth - 1);
}

static void pieces_survive_tidying(struct arena *arena) {
  random_start(61);
  for (int round = 0; round < 500; round++) {
    struct nest_stock stock = plain_stock(40, 30, 2);
    struct node before[200];
    struct node after[200];
    struct node root = rectangle(0, 0, 40, 30);
    stock.kerf_rip = 1;
    cut_at_random(arena, &root, &stock, 3);
    size_t count = gather(&root, before, 0);
    int64_t cuts = cutting_count_cuts(&root);
    cutting_tidy(&root, &stock);
    assert_int_equal(gather(&root, after, 0), count);
    for (size_t i = 0; i < count; i++) {
      assert_int_equal(after[i].blank, before[i].blank);
      assert_place(&after[i], before[i].x, before[i].y, before[i].length, before[i].width);
    }
    assert_true(cutting_count_cuts(&root) <= cuts);
    if (count == 0) assert_int_equal(root.kind, NODE_WASTE);
    cuts = cutting_count_cuts(&root);
    cutting_tidy(&root, &stock);
    assert_int_equal(cutting_count_cuts(&root), cuts);
  }
}

/* ---- rules ---- */

static const struct nest_rules any_rules = {.crosscut_first = true, .rip_first = true};

static struct nest_rules staged_rules(int stages) {
  struct nest_rules rules = any_rules;
  rules.stages = stages;
  return rules;
}

/* A rectangle cut again and again: each letter of `cuts` takes 10 off the length (c) or the
 * width (r) of what is left and keeps cutting the low part. Every waste is a piece but for
 * the last cut's, so that the last cut frees one piece from waste. */
static struct node cut_chain(struct arena *arena, const char *cuts) {
  struct node root = rectangle(0, 0, 200, 200);
  struct node *at = &root;
  for (; *cuts != '\0'; cuts++) {
    enum division division = *cuts == 'c' ? DIVIDE_LENGTH : DIVIDE_WIDTH;
    length_t extent = (division == DIVIDE_LENGTH ? at->length : at->width) - 10;
    struct node *children = cutting_divide(arena, at, division, 1, &extent, 1);
    if (cuts[1] != '\0') children[1].kind = NODE_PIECE;
    at = &children[0];
  }
  at->kind = NODE_PIECE;
  return root;
}

static bool obeys_stages(struct arena *arena, const char *cuts, int stages) {
  struct nest_rules rules = staged_rules(stages);
  struct node root = cut_chain(arena, cuts);
  return cutting_obeys(&root, &rules);
}

static void the_last_trim_is_free(struct arena *arena) {
  assert_true(obeys_stages(arena, "cr", 1));
  assert_true(obeys_stages(arena, "rc", 1));
  assert_false(obeys_stages(arena, "crc", 1));
  assert_true(obeys_stages(arena, "crc", 2));
  assert_false(obeys_stages(arena, "crcr", 2));
  assert_true(obeys_stages(arena, "crcr", 3));
  assert_false(obeys_stages(arena, "crcrc", 3));
  assert_true(obeys_stages(arena, "crcrcrcr", 0));
}

static void cuts_in_one_direction_are_one_stage(struct arena *arena) {
  assert_true(obeys_stages(arena, "cccc", 1));
  assert_true(obeys_stages(arena, "ccrrr", 2));
  assert_true(obeys_stages(arena, "ccrrcccr", 3));
  assert_false(obeys_stages(arena, "ccrrccrrc", 3));
  assert_true(obeys_stages(arena, "ccrrccrr", 4));
}

/* A last cut that parts two pieces is no trim. */
static void a_cut_between_pieces_counts(struct arena *arena) {
  struct nest_rules rules = staged_rules(1);
  struct node root = cut_chain(arena, "cr");
  assert_true(cutting_obeys(&root, &rules));
  root.children[0].children[1].kind = NODE_PIECE;
  assert_false(cutting_obeys(&root, &rules));
  rules.stages = 2;
  assert_true(cutting_obeys(&root, &rules));
}

static void the_first_cut_is_as_allowed(struct arena *arena) {
  struct nest_rules rules = any_rules;
  struct node crosscut = cut_chain(arena, "c");
  struct node rip = cut_chain(arena, "r");
  struct node whole = cut_chain(arena, "");
  rules.rip_first = false;
  assert_true(cutting_obeys(&crosscut, &rules));
  assert_false(cutting_obeys(&rip, &rules));
  assert_true(cutting_obeys(&whole, &rules));
  rules = any_rules;
  rules.crosscut_first = false;
  assert_false(cutting_obeys(&crosscut, &rules));
  assert_true(cutting_obeys(&rip, &rules));
  assert_true(cutting_obeys(&whole, &rules));
}

/* 200 x 200, ripped to strips of the given widths, kerf 1; a crosscut to 150 before it. */
static struct node ripped(struct arena *arena, const length_t *widths, size_t count, bool shorter) {
  length_t length = 150;
  struct node root = rectangle(0, 0, 200, 200);
  struct node *at = shorter ? cutting_divide(arena, &root, DIVIDE_LENGTH, 1, &length, 1) : &root;
  struct node *strips = cutting_divide(arena, at, DIVIDE_WIDTH, 1, widths, count);
  for (size_t i = 0; i < count; i++) strips[i].kind = NODE_PIECE;
  return root;
}

static void pieces_to_rip_are_long_enough(struct arena *arena) {
  static const length_t widths[] = {50};
  struct nest_rules rules = any_rules;
  struct node root = ripped(arena, widths, 1, true);
  rules.rip_min_length = 150;
  assert_true(cutting_obeys(&root, &rules));
  rules.rip_min_length = 151;
  assert_false(cutting_obeys(&root, &rules));
  root = ripped(arena, widths, 1, false);
  assert_true(cutting_obeys(&root, &rules));
}

/* The narrower part of each rip counts, in the order from the low side. */
static void strips_are_within_the_fence(struct arena *arena) {
  static const length_t widths[] = {50, 80};
  struct nest_rules rules = any_rules;
  struct node root = ripped(arena, widths, 2, false);
  rules.rip_capacity = 68; /* 50 of 200; then 68 are left beside 80 */
  assert_true(cutting_obeys(&root, &rules));
  rules.rip_capacity = 67;
  assert_false(cutting_obeys(&root, &rules));
}

static void rips_are_no_wider_than_long(struct arena *arena) {
  static const length_t widths[] = {50};
  struct nest_rules rules = any_rules;
  struct node root = ripped(arena, widths, 1, true);
  rules.rip_no_wider_than_long = true;
  assert_true(cutting_obeys(&root, &rules));
  root.children[0].length = 50;
  assert_true(cutting_obeys(&root, &rules));
  root.children[0].length = 49;
  assert_false(cutting_obeys(&root, &rules));
}

static void crosscuts_are_within_the_saw(struct arena *arena) {
  struct nest_rules rules = any_rules;
  struct node root = cut_chain(arena, "c");
  rules.crosscut_capacity = 200;
  assert_true(cutting_obeys(&root, &rules));
  rules.crosscut_capacity = 199;
  assert_false(cutting_obeys(&root, &rules));
  root = cut_chain(arena, "rc");
  assert_true(cutting_obeys(&root, &rules));
  rules.crosscut_capacity = 189;
  assert_false(cutting_obeys(&root, &rules));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(children_follow_at_a_kerf),
      ARENA_TEST(a_rip_divides_the_width),
      ARENA_TEST(parts_that_fill_leave_no_waste),
      ARENA_TEST(what_is_left_is_thinner_than_the_kerf),
      ARENA_TEST(one_part_that_fills_needs_no_cut),
      ARENA_TEST(a_piece_is_freed_by_a_rip_and_a_crosscut),
      ARENA_TEST(a_piece_that_fits_needs_fewer_cuts),
      ARENA_TEST(cuts_and_pieces_are_counted),
      ARENA_TEST(a_copy_is_deep_and_moved),
      ARENA_TEST(a_tree_without_a_piece_is_waste),
      ARENA_TEST(waste_beside_waste_is_one),
      ARENA_TEST(a_tidy_tree_stays),
      ARENA_TEST(waste_in_front_keeps_its_place),
      ARENA_TEST(pieces_survive_tidying),
      ARENA_TEST(the_last_trim_is_free),
      ARENA_TEST(cuts_in_one_direction_are_one_stage),
      ARENA_TEST(a_cut_between_pieces_counts),
      ARENA_TEST(the_first_cut_is_as_allowed),
      ARENA_TEST(pieces_to_rip_are_long_enough),
      ARENA_TEST(strips_are_within_the_fence),
      ARENA_TEST(rips_are_no_wider_than_long),
      ARENA_TEST(crosscuts_are_within_the_saw),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
