#include "nest/series.h"

struct series_sizes *series_sizes_create(struct arena *arena, const struct raster *raster,
                                         const length_t *size, size_t count) {
  struct series_sizes *sizes = ARENA_NEW(arena, struct series_sizes);
  sizes->raster = raster;
  sizes->size = ARENA_ARRAY(arena, count, length_t);
  sizes->count = count;
  sizes->back = ARENA_ARRAY(arena, count * raster->count, uint32_t);
  for (size_t s = 0; s < count; s++) {
    sizes->size[s] = size[s];
    for (size_t i = 0; i < raster->count; i++) {
      size_t before = 0;
      bool exact = raster_find(raster, raster->point[i] - size[s] - raster->kerf, &before);
      sizes->back[s * raster->count + i] = exact ? (uint32_t)before : SERIES_NONE;
    }
  }
  return sizes;
}

struct series series_create(struct arena *arena, const struct raster *raster) {
  struct series series = {ARENA_ARRAY(arena, raster->count, cost_t),
                          ARENA_ARRAY(arena, raster->count, uint32_t),
                          ARENA_ARRAY(arena, raster->count, uint32_t)};
  return series;
}

static void fill_point(struct series *series, const struct series_sizes *sizes, const cost_t *part,
                       cost_t cut_cost, size_t point) {
  cost_t best = COST_NEVER;
  uint32_t last = SERIES_NONE;
  for (size_t s = 0; s < sizes->count; s++) {
    uint32_t before = sizes->back[s * sizes->raster->count + point];
    if (part[s] <= COST_NEVER || before == SERIES_NONE) continue;
    cost_t worth = series->worth[before] + part[s] - cut_cost;
    if (series->worth[before] > COST_NEVER && worth > best) {
      best = worth;
      last = (uint32_t)s;
    }
  }
  series->worth[point] = best;
  series->last[point] = last;
}

int64_t series_fill(struct series *series, const struct series_sizes *sizes, const cost_t *part,
                    cost_t cut_cost, size_t limit) {
  series->worth[0] = 0;
  series->last[0] = SERIES_NONE;
  series->top[0] = 0;
  for (size_t i = 1; i <= limit; i++) {
    fill_point(series, sizes, part, cut_cost, i);
    uint32_t top = series->top[i - 1];
    series->top[i] = series->worth[i] > series->worth[top] ? (uint32_t)i : top;
  }
  return (int64_t)((limit + 1) * sizes->count);
}

size_t series_end(const struct series *series, const struct raster *raster, length_t grown,
                  cost_t cut_cost, cost_t *worth) {
  size_t at = raster_floor(raster, grown);
  size_t end = series->top[at];
  *worth = series->worth[end];
  if (raster->point[at] == grown && series->worth[at] > COST_NEVER &&
      series->worth[at] + cut_cost > *worth) {
    end = at;
    *worth = series->worth[at] + cut_cost;
  }
  return end;
}
