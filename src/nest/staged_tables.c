#include "nest/staged_tables.h"

#include <string.h>

/* Extents worked on side by side, so that the loops over them run without a branch. */
enum { LANES = 16, CELLS_A_POINT = 8 };

#define NO_POINT UINT32_MAX
/* A worth that was never reached may have grown by others: far below any real one. */
#define NEVER_NEARLY (COST_NEVER / 2)

/* ---- level 1 ---- */

static void start_row(struct series *row, size_t count) {
  for (size_t i = 0; i < count; i++) row->worth[i] = i == 0 ? 0 : COST_NEVER;
}

static bool row_may_be(const struct staged *staged, enum division along, size_t class) {
  return may_divide(staged, along, staged->direction[across(along)].sizes->size[class / 2]);
}

/* Whether every part of one class is worth at least as much in the other. */
static bool is_contained(const struct staged *staged, enum division along, size_t class,
                         size_t in) {
  if (!row_may_be(staged, along, class)) return false;
  for (size_t s = 0; s < staged->direction[along].sizes->count; s++)
    if (leaf_at(staged, along, s, class)->worth > leaf_at(staged, along, s, in)->worth)
      return false;
  return true;
}

/* A row filled before that this one only adds parts to; SIZE_MAX for none. */
static size_t row_to_start_from(const struct staged *staged, enum division along, size_t class) {
  for (size_t back = 1; back <= 3 && back <= class; back++)
    if (is_contained(staged, along, class - back, class)) return class - back;
  return SIZE_MAX;
}

static void add_size(const struct series_sizes *sizes, size_t size, cost_t net, cost_t *worth) {
  const uint32_t *back = &sizes->back[size * sizes->raster->count];
  for (size_t i = 1; i < sizes->raster->count; i++) {
    if (back[i] == SERIES_NONE || worth[back[i]] <= COST_NEVER) continue;
    cost_t total = worth[back[i]] + net;
    if (total > worth[i]) worth[i] = total;
  }
}

static void fill_row(struct staged *staged, enum division along, size_t class) {
  struct direction *direction = &staged->direction[along];
  struct series *row = &direction->rows[class];
  size_t count = direction->raster->count;
  size_t from = row_to_start_from(staged, along, class);
  if (from != SIZE_MAX)
    memcpy(row->worth, direction->rows[from].worth, count * sizeof *row->worth);
  else
    start_row(row, count);
  for (size_t s = 0; s < direction->sizes->count; s++) {
    cost_t worth = leaf_at(staged, along, s, class)->worth;
    if (worth <= COST_NEVER) continue;
    if (from != SIZE_MAX && leaf_at(staged, along, s, from)->worth == worth) continue;
    add_size(direction->sizes, s, worth - staged->cut_cost, row->worth);
    staged->steps += (int64_t)count;
  }
  row->top[0] = 0;
  for (size_t i = 1; i < count; i++)
    row->top[i] = row->worth[i] > row->worth[row->top[i - 1]] ? (uint32_t)i : row->top[i - 1];
  staged->steps += (int64_t)count;
}

void staged_fill_rows(struct staged *staged, enum division along) {
  size_t classes = 2 * staged->direction[across(along)].sizes->count;
  for (size_t class = 0; class < classes; class ++)
    if (row_may_be(staged, along, class)) fill_row(staged, along, class);
}

/* Where points are left out, parts do not come in every order, and what lies before may be worth
 * more than when this point was reached. */
uint32_t staged_row_part(const struct staged *staged, enum division along, size_t class,
                         size_t at) {
  const struct direction *direction = &staged->direction[along];
  const struct series_sizes *sizes = direction->sizes;
  const cost_t *worth = direction->rows[class].worth;
  for (size_t s = 0; s < sizes->count; s++) {
    uint32_t before = sizes->back[s * sizes->raster->count + at];
    cost_t part = leaf_at(staged, along, s, class)->worth;
    if (before == SERIES_NONE || part <= COST_NEVER || worth[before] <= COST_NEVER) continue;
    if (worth[before] + part - staged->cut_cost >= worth[at]) return (uint32_t)s;
  }
  return SERIES_NONE;
}

/* ---- level 2 ---- */

/* A row of level 1 in the direction across: what level 2 is made of. */
struct part_row {
  size_t class;  /* of its extent along */
  bool may_have; /* it may be divided, not only be one piece */
};

/* Level 2 of many extents across. A part of each size, and a last one for each raster point
 * that takes in the rest; equal rows are worked out once. */
struct level_two {
  const struct staged *staged;
  enum division along;
  const struct direction *direction; /* of `along` */
  const struct direction *other;     /* of the rows */
  struct part_row *rows;
  size_t row_count;
  uint32_t *size_row;      /* per size along: its row */
  uint32_t *rest_row;      /* per raster point: the row of the rest behind it; NO_POINT for none */
  uint32_t *size_at_point; /* per raster point of `other`: the size that ends there, or NO_POINT */
  cost_t *now, *before;    /* per row: what it is worth at the extent, and at the one before */
  cost_t *row_worth;       /* [row * LANES + lane] */
  cost_t *worth;           /* [raster point * LANES + lane] */
  bool divides[LANES];
  size_t used; /* lanes */
};

/* The row of rectangles of an extent along; NO_POINT when nothing fits it. */
static uint32_t row_of(struct level_two *two, length_t extent_along) {
  struct part_row row;
  enum division way = across(two->along);
  const struct series_sizes *sizes = two->direction->sizes;
  if (!class_of(sizes, extent_along, &row.class)) return NO_POINT;
  row.may_have = may_divide(two->staged, way, extent_along) &&
                 may_divide(two->staged, way, sizes->size[row.class / 2]);
  for (size_t r = 0; r < two->row_count; r++)
    if (two->rows[r].class == row.class && two->rows[r].may_have == row.may_have)
      return (uint32_t)r;
  two->rows[two->row_count] = row;
  return (uint32_t)two->row_count++;
}

static struct level_two *level_two_open(struct arena *arena, const struct staged *staged,
                                        enum division along) {
  struct level_two *two = ARENA_NEW(arena, struct level_two);
  two->staged = staged;
  two->along = along;
  two->direction = &staged->direction[along];
  two->other = &staged->direction[across(along)];
  const struct raster *raster = two->direction->raster;
  const struct series_sizes *sizes = two->direction->sizes;
  const struct raster *other = two->other->raster;
  size_t most_rows = 4 * sizes->count;
  two->rows = ARENA_ARRAY(arena, most_rows + 1, struct part_row);
  two->size_row = ARENA_ARRAY(arena, sizes->count + 1, uint32_t);
  for (size_t s = 0; s < sizes->count; s++) two->size_row[s] = row_of(two, sizes->size[s]);
  two->rest_row = ARENA_ARRAY(arena, raster->count, uint32_t);
  for (size_t i = 0; i < raster->count; i++) {
    length_t rest = raster->whole - raster->point[i] - raster->kerf;
    two->rest_row[i] = rest > 0 ? row_of(two, rest) : NO_POINT;
  }
  two->size_at_point = ARENA_ARRAY(arena, other->count, uint32_t);
  for (size_t i = 0; i < other->count; i++) two->size_at_point[i] = NO_POINT;
  for (size_t s = 0; s < two->other->sizes->count; s++) {
    size_t point = 0;
    if (raster_find(other, two->other->sizes->size[s] + other->kerf, &point))
      two->size_at_point[point] = (uint32_t)s;
  }
  two->now = ARENA_ARRAY(arena, most_rows + 1, cost_t);
  two->before = ARENA_ARRAY(arena, most_rows + 1, cost_t);
  two->row_worth = ARENA_ARRAY(arena, (most_rows + 1) * LANES, cost_t);
  two->worth = ARENA_ARRAY(arena, raster->count * LANES, cost_t);
  return two;
}

/* What each row is worth at the extent of raster point i, or just over it. */
static void weigh_rows(struct level_two *two, size_t point, bool exact) {
  const struct direction *other = two->other;
  uint32_t size = exact ? two->size_at_point[point] : NO_POINT;
  bool fits =
      other->raster->point[point] - other->raster->kerf + (exact ? 0 : 1) >= other->sizes->size[0];
  for (size_t r = 0; r < two->row_count; r++) {
    cost_t worth = 0;
    if (fits && size != NO_POINT) {
      cost_t leaf = leaf_at(two->staged, across(two->along), size, two->rows[r].class)->worth;
      if (leaf > 0) worth = leaf;
    }
    if (fits && two->rows[r].may_have) {
      const struct series *row = &other->rows[two->rows[r].class];
      cost_t top = row->worth[row->top[point]];
      if (exact && row->worth[point] > COST_NEVER &&
          row->worth[point] + two->staged->cut_cost > top)
        top = row->worth[point] + two->staged->cut_cost;
      if (top > worth) worth = top;
    }
    two->now[r] = worth;
  }
}

static void add_part(cost_t *restrict worth, const cost_t *restrict before,
                     const cost_t *restrict part, cost_t cut_cost) {
  for (size_t l = 0; l < LANES; l++) {
    cost_t total = before[l] + part[l] - cut_cost;
    worth[l] = total > worth[l] ? total : worth[l];
  }
}

static void best_of(cost_t *restrict best, const cost_t *restrict worth, cost_t more) {
  for (size_t l = 0; l < LANES; l++) {
    cost_t total = worth[l] + more;
    best[l] = total > best[l] ? total : best[l];
  }
}

static void best_with_rest(cost_t *restrict best, const cost_t *restrict worth,
                           const cost_t *restrict rest) {
  for (size_t l = 0; l < LANES; l++) {
    cost_t total = worth[l] + rest[l];
    best[l] = total > best[l] ? total : best[l];
  }
}

/* The best of every lane in use. */
static void solve_lanes(struct level_two *two, cost_t *best) {
  const struct series_sizes *sizes = two->direction->sizes;
  const struct raster *raster = two->direction->raster;
  cost_t part[LANES];
  memset(best, 0, LANES * sizeof *best);
  memset(two->worth, 0, LANES * sizeof *two->worth);
  for (size_t i = 1; i < raster->count; i++)
    for (size_t l = 0; l < LANES; l++) two->worth[i * LANES + l] = COST_NEVER;
  for (size_t s = 0; s < sizes->count; s++) {
    if (two->size_row[s] == NO_POINT) continue;
    const cost_t *row = &two->row_worth[two->size_row[s] * LANES];
    bool any = false;
    for (size_t l = 0; l < LANES; l++) {
      part[l] = row[l] > 0 ? row[l] : COST_NEVER;
      any = any || row[l] > 0;
    }
    if (!any) continue;
    const uint32_t *back = &sizes->back[s * raster->count];
    for (size_t i = 1; i < raster->count; i++)
      if (back[i] != SERIES_NONE)
        add_part(&two->worth[i * LANES], &two->worth[back[i] * LANES], part, two->staged->cut_cost);
  }
  for (size_t i = 0; i < raster->count; i++) {
    const cost_t *worth = &two->worth[i * LANES];
    best_of(best, worth, raster->point[i] == raster->whole ? two->staged->cut_cost : 0);
    if (two->rest_row[i] != NO_POINT)
      best_with_rest(best, worth, &two->row_worth[two->rest_row[i] * LANES]);
  }
  for (size_t l = 0; l < two->used; l++) {
    if (two->divides[l]) continue;
    best[l] = two->rest_row[0] == NO_POINT ? 0 : two->row_worth[two->rest_row[0] * LANES + l];
    if (best[l] < 0) best[l] = 0;
  }
}

/* Cells of the table that wait for the lane they share. */
struct waiting {
  size_t *cell;
  size_t *lane;
  size_t count;
};

static void settle_lanes(struct staged *staged, struct level_two *two, struct waiting *waiting,
                         cost_t *table) {
  cost_t best[LANES];
  if (two->used == 0) return;
  solve_lanes(two, best);
  /* side by side they take about a quarter of the time of single cells */
  staged->steps +=
      (int64_t)(two->used * two->direction->raster->count * (two->direction->sizes->count + 1) / 4);
  for (size_t w = 0; w < waiting->count; w++) table[waiting->cell[w]] = best[waiting->lane[w]];
  waiting->count = 0;
  two->used = 0;
}

static void add_lane(struct level_two *two, bool divides) {
  for (size_t r = 0; r < two->row_count; r++) two->row_worth[r * LANES + two->used] = two->now[r];
  two->divides[two->used] = divides;
  memcpy(two->before, two->now, two->row_count * sizeof *two->now);
  two->used++;
}

void staged_fill_level_two(struct staged *staged, enum division along, cost_t *table) {
  struct arena_mark mark = arena_mark(staged->scratch_arena);
  struct level_two *two = level_two_open(staged->scratch_arena, staged, along);
  const struct raster *other = two->other->raster;
  struct waiting waiting = {ARENA_ARRAY(staged->scratch_arena, 2 * other->count, size_t),
                            ARENA_ARRAY(staged->scratch_arena, 2 * other->count, size_t), 0};
  for (size_t i = 1; two->direction->sizes->count > 0 && i < other->count; i++) {
    for (size_t between = 0; between < 2; between++) {
      /* just over a raster point stands for every extent up to the next */
      length_t extent = other->point[i] - other->kerf + (length_t)between;
      bool divides = may_divide(staged, along, extent);
      weigh_rows(two, i, between == 0);
      bool same = two->used > 0 && two->divides[two->used - 1] == divides &&
                  memcmp(two->now, two->before, two->row_count * sizeof *two->now) == 0;
      if (!same && two->used == LANES) settle_lanes(staged, two, &waiting, table);
      if (!same) add_lane(two, divides);
      waiting.cell[waiting.count] = 2 * i + between;
      waiting.lane[waiting.count++] = two->used - 1;
    }
  }
  settle_lanes(staged, two, &waiting, table);
  staged->steps += (int64_t)(2 * other->count);
  arena_release(staged->scratch_arena, mark);
}

/* ---- level 3 ---- */

/* One part after the other, each as often as wanted. */
static void add_part_again_and_again(cost_t *worth, size_t cells, size_t step, cost_t net) {
  for (size_t start = step; start < cells; start += step) {
    size_t end = cells - start < step ? cells : start + step;
    cost_t *restrict to = worth;
    for (size_t c = start; c < end; c++) {
      cost_t total = worth[c - step] + net;
      to[c] = total > to[c] ? total : to[c];
    }
  }
}

/* A part no better than a smaller one and its trim, or than parts that fill the same, is passed
 * over. `at` is the worth where the part ends so far. */
static bool is_of_use(const struct staged *staged, cost_t worth, cost_t at, cost_t *beaten) {
  cost_t net = worth - staged->cut_cost;
  if (worth <= *beaten || net <= at) return false;
  if (net > *beaten) *beaten = net;
  return true;
}

static void keep_part(struct staged *staged, size_t point, cost_t net) {
  staged->third_part[staged->third_count] = (uint32_t)point;
  staged->third_net[staged->third_count++] = net;
}

/* Over every cell of the raster's lookup, reached or not: no search in the inner loop. Sums of
 * points must be points, or a row could end where none of its parts is known to begin. */
static void fill_by_cells(struct staged *staged, const struct raster *raster, struct series *row,
                          const cost_t *part_worth) {
  size_t cells = raster->cell[raster->count - 1] + (size_t)1;
  struct arena_mark mark = arena_mark(staged->scratch_arena);
  cost_t *worth = ARENA_ARRAY(staged->scratch_arena, cells, cost_t);
  cost_t beaten = 0;
  for (size_t c = 1; c < cells; c++) worth[c] = COST_NEVER;
  for (size_t part = 1; part < raster->count; part++) {
    size_t step = raster->cell[part];
    if (part_worth[part] <= COST_NEVER ||
        !is_of_use(staged, part_worth[part], worth[step], &beaten))
      continue;
    keep_part(staged, part, part_worth[part] - staged->cut_cost);
    add_part_again_and_again(worth, cells, step, part_worth[part] - staged->cut_cost);
    staged->steps += (int64_t)((cells - step) / 2);
  }
  for (size_t i = 1; i < raster->count; i++) {
    cost_t reached = worth[raster->cell[i]];
    row->worth[i] = reached <= NEVER_NEARLY ? COST_NEVER : reached;
  }
  arena_release(staged->scratch_arena, mark);
}

static void fill_by_points(struct staged *staged, const struct raster *raster, struct series *row,
                           const cost_t *part_worth) {
  cost_t beaten = 0;
  for (size_t part = 1; part < raster->count; part++) {
    if (part_worth[part] <= COST_NEVER ||
        !is_of_use(staged, part_worth[part], row->worth[part], &beaten))
      continue;
    cost_t net = part_worth[part] - staged->cut_cost;
    keep_part(staged, part, net);
    for (size_t i = part; i < raster->count; i++) {
      size_t before = 0;
      if (!raster_find(raster, raster->point[i] - raster->point[part], &before)) continue;
      if (row->worth[before] <= COST_NEVER) continue;
      if (row->worth[before] + net > row->worth[i]) row->worth[i] = row->worth[before] + net;
    }
    staged->steps += (int64_t)(raster->count - part);
  }
}

void staged_fill_level_three(struct staged *staged, enum division along, const cost_t *part_worth) {
  const struct raster *raster = staged->direction[along].raster;
  struct series *row = &staged->scratch[along];
  staged->third_count = 0;
  start_row(row, raster->count);
  if (!staged->thinned && raster->floor_index != NULL &&
      raster->cell[raster->count - 1] <= CELLS_A_POINT * raster->count)
    fill_by_cells(staged, raster, row, part_worth);
  else
    fill_by_points(staged, raster, row, part_worth);
  row->top[0] = 0;
  for (size_t i = 1; i < raster->count; i++)
    row->top[i] = row->worth[i] > row->worth[row->top[i - 1]] ? (uint32_t)i : row->top[i - 1];
  staged->steps += (int64_t)raster->count;
}

uint32_t staged_third_part(const struct staged *staged, enum division along, size_t at) {
  const struct raster *raster = staged->direction[along].raster;
  const struct series *row = &staged->scratch[along];
  for (size_t p = 0; p < staged->third_count; p++) {
    size_t before = 0;
    length_t rest = raster->point[at] - raster->point[staged->third_part[p]];
    if (rest < 0 || !raster_find(raster, rest, &before)) continue;
    if (row->worth[before] > COST_NEVER &&
        row->worth[before] + staged->third_net[p] >= row->worth[at])
      return staged->third_part[p];
  }
  return SERIES_NONE;
}
