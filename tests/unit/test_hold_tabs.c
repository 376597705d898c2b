/* Tabs against hand arithmetic on the demos' parts (plausibility, no outside source), and against
 * a second look at random loads that only knows what a tab must have around it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "hold/tabs.h"
#include "nest/random.h"

enum { MOST = 12 };

struct bench {
  struct arena *arena;
  struct project project;
  struct part parts[MOST];
  struct held_part held[MOST];
  struct held_clamp clamps[MOST];
  struct tab_bad bad[MOST];
  struct tab_work work;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  bench.project.parts = bench.parts;
  shop_set_defaults(bench.arena, &bench.project.shop, UNIT_MM);
  bench.project.shop.tab_width = MM(6);
  bench.project.shop.tab_height = MM(2);
  bench.project.shop.tab_spacing = MM(120);
  bench.project.shop.tab_corner = MM(15);
  bench.work = (struct tab_work){.project = &bench.project,
                                 .cutter_diameter = MM(3),
                                 .parts = bench.held,
                                 .clamps = bench.clamps,
                                 .bad = bench.bad};
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

/* A part of its own kind, lying at (x, y) with its length along x. */
static struct held_part *lay(length_t x, length_t y, length_t length, length_t width,
                             enum shape shape) {
  struct part *part = &bench.parts[bench.project.part_count];
  *part = (struct part){.name = "part",
                        .length = length,
                        .width = width,
                        .thickness = MM(5),
                        .shape = shape,
                        .tabs = -1};
  struct held_part *held = &bench.held[bench.work.part_count++];
  *held = (struct held_part){
      .part = bench.project.part_count++, .x = x, .y = y, .length = length, .width = width};
  return held;
}

static void load_of(length_t length, length_t width) {
  bench.work.load_length = length;
  bench.work.load_width = width;
}

static struct tab_result place(size_t index) {
  return tabs_place(bench.arena, &bench.work, index, &bench.held[index]);
}

static size_t on_side(const struct held_part *part, enum bed_side side) {
  size_t count = 0;
  for (size_t i = 0; i < part->tab_count; i++)
    if (part->tabs[i].side == side) count++;
  return count;
}

/* Demo: board 624 of outline, lid 344, spacer 148 with 2 given, coaster 276.46. */
static void how_many(void **state) {
  (void)state;
  const struct shop *shop = &bench.project.shop;
  struct part part = {.length = MM(240), .width = MM(72), .tabs = -1};
  assert_int_equal(tabs_wanted(shop, &part), 6);
  part = (struct part){.length = MM(138), .width = MM(34), .tabs = -1};
  assert_int_equal(tabs_wanted(shop, &part), 3);
  part = (struct part){.length = MM(60), .width = MM(14), .tabs = -1};
  assert_int_equal(tabs_wanted(shop, &part), 2);
  part = (struct part){.length = MM(88), .width = MM(88), .shape = SHAPE_ROUND, .tabs = -1};
  assert_int_equal(tabs_wanted(shop, &part), 3);
  part.tabs = 4;
  assert_int_equal(tabs_wanted(shop, &part), 4);
  part.tabs = 0;
  assert_int_equal(tabs_wanted(shop, &part), 0);
}

static void how_high(void **state) {
  (void)state;
  const struct shop *shop = &bench.project.shop;
  assert_int_equal(tabs_height(shop, MM(5)), MM(2));
  assert_int_equal(tabs_height(shop, MM(18)), MM(45) / 10); /* a quarter */
  assert_int_equal(tabs_height(shop, MM(3)), MM(15) / 10);  /* half */
  assert_int_equal(tabs_height(shop, MM(2)), MM(12) / 10);  /* over half: 1.2 all the same */
  assert_int_equal(tabs_height(shop, MM(1)), MM(1));
}

/* Three tabs of a lid: two on one long side at a quarter and three quarters, one on the other
 * in its middle. */
static void lid(void **state) {
  (void)state;
  load_of(MM(160), MM(56));
  const struct held_part *part = lay(MM(11), MM(11), MM(138), MM(34), SHAPE_RECTANGLE);
  struct tab_result result = place(0);
  assert_int_equal(result.made, 3);
  assert_true(result.opposite);
  assert_int_equal(part->tab_count, 3);
  assert_int_equal(part->tabs[0].x, MM(11) + MM(138) / 4);
  assert_int_equal(part->tabs[0].y, MM(11));
  assert_int_equal(part->tabs[1].x, MM(11) + MM(138) * 3 / 4);
  assert_int_equal(part->tabs[2].x, MM(11) + MM(69));
  assert_int_equal(part->tabs[2].y, MM(45));
  assert_int_equal(part->tabs[2].side, BED_BACK);
}

/* The grain lies along y: the tabs stand on the short sides while these have room. */
static void grain_decides(void **state) {
  (void)state;
  load_of(MM(160), MM(76));
  bench.work.grain = LOAD_GRAIN_Y;
  const struct held_part *part = lay(MM(11), MM(11), MM(138), MM(54), SHAPE_RECTANGLE);
  (void)place(0); /* ceil(384 / 120) = 4; 54 - 2 x 18 = 18 of room, 15 apart: two a side */
  assert_int_equal(on_side(part, BED_LEFT), 2);
  assert_int_equal(on_side(part, BED_RIGHT), 2);
  bench.work.grain = LOAD_GRAIN_NONE;
  (void)place(0);
  assert_int_equal(on_side(part, BED_FRONT), 2);
  assert_int_equal(on_side(part, BED_BACK), 2);
}

/* 14 mm has no place 15 off both corners; a rim of 8.9 is no 3 + 6. */
static void no_room(void **state) {
  (void)state;
  load_of(MM(82), MM(36));
  struct held_part *part = lay(MM(11), MM(11), MM(60), MM(14), SHAPE_RECTANGLE);
  bench.parts[0].tabs = 20;
  struct tab_result result = place(0);
  assert_int_equal(result.wanted, 20);
  assert_int_equal(result.made, 4); /* 60 - 36 = 24 of room, 15 apart: 2 a side */
  part->y = MM(89) / 10;
  result = place(0);
  assert_int_equal(result.made, 2);
  assert_int_equal(on_side(part, BED_BACK), 2);
  assert_false(result.opposite);
  part->y = MM(9);
  assert_int_equal(place(0).made, 4);
}

/* Where a long side has no rim, one tab on each end comes before all else. */
static void opposite_first(void **state) {
  (void)state;
  load_of(MM(160), MM(90));
  const struct held_part *part = lay(MM(11), MM(2), MM(138), MM(60), SHAPE_RECTANGLE);
  bench.parts[0].tabs = 4;
  struct tab_result result = place(0);
  assert_true(result.opposite);
  assert_int_equal(on_side(part, BED_LEFT), 1);
  assert_int_equal(on_side(part, BED_RIGHT), 1);
  assert_int_equal(on_side(part, BED_BACK), 2);
}

/* Between neighbours there must be 2 x 3 + 6: at 12 there is, at 11.9 not. */
static void web(void **state) {
  (void)state;
  load_of(MM(160), MM(200));
  struct held_part *low = lay(MM(11), MM(11), MM(138), MM(34), SHAPE_RECTANGLE);
  struct held_part *high = lay(MM(11), MM(57), MM(138), MM(34), SHAPE_RECTANGLE);
  (void)place(0);
  assert_int_equal(on_side(low, BED_BACK), 1);
  (void)place(1);
  assert_int_equal(on_side(high, BED_FRONT), 2);
  high->y -= MM(1) / 10;
  (void)place(0);
  assert_int_equal(on_side(low, BED_BACK), 0);
  assert_int_equal(on_side(low, BED_FRONT), 3); /* the ends, 34 < 2 x 18, have no place */
}

/* A clamp on the strip, a flaw in the rim: the tab moves aside. */
static void moves_aside(void **state) {
  (void)state;
  load_of(MM(160), MM(56));
  const struct held_part *part = lay(MM(11), MM(11), MM(138), MM(34), SHAPE_RECTANGLE);
  bench.parts[0].tabs = 2;
  bench.work.clamp_count = 1; /* 70 .. 95 in front, over the strip by 1 mm */
  bench.clamps[0] = (struct held_clamp){
      .side = BED_FRONT, .x = MM(70), .y = -MM(16), .length = MM(25), .width = MM(25)};
  bench.work.bad_count = 1; /* 60 .. 100 at the back, 2 mm into the wood beyond */
  bench.bad[0] = (struct tab_bad){.x = MM(60), .y = MM(52), .length = MM(40), .width = MM(9)};
  struct tab_result result = place(0);
  assert_int_equal(result.made, 2);
  assert_int_equal(part->tabs[0].x, MM(67)); /* wished at 80; 70 - 3 is nearer than 95 + 3 */
  assert_int_equal(part->tabs[1].x, MM(57));
  bench.clamps[0].width = MM(24); /* touches the strip's far side */
  (void)place(0);
  assert_int_equal(part->tabs[0].x, MM(80));
}

/* Demo coaster: four on a round, a quarter turn apart, the first on the side with the grain. */
static void coaster(void **state) {
  (void)state;
  load_of(MM(110), MM(110));
  const struct held_part *part = lay(MM(11), MM(11), MM(88), MM(88), SHAPE_ROUND);
  bench.parts[0].tabs = 4;
  struct tab_result result = place(0);
  assert_int_equal(result.made, 4);
  assert_true(result.opposite);
  assert_int_equal(part->tabs[0].x, MM(55));
  assert_int_equal(part->tabs[0].y, MM(99));
  assert_int_equal(part->tabs[0].side, BED_BACK);
  assert_int_equal(part->tabs[1].x, MM(11));
  assert_int_equal(part->tabs[2].y, MM(11));
  assert_int_equal(part->tabs[3].x, MM(99));
}

/* No rim on any side: the round turns its tabs towards the corners. */
static void round_turns(void **state) {
  (void)state;
  load_of(MM(94), MM(94));
  const struct held_part *part = lay(MM(3), MM(3), MM(88), MM(88), SHAPE_ROUND);
  bench.parts[0].tabs = 4;
  struct tab_result result = place(0);
  assert_int_equal(result.made, 4);
  for (size_t i = 0; i < 4; i++) {
    double x = (double)(part->tabs[i].x - MM(47)), y = (double)(part->tabs[i].y - MM(47));
    assert_true(fabs(hypot(x, y) - MM(44)) < 2);
    assert_true(fabs(x) > MM(20) && fabs(y) > MM(20));
  }
  load_of(MM(60), MM(94)); /* half of it is over the edge */
  result = place(0);
  assert_true(result.made >= 1);
  assert_false(result.opposite);
}

/* Demo: six coasters 12 apart in a load of 330 x 210, hold-downs on its ends. */
static void six_coasters(void **state) {
  (void)state;
  load_of(MM(330), MM(210));
  for (int i = 0; i < 6; i++) {
    (void)lay(MM(21 + 100 * (i % 3)), MM(11 + 100 * (i / 3)), MM(88), MM(88), SHAPE_ROUND);
    bench.parts[i].tabs = 4;
  }
  bench.work.clamp_count = 2;
  bench.clamps[0] = (struct held_clamp){
      .side = BED_LEFT, .x = -MM(25), .y = MM(92), .length = MM(40), .width = MM(25)};
  bench.clamps[1] = (struct held_clamp){
      .side = BED_RIGHT, .x = MM(315), .y = MM(92), .length = MM(40), .width = MM(25)};
  for (size_t i = 0; i < 6; i++) {
    struct tab_result result = place(i);
    assert_int_equal(result.made, 4);
    assert_true(result.opposite);
  }
}

/* Demo: two lids and four spacers 12 apart in a load of 262 x 114. */
static void maple_load(void **state) {
  (void)state;
  load_of(MM(262), MM(114));
  for (int i = 0; i < 2; i++) (void)lay(MM(26), MM(11 + 46 * i), MM(138), MM(34), SHAPE_RECTANGLE);
  for (int i = 0; i < 4; i++) {
    (void)lay(MM(176), MM(11 + 26 * i), MM(60), MM(14), SHAPE_RECTANGLE);
    bench.parts[2 + i].tabs = 2;
  }
  for (size_t i = 0; i < 6; i++) {
    struct tab_result result = place(i);
    assert_int_equal(result.made, i < 2 ? 3 : 2);
    assert_true(result.opposite);
    assert_true(on_side(&bench.held[i], BED_FRONT) > 0 && on_side(&bench.held[i], BED_BACK) > 0);
  }
}

/* The wood a tab needs: across the cut and tab_width beyond, sampled. */
struct look {
  double x, y, u, v;
};

static bool in_disc(const struct held_part *part, double x, double y, double grown) {
  double radius = (double)part->length / 2;
  return hypot(x - (double)part->x - radius, y - (double)part->y - radius) < radius + grown;
}

static bool in_box(length_t x, length_t y, length_t length, length_t width, double grown,
                   double at_x, double at_y) {
  return at_x > (double)x - grown && at_x < (double)(x + length) + grown &&
         at_y > (double)y - grown && at_y < (double)(y + width) + grown;
}

static bool cut_away(size_t index, double x, double y) {
  double path = (double)bench.work.cutter_diameter - 2; /* 2: places are rounded */
  for (size_t i = 0; i < bench.work.part_count; i++) {
    const struct held_part *part = &bench.held[i];
    if (i == index) continue;
    if (bench.parts[part->part].shape == SHAPE_ROUND
            ? in_disc(part, x, y, path)
            : in_box(part->x, part->y, part->length, part->width, path, x, y))
      return true;
  }
  return !in_box(0, 0, bench.work.load_length, bench.work.load_width, 2, x, y);
}

static void expect_wood(size_t index, const struct look *look) {
  double width = (double)bench.project.shop.tab_width;
  double path = (double)bench.work.cutter_diameter;
  for (int i = 0; i <= 8; i++) {
    for (int j = 0; j <= 8; j++) {
      double along = width * (i - 4) / 8, out = (path + width) * j / 8;
      double x = look->x + out * look->u - along * look->v;
      double y = look->y + out * look->v + along * look->u;
      assert_false(cut_away(index, x, y));
      if (out > path) continue;
      for (size_t c = 0; c < bench.work.clamp_count; c++) {
        const struct held_clamp *clamp = &bench.clamps[c];
        assert_false(in_box(clamp->x, clamp->y, clamp->length, clamp->width, -2, x, y));
      }
    }
  }
}

static struct look look_at(const struct held_part *part, const struct tab *tab) {
  static const double u[BED_SIDES] = {-1, 1, 0, 0}, v[BED_SIDES] = {0, 0, -1, 1};
  struct look look = {(double)tab->x, (double)tab->y, u[tab->side], v[tab->side]};
  if (bench.parts[part->part].shape == SHAPE_ROUND) {
    double radius = (double)part->length / 2;
    look.u = (look.x - (double)part->x - radius) / radius;
    look.v = (look.y - (double)part->y - radius) / radius;
  }
  return look;
}

static void expect_tabs(size_t index, const struct tab_result *result) {
  const struct held_part *part = &bench.held[index];
  assert_int_equal(part->tab_count, result->made);
  assert_true(result->made <= result->wanted);
  double pitch = (double)tabs_pitch(&bench.project.shop, bench.work.cutter_diameter);
  for (size_t i = 0; i < part->tab_count; i++) {
    struct look look = look_at(part, &part->tabs[i]);
    expect_wood(index, &look);
    for (size_t j = 0; j < i; j++) {
      if (part->tabs[j].side != part->tabs[i].side) continue;
      double away = hypot((double)(part->tabs[j].x - part->tabs[i].x),
                          (double)(part->tabs[j].y - part->tabs[i].y));
      assert_true(away > pitch - 3);
    }
  }
}

static length_t draw(uint64_t *state, int from, int to) {
  return MM(from) + (length_t)(random_draw(state) % (uint64_t)(MM(to - from) + 1));
}

static void random_loads(void **state) {
  (void)state;
  uint64_t seed = 1;
  int64_t made = 0, lacking = 0;
  for (int run = 0; run < 2000; run++) {
    bench.project.part_count = bench.work.part_count = 0;
    load_of(draw(&seed, 150, 380), draw(&seed, 100, 260));
    bench.work.grain = (enum load_grain)(random_draw(&seed) % 3);
    bench.work.clamp_count = random_draw(&seed) % 4;
    for (size_t i = 0; i < bench.work.clamp_count; i++)
      bench.clamps[i] = (struct held_clamp){.x = draw(&seed, -20, 300),
                                            .y = draw(&seed, -20, 240),
                                            .length = draw(&seed, 10, 40),
                                            .width = draw(&seed, 10, 40)};
    for (int column = 0; column < 2; column++) {
      for (int row = 0; row < 2; row++) {
        bool round = random_draw(&seed) % 3 == 0;
        length_t size = draw(&seed, 20, 80);
        (void)lay(MM(10 + 85 * column) + draw(&seed, 0, 10), MM(10 + 85 * row), size,
                  round ? size : draw(&seed, 10, 80), round ? SHAPE_ROUND : SHAPE_RECTANGLE);
        if (random_draw(&seed) % 2 == 0)
          bench.parts[bench.project.part_count - 1].tabs = (int64_t)(random_draw(&seed) % 9);
      }
    }
    for (size_t i = 0; i < bench.work.part_count; i++) {
      struct tab_result result = place(i);
      expect_tabs(i, &result);
      made += result.made;
      lacking += result.wanted - result.made;
    }
  }
  assert_true(made > 4000 && lacking > 1000); /* both kinds came up */
}

int main(void) {
  const struct CMUnitTest tests[] = {
#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
      BENCH_TEST(how_many),      BENCH_TEST(how_high),     BENCH_TEST(lid),
      BENCH_TEST(grain_decides), BENCH_TEST(no_room),      BENCH_TEST(opposite_first),
      BENCH_TEST(web),           BENCH_TEST(moves_aside),  BENCH_TEST(coaster),
      BENCH_TEST(round_turns),   BENCH_TEST(random_loads), BENCH_TEST(six_coasters),
      BENCH_TEST(maple_load),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
