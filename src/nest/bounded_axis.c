#include "nest/bounded_axis.h"

#include "base/divisor.h"

enum { LARGEST_LOOKUP = 1 << 18 };

/* Ascending sums; `spare` is as large. Both hold one more than `most`. */
struct sums {
  length_t *point, *spare;
  size_t count, most;
  length_t whole;
};

/* Adds to every sum nothing or `size`. False when there are too many. */
static bool add_once(struct sums *sums, length_t size) {
  size_t i = 0;
  size_t j = 0;
  size_t count = 0;
  for (;;) {
    length_t plain = i < sums->count ? sums->point[i] : INT64_MAX;
    length_t grown = j < sums->count ? sums->point[j] + size : INT64_MAX;
    length_t least = plain < grown ? plain : grown;
    if (least > sums->whole) break;
    if (count > sums->most) return false;
    sums->spare[count++] = least;
    if (plain == least) i++;
    if (grown == least) j++;
  }
  length_t *swap = sums->point;
  sums->point = sums->spare;
  sums->spare = swap;
  sums->count = count;
  return true;
}

/* Adds any number of a size: 1, 2, 4 .. of it more. */
static bool add_size(struct sums *sums, length_t size) {
  for (length_t step = size; step <= sums->whole; step *= 2)
    if (!add_once(sums, step)) return false;
  return true;
}

/* Sums with any number of copies: runs may then be made of the parts that are best, whatever
 * the limits, and still end at a point. */
static bool collect(struct arena *arena, const struct bounded_job *job, int along,
                    struct bounded_axis *axis, size_t most) {
  struct sums sums = {.count = 1, .most = most, .whole = axis->whole};
  sums.point = ARENA_ARRAY(arena, most + 2, length_t);
  sums.spare = ARENA_ARRAY(arena, most + 2, length_t);
  bool fine = true;
  for (size_t i = 0; i < job->option_count && fine; i++)
    fine = add_size(&sums, job->options[i].extent[along] / axis->scale);
  length_t rip_min = job->rip_min / axis->scale;
  if (fine && along == ALONG_X && rip_min > 0) fine = add_size(&sums, rip_min);
  axis->point = sums.point;
  axis->point_count = sums.count;
  return fine;
}

static void make_lookup(struct arena *arena, struct bounded_axis *axis) {
  axis->unit = 0;
  for (size_t i = 1; i < axis->point_count; i++)
    axis->unit = common_divisor(axis->unit, axis->point[i]);
  if (axis->unit == 0) axis->unit = axis->whole > 0 ? axis->whole : 1;
  length_t cells = axis->whole / axis->unit + 1;
  if (cells > LARGEST_LOOKUP) return;
  axis->floor_point = ARENA_ARRAY(arena, cells, uint32_t);
  size_t point = 0;
  for (length_t cell = 0; cell < cells; cell++) {
    while (point + 1 < axis->point_count && axis->point[point + 1] <= cell * axis->unit) point++;
    axis->floor_point[cell] = (uint32_t)point;
  }
  axis->point_unit = ARENA_ARRAY(arena, axis->point_count, uint32_t);
  for (size_t i = 0; i < axis->point_count; i++)
    axis->point_unit[i] = (uint32_t)(axis->point[i] / axis->unit);
  axis->rest_index = ARENA_ARRAY(arena, cells, uint32_t);
  axis->beyond_index = ARENA_ARRAY(arena, cells, uint32_t);
  for (length_t cell = 0; cell < cells; cell++) {
    uint32_t floor = axis->floor_point[cell];
    bool exact = axis->point_unit[floor] == cell;
    axis->rest_index[cell] = axis->halves ? 2 * floor + (exact ? 0 : 1) : floor;
    axis->beyond_index[cell] = axis->halves ? 2 * floor + 1 : floor;
  }
}

struct bounded_axis *bounded_axis_create(struct arena *arena, const struct bounded_job *job,
                                         int along, bool halves, size_t most) {
  struct bounded_axis *axis = ARENA_NEW(arena, struct bounded_axis);
  axis->scale = 1;
  axis->halves = halves;
  axis->whole = job->whole[along];
  if (!collect(arena, job, along, axis, most)) {
    axis->scale = job->whole[along] / (length_t)most + 1;
    axis->halves = false;
    for (size_t i = 0; i < job->option_count; i++) /* no size may vanish */
      if (job->options[i].extent[along] < axis->scale) axis->scale = job->options[i].extent[along];
    axis->whole = job->whole[along] / axis->scale;
    collect(arena, job, along, axis, (size_t)axis->whole + 1);
  }
  make_lookup(arena, axis);
  axis->top = bounded_axis_index(axis, axis->whole);
  axis->slot_count = bounded_axis_point(axis, axis->top) + 1;
  if (!bounded_axis_exact(axis, axis->top)) axis->slot_count++;
  return axis;
}

size_t bounded_axis_floor(const struct bounded_axis *axis, length_t scaled) {
  if (scaled >= axis->point[axis->point_count - 1]) return axis->point_count - 1;
  if (axis->floor_point != NULL) return axis->floor_point[scaled / axis->unit];
  size_t low = 0;
  size_t high = axis->point_count;
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (axis->point[middle] <= scaled)
      low = middle;
    else
      high = middle;
  }
  return low;
}

size_t bounded_axis_index(const struct bounded_axis *axis, length_t scaled) {
  size_t point = bounded_axis_floor(axis, scaled);
  if (!axis->halves) return point;
  return 2 * point + (axis->point[point] == scaled ? 0 : 1);
}

bool bounded_axis_slot(const struct bounded_axis *axis, length_t grown, size_t *slot) {
  length_t scaled = grown / axis->scale;
  if (scaled == axis->whole) {
    *slot = axis->slot_count - 1;
    return true;
  }
  *slot = bounded_axis_floor(axis, scaled);
  return !axis->halves || axis->point[*slot] == scaled;
}

size_t bounded_axis_minus(const struct bounded_axis *axis, size_t index, size_t point) {
  if (!axis->halves) return bounded_axis_floor(axis, axis->point[index] - axis->point[point]);
  length_t rest = axis->point[index / 2] - axis->point[point];
  size_t floor = bounded_axis_floor(axis, rest);
  bool exact = index % 2 == 0 && axis->point[floor] == rest;
  return 2 * floor + (exact ? 0 : 1);
}

length_t bounded_axis_least(const struct bounded_axis *axis, size_t index) {
  length_t least = axis->point[bounded_axis_point(axis, index)] * axis->scale;
  return bounded_axis_exact(axis, index) ? least : least + 1;
}

length_t bounded_axis_most(const struct bounded_axis *axis, size_t index, length_t whole) {
  size_t point = bounded_axis_point(axis, index);
  if (axis->halves && index % 2 == 0) return axis->point[point];
  if (point + 1 == axis->point_count) return whole;
  return axis->point[point + 1] * axis->scale - 1;
}
