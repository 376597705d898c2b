#include "nest/bounded_outside.h"

/* G: completion of a block as first part of a run. Closed: completion of a whole run. Best
 * closed: the best of closed runs as long or longer. */
struct filling {
  struct bounded_inside *inside;
  struct bounded_outside *outside;
  size_t forms;                    /* 1 without levels */
  cost_t *closed[2 * MOST_LEVELS]; /* per form; without levels one per direction, the same */
  cost_t *best_closed[2 * MOST_LEVELS];
  bool widens;       /* wastes are free, rules do not bind */
  cost_t *wider_run; /* per x: best completion as a wider run's first part */
};

static size_t cell_of(const struct filling *fill, const size_t *slot) {
  return slot[ALONG_Y] * fill->outside->slots[ALONG_X] + slot[ALONG_X];
}

/* Best over runs closed at a slot or beyond, along d. */
static cost_t best_closed(const struct filling *fill, size_t form, const size_t *slot,
                          size_t from) {
  size_t d = form % 2;
  if (from >= fill->outside->slots[d]) return WORTH_NEVER;
  size_t at[2] = {slot[0], slot[1]};
  at[d] = from;
  return fill->best_closed[form][cell_of(fill, at)];
}

/* The run grown by one pick: the slot it then ends at. */
static bool grown_slot(const struct bounded_axis *axis, size_t slot, size_t point, size_t *grown) {
  if (slot == axis->point_count) return false; /* the whole, which is no point */
  length_t sum = axis->point[slot] + axis->point[point];
  if (sum > axis->whole) return false;
  if (sum == axis->whole) {
    *grown = axis->slot_count - 1;
    return true;
  }
  *grown = axis->floor_point == NULL
               ? bounded_axis_floor(axis, sum)
               : axis->floor_point[axis->point_unit[slot] + axis->point_unit[point]];
  return !axis->halves || axis->point[*grown] == sum;
}

/* The first slot longer than the block and something over `point` together. */
static size_t slot_beyond(const struct bounded_axis *axis, size_t slot, size_t point) {
  if (slot >= axis->point_count) return axis->slot_count;
  length_t sum = axis->point[slot] + axis->point[point];
  if (sum >= axis->whole) return axis->slot_count;
  return bounded_axis_floor(axis, sum) + 1;
}

/* Ways to go on with a run along the form's direction, `slot` long and wide by now. */
static cost_t go_on(struct filling *fill, size_t form, const size_t *slot, const cost_t *table) {
  struct bounded_inside *inside = fill->inside;
  size_t d = form % 2;
  const struct bounded_axis *axis = inside->axis[d];
  size_t across = bounded_axis_index_of_slot(inside->axis[1 - d], slot[1 - d]);
  if (!inside->may_divide[d][across]) return WORTH_NEVER;
  cost_t best = best_closed(fill, form, slot, slot[d] + 1) - inside->waste;
  const struct bounded_picks *picks = &inside->picks[form][across];
  size_t at[2] = {slot[0], slot[1]};
  for (size_t i = 0; i < picks->count; i++) {
    if (!grown_slot(axis, slot[d], picks->items[i].point, &at[d])) continue;
    best = larger(best, picks->items[i].worth + table[cell_of(fill, at)]);
  }
  const struct bounded_picks *lasts = &inside->lasts[form][across];
  for (size_t i = 0; i < lasts->count; i++) {
    size_t from = slot_beyond(axis, slot[d], lasts->items[i].point);
    best = larger(best, lasts->items[i].worth + best_closed(fill, form, slot, from));
  }
  inside->work += (int64_t)(picks->count + lasts->count) + 1;
  return best;
}

static void set_closed(struct filling *fill, size_t form, const size_t *slot, cost_t closed) {
  size_t cell = cell_of(fill, slot);
  cost_t longer = best_closed(fill, form, slot, slot[form % 2] + 1);
  fill->closed[form][cell] = closed;
  fill->best_closed[form][cell] = larger(closed, longer);
}

static bool is_whole(const struct filling *fill, const size_t *slot) {
  return slot[0] + 1 == fill->outside->slots[0] && slot[1] + 1 == fill->outside->slots[1];
}

/* Any number of stages: a closed run is the first part of any other. The table along each
 * direction differs at the whole stock only, where the first cut may be bound. */
static void fill_shared(struct filling *fill, const size_t *slot) {
  const bool *first = fill->inside->job->first;
  size_t cell = cell_of(fill, slot);
  bool exact = fill->inside->axis[ALONG_X]->halves; /* else it may only be nearly whole */
  cost_t worth = is_whole(fill, slot) ? 0 : WORTH_NEVER;
  for (size_t d = 0; d < 2; d++) worth = larger(worth, go_on(fill, d, slot, fill->closed[d]));
  fill->outside->table[0][cell] = worth;
  for (size_t d = 0; d < 2; d++)
    set_closed(fill, d, slot, is_whole(fill, slot) && exact && !first[d] ? WORTH_NEVER : worth);
}

/* Where that costs nothing, the parts of a run can all be made wider. */
static cost_t wider(const struct filling *fill, size_t form, const size_t *slot) {
  size_t at[2] = {slot[0], slot[1]};
  if (++at[1 - form % 2] == fill->outside->slots[1 - form % 2]) return WORTH_NEVER;
  return fill->outside->table[form][cell_of(fill, at)];
}

static void fill_staged(struct filling *fill, const size_t *slot) {
  const bool *first = fill->inside->job->first;
  size_t cell = cell_of(fill, slot);
  cost_t **table = fill->outside->table;
  bool exact = fill->inside->axis[ALONG_X]->halves;
  for (size_t form = fill->forms; form-- > 0;) {
    size_t d = form % 2;
    bool deepest = form + 2 >= fill->forms;
    cost_t closed = is_whole(fill, slot) && (first[d] || !exact) ? 0 : WORTH_NEVER;
    if (!deepest) {
      closed = larger(closed, fill->closed[form + 2][cell]);
      closed = larger(closed, table[form + 2 + 1 - 2 * d][cell]);
    }
    set_closed(fill, form, slot, closed);
    cost_t worth = larger(closed, go_on(fill, form, slot, table[form]));
    if (!deepest) worth = larger(worth, table[form + 2][cell]);
    if (fill->widens) worth = larger(worth, wider(fill, form, slot));
    table[form][cell] = worth;
  }
}

/* A piece begins a run of the first level, trimmed across for nothing. `longer` is the best
 * completion of longer pieces in runs along y. */
static void fill_piece(struct filling *fill, const size_t *slot, cost_t *longer) {
  struct bounded_inside *inside = fill->inside;
  size_t cell = cell_of(fill, slot);
  cost_t **table = fill->outside->table;
  size_t x = bounded_axis_index_of_slot(inside->axis[ALONG_X], slot[ALONG_X]);
  size_t y = bounded_axis_index_of_slot(inside->axis[ALONG_Y], slot[ALONG_Y]);
  cost_t worth = larger(table[ALONG_X][cell], table[ALONG_Y][cell]);
  if (is_whole(fill, slot)) worth = larger(worth, 0);
  if (inside->may_divide[ALONG_Y][x])
    worth = larger(worth, fill->wider_run[slot[ALONG_X]] - inside->waste);
  if (inside->may_divide[ALONG_X][y]) worth = larger(worth, *longer - inside->waste);
  table[fill->forms][cell] = worth;
  *longer = larger(*longer, table[ALONG_Y][cell]);
  cost_t *wider = &fill->wider_run[slot[ALONG_X]];
  *wider = larger(*wider, table[ALONG_X][cell]);
}

static void fill_all(struct filling *fill) {
  for (size_t x = 0; x < fill->outside->slots[ALONG_X]; x++) fill->wider_run[x] = WORTH_NEVER;
  for (size_t y = fill->outside->slots[ALONG_Y]; y-- > 0;) {
    cost_t longer = WORTH_NEVER;
    for (size_t x = fill->outside->slots[ALONG_X]; x-- > 0;) {
      size_t slot[2] = {x, y};
      if (fill->inside->levels == 0) {
        fill_shared(fill, slot);
        continue;
      }
      fill_staged(fill, slot);
      fill_piece(fill, slot, &longer);
    }
  }
}

struct bounded_outside *bounded_outside_create(struct arena *arena, struct bounded_inside *inside,
                                               const cost_t *price) {
  struct bounded_outside *outside = ARENA_NEW(arena, struct bounded_outside);
  struct filling fill = {.inside = inside, .outside = outside};
  outside->levels = inside->levels;
  fill.widens = !inside->job->strict || inside->job->narrow;
  fill.forms = inside->levels == 0 ? 1 : inside->forms;
  for (int d = 0; d < 2; d++) outside->slots[d] = inside->axis[d]->slot_count;
  size_t cells = outside->slots[0] * outside->slots[1];
  for (size_t t = 0; t < fill.forms + (inside->levels == 0 ? 0 : 1); t++)
    outside->table[t] = ARENA_ARRAY(arena, cells, cost_t);
  for (size_t d = 0; d < inside->job->demand_count; d++)
    outside->given_back += price[d] * inside->job->limit[d];
  struct arena_mark mark = arena_mark(arena);
  for (size_t f = 0; f < inside->forms; f++) {
    fill.closed[f] = ARENA_ARRAY(arena, cells, cost_t);
    fill.best_closed[f] = ARENA_ARRAY(arena, cells, cost_t);
  }
  fill.wider_run = ARENA_ARRAY(arena, outside->slots[0], cost_t);
  fill_all(&fill);
  arena_release(arena, mark);
  return outside;
}
