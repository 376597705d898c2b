#include "nest/single_rows.h"

#include <string.h>

#include "nest/staged_tables.h"

enum { MOST_CELLS = 3000, CELLS_A_STEP = 2, OPTION_STEPS = 100 };

/* An option in one row: the cells it may start at, and how many it takes. */
struct single {
  cost_t worth;
  size_t cells;
  bool *may_start;
};

struct single_rows {
  const struct nest_stock *stock;
  length_t
      unit[2];  /* along a direction: sizes with kerfs, kerfs and flaws are whole numbers of it */
  cost_t *best; /* scratch, per cell: worth of pieces before it, -1: it is not reached */
  length_t *breaks;       /* scratch: starts at which others flaws are met */
  length_t *places;       /* scratch */
  struct single *singles; /* scratch, per option */
};

static length_t common_divisor(length_t a, length_t b) {
  if (b < 0) b = -b;
  while (b != 0) {
    length_t rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

static length_t kerf_along(const struct nest_stock *stock, enum division d) {
  return d == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
}

static length_t core_of(const struct nest_option *option, enum division d) {
  return d == DIVIDE_LENGTH ? option->core_x : option->core_y;
}

static struct area flaw_area(const struct nest_flaw *flaw) {
  return (struct area){{flaw->x, flaw->y}, {flaw->x + flaw->length, flaw->y + flaw->width}};
}

static length_t unit_along(const struct nest_stock *stock, enum division d) {
  length_t unit = kerf_along(stock, d);
  for (size_t o = 0; o < stock->option_count; o++) {
    unit = common_divisor(unit, option_extent(&stock->options[o], d));
    unit = common_divisor(unit, core_of(&stock->options[o], d));
  }
  for (size_t f = 0; f < stock->flaw_count; f++) {
    struct area area = flaw_area(&stock->flaws[f]);
    unit = common_divisor(unit, area.low[d]);
    unit = common_divisor(unit, area.high[d]);
  }
  return unit < 0 ? -unit : unit;
}

struct single_rows *single_rows_create(struct arena *arena, const struct nest_stock *stock) {
  struct single_rows *rows = ARENA_NEW(arena, struct single_rows);
  size_t most_places = stock->flaw_count * (1 + stock->option_count) + 3;
  rows->stock = stock;
  for (int d = 0; d < 2; d++) rows->unit[d] = unit_along(stock, (enum division)d);
  rows->best = ARENA_ARRAY(arena, MOST_CELLS + 1, cost_t);
  rows->breaks = ARENA_ARRAY(arena, 2 * stock->flaw_count + 2, length_t);
  rows->places = ARENA_ARRAY(arena, most_places, length_t);
  rows->singles = ARENA_ARRAY(arena, stock->option_count + 1, struct single);
  for (size_t o = 0; o <= stock->option_count; o++)
    rows->singles[o].may_start = ARENA_ARRAY(arena, MOST_CELLS + 1, bool);
  return rows;
}

/* Whether a piece that starts there can lie clear at some place across the row. */
static bool fits_across(const struct single_rows *rows, const struct flawed *flawed,
                        const struct area *area, enum division along,
                        const struct nest_option *option, length_t start, size_t place_count) {
  enum division over = across(along);
  length_t room = area_extent(area, over) - option_extent(option, over);
  length_t corner[2];
  corner[along] = start;
  for (size_t p = 0; p < place_count + 2; p++) {
    length_t before = p == 0 ? 0 : p == 1 ? room : rows->places[p - 2] - area->low[over];
    if (before < 0 || before > room || (before > 0 && before < kerf_along(rows->stock, over)))
      continue;
    corner[over] = area->low[over] + before;
    if (flawed_option_is_clear(flawed, option, corner[0], corner[1])) return true;
  }
  return false;
}

/* The starts within the area from which on an option meets other flaws than before, and the end of
 * starts. */
static size_t list_breaks(const struct single_rows *rows, const struct area *area,
                          enum division along, const struct nest_option *option) {
  enum division over = across(along);
  const struct nest_stock *stock = rows->stock;
  length_t end = area->high[along] - option_extent(option, along) + 1;
  size_t count = 0;
  rows->breaks[count++] = area->low[along];
  rows->breaks[count++] = end;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    struct area flaw = flaw_area(&stock->flaws[f]);
    length_t core = stock->flaws[f].rim_ok ? core_of(option, along) : 0;
    if (flaw.low[over] >= area->high[over] || flaw.high[over] <= area->low[over]) continue;
    length_t edges[2] = {flaw.low[along] + core - option_extent(option, along) + 1,
                         flaw.high[along] - core};
    for (int i = 0; i < 2; i++)
      if (edges[i] > area->low[along] && edges[i] < end) rows->breaks[count++] = edges[i];
  }
  return length_sort_unique(rows->breaks, count);
}

static size_t cells_up(length_t length, length_t unit) {
  return (size_t)((length + unit - 1) / unit);
}

static bool list_single(struct single_rows *rows, const struct flawed *flawed,
                        const struct area *area, enum division along, size_t o, size_t place_count,
                        bool *may_start) {
  const struct nest_option *option = &rows->stock->options[o];
  enum division over = across(along);
  struct area piece = *area;
  piece.high[along] = piece.low[along] + option_extent(option, along);
  length_t room = area_extent(area, over) - option_extent(option, over);
  if (piece.high[along] > area->high[along] || room < 0) return false;
  if (room > 0 && !flawed_may_divide(flawed, over, &piece)) return false;
  bool any = false;
  size_t count = list_breaks(rows, area, along, option);
  for (size_t b = 0; b + 1 < count; b++) {
    size_t from = cells_up(rows->breaks[b] - area->low[along], rows->unit[along]);
    size_t to = cells_up(rows->breaks[b + 1] - area->low[along], rows->unit[along]);
    bool fits = fits_across(rows, flawed, area, along, option, rows->breaks[b], place_count);
    memset(may_start + from, fits, (to - from) * sizeof *may_start);
    any = any || fits;
  }
  return any;
}

static size_t list_singles(struct single_rows *rows, const struct flawed *flawed,
                           const cost_t *option_worth, const struct area *area, enum division along,
                           size_t cells) {
  length_t unit = rows->unit[along];
  size_t count = 0;
  size_t place_count = flawed_places(flawed, area, across(along), rows->places);
  for (size_t o = 0; o < rows->stock->option_count; o++) {
    struct single *single = &rows->singles[count];
    memset(single->may_start, 0, (cells + 1) * sizeof *single->may_start);
    if (option_worth[o] <= 0) continue;
    if (!list_single(rows, flawed, area, along, o, place_count, single->may_start)) continue;
    length_t grown =
        option_extent(&rows->stock->options[o], along) + kerf_along(rows->stock, along);
    single->worth = option_worth[o];
    single->cells = (size_t)(grown / unit);
    count++;
  }
  return count;
}

/* Waste before the first piece is no thinner than a kerf; behind a piece it may be. */
static cost_t fill_cells(struct single_rows *rows, size_t count, size_t cells, size_t kerf) {
  cost_t most = 0; /* of pieces that end before a cell or at it */
  cost_t *best = rows->best;
  for (size_t i = 0; i <= cells; i++) best[i] = -1;
  best[0] = 0;
  for (size_t i = 0; i <= cells; i++) {
    if (best[i] > most) most = best[i];
    if (most == 0 && i > 0 && i < kerf) continue;
    for (size_t s = 0; s < count; s++) {
      const struct single *single = &rows->singles[s];
      if (i + single->cells > cells || !single->may_start[i]) continue;
      if (most + single->worth > best[i + single->cells])
        best[i + single->cells] = most + single->worth;
    }
  }
  return most;
}

bool single_rows_worth(struct single_rows *rows, const struct flawed *flawed,
                       const cost_t *option_worth, const struct area *area, enum division along,
                       int64_t *steps, cost_t *worth) {
  length_t unit = rows->unit[along];
  length_t kerf = kerf_along(rows->stock, along);
  length_t cells = unit > 0 ? (area_extent(area, along) + kerf) / unit : MOST_CELLS + 1;
  if (cells > MOST_CELLS || area->low[along] % unit != 0) return false;
  size_t count = list_singles(rows, flawed, option_worth, area, along, (size_t)cells);
  *worth = fill_cells(rows, count, (size_t)cells, (size_t)(kerf / unit));
  *steps += (int64_t)((size_t)cells * (count + 1) / CELLS_A_STEP) +
            OPTION_STEPS * (int64_t)rows->stock->option_count;
  return true;
}
