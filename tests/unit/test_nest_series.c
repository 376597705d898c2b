/* Rows of parts against every row there is. */
#include "nest/series.h"
#include "nest_fixture.h"

enum { MOST_SIZES = 3, MOST_EXTENT = 30 };

struct row {
  struct raster *raster;
  struct series_sizes *sizes;
  struct series series;
  length_t size[MOST_SIZES];
  size_t count;
  cost_t part[MOST_SIZES];
  cost_t cut_cost;
  length_t kerf;
};

static struct row random_row(struct arena *arena) {
  struct row row = {.count = (size_t)random_between(1, MOST_SIZES),
                    .cut_cost = random_between(0, 4),
                    .kerf = random_between(0, 2)};
  for (size_t s = 0; s < row.count; s++) row.size[s] = random_between(2, MOST_EXTENT);
  row.count = length_sort_unique(row.size, row.count);
  row.raster =
      raster_create(arena, row.size, row.count, random_between(4, MOST_EXTENT), row.kerf, false);
  row.sizes = series_sizes_create(arena, row.raster, row.size, row.count);
  row.series = series_create(arena, row.raster);
  for (size_t s = 0; s < row.count; s++)
    row.part[s] = random_chance(1, 5) ? COST_NEVER : random_between(-2, 20);
  return row;
}

/* The most of any row of parts with exactly this grown extent, one cut a part; COST_NEVER
 * when there is none. */
static cost_t exact_best(const struct row *row, length_t grown) {
  if (grown == 0) return 0;
  cost_t best = COST_NEVER;
  for (size_t s = 0; s < row->count; s++) {
    length_t own = row->size[s] + row->kerf;
    if (row->part[s] <= COST_NEVER || own > grown) continue;
    cost_t before = exact_best(row, grown - own);
    if (before <= COST_NEVER) continue;
    if (before + row->part[s] - row->cut_cost > best) best = before + row->part[s] - row->cut_cost;
  }
  return best;
}

static void sizes_step_back(struct arena *arena) {
  random_start(11);
  for (int round = 0; round < 100; round++) {
    struct row row = random_row(arena);
    assert_int_equal(row.sizes->count, row.count);
    for (size_t s = 0; s < row.count; s++) {
      assert_int_equal(row.sizes->size[s], row.size[s]);
      for (size_t i = 0; i < row.raster->count; i++) {
        uint32_t back = row.sizes->back[s * row.raster->count + i];
        size_t before = 0;
        if (raster_find(row.raster, row.raster->point[i] - row.size[s] - row.kerf, &before))
          assert_int_equal(back, before);
        else
          assert_int_equal(back, SERIES_NONE);
      }
    }
  }
}

static void fillings_are_worth_most(struct arena *arena) {
  random_start(12);
  for (int round = 0; round < 300; round++) {
    struct row row = random_row(arena);
    int64_t steps =
        series_fill(&row.series, row.sizes, row.part, row.cut_cost, row.raster->count - 1);
    assert_true(steps > 0);
    cost_t top = COST_NEVER;
    for (size_t i = 0; i < row.raster->count; i++) {
      cost_t best = exact_best(&row, row.raster->point[i]);
      assert_int_equal(row.series.worth[i], best);
      if (best > top) top = best;
      assert_true(row.series.top[i] <= i);
      assert_int_equal(row.series.worth[row.series.top[i]], top);
      if (i == 0 || best <= COST_NEVER) continue;
      uint32_t last = row.series.last[i];
      assert_true(last < row.count);
      uint32_t before = row.sizes->back[last * row.raster->count + i];
      assert_true(before != SERIES_NONE);
      assert_int_equal(row.series.worth[before] + row.part[last] - row.cut_cost, best);
    }
  }
}

static void filled_up_to_a_limit(struct arena *arena) {
  random_start(13);
  for (int round = 0; round < 100; round++) {
    struct row row = random_row(arena);
    size_t limit = row.raster->count / 2;
    for (size_t i = 0; i < row.raster->count; i++) row.series.worth[i] = 77;
    series_fill(&row.series, row.sizes, row.part, row.cut_cost, limit);
    for (size_t i = 0; i < row.raster->count; i++)
      assert_int_equal(row.series.worth[i],
                       i <= limit ? exact_best(&row, row.raster->point[i]) : 77);
  }
}

/* The most of any row within the room; parts that end with it save their last cut. */
static cost_t room_best(const struct row *row, length_t room) {
  cost_t best = 0;
  for (length_t grown = 1; grown <= room; grown++) {
    cost_t exact = exact_best(row, grown);
    if (exact > COST_NEVER && grown == room) exact += row->cut_cost;
    if (exact > best) best = exact;
  }
  return best;
}

static void rows_end_where_they_are_worth_most(struct arena *arena) {
  random_start(14);
  for (int round = 0; round < 200; round++) {
    struct row row = random_row(arena);
    series_fill(&row.series, row.sizes, row.part, row.cut_cost, row.raster->count - 1);
    for (length_t room = 1; room <= row.raster->whole; room++) {
      cost_t worth = -99;
      size_t end = series_end(&row.series, row.raster, room, row.cut_cost, &worth);
      assert_int_equal(worth, room_best(&row, room));
      assert_true(row.raster->point[end] <= room);
      bool saved = row.raster->point[end] == room && end > 0;
      assert_int_equal(row.series.worth[end] + (saved ? row.cut_cost : 0), worth);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(sizes_step_back),
      ARENA_TEST(fillings_are_worth_most),
      ARENA_TEST(filled_up_to_a_limit),
      ARENA_TEST(rows_end_where_they_are_worth_most),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
