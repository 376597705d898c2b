/* Raster points against sums worked out one by one. */
#include "nest/raster.h"
#include "nest_fixture.h"

enum { MOST_SIZES = 4, MOST_EXTENT = 60 };

struct small {
  length_t size[MOST_SIZES];
  size_t count;
  length_t extent, kerf;
};

static struct small random_small(void) {
  struct small small = {.count = (size_t)random_between(1, MOST_SIZES),
                        .extent = random_between(1, MOST_EXTENT),
                        .kerf = random_between(0, 3)};
  for (size_t s = 0; s < small.count; s++) small.size[s] = random_between(1, MOST_EXTENT);
  return small;
}

/* reached[g]: some parts have grown sizes that sum to g. */
static void reach(const struct small *small, bool *reached) {
  length_t whole = small->extent + small->kerf;
  for (length_t g = 0; g <= whole; g++) {
    reached[g] = g == 0;
    for (size_t s = 0; s < small->count; s++) {
      length_t grown = small->size[s] + small->kerf;
      if (grown <= g && reached[g - grown]) reached[g] = true;
    }
  }
}

/* Too many units for a table of them all: by the sums themselves, up to the whole extent. */
static void sums_of_fine_sizes(struct arena *arena) {
  static const length_t size[] = {500002, 300001}, sums[] = {0, 300001, 500002, 600002, 800003};
  struct raster *raster = raster_create(arena, size, 2, 800003, 0, false);
  assert_int_equal(raster->unit, 1);
  assert_int_equal(raster->count, 5);
  for (size_t i = 0; i < 5; i++) assert_int_equal(raster->point[i], sums[i]);
  assert_int_equal(raster_floor(raster, 800002), 3);
}

static void all_sums_and_no_others(struct arena *arena) {
  random_start(1);
  for (int round = 0; round < 500; round++) {
    struct small small = random_small();
    bool reached[MOST_EXTENT + 4];
    reach(&small, reached);
    struct raster *raster =
        raster_create(arena, small.size, small.count, small.extent, small.kerf, false);
    size_t at = 0;
    assert_int_equal(raster->kerf, small.kerf);
    assert_int_equal(raster->whole, small.extent + small.kerf);
    for (length_t g = 0; g <= small.extent + small.kerf; g++) {
      if (!reached[g]) continue;
      assert_true(at < raster->count);
      assert_int_equal(raster->point[at++], g);
    }
    assert_int_equal(at, raster->count);
  }
}

/* floor, find and rest against a search from the low end. */
static void check_look_up(const struct raster *raster, length_t grown) {
  size_t low = 0;
  while (low + 1 < raster->count && raster->point[low + 1] <= grown) low++;
  assert_int_equal(raster_floor(raster, grown), low);
  size_t index = SIZE_MAX;
  assert_int_equal(raster_find(raster, grown, &index), raster->point[low] == grown);
  if (raster->point[low] == grown) assert_int_equal(index, low);
}

static void check_rests(const struct raster *raster) {
  for (size_t whole = 0; whole < raster->count; whole++)
    for (size_t part = 0; part <= whole; part++)
      assert_int_equal(raster_rest(raster, whole, part),
                       raster_floor(raster, raster->point[whole] - raster->point[part]));
}

static void points_are_found_again(struct arena *arena) {
  random_start(2);
  for (int round = 0; round < 200; round++) {
    struct small small = random_small();
    struct raster *raster = raster_create(arena, small.size, small.count, small.extent, small.kerf,
                                          random_chance(1, 2));
    for (length_t g = 0; g <= raster->whole; g++) check_look_up(raster, g);
    check_rests(raster);
    size_t index = 0;
    assert_false(raster_find(raster, -1, &index));
  }
}

/* Extents of a real plank in 1/8000 mm, sizes without a common divisor: too fine a grid for a
 * lookup table. */
static void odd_sizes_are_looked_up_by_bisection(struct arena *arena) {
  length_t size[] = {MM(268) + 1, MM(431) + 2, MM(500) + 7};
  length_t extent = MM(2400) + 5;
  length_t kerf = MM(3) + 1;
  struct raster *raster = raster_create(arena, size, 3, extent, kerf, false);
  assert_null(raster->floor_index);
  length_t sums[1000];
  size_t count = 0;
  for (length_t a = 0; a <= 9; a++)
    for (length_t b = 0; b <= 6; b++)
      for (length_t c = 0; c <= 5; c++) {
        length_t sum = a * (size[0] + kerf) + b * (size[1] + kerf) + c * (size[2] + kerf);
        if (sum <= extent + kerf) sums[count++] = sum;
      }
  count = length_sort_unique(sums, count);
  assert_true(count > 60);
  assert_int_equal(raster->count, count);
  for (size_t i = 0; i < count; i++) {
    assert_int_equal(raster->point[i], sums[i]);
    check_look_up(raster, sums[i]);
    check_look_up(raster, sums[i] + 1);
    if (sums[i] > 0) check_look_up(raster, sums[i] - 1);
  }
  check_rests(raster);
}

/* A grid just fine enough for a table and one just too fine give the same points. */
static void table_and_bisection_agree(struct arena *arena) {
  random_start(3);
  for (int round = 0; round < 20; round++) {
    struct small small = random_small();
    length_t size[MOST_SIZES];
    length_t scale = 60013;
    for (size_t s = 0; s < small.count; s++) size[s] = small.size[s] * scale;
    length_t kerf = small.kerf * scale;
    struct raster *coarse =
        raster_create(arena, small.size, small.count, small.extent, small.kerf, false);
    struct raster *fine =
        raster_create(arena, size, small.count, small.extent * scale, kerf, false);
    assert_int_equal(fine->count, coarse->count);
    for (size_t i = 0; i < fine->count; i++)
      assert_int_equal(fine->point[i], coarse->point[i] * scale);
    check_rests(fine);
  }
}

/* The most parts worth value[s] each can be worth in the whole, by splits between points. */
static int64_t best_of_points(struct arena *arena, const struct raster *raster,
                              const struct small *small, const int64_t *value) {
  int64_t *best = ARENA_ARRAY(arena, raster->count, int64_t);
  for (size_t i = 0; i < raster->count; i++) {
    for (size_t s = 0; s < small->count; s++)
      if (small->size[s] + small->kerf <= raster->point[i] && value[s] > best[i])
        best[i] = value[s];
    for (size_t part = 1; part < i; part++) {
      int64_t sum = best[part] + best[raster_rest(raster, i, part)];
      if (sum > best[i]) best[i] = sum;
    }
  }
  return best[raster->count - 1];
}

static int64_t best_of_sums(const struct small *small, const int64_t *value) {
  int64_t best[MOST_EXTENT + 4] = {0};
  for (length_t g = 1; g <= small->extent + small->kerf; g++)
    for (size_t s = 0; s < small->count; s++) {
      length_t grown = small->size[s] + small->kerf;
      if (grown <= g && best[g - grown] + value[s] > best[g]) best[g] = best[g - grown] + value[s];
      if (best[g - 1] > best[g]) best[g] = best[g - 1];
    }
  return best[small->extent + small->kerf];
}

/* A reduced point may stand for a shorter one, so parts are looked up at the point they end. */
static void reduced_points_keep_the_optimum(struct arena *arena) {
  random_start(4);
  size_t left_out = 0;
  for (int round = 0; round < 500; round++) {
    struct small small = random_small();
    int64_t value[MOST_SIZES];
    for (size_t s = 0; s < small.count; s++) value[s] = small.size[s] + random_between(0, 9);
    struct raster *full =
        raster_create(arena, small.size, small.count, small.extent, small.kerf, false);
    struct raster *reduced =
        raster_create(arena, small.size, small.count, small.extent, small.kerf, true);
    assert_true(reduced->count <= full->count);
    left_out += full->count - reduced->count;
    for (size_t i = 0; i < reduced->count; i++) {
      size_t index = 0;
      assert_true(raster_find(full, reduced->point[i], &index));
      assert_true(i == 0 || reduced->point[i] > reduced->point[i - 1]);
    }
    int64_t best = best_of_sums(&small, value);
    assert_int_equal(best_of_points(arena, full, &small, value), best);
    assert_int_equal(best_of_points(arena, reduced, &small, value), best);
  }
  assert_true(left_out > 300);
}

static void nothing_fits(struct arena *arena) {
  length_t size[] = {30, 21};
  for (int reduced = 0; reduced < 2; reduced++) {
    struct raster *raster = raster_create(arena, size, 2, 20, 3, reduced == 1);
    assert_int_equal(raster->count, 1);
    assert_int_equal(raster->point[0], 0);
    assert_int_equal(raster_floor(raster, 23), 0);
    raster = raster_create(arena, size, 0, 20, 0, reduced == 1);
    assert_int_equal(raster->count, 1);
  }
}

/* A part as long as the whole fits, one kerf falling away. */
static void part_as_long_as_the_whole(struct arena *arena) {
  length_t size[] = {20};
  struct raster *raster = raster_create(arena, size, 1, 20, 3, false);
  assert_int_equal(raster->count, 2);
  assert_int_equal(raster->point[1], 23);
  /* two of 8 and the kerf between them: 8 + 4 + 8 */
  size[0] = 8;
  raster = raster_create(arena, size, 1, 20, 4, false);
  assert_int_equal(raster->count, 3);
  raster = raster_create(arena, size, 1, 19, 4, false);
  assert_int_equal(raster->count, 2);
}

static void lengths_are_sorted_once(struct arena *arena) {
  (void)arena;
  length_t lengths[] = {5, 3, 5, -1, 3, 3, 9};
  static const length_t sorted[] = {-1, 3, 5, 9};
  assert_int_equal(length_sort_unique(lengths, 7), 4);
  assert_memory_equal(lengths, sorted, sizeof sorted);
  assert_int_equal(length_sort_unique(lengths, 0), 0);
  assert_int_equal(length_sort_unique(lengths, 1), 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(sums_of_fine_sizes),
      ARENA_TEST(all_sums_and_no_others),
      ARENA_TEST(points_are_found_again),
      ARENA_TEST(odd_sizes_are_looked_up_by_bisection),
      ARENA_TEST(table_and_bisection_agree),
      ARENA_TEST(reduced_points_keep_the_optimum),
      ARENA_TEST(nothing_fits),
      ARENA_TEST(part_as_long_as_the_whole),
      ARENA_TEST(lengths_are_sorted_once),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
