/* The order of work at the saw: hand-made layouts whose cuts were worked out on paper
 * (plausibility, no outside source), then random layouts that are cut up here, cut by cut. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "saw/saw.h"

enum { MOST_LAYOUTS = 8, MOST_CHILDREN = 40 };

struct bench {
  struct arena *arena;
  struct project project;
  struct stock stocks[MOST_LAYOUTS];
  struct layout layouts[MOST_LAYOUTS];
  struct plan plan;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  struct shop *shop = &bench.project.shop;
  shop_set_defaults(bench.arena, shop, UNIT_MM);
  shop->kerf_crosscut = MM(3);
  shop->kerf_rip = MM(3);
  shop->rip_min_length = MM(300);
  shop->rip_min_width = MM(20);
  shop->rip_narrow = MM(75);
  shop->rip_capacity = MM(600);
  shop->crosscut_capacity = MM(300);
  shop->crosscut_hold = MM(250);
  shop->hands_off = MM(150);
  shop->stop_min = MM(100);
  shop->sheet_max_length = MM(1220);
  shop->sheet_max_width = MM(610);
  shop->blade_height = MM(75);
  bench.project.stocks = bench.stocks;
  bench.plan.layouts = bench.layouts;
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

static struct node rectangle(length_t x, length_t y, length_t length, length_t width) {
  return (struct node){.kind = NODE_PIECE, .x = x, .y = y, .length = length, .width = width};
}

/* A planed plank of its own kind, cut by one layout. */
static struct node *add_layout(length_t length, length_t width, int64_t times) {
  size_t index = bench.plan.layout_count++;
  bench.stocks[index] = (struct stock){.name = "W",
                                       .wood = "walnut",
                                       .length = length,
                                       .width = width,
                                       .thickness = MM(20),
                                       .surface = SURFACE_PLANED,
                                       .count = -1,
                                       .pack = 1};
  bench.project.stock_count = bench.plan.layout_count;
  bench.layouts[index] = (struct layout){
      .stock = index, .first_copy = 1, .times = times, .root = rectangle(0, 0, length, width)};
  return &bench.layouts[index].root;
}

/* Cuts a node into children of the sizes given, from its low edge moved by `shift`;
 * a negative size is waste of that size. */
static void divide(struct node *node, enum node_kind kind, length_t shift, const length_t *sizes,
                   size_t count) {
  bool rip = kind == NODE_RIP;
  length_t kerf = rip ? bench.project.shop.kerf_rip : bench.project.shop.kerf_crosscut;
  length_t at = (rip ? node->y : node->x) + shift;
  node->kind = kind;
  node->children = ARENA_ARRAY(bench.arena, count, struct node);
  node->child_count = count;
  for (size_t i = 0; i < count; i++) {
    bool waste = sizes[i] <= 0;
    length_t size = sizes[i] < 0 ? -sizes[i] : sizes[i];
    struct node child = rip ? rectangle(node->x, at, node->length, size)
                            : rectangle(at, node->y, size, node->width);
    child.kind = waste ? NODE_WASTE : NODE_PIECE;
    node->children[i] = child;
    at += size + kerf;
  }
}

#define DIVIDE(node, kind, shift, ...) \
  divide(node, kind, shift, (const length_t[]){__VA_ARGS__}, \
         sizeof((const length_t[]){__VA_ARGS__}) / sizeof(length_t))

static const struct cut *order(void) {
  saw_order(bench.arena, &bench.project, &bench.plan);
  return bench.plan.cuts;
}

static void assert_cut(const struct cut *cut, bool rip, length_t position, length_t keep,
                       bool keep_high) {
  assert_int_equal(cut->rip, rip);
  assert_int_equal(rip ? cut->y : cut->x, position);
  assert_int_equal(cut->keep, keep);
  assert_int_equal(cut->keep_high, keep_high);
}

static void test_strips_of_one_width_need_one_setting(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1000), MM(200), 1), NODE_RIP, 0, MM(50), MM(50), MM(50), -MM(41));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 3);
  assert_int_equal(bench.plan.fence_settings, 1);
  assert_cut(&cuts[0], true, MM(50), MM(50), false);
  assert_cut(&cuts[1], true, MM(103), MM(50), false);
  assert_cut(&cuts[2], true, MM(156), MM(50), false);
  assert_int_equal(cuts[0].span, MM(1000));
  assert_int_equal(cuts[1].piece_y, MM(53));
  assert_int_equal(cuts[1].piece_width, MM(147));
  assert_int_equal(cuts[2].piece_width, MM(94));
  assert_int_equal(cuts[2].step, 3);
}

static void test_waste_at_the_low_end_is_left_over(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1000), MM(100), 1), NODE_CROSSCUT, 0, -MM(94), MM(450), MM(450));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.fence_settings, 1);
  assert_cut(&cuts[0], false, MM(547), MM(450), true);
  assert_cut(&cuts[1], false, MM(94), MM(450), true);
  assert_int_equal(cuts[1].piece_length, MM(547));
}

static void test_a_rarer_piece_is_left_between_equal_ones(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(706), MM(100), 1), NODE_CROSSCUT, 0, MM(300), MM(100), MM(300));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 2);
  assert_int_equal(bench.plan.fence_settings, 1);
  assert_int_equal(cuts[0].keep, MM(300));
  assert_int_equal(cuts[1].keep, MM(300));
  assert_true(cuts[0].keep_high != cuts[1].keep_high);
}

/* Trim 3 at both edges, 20 at both ends, kerf 3: the low rip takes the edge and no more. */
static void test_trims(void **state) {
  (void)state;
  struct node *root = add_layout(MM(1830), MM(215), 1);
  bench.stocks[0].surface = SURFACE_ROUGH;
  DIVIDE(root, NODE_RIP, 0, 0, MM(209), 0);
  root->trim = true;
  struct node *middle = &root->children[1];
  DIVIDE(middle, NODE_CROSSCUT, 0, -MM(17), MM(1790), -MM(17));
  middle->trim = true;
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 4);
  assert_cut(&cuts[0], true, 0, MM(212), true);
  assert_cut(&cuts[1], true, MM(212), MM(209), false);
  assert_cut(&cuts[2], false, MM(17), MM(1810), true);
  assert_cut(&cuts[3], false, MM(1810), MM(1790), false);
  for (size_t i = 0; i < 4; i++) assert_true(cuts[i].trim);
  assert_int_equal(cuts[0].cautions, CAUTION_ROUGH_EDGE);
  assert_int_equal(cuts[1].cautions, 0);
  assert_int_equal(cuts[2].span, MM(209));
  assert_int_equal(bench.plan.fence_settings, 4);
}

/* A trim of 2 under a kerf of 3: the blade sticks out of the plank by 1. */
static void test_trim_thinner_than_the_kerf(void **state) {
  (void)state;
  struct node *root = add_layout(MM(1000), MM(204), 1);
  DIVIDE(root, NODE_RIP, -MM(1), 0, MM(200), 0);
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 2);
  assert_cut(&cuts[0], true, -MM(1), MM(202), true);
  assert_cut(&cuts[1], true, MM(202), MM(200), false);
  assert_int_equal(cuts[0].cautions, CAUTION_SLIVER);
  assert_int_equal(cuts[1].cautions, CAUTION_SLIVER);
}

/* The crosscuts at 300 of the first plank wait until the second plank's strips, which
 * need the same stop, are ripped: two settings, not three. */
static void test_a_setting_waits_for_the_rest_of_its_cuts(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1211), MM(100), 1), NODE_CROSSCUT, 0, MM(300), MM(300), MM(300), -MM(302));
  struct node *second = add_layout(MM(700), MM(203), 1);
  DIVIDE(second, NODE_RIP, 0, MM(100), MM(100));
  DIVIDE(&second->children[0], NODE_CROSSCUT, 0, MM(300), -MM(397));
  DIVIDE(&second->children[1], NODE_CROSSCUT, 0, MM(300), -MM(397));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 6);
  assert_int_equal(bench.plan.fence_settings, 2);
  assert_true(cuts[0].rip);
  assert_int_equal(cuts[0].layout, 1);
}

static void test_copies_share_settings(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1000), MM(200), 5), NODE_RIP, 0, MM(120), MM(77));
  bench.layouts[0].first_copy = 3;
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 5);
  assert_int_equal(bench.plan.fence_settings, 1);
  for (size_t i = 0; i < 5; i++) assert_int_equal(cuts[i].copy, 3 + (int64_t)i);
}

static void test_woods_and_thicknesses_stay_together(void **state) {
  (void)state;
  for (size_t i = 0; i < 4; i++)
    DIVIDE(add_layout(MM(1000), MM(200), 1), NODE_RIP, 0, MM(50), MM(60), -MM(84));
  bench.stocks[1].wood = "maple";
  bench.stocks[2].wood = "Walnut";
  bench.stocks[3].thickness = MM(10);
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 8);
  for (size_t i = 0; i < 4; i++) assert_true(cuts[i].layout % 2 == 0); /* walnut, 20 thick */
  assert_int_equal(cuts[4].layout, 1);
  assert_int_equal(cuts[5].layout, 1);
  assert_int_equal(cuts[6].layout, 3);
  assert_int_equal(cuts[7].layout, 3);
}

static void test_the_side_within_the_fence_is_kept(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(2000), MM(1003), 1), NODE_RIP, 0, MM(700), -MM(300));
  const struct cut *cuts = order();
  assert_cut(&cuts[0], true, MM(700), MM(300), true);
  assert_int_equal(cuts[0].cautions & CAUTION_CAPACITY, 0);
}

static void test_a_strip_too_wide_for_the_fence_is_left_over(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(2000), MM(959), 1), NODE_RIP, 0, MM(100), MM(700), MM(100), MM(50));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 3);
  for (size_t i = 0; i < 3; i++) assert_true(cuts[i].keep == MM(100) || cuts[i].keep == MM(50));
}

/* Each cut has a side of at most 600: the strips come off the wide one, whatever else lies
 * at the ends. */
static void test_the_narrower_side_is_within_the_fence(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(2000), MM(1521), 1), NODE_RIP, 0, MM(700), MM(200), MM(200), MM(200),
         MM(200), -MM(6));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 5);
  for (size_t i = 0; i < 5; i++) {
    length_t falls = cuts[i].piece_width - cuts[i].keep - cuts[i].kerf;
    assert_true(cuts[i].keep <= MM(600) || falls <= MM(600));
  }
}

/* The strip that would run on the fence is too narrow to be held there. */
static void test_a_thin_trim_is_not_run_on_the_fence(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(2000), MM(709), 1), NODE_RIP, 0, -MM(6), MM(700));
  const struct cut *cuts = order();
  assert_cut(&cuts[0], true, MM(6), MM(700), true);
  assert_int_equal(cuts[0].cautions, CAUTION_CAPACITY);
}

static void test_wide_sheets_are_crosscut_on_the_rip_fence(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1003), MM(500), 1), NODE_CROSSCUT, 0, MM(700), -MM(300));
  bench.stocks[0].kind = STOCK_SHEET;
  const struct cut *cuts = order();
  assert_cut(&cuts[0], false, MM(700), MM(300), true);
  assert_int_equal(cuts[0].cautions, 0);
  bench.stocks[0].kind = STOCK_PLANK;
  cuts = order();
  assert_cut(&cuts[0], false, MM(700), MM(700), false);
  assert_int_equal(cuts[0].cautions, CAUTION_CAPACITY);
}

/* No trim: the kerf of the low edge lies beside the wood. */
static void test_a_cut_beside_the_wood_is_not_made(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1000), MM(203), 1), NODE_RIP, -MM(3), 0, MM(100), -MM(100));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 1);
  assert_cut(&cuts[0], true, MM(100), MM(100), false);
}

static void test_over_capacity_on_both_sides(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(2000), MM(1403), 1), NODE_RIP, 0, MM(700), MM(700));
  assert_true((order()[0].cautions & CAUTION_CAPACITY) != 0);
}

static void test_flaw_waste_between_pieces(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(1300), MM(100), 1), NODE_CROSSCUT, 0, MM(300), -MM(88), MM(300), -MM(300),
         MM(300));
  const struct cut *cuts = order();
  assert_int_equal(bench.plan.cut_count, 4);
  /* 300 from both ends, then the inner waste with the stop at what stays, then 300 */
  size_t at_300 = 0;
  for (size_t i = 0; i < 4; i++) at_300 += cuts[i].keep == MM(300);
  assert_int_equal(at_300, 3);
}

static unsigned only_cut(enum node_kind kind, length_t length, length_t width, length_t first,
                         length_t second) {
  bench.plan.layout_count = 0;
  DIVIDE(add_layout(length, width, 1), kind, 0, first, second);
  return order()[0].cautions;
}

static void test_rip_cautions(void **state) {
  (void)state;
  assert_int_equal(only_cut(NODE_RIP, MM(300), MM(178), MM(75), -MM(100)), 0);
  assert_int_equal(only_cut(NODE_RIP, MM(299), MM(178), MM(75), -MM(100)), CAUTION_RIP_SHORT);
  assert_int_equal(only_cut(NODE_RIP, MM(300), MM(178), MM(74), -MM(101)), CAUTION_RIP_NARROW);
  assert_int_equal(only_cut(NODE_RIP, MM(300), MM(123), MM(20), -MM(100)), CAUTION_RIP_NARROW);
  assert_int_equal(only_cut(NODE_RIP, MM(300), MM(122), MM(19), -MM(100)), CAUTION_RIP_JIG);
  /* longer than the minimum, but both sides are wider than it is long */
  assert_int_equal(only_cut(NODE_RIP, MM(350), MM(803), MM(400), -MM(400)), CAUTION_RIP_SHORT);
  assert_int_equal(only_cut(NODE_RIP, MM(350), MM(703), MM(400), -MM(300)), 0);
  assert_int_equal(only_cut(NODE_RIP, MM(900), MM(105), MM(100), -MM(2)), CAUTION_SLIVER);
  assert_int_equal(only_cut(NODE_RIP, MM(900), MM(106), MM(100), -MM(3)), 0);
  assert_int_equal(only_cut(NODE_RIP, MM(900), MM(102), MM(100), 0), CAUTION_SLIVER);
  assert_int_equal(only_cut(NODE_RIP, MM(900), MM(103), MM(100), 0), 0);
}

static void test_crosscut_cautions(void **state) {
  (void)state;
  assert_int_equal(only_cut(NODE_CROSSCUT, MM(400), MM(300), MM(150), -MM(247)), 0);
  assert_int_equal(only_cut(NODE_CROSSCUT, MM(400), MM(301), MM(150), -MM(247)), CAUTION_CAPACITY);
  assert_int_equal(only_cut(NODE_CROSSCUT, MM(400), MM(100), MM(149), -MM(248)), CAUTION_HANDS);
  assert_int_equal(only_cut(NODE_CROSSCUT, MM(400), MM(100), MM(99), -MM(298)),
                   CAUTION_HANDS | CAUTION_STOP_SHORT);
  assert_int_equal(only_cut(NODE_CROSSCUT, MM(249), MM(100), MM(160), -MM(86)),
                   CAUTION_CROSSCUT_HOLD);
}

static void test_thin_stock_and_blade_height(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(900), MM(203), 1), NODE_RIP, 0, MM(100), -MM(100));
  bench.stocks[0].thickness = MM(6);
  assert_int_equal(order()[0].cautions, 0);
  bench.stocks[0].thickness = MM(6) - 1;
  assert_int_equal(order()[0].cautions, CAUTION_RIP_THIN);
  bench.stocks[0].thickness = MM(75) + 1;
  assert_int_equal(order()[0].cautions, CAUTION_CAPACITY);
}

static void test_rough_edges(void **state) {
  (void)state;
  DIVIDE(add_layout(MM(900), MM(206), 1), NODE_RIP, 0, MM(100), MM(80), -MM(20));
  bench.stocks[0].crook = MM(1);
  const struct cut *cuts = order();
  assert_int_equal(cuts[0].cautions, CAUTION_ROUGH_EDGE);
  assert_int_equal(cuts[1].cautions, 0); /* the fence runs on the edge just sawn */
}

static void test_large_sheets(void **state) {
  (void)state;
  struct node *root = add_layout(MM(1300), MM(500), 1);
  DIVIDE(root, NODE_CROSSCUT, 0, MM(800), MM(497));
  DIVIDE(&root->children[0], NODE_RIP, 0, MM(200), MM(297));
  bench.stocks[0].kind = STOCK_SHEET;
  bench.project.shop.crosscut_capacity = MM(1000);
  const struct cut *cuts = order();
  assert_int_equal(cuts[0].cautions, CAUTION_SHEET_SIZE);
  assert_int_equal(cuts[1].cautions, 0);
}

static void assert_says(unsigned bit, const char *phrase) {
  const char *text = saw_caution_text(bench.arena, &bench.project, &bench.plan.cuts[0], bit);
  if (strstr(text, phrase) == NULL) fail_msg("'%s' is not in '%s'", phrase, text);
}

static void test_texts_give_the_numbers(void **state) {
  (void)state;
  only_cut(NODE_RIP, MM(299), MM(122), MM(19), -MM(100));
  assert_says(CAUTION_RIP_SHORT, "299 mm long and rips start at 300 mm");
  assert_says(CAUTION_RIP_NARROW, "19 mm wide, under 75 mm");
  assert_says(CAUTION_RIP_JIG, "19 mm wide, under 20 mm");
  assert_says(CAUTION_RIP_THIN, "thinner than 6 mm");
  only_cut(NODE_CROSSCUT, MM(240), MM(301), MM(99), -MM(138));
  assert_says(CAUTION_CROSSCUT_HOLD, "240 mm long, under 250 mm");
  assert_says(CAUTION_HANDS, "99 mm long, would be within 150 mm");
  assert_says(CAUTION_STOP_SHORT, "99 mm between stop and blade, under 100 mm");
  assert_says(CAUTION_CAPACITY, "301 mm wide and the saw crosscuts 300 mm");
  only_cut(NODE_RIP, MM(900), MM(105), MM(100), -MM(2));
  assert_says(CAUTION_SLIVER, "2 mm thick, thinner than the kerf of 3 mm");
  assert_says(CAUTION_SLIVER, "wander: leave more to cut off");
  bench.plan.cuts[0].trim = true;
  assert_says(CAUTION_SLIVER, "wander: trim more (trim_edges of");
  bench.plan.cuts[0].rip = false;
  assert_says(CAUTION_SLIVER, "trim more (trim_ends of");
  bench.project.shop.units = UNIT_INCH;
  bench.project.shop.rip_min_length = 12 * LENGTH_PER_INCH;
  only_cut(NODE_RIP, 10 * LENGTH_PER_INCH, MM(122), MM(19), -MM(100));
  assert_says(CAUTION_RIP_SHORT, "10 in long and rips start at 12 in");
}

static void test_every_caution_has_its_own_name(void **state) {
  (void)state;
  only_cut(NODE_RIP, MM(299), MM(122), MM(19), -MM(100));
  for (unsigned a = 0; a <= 10; a++)
    for (unsigned b = 0; b < a; b++)
      assert_string_not_equal(saw_caution_name(1U << a), saw_caution_name(1U << b));
  for (unsigned a = 0; a <= 10; a++) {
    assert_string_not_equal(saw_caution_name(1U << a), saw_caution_name(1U << 11));
    assert_says(1U << a, ".");
    assert_string_not_equal(
        saw_caution_text(bench.arena, &bench.project, &bench.plan.cuts[0], 1U << a),
        saw_caution_text(bench.arena, &bench.project, &bench.plan.cuts[0], 1U << 11));
  }
}

static void test_nothing_to_cut(void **state) {
  (void)state;
  order();
  assert_int_equal(bench.plan.cut_count, 0);
  assert_int_equal(bench.plan.fence_settings, 0);
  add_layout(MM(1000), MM(100), 4); /* one piece fills the stock */
  order();
  assert_int_equal(bench.plan.cut_count, 0);
}

/* ---- random layouts ---- */

static uint64_t random_state;

static uint64_t random_below(uint64_t limit) {
  random_state = random_state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (random_state >> 33) % limit;
}

static length_t random_size(void) {
  static const int sizes[] = {30, 40, 40, 60, 60, 90, 150};
  return MM(sizes[random_below(7)]);
}

/* Fills `sizes` so that they take up the whole extent; returns how many. *shift moves the
 * first so that its kerf may stick out at the low end. */
static size_t random_division(length_t extent, length_t kerf, length_t *sizes, length_t *shift) {
  size_t count = 0;
  length_t at = 0;
  *shift = 0;
  if (random_below(4) == 0) {
    length_t trim = (length_t)random_below(2 * (uint64_t)kerf) + 1;
    *shift = trim < kerf ? trim - kerf : 0;
    sizes[count++] = trim > kerf ? -(trim - kerf) : 0;
    at = trim;
  }
  size_t first = count;
  for (length_t size = random_size(); count < MOST_CHILDREN - 2 && at + size <= extent;
       size = random_size()) {
    sizes[count++] = random_below(6) == 0 ? -size : size;
    at += size + kerf;
  }
  length_t left = extent - at;
  if (count == first) {
    sizes[count++] = left;
  } else if (left > -kerf) {
    sizes[count++] = left > 0 ? -left : 0;
  }
  return count;
}

static void random_tree(struct node *node, int depth) {
  if (node->length <= 0 || node->width <= 0 || node->kind == NODE_WASTE) return;
  if (depth == 0 || (depth < 4 && random_below(4) == 0)) return;
  bool rip = random_below(2) == 0;
  const struct shop *shop = &bench.project.shop;
  length_t extent = rip ? node->width : node->length;
  length_t sizes[MOST_CHILDREN];
  length_t shift;
  size_t count = random_division(extent, rip ? shop->kerf_rip : shop->kerf_crosscut, sizes, &shift);
  for (size_t i = 0; i < count; i++)
    if (sizes[i] == 0 && i > 0 && i + 1 < count) return;
  divide(node, rip ? NODE_RIP : NODE_CROSSCUT, shift, sizes, count);
  for (size_t i = 0; i < count; i++) random_tree(&node->children[i], depth - 1);
}

struct rectangle {
  length_t x, y, length, width;
};

/* What lies on the saw of one copy. */
struct heap {
  struct rectangle *items;
  size_t count, room;
};

static void put_rectangle(struct heap *heap, struct rectangle rect) {
  if (rect.length > 0 && rect.width > 0)
    *ARENA_PUSH(bench.arena, heap->items, heap->count, heap->room) = rect;
}

static size_t find_rectangle(const struct heap *heap, struct rectangle rect) {
  for (size_t i = 0; i < heap->count; i++)
    if (memcmp(&heap->items[i], &rect, sizeof rect) == 0) return i;
  fail_msg("no such rectangle: %lld %lld %lld %lld", (long long)rect.x, (long long)rect.y,
           (long long)rect.length, (long long)rect.width);
  return 0;
}

static void take_rectangle(struct heap *heap, struct rectangle rect) {
  heap->items[find_rectangle(heap, rect)] = heap->items[heap->count - 1];
  heap->count--;
}

static void perform(struct heap *heap, const struct cut *cut) {
  struct rectangle piece = {cut->piece_x, cut->piece_y, cut->piece_length, cut->piece_width};
  take_rectangle(heap, piece);
  length_t from = cut->rip ? piece.y : piece.x;
  length_t to = from + (cut->rip ? piece.width : piece.length);
  length_t at = cut->rip ? cut->y : cut->x;
  length_t kerf = cut->rip ? bench.project.shop.kerf_rip : bench.project.shop.kerf_crosscut;
  assert_int_equal(cut->kerf, kerf);
  assert_int_equal(cut->rip ? cut->x : cut->y, cut->rip ? piece.x : piece.y);
  assert_int_equal(cut->span, cut->rip ? piece.length : piece.width);
  assert_true(at + kerf > from && at < to); /* the blade meets wood */
  length_t low = at > from ? at - from : 0;
  length_t high = to > at + kerf ? to - at - kerf : 0;
  assert_int_equal(cut->keep, cut->keep_high ? high : low);
  assert_true(cut->keep > 0);
  struct rectangle parts[2] = {piece, piece};
  if (cut->rip) {
    parts[0].width = low;
    parts[1].width = high;
    parts[1].y = at + kerf;
  } else {
    parts[0].length = low;
    parts[1].length = high;
    parts[1].x = at + kerf;
  }
  put_rectangle(heap, parts[0]);
  put_rectangle(heap, parts[1]);
}

/* Takes every leaf of the tree out of the heap. */
static void take_leaves(struct heap *heap, const struct node *node) {
  if (node->length <= 0 || node->width <= 0) return;
  if (node->kind == NODE_PIECE || node->kind == NODE_WASTE) {
    struct rectangle leaf = {node->x, node->y, node->length, node->width};
    take_rectangle(heap, leaf);
  }
  for (size_t i = 0; i < node->child_count; i++) take_leaves(heap, &node->children[i]);
}

static void check_numbers(void) {
  int64_t settings = 0;
  for (size_t i = 0; i < bench.plan.cut_count; i++) {
    const struct cut *cut = &bench.plan.cuts[i];
    assert_int_equal(cut->step, i + 1);
    if (i == 0 || cut->rip != cut[-1].rip || cut->keep != cut[-1].keep) settings++;
    assert_int_equal(cut->fence_setting, settings);
  }
  assert_int_equal(bench.plan.fence_settings, settings);
}

static void check_by_cutting(void) {
  size_t done = 0;
  for (size_t l = 0; l < bench.plan.layout_count; l++) {
    const struct layout *layout = &bench.plan.layouts[l];
    const struct node *root = &layout->root;
    for (int64_t copy = 1; copy <= layout->times; copy++) {
      struct heap heap = {0};
      put_rectangle(&heap, (struct rectangle){root->x, root->y, root->length, root->width});
      for (size_t i = 0; i < bench.plan.cut_count; i++) {
        const struct cut *cut = &bench.plan.cuts[i];
        if (cut->layout != l || cut->copy != copy) continue;
        perform(&heap, cut);
        done++;
      }
      take_leaves(&heap, root);
      assert_int_equal(heap.count, 0);
    }
  }
  assert_int_equal(done, bench.plan.cut_count);
}

static void test_random_layouts_come_out_as_drawn(void **state) {
  size_t cuts = 0;
  for (uint64_t round = 0; round < 400; round++) {
    random_state = round * 7919 + 17;
    size_t layouts = 1 + (size_t)random_below(4);
    bench.project.shop.rip_capacity = MM(100 + (int)random_below(300));
    bench.project.shop.crosscut_capacity = MM(50 + (int)random_below(300));
    for (size_t l = 0; l < layouts; l++) {
      struct node *root = add_layout(MM(300 + (int)random_below(500)),
                                     MM(80 + (int)random_below(300)), 1 + (int64_t)random_below(3));
      if (random_below(2) == 0) bench.stocks[l].wood = "oak";
      if (random_below(3) == 0) bench.stocks[l].kind = STOCK_SHEET;
      random_tree(root, 5);
    }
    order();
    check_numbers();
    check_by_cutting();
    cuts += bench.plan.cut_count;
    tear_down(state);
    set_up(state);
  }
  assert_true(cuts > 10000);
}

static void test_the_same_layouts_give_the_same_order(void **state) {
  (void)state;
  random_state = 5;
  for (size_t l = 0; l < 4; l++) random_tree(add_layout(MM(900), MM(300), 2), 5);
  const struct cut *first = order();
  size_t count = bench.plan.cut_count;
  const struct cut *second = order();
  assert_true(count > 50);
  assert_int_equal(bench.plan.cut_count, count);
  for (size_t i = 0; i < count; i++) {
    assert_int_equal(first[i].layout, second[i].layout);
    assert_int_equal(first[i].copy, second[i].copy);
    assert_int_equal(first[i].x, second[i].x);
    assert_int_equal(first[i].y, second[i].y);
    assert_int_equal(first[i].fence_setting, second[i].fence_setting);
  }
}

#define CASE(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
  const struct CMUnitTest tests[] = {
      CASE(test_strips_of_one_width_need_one_setting),
      CASE(test_waste_at_the_low_end_is_left_over),
      CASE(test_a_rarer_piece_is_left_between_equal_ones),
      CASE(test_trims),
      CASE(test_trim_thinner_than_the_kerf),
      CASE(test_a_setting_waits_for_the_rest_of_its_cuts),
      CASE(test_copies_share_settings),
      CASE(test_woods_and_thicknesses_stay_together),
      CASE(test_the_side_within_the_fence_is_kept),
      CASE(test_a_strip_too_wide_for_the_fence_is_left_over),
      CASE(test_the_narrower_side_is_within_the_fence),
      CASE(test_a_thin_trim_is_not_run_on_the_fence),
      CASE(test_wide_sheets_are_crosscut_on_the_rip_fence),
      CASE(test_a_cut_beside_the_wood_is_not_made),
      CASE(test_over_capacity_on_both_sides),
      CASE(test_flaw_waste_between_pieces),
      CASE(test_rip_cautions),
      CASE(test_crosscut_cautions),
      CASE(test_thin_stock_and_blade_height),
      CASE(test_rough_edges),
      CASE(test_large_sheets),
      CASE(test_texts_give_the_numbers),
      CASE(test_every_caution_has_its_own_name),
      CASE(test_nothing_to_cut),
      CASE(test_random_layouts_come_out_as_drawn),
      CASE(test_the_same_layouts_give_the_same_order),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
