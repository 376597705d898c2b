#include "nest/raster.h"

#include <stdlib.h>

#include "base/divisor.h"

enum { LARGEST_LOOKUP = 400000 };

static int compare_lengths(const void *a, const void *b) {
  length_t left = *(const length_t *)a;
  length_t right = *(const length_t *)b;
  return (left > right) - (left < right);
}

size_t length_sort_unique(length_t *lengths, size_t count) {
  if (count == 0) return 0;
  qsort(lengths, count, sizeof *lengths, compare_lengths);
  size_t kept = 1;
  for (size_t i = 1; i < count; i++)
    if (lengths[i] != lengths[kept - 1]) lengths[kept++] = lengths[i];
  return kept;
}

/* Every sum, size by size: each point found so far, with any number of the next size. */
static void collect_by_set(struct arena *arena, struct raster *raster, const length_t *grown,
                           size_t size_count) {
  size_t room = 64;
  raster->point = ARENA_ARRAY(arena, room, length_t);
  raster->count = 1;
  for (size_t s = 0; s < size_count; s++) {
    size_t before = raster->count;
    for (size_t i = 0; i < before; i++)
      for (length_t sum = raster->point[i] + grown[s]; sum <= raster->whole; sum += grown[s])
        *ARENA_PUSH(arena, raster->point, raster->count, room) = sum;
    raster->count = length_sort_unique(raster->point, raster->count);
  }
}

static void collect_by_cells(struct arena *arena, struct raster *raster, const length_t *grown,
                             size_t size_count, size_t cells) {
  bool *reached = ARENA_ARRAY(arena, cells, bool);
  reached[0] = true;
  size_t count = 1;
  for (size_t cell = 1; cell < cells; cell++) {
    for (size_t s = 0; s < size_count && !reached[cell]; s++) {
      size_t step = (size_t)(grown[s] / raster->unit);
      reached[cell] = step <= cell && reached[cell - step];
    }
    if (reached[cell]) count++;
  }
  raster->point = ARENA_ARRAY(arena, count, length_t);
  for (size_t cell = 0; cell < cells; cell++)
    if (reached[cell]) raster->point[raster->count++] = (length_t)cell * raster->unit;
}

static void make_lookup(struct arena *arena, struct raster *raster) {
  length_t cells = raster->whole / raster->unit + 1;
  if (cells > LARGEST_LOOKUP) return;
  raster->floor_index = ARENA_ARRAY(arena, cells, uint32_t);
  raster->cell = ARENA_ARRAY(arena, raster->count, uint32_t);
  for (size_t i = 0; i < raster->count; i++)
    raster->cell[i] = (uint32_t)(raster->point[i] / raster->unit);
  size_t index = 0;
  for (length_t cell = 0; cell < cells; cell++) {
    while (index + 1 < raster->count && raster->point[index + 1] <= cell * raster->unit) index++;
    raster->floor_index[cell] = (uint32_t)index;
  }
}

/* Keeps the points that are floor(whole - floor(whole - p)) of some point p. */
static void reduce(struct arena *arena, struct raster *raster) {
  length_t *kept = ARENA_ARRAY(arena, raster->count, length_t);
  size_t kept_count = 0;
  for (size_t i = 0; i < raster->count; i++) {
    length_t mirrored = raster->point[raster_floor(raster, raster->whole - raster->point[i])];
    length_t point = raster->point[raster_floor(raster, raster->whole - mirrored)];
    if (kept_count == 0 || kept[kept_count - 1] != point) kept[kept_count++] = point;
  }
  raster->point = kept;
  raster->count = kept_count;
}

struct raster *raster_create(struct arena *arena, const length_t *size, size_t size_count,
                             length_t extent, length_t kerf, bool reduced) {
  struct raster *raster = ARENA_NEW(arena, struct raster);
  raster->kerf = kerf;
  raster->whole = extent + kerf;
  length_t *grown = ARENA_ARRAY(arena, size_count, length_t);
  size_t count = 0;
  for (size_t s = 0; s < size_count; s++) {
    length_t one = size[s] + kerf;
    if (one <= raster->whole) grown[count++] = one;
    if (one <= raster->whole) raster->unit = common_divisor(raster->unit, one);
  }
  if (raster->unit == 0) raster->unit = raster->whole > 0 ? raster->whole : 1;
  if (raster->whole / raster->unit < LARGEST_LOOKUP)
    collect_by_cells(arena, raster, grown, count, (size_t)(raster->whole / raster->unit) + 1);
  else
    collect_by_set(arena, raster, grown, count);
  make_lookup(arena, raster);
  if (reduced) {
    reduce(arena, raster);
    if (raster->floor_index != NULL) make_lookup(arena, raster);
  }
  return raster;
}

size_t raster_floor(const struct raster *raster, length_t grown) {
  if (raster->floor_index != NULL) {
    length_t top = grown > raster->whole ? raster->whole : grown;
    return raster->floor_index[raster->unit == 1 ? top : top / raster->unit];
  }
  size_t low = 0;
  size_t high = raster->count;
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (raster->point[middle] <= grown)
      low = middle;
    else
      high = middle;
  }
  return low;
}

bool raster_find(const struct raster *raster, length_t grown, size_t *index) {
  if (grown < 0) return false;
  *index = raster_floor(raster, grown);
  return raster->point[*index] == grown;
}

static size_t keep_point(const struct raster *raster, length_t grown, bool *kept) {
  size_t own = raster_floor(raster, grown);
  if (raster->point[own] < grown && own + 1 < raster->count) own++;
  size_t mirrored = raster_floor(raster, raster->whole - raster->point[own]);
  size_t added = (kept[own] ? 0U : 1U) + (kept[mirrored] || own == mirrored ? 0U : 1U);
  kept[own] = kept[mirrored] = true;
  return added;
}

/* Multiples of the sizes, all singles, then all doubles, until `most` points are kept. */
static void keep_multiples(const struct raster *raster, const length_t *size, size_t size_count,
                           size_t most, bool *kept) {
  size_t count = 0;
  bool any = true;
  for (length_t times = 1; any && (times == 1 || count < most); times++) {
    any = false;
    for (size_t s = 0; s < size_count; s++) {
      length_t grown = (size[s] + raster->kerf) * times;
      if (grown > raster->whole) continue;
      any = true;
      if (times == 1 || count < most) count += keep_point(raster, grown, kept);
    }
  }
}

void raster_thin(struct arena *arena, struct raster *raster, const length_t *size,
                 size_t size_count, size_t most) {
  bool *kept = ARENA_ARRAY(arena, raster->count, bool);
  size_t spread = most / 2;
  if (raster->count <= most || spread == 0) return;
  kept[0] = kept[raster->count - 1] = true;
  keep_multiples(raster, size, size_count, most - spread, kept);
  for (size_t i = 0; i < spread; i++) kept[i * raster->count / spread] = true;
  size_t count = 0;
  for (size_t i = 0; i < raster->count; i++)
    if (kept[i]) raster->point[count++] = raster->point[i];
  raster->count = count;
  if (raster->floor_index != NULL) make_lookup(arena, raster);
}
