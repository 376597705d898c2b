#include "cut_places.h"

#include <stdlib.h>

#define FLAWS_MAX 8

struct lengths {
  length_t *items;
  size_t count, room;
};

static bool has(const struct lengths *list, length_t length) {
  for (size_t i = 0; i < list->count; i++)
    if (list->items[i] == length) return true;
  return false;
}

static void add(struct arena *arena, struct lengths *list, length_t length) {
  if (!has(list, length)) *ARENA_PUSH(arena, list->items, list->count, list->room) = length;
}

static int compare(const void *a, const void *b) {
  length_t one = *(const length_t *)a;
  length_t other = *(const length_t *)b;
  return (one > other) - (one < other);
}

static length_t kerf_of(const struct nest_stock *stock, enum cut_axis axis) {
  return axis == CUT_X ? stock->kerf_crosscut : stock->kerf_rip;
}

static length_t size_of(const struct nest_option *option, enum cut_axis axis) {
  return axis == CUT_X ? option->length : option->width;
}

static length_t extent_of(const struct nest_stock *stock, enum cut_axis axis) {
  return axis == CUT_X ? stock->length : stock->width;
}

/* All sums of the given sizes with kerfs between them, below the extent. */
static void add_sums(struct arena *arena, const struct lengths *sizes, length_t kerf,
                     length_t extent, struct lengths *sums) {
  for (size_t i = 0; i < sizes->count; i++)
    if (sizes->items[i] < extent) add(arena, sums, sizes->items[i]);
  for (size_t i = 0; i < sums->count; i++)
    for (size_t j = 0; j < sizes->count; j++) {
      length_t sum = sums->items[i] + kerf + sizes->items[j];
      if (sum < extent) add(arena, sums, sum);
    }
}

static void add_sizes(struct arena *arena, const struct nest_stock *stock, enum cut_axis axis,
                      struct lengths *sizes) {
  for (size_t i = 0; i < stock->option_count; i++)
    add(arena, sizes, size_of(&stock->options[i], axis));
}

/* How wide the narrower strip of a rip can come out: so long the piece ripped may have to
 * be where a rip must not be wider than long. */
static void add_narrower(struct arena *arena, const struct nest_stock *stock,
                         const struct lengths *sums, struct lengths *sizes) {
  struct lengths widths = {0};
  add(arena, &widths, stock->width);
  for (size_t i = 0; i < widths.count; i++)
    for (size_t j = 0; j < sums->count; j++) {
      length_t low = sums->items[j];
      length_t high = widths.items[i] - low - stock->kerf_rip;
      if (low >= widths.items[i]) continue;
      add(arena, &widths, low);
      if (high > 0) add(arena, &widths, high);
      if (high > 0) add(arena, sizes, low < high ? low : high);
    }
}

/* A size below every piece's need not be asked for: what is ripped holds a piece. */
static void drop_short(const struct nest_stock *stock, struct lengths *sizes) {
  length_t least = INT64_MAX;
  for (size_t i = 0; i < stock->option_count; i++)
    if (stock->options[i].length < least) least = stock->options[i].length;
  size_t kept = 0;
  for (size_t i = 0; i < sizes->count; i++)
    if (sizes->items[i] >= least) sizes->items[kept++] = sizes->items[i];
  sizes->count = kept;
}

static void low_parts(struct arena *arena, const struct nest_stock *stock, enum cut_axis axis,
                      struct lengths *places) {
  struct lengths sizes = {0};
  add_sizes(arena, stock, axis, &sizes);
  if (axis == CUT_X && stock->rules.rip_no_wider_than_long) {
    struct lengths sums = {0};
    low_parts(arena, stock, CUT_Y, &sums);
    add_narrower(arena, stock, &sums, &sizes);
  }
  if (axis == CUT_X && stock->rules.rip_min_length > 0)
    add(arena, &sizes, stock->rules.rip_min_length);
  if (axis == CUT_X) drop_short(stock, &sizes);
  add_sums(arena, &sizes, kerf_of(stock, axis), extent_of(stock, axis), places);
}

/* Places at which a piece may begin behind a flaw. */
static void behind_flaws(struct arena *arena, const struct nest_stock *stock, enum cut_axis axis,
                         struct lengths *edges) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t edge = axis == CUT_X ? flaw->x + flaw->length : flaw->y + flaw->width;
    if (!flaw->rim_ok) add(arena, edges, edge);
    for (size_t i = 0; flaw->rim_ok && i < stock->option_count; i++)
      add(arena, edges,
          edge - (axis == CUT_X ? stock->options[i].core_x : stock->options[i].core_y));
  }
}

/* A piece begins at the side, a kerf behind another, or behind a flaw, which takes a cut
 * before it and so at least a kerf of room. */
static void kerf_places(struct arena *arena, const struct nest_stock *stock, enum cut_axis axis,
                        struct lengths *places) {
  struct lengths edges = {0};
  struct lengths starts = {0};
  length_t kerf = kerf_of(stock, axis);
  length_t extent = extent_of(stock, axis);
  behind_flaws(arena, stock, axis, &edges);
  add(arena, &starts, 0);
  for (size_t i = 0; i < edges.count; i++)
    if (edges.items[i] >= kerf && edges.items[i] < extent) add(arena, &starts, edges.items[i]);
  for (size_t i = 0; i < starts.count; i++) {
    length_t start = starts.items[i];
    for (size_t j = 0; j < stock->option_count; j++) {
      length_t next = start + size_of(&stock->options[j], axis) + kerf;
      if (next - kerf < extent) add(arena, &starts, next);
    }
    for (size_t j = 0; j < edges.count; j++)
      if (edges.items[j] > start && edges.items[j] < start + kerf)
        add(arena, &starts, start + kerf);
  }
  for (size_t i = 0; i < starts.count; i++)
    if (starts.items[i] >= kerf) add(arena, places, starts.items[i] - kerf);
}

void cut_places_find(struct arena *arena, const struct nest_stock *stock,
                     struct cut_places *places) {
  for (enum cut_axis axis = CUT_X; axis <= CUT_Y; axis++) {
    struct lengths list = {0};
    if (stock->flaw_count > 0)
      kerf_places(arena, stock, axis, &list);
    else
      low_parts(arena, stock, axis, &list);
    if (list.count > 0) qsort(list.items, list.count, sizeof *list.items, compare);
    places->place[axis] = list.items;
    places->count[axis] = list.count;
  }
}

bool cut_places_clear(const struct nest_stock *stock, const struct nest_option *option, length_t x,
                      length_t y) {
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &stock->flaws[i];
    length_t rim_x = flaw->rim_ok ? option->core_x : 0;
    length_t rim_y = flaw->rim_ok ? option->core_y : 0;
    if (x + rim_x < flaw->x + flaw->length && flaw->x < x + option->length - rim_x &&
        y + rim_y < flaw->y + flaw->width && flaw->y < y + option->width - rim_y)
      return false;
  }
  return true;
}

/* The lowest starts that matter from `low` on: the side, and behind each flaw's edge. */
static size_t starts_from(const struct nest_stock *stock, const struct nest_option *option,
                          enum cut_axis axis, length_t low, length_t *starts) {
  length_t kerf = kerf_of(stock, axis);
  size_t count = 0;
  starts[count++] = low;
  starts[count++] = low + kerf;
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &stock->flaws[i];
    length_t rim = !flaw->rim_ok ? 0 : axis == CUT_X ? option->core_x : option->core_y;
    length_t edge = (axis == CUT_X ? flaw->x + flaw->length : flaw->y + flaw->width) - rim;
    if (edge >= low + kerf) starts[count++] = edge;
  }
  return count;
}

bool cut_places_spot(const struct nest_stock *stock, const struct nest_option *option, length_t x,
                     length_t y, length_t length, length_t width) {
  length_t starts_x[FLAWS_MAX + 2];
  length_t starts_y[FLAWS_MAX + 2];
  if (stock->flaw_count > FLAWS_MAX) abort();
  size_t count_x = starts_from(stock, option, CUT_X, x, starts_x);
  size_t count_y = starts_from(stock, option, CUT_Y, y, starts_y);
  for (size_t i = 0; i < count_x; i++)
    for (size_t j = 0; j < count_y; j++)
      if (starts_x[i] + option->length <= x + length && starts_y[j] + option->width <= y + width &&
          cut_places_clear(stock, option, starts_x[i], starts_y[j]))
        return true;
  return false;
}
