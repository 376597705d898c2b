#include "nest/flaw_lines.h"

#include "nest/raster.h"
#include "nest/staged_tables.h"

/* Worths are spread over lengths in parts so fine; larger ones are not told of. */
enum { SPREAD_BITS = 16, MOST_POINTS = 8000 };

static const cost_t MOST_WORTH = INT64_C(1) << 42;

__extension__ typedef __int128 wide_cost;

struct span {
  length_t low, high;
};

struct flaw_lines {
  const struct nest_stock *stock;
  struct raster *raster[2]; /* of the lines along a direction */
  cost_t *filled[2];        /* per point: the best filling of so much */
  cost_t *density;          /* scratch, per option */
  struct span *flaws[2];    /* per direction and flaw: what no piece may reach into */
  size_t flaw_count;
  size_t *order[2]; /* flaws by their low edges along a direction */
  length_t *edges;  /* scratch */
  bool priced;
};

static length_t kerf_along(const struct nest_stock *stock, enum division d) {
  return d == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
}

static length_t core_along(const struct nest_option *option, enum division d) {
  return d == DIVIDE_LENGTH ? option->core_x : option->core_y;
}

static length_t widest_core(const struct nest_stock *stock, enum division d) {
  length_t widest = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    if (core_along(&stock->options[o], d) > widest) widest = core_along(&stock->options[o], d);
  return widest;
}

/* A flaw that may lie in rims counts without as much on each side as the widest rim. */
static struct span span_of(const struct nest_stock *stock, const struct nest_flaw *flaw,
                           enum division d) {
  struct span span = {flaw->x, flaw->x + flaw->length};
  if (d == DIVIDE_WIDTH) span = (struct span){flaw->y, flaw->y + flaw->width};
  if (!flaw->rim_ok) return span;
  length_t core = widest_core(stock, d);
  return (struct span){span.low + core, span.high - core};
}

static void set_flaws(struct arena *arena, struct flaw_lines *lines) {
  const struct nest_stock *stock = lines->stock;
  for (int d = 0; d < 2; d++) {
    lines->flaws[d] = ARENA_ARRAY(arena, stock->flaw_count, struct span);
    lines->order[d] = ARENA_ARRAY(arena, stock->flaw_count, size_t);
  }
  for (size_t f = 0; f < stock->flaw_count; f++) {
    struct span x = span_of(stock, &stock->flaws[f], DIVIDE_LENGTH);
    struct span y = span_of(stock, &stock->flaws[f], DIVIDE_WIDTH);
    if (x.low >= x.high || y.low >= y.high) continue;
    lines->flaws[DIVIDE_LENGTH][lines->flaw_count] = x;
    lines->flaws[DIVIDE_WIDTH][lines->flaw_count++] = y;
  }
  for (int d = 0; d < 2; d++)
    for (size_t f = 0; f < lines->flaw_count; f++) {
      size_t at = f;
      const struct span *own = &lines->flaws[d][f];
      for (; at > 0 && lines->flaws[d][lines->order[d][at - 1]].low > own->low; at--)
        lines->order[d][at] = lines->order[d][at - 1];
      lines->order[d][at] = f;
    }
}

struct flaw_lines *flaw_lines_create(struct arena *arena, const struct nest_stock *stock) {
  struct flaw_lines *lines = ARENA_NEW(arena, struct flaw_lines);
  length_t *size = ARENA_ARRAY(arena, stock->option_count, length_t);
  lines->stock = stock;
  for (int d = 0; d < 2; d++) {
    enum division along = (enum division)d;
    for (size_t o = 0; o < stock->option_count; o++)
      size[o] = option_extent(&stock->options[o], along);
    size_t count = length_sort_unique(size, stock->option_count);
    lines->raster[d] =
        raster_create(arena, size, count, along == DIVIDE_LENGTH ? stock->length : stock->width,
                      kerf_along(stock, along), false);
    if (lines->raster[d]->count > MOST_POINTS) return NULL;
    lines->filled[d] = ARENA_ARRAY(arena, lines->raster[d]->count, cost_t);
  }
  lines->density = ARENA_ARRAY(arena, stock->option_count, cost_t);
  lines->edges = ARENA_ARRAY(arena, 2 * stock->flaw_count + 2, length_t);
  set_flaws(arena, lines);
  return lines;
}

/* ---- fillings ---- */

/* The best filling of each extent along, at what a line across takes of each option's worth. */
static void fill(struct flaw_lines *lines, enum division along) {
  const struct nest_stock *stock = lines->stock;
  const struct raster *raster = lines->raster[along];
  cost_t *filled = lines->filled[along];
  filled[0] = 0;
  for (size_t i = 1; i < raster->count; i++) {
    filled[i] = filled[i - 1];
    for (size_t o = 0; o < stock->option_count; o++) {
      length_t before = raster->point[i] - option_extent(&stock->options[o], along) - raster->kerf;
      if (before < 0 || lines->density[o] == 0) continue;
      cost_t own = filled[raster_floor(raster, before)] + lines->density[o];
      if (own > filled[i]) filled[i] = own;
    }
  }
}

int64_t flaw_lines_price(struct flaw_lines *lines, const cost_t *option_worth) {
  const struct nest_stock *stock = lines->stock;
  int64_t work = 0;
  lines->priced = true;
  for (size_t o = 0; o < stock->option_count; o++)
    if (option_worth[o] > MOST_WORTH) lines->priced = false;
  for (int d = 0; d < 2 && lines->priced; d++) {
    enum division along = (enum division)d;
    for (size_t o = 0; o < stock->option_count; o++) {
      length_t grown =
          option_extent(&stock->options[o], across(along)) + kerf_along(stock, across(along));
      wide_cost spread = (wide_cost)(option_worth[o] < 0 ? 0 : option_worth[o]) << SPREAD_BITS;
      lines->density[o] = (cost_t)((spread + grown - 1) / grown);
    }
    fill(lines, along);
    work += (int64_t)(lines->raster[along]->count * stock->option_count);
  }
  return work;
}

/* ---- lines ---- */

static cost_t best_filling(const struct flaw_lines *lines, enum division along, length_t extent) {
  const struct raster *raster = lines->raster[along];
  return extent <= 0 ? 0 : lines->filled[along][raster_floor(raster, extent + raster->kerf)];
}

/* A piece on a line across whose kerf alone reaches the line need not meet a flaw there. */
static bool is_met(const struct flaw_lines *lines, enum division along, size_t f, length_t line) {
  const struct span *span = &lines->flaws[across(along)][f];
  return span->low + kerf_along(lines->stock, across(along)) <= line && line < span->high;
}

/* The best filling of one line of an area. */
static cost_t fill_line(const struct flaw_lines *lines, const struct area *area,
                        enum division along, length_t line) {
  cost_t worth = 0;
  length_t from = area->low[along];
  for (size_t i = 0; i < lines->flaw_count; i++) {
    size_t f = lines->order[along][i];
    const struct span *span = &lines->flaws[along][f];
    if (span->high <= from || !is_met(lines, along, f, line)) continue;
    if (span->low >= area->high[along]) break;
    worth += best_filling(lines, along, span->low - from);
    from = span->high;
  }
  return worth + best_filling(lines, along, area->high[along] - from);
}

/* The lines at which others flaws are met than before, from the first to the last. */
static size_t list_edges(struct flaw_lines *lines, const struct area *area, enum division along) {
  enum division over = across(along);
  length_t kerf = kerf_along(lines->stock, over);
  length_t low = area->low[over];
  length_t high = area->high[over] + kerf;
  size_t count = 0;
  lines->edges[count++] = low;
  for (size_t f = 0; f < lines->flaw_count; f++) {
    const struct span *own = &lines->flaws[along][f];
    if (own->low >= area->high[along] || own->high <= area->low[along]) continue;
    length_t edge[2] = {lines->flaws[over][f].low + kerf, lines->flaws[over][f].high};
    for (int i = 0; i < 2; i++)
      if (edge[i] > low && edge[i] < high) lines->edges[count++] = edge[i];
  }
  lines->edges[count++] = high;
  for (size_t i = 1; i < count; i++)
    for (size_t j = i; j > 0 && lines->edges[j - 1] > lines->edges[j]; j--) {
      length_t swap = lines->edges[j];
      lines->edges[j] = lines->edges[j - 1];
      lines->edges[j - 1] = swap;
    }
  return count;
}

static cost_t most_along(struct flaw_lines *lines, const struct area *area, enum division along) {
  size_t count = list_edges(lines, area, along);
  wide_cost worth = 0;
  for (size_t i = 0; i + 1 < count; i++) {
    length_t lines_between = lines->edges[i + 1] - lines->edges[i];
    if (lines_between > 0)
      worth += (wide_cost)lines_between * fill_line(lines, area, along, lines->edges[i]);
  }
  worth >>= SPREAD_BITS;
  return worth > INT64_MAX / 4 ? INT64_MAX / 4 : (cost_t)worth;
}

cost_t flaw_lines_most(struct flaw_lines *lines, const struct area *area) {
  if (!lines->priced) return INT64_MAX / 4;
  cost_t lengthwise = most_along(lines, area, DIVIDE_LENGTH);
  cost_t widthwise = most_along(lines, area, DIVIDE_WIDTH);
  return lengthwise < widthwise ? lengthwise : widthwise;
}
