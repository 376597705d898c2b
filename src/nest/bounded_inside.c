#include "nest/bounded_inside.h"

static void note_division(struct arena *arena, struct bounded_inside *inside) {
  const struct bounded_job *job = inside->job;
  for (int d = 0; d < 2; d++) {
    const struct bounded_axis *across = inside->axis[1 - d];
    inside->may_divide[d] = ARENA_ARRAY(arena, inside->width[1 - d], bool);
    for (size_t i = 0; i < inside->width[1 - d]; i++) {
      length_t whole = job->whole[1 - d];
      bool may = d == ALONG_Y ? bounded_axis_most(across, i, whole) >= job->rip_min
                              : job->crosscut_capacity == 0 || across->scale > 1 ||
                                    bounded_axis_least(across, i) <= job->crosscut_capacity;
      if (d == ALONG_X && i == across->top && across->halves && job->crosscut_capacity > 0)
        may = whole <= job->crosscut_capacity;
      inside->may_divide[d][i] = may;
    }
  }
}

/* Where the first cut has one direction, so has each level. */
static void note_reached(struct bounded_inside *inside) {
  for (size_t form = 0; form < inside->forms; form++) {
    size_t turns = (inside->forms - 1 - form) / 2;
    size_t first = turns % 2 == 0 ? form % 2 : 1 - form % 2;
    inside->is_reached[form] = inside->levels == 0 || inside->job->first[first];
  }
}

struct bounded_inside *bounded_inside_create(struct arena *arena, const struct bounded_job *job,
                                             const struct bounded_axis *x,
                                             const struct bounded_axis *y, bool charged) {
  struct bounded_inside *inside = ARENA_NEW(arena, struct bounded_inside);
  inside->job = job;
  inside->arena = arena;
  inside->axis[ALONG_X] = x;
  inside->axis[ALONG_Y] = y;
  inside->width[ALONG_X] = x->top + 1;
  inside->width[ALONG_Y] = y->top + 1;
  inside->levels = job->stages <= MOST_LEVELS ? job->stages : 0;
  inside->forms = inside->levels == 0 ? 2 : 2 * (size_t)inside->levels;
  inside->waste = charged ? job->cut_cost : 0;
  inside->option_worth = ARENA_ARRAY(arena, job->option_count, cost_t);
  note_reached(inside);
  size_t cells = inside->width[ALONG_X] * inside->width[ALONG_Y];
  inside->piece = ARENA_ARRAY(arena, cells, cost_t);
  inside->lower_best = ARENA_ARRAY(arena, inside->width[ALONG_X], cost_t);
  for (size_t f = 0; f < inside->forms; f++) {
    bool shared = inside->levels == 0 && f > 0;
    inside->table[f] = shared ? inside->table[0] : ARENA_ARRAY(arena, cells, cost_t);
    size_t across = inside->width[1 - f % 2];
    inside->picks[f] = ARENA_ARRAY(arena, across, struct bounded_picks);
    inside->lasts[f] = ARENA_ARRAY(arena, across, struct bounded_picks);
  }
  note_division(arena, inside);
  return inside;
}

static void fill_pieces(struct bounded_inside *inside, const cost_t *price) {
  const struct bounded_job *job = inside->job;
  size_t cells = inside->width[ALONG_X] * inside->width[ALONG_Y];
  for (size_t c = 0; c < cells; c++) inside->piece[c] = WORTH_NEVER;
  for (size_t x = 0; x < inside->width[ALONG_X]; x++) inside->lower_best[x] = WORTH_NEVER;
  for (size_t i = 0; i < job->option_count; i++) {
    const struct bounded_option *option = &job->options[i];
    inside->option_worth[i] = job->worth[option->demand] - price[option->demand] - job->cut_cost;
    size_t x = bounded_axis_index(inside->axis[0], option->extent[0] / inside->axis[0]->scale);
    size_t y = bounded_axis_index(inside->axis[1], option->extent[1] / inside->axis[1]->scale);
    cost_t *piece = &inside->piece[bounded_cell(inside, x, y)];
    if (inside->option_worth[i] + inside->waste > 0 && inside->option_worth[i] > *piece)
      *piece = inside->option_worth[i];
  }
}

static void empty_picks(struct bounded_inside *inside) {
  for (size_t f = 0; f < inside->forms; f++)
    for (size_t i = 0; i < inside->width[1 - f % 2]; i++) {
      inside->picks[f][i].count = 0;
      inside->lasts[f][i].count = 0;
    }
}

/* Where points are no multiples of a unit that is not too small. */
static cost_t compose_slowly(const struct bounded_axis *axis, const struct bounded_picks *picks,
                             size_t along, const cost_t *line, size_t step, cost_t best) {
  for (size_t i = 0; i < picks->count; i++) {
    const struct bounded_pick *pick = &picks->items[i];
    size_t rest = bounded_axis_minus(axis, along, pick->point);
    cost_t worth = pick->worth + line[rest * step];
    if (worth > best) best = worth;
  }
  return best;
}

/* The best run along d of rectangle (x, y) from parts smaller than it, its rest waste. */
static cost_t compose(struct bounded_inside *inside, size_t form, size_t x, size_t y) {
  size_t d = form % 2;
  size_t across = d == ALONG_X ? y : x;
  size_t along = d == ALONG_X ? x : y;
  cost_t best = -inside->waste;
  if (!inside->may_divide[d][across]) return best;
  const struct bounded_picks *picks = &inside->picks[form][across];
  const cost_t *table = inside->table[form];
  size_t step = d == ALONG_X ? 1 : inside->width[ALONG_X];
  const cost_t *line = table + (d == ALONG_X ? bounded_cell(inside, 0, y) : x);
  inside->work += (int64_t)picks->count + 1;
  const struct bounded_axis *axis = inside->axis[d];
  if (axis->floor_point == NULL) return compose_slowly(axis, picks, along, line, step, best);
  const uint32_t *index = bounded_axis_exact(axis, along) ? axis->rest_index : axis->beyond_index;
  index += axis->point_unit[bounded_axis_point(axis, along)];
  for (size_t i = 0; i < picks->count; i++) {
    const struct bounded_pick *pick = &picks->items[i];
    cost_t worth = pick->worth + line[*(index - pick->unit) * step];
    if (worth > best) best = worth;
  }
  return best;
}

/* Notes a part better than what runs of smaller ones give; returns the better of both. */
static cost_t note_part(struct bounded_inside *inside, size_t form, size_t x, size_t y,
                        cost_t composed, cost_t part) {
  if (part <= composed) return composed;
  size_t d = form % 2;
  size_t across = d == ALONG_X ? y : x;
  size_t along = d == ALONG_X ? x : y;
  const struct bounded_axis *axis = inside->axis[d];
  struct bounded_picks *picks =
      bounded_axis_exact(axis, along) ? &inside->picks[form][across] : &inside->lasts[form][across];
  struct bounded_pick *pick = ARENA_PUSH(inside->arena, picks->items, picks->count, picks->room);
  size_t point = bounded_axis_point(axis, along);
  uint32_t unit = axis->point_unit == NULL ? 0 : axis->point_unit[point];
  *pick = (struct bounded_pick){(uint32_t)point, unit, part};
  return part;
}

/* Staged: a single piece as part of a run of the first level, trimmed across for nothing. */
struct trimmed {
  cost_t in_run[2];
};

static void fill_staged_cell(struct bounded_inside *inside, size_t x, size_t y,
                             const struct trimmed *trimmed) {
  size_t cell = bounded_cell(inside, x, y);
  bool whole = x == inside->axis[ALONG_X]->top && y == inside->axis[ALONG_Y]->top;
  for (size_t form = 0; form < inside->forms; form++) {
    size_t d = form % 2;
    if (!inside->is_reached[form]) continue;
    cost_t part = form < 2 ? trimmed->in_run[d] : inside->table[form - 2 + 1 - 2 * d][cell];
    cost_t composed = compose(inside, form, x, y);
    inside->table[form][cell] = note_part(inside, form, x, y, composed, part);
    if (whole) inside->root[d] = inside->axis[d]->halves ? composed : inside->table[form][cell];
  }
}

static void fill_shared_cell(struct bounded_inside *inside, size_t x, size_t y) {
  size_t cell = bounded_cell(inside, x, y);
  cost_t run[2] = {compose(inside, ALONG_X, x, y), compose(inside, ALONG_Y, x, y)};
  cost_t piece = inside->piece[cell];
  inside->table[0][cell] = larger(piece, larger(run[0], run[1]));
  note_part(inside, ALONG_X, x, y, run[ALONG_X], larger(piece, run[ALONG_Y]));
  note_part(inside, ALONG_Y, x, y, run[ALONG_Y], larger(piece, run[ALONG_X]));
  for (size_t d = 0; d < 2; d++) /* what is only nearly whole may be trimmed first */
    inside->root[d] = inside->axis[d]->halves ? run[d] : inside->table[0][cell];
}

static void fill_row(struct bounded_inside *inside, size_t y) {
  cost_t shorter = WORTH_NEVER; /* best piece of exactly this width and less length */
  bool trim_x = inside->may_divide[ALONG_X][y];
  for (size_t x = 1; x < inside->width[ALONG_X]; x++) {
    if (inside->levels == 0) {
      fill_shared_cell(inside, x, y);
      continue;
    }
    cost_t piece = inside->piece[bounded_cell(inside, x, y)];
    bool trim_y = inside->may_divide[ALONG_Y][x];
    struct trimmed trimmed = {{piece, piece}};
    if (trim_y) trimmed.in_run[ALONG_X] = larger(piece, inside->lower_best[x] - inside->waste);
    if (trim_x) trimmed.in_run[ALONG_Y] = larger(piece, shorter - inside->waste);
    fill_staged_cell(inside, x, y, &trimmed);
    shorter = larger(shorter, piece);
    inside->lower_best[x] = larger(inside->lower_best[x], piece);
  }
}

cost_t bounded_inside_price(struct bounded_inside *inside, const cost_t *price) {
  fill_pieces(inside, price);
  empty_picks(inside);
  for (size_t y = 1; y < inside->width[ALONG_Y]; y++) fill_row(inside, y);
  size_t x_top = inside->axis[ALONG_X]->top;
  size_t y_top = inside->axis[ALONG_Y]->top;
  cost_t best = larger(-inside->waste, inside->piece[bounded_cell(inside, x_top, y_top)]);
  for (int d = 0; d < 2; d++)
    if (inside->job->first[d]) best = larger(best, inside->root[d]);
  return best;
}

/* ---- the layout behind a worth ---- */

struct trace {
  const struct bounded_inside *inside;
  struct bounded_pool *pool;
  int64_t *counts;
};

/* Parts of one run, as far as they became blocks. */
struct parts {
  uint32_t *items;
  size_t count, room;
};

static uint32_t trace_cell(struct trace *trace, size_t form, size_t x, size_t y, cost_t worth);

static uint32_t trace_piece(struct trace *trace, size_t option) {
  const struct bounded_job *job = trace->inside->job;
  size_t demand = job->options[option].demand;
  if (++trace->counts[demand] > job->limit[demand]) return BLOCK_NONE;
  struct bounded_block piece = bounded_piece(job, option);
  return bounded_pool_add(trace->pool, &piece);
}

/* The piece of exactly (x, y), or when `trim` is a direction, of less than that along it. */
static bool find_piece(const struct bounded_inside *inside, size_t x, size_t y, int trim,
                       cost_t worth, size_t *option) {
  for (size_t i = 0; i < inside->job->option_count; i++) {
    const struct bounded_option *o = &inside->job->options[i];
    size_t ox = bounded_axis_index(inside->axis[0], o->extent[0] / inside->axis[0]->scale);
    size_t oy = bounded_axis_index(inside->axis[1], o->extent[1] / inside->axis[1]->scale);
    bool exact = ox == x && oy == y;
    bool trimmed = (trim == ALONG_X && ox < x && oy == y) || (trim == ALONG_Y && ox == x && oy < y);
    if ((exact && inside->option_worth[i] == worth) ||
        (trimmed && inside->option_worth[i] - inside->waste == worth)) {
      *option = i;
      return true;
    }
  }
  return false;
}

static uint32_t trace_part(struct trace *trace, size_t form, size_t x, size_t y, cost_t worth) {
  const struct bounded_inside *inside = trace->inside;
  size_t d = form % 2;
  size_t option = 0;
  if (inside->levels == 0) return trace_cell(trace, 0, x, y, worth);
  if (form >= 2) return trace_cell(trace, form - 2 + 1 - 2 * d, x, y, worth);
  if (find_piece(inside, x, y, d == ALONG_X ? ALONG_Y : ALONG_X, worth, &option))
    return trace_piece(trace, option);
  return BLOCK_NONE;
}

/* Walks the run of this worth along its direction; `parts` gets its blocks. False when no
 * run of smaller parts is worth that. */
static bool walk_run(struct trace *trace, size_t form, size_t x, size_t y, cost_t worth,
                     struct parts *parts) {
  const struct bounded_inside *inside = trace->inside;
  size_t d = form % 2;
  size_t at[2] = {x, y};
  bool any = false;
  while (at[d] > 0 && inside->may_divide[d][at[1 - d]]) {
    const struct bounded_picks *picks = &inside->picks[form][at[1 - d]];
    size_t own = bounded_axis_point(inside->axis[d], at[d]);
    size_t i = 0;
    size_t rest[2] = {at[0], at[1]};
    for (; i < picks->count; i++) {
      if (picks->items[i].point > own) continue;
      size_t index = inside->axis[d]->halves ? 2 * picks->items[i].point : picks->items[i].point;
      if (index == at[d] && !any) continue; /* not a run of smaller parts */
      rest[d] = bounded_axis_minus(inside->axis[d], at[d], picks->items[i].point);
      if (picks->items[i].worth + inside->table[form][bounded_cell(inside, rest[0], rest[1])] ==
          worth)
        break;
    }
    if (i == picks->count) break;
    size_t part[2] = {at[0], at[1]};
    part[d] = inside->axis[d]->halves ? 2 * picks->items[i].point : picks->items[i].point;
    uint32_t block = trace_part(trace, form, part[0], part[1], picks->items[i].worth);
    if (block != BLOCK_NONE)
      *ARENA_PUSH(trace->pool->arena, parts->items, parts->count, parts->room) = block;
    worth -= picks->items[i].worth;
    at[d] = rest[d];
    any = true;
  }
  if (any && at[d] > 0 && worth > -inside->waste) { /* a last part takes in the rest */
    uint32_t block = trace_part(trace, form, at[0], at[1], worth);
    if (block != BLOCK_NONE)
      *ARENA_PUSH(trace->pool->arena, parts->items, parts->count, parts->room) = block;
  }
  return any;
}

/* Joins parts along d, the widest first; those that do not join are dropped. */
static uint32_t join_parts(struct trace *trace, int d, struct parts *parts, bool full) {
  struct bounded_pool *pool = trace->pool;
  const struct bounded_job *job = pool->job;
  for (size_t i = 1; i < parts->count; i++)
    for (size_t j = i; j > 0; j--) {
      length_t before = pool->blocks[parts->items[j - 1]].extent[1 - d];
      if (before >= pool->blocks[parts->items[j]].extent[1 - d]) break;
      uint32_t swap = parts->items[j];
      parts->items[j] = parts->items[j - 1];
      parts->items[j - 1] = swap;
    }
  uint32_t run = BLOCK_NONE;
  for (size_t i = 0; i < parts->count; i++) {
    struct bounded_block joined;
    if (run == BLOCK_NONE) {
      run = parts->items[i];
      if (!full || !bounded_begin_full(job, d, &pool->blocks[run], &joined)) continue;
      joined.low = run;
      joined.high = BLOCK_NONE;
    } else {
      if (!bounded_join(job, d, &pool->blocks[run], &pool->blocks[parts->items[i]], &joined))
        continue;
      joined.low = run;
      joined.high = parts->items[i];
    }
    run = bounded_pool_add(pool, &joined);
  }
  return run;
}

static uint32_t trace_run(struct trace *trace, size_t form, size_t x, size_t y, cost_t worth,
                          bool full, bool *found) {
  struct parts parts = {0};
  *found = walk_run(trace, form, x, y, worth, &parts);
  return *found ? join_parts(trace, (int)(form % 2), &parts, full) : BLOCK_NONE;
}

static uint32_t trace_cell(struct trace *trace, size_t form, size_t x, size_t y, cost_t worth) {
  const struct bounded_inside *inside = trace->inside;
  if (worth <= -inside->waste) return BLOCK_NONE;
  size_t option = 0;
  bool found = false;
  if (inside->levels == 0 && find_piece(inside, x, y, -1, worth, &option))
    return trace_piece(trace, option);
  uint32_t block = trace_run(trace, form, x, y, worth, false, &found);
  if (found) return block;
  if (inside->levels == 0) return trace_run(trace, ALONG_Y, x, y, worth, false, &found);
  return trace_part(trace, form, x, y, worth);
}

uint32_t bounded_inside_trace(const struct bounded_inside *inside, struct bounded_pool *pool,
                              bool full, int64_t *counts) {
  struct trace trace = {inside, pool, counts};
  const struct bounded_job *job = inside->job;
  for (size_t d = 0; d < job->demand_count; d++) counts[d] = 0;
  size_t x = inside->axis[ALONG_X]->top;
  size_t y = inside->axis[ALONG_Y]->top;
  cost_t piece = inside->piece[bounded_cell(inside, x, y)];
  cost_t run[2] = {job->first[0] ? inside->root[0] : WORTH_NEVER,
                   job->first[1] ? inside->root[1] : WORTH_NEVER};
  size_t option = 0;
  if (piece >= larger(run[0], run[1])) {
    if (!find_piece(inside, x, y, -1, piece, &option)) return BLOCK_NONE;
    return trace_piece(&trace, option);
  }
  size_t d = run[0] >= run[1] ? ALONG_X : ALONG_Y;
  if (run[d] <= -inside->waste) return BLOCK_NONE;
  bool found = false;
  size_t form = inside->levels == 0 ? d : inside->forms - 2 + d;
  uint32_t block = trace_run(&trace, form, x, y, run[d], full, &found);
  return found ? block : trace_cell(&trace, form, x, y, run[d]);
}
