#include "nest/near_cells.h"

#include <string.h>

#include "nest/near_flawed.h"
#include "nest/staged_tables.h"

enum {
  MOST_ENTRIES = 400000,
  PUT_STEPS = 4,
  SHARED = 16 /* in place of stages */
};

/* A clear rectangle in so many stages, divided next along `along`. */
struct near_cell {
  int stages;
  enum division along;
  length_t extent[2];
  cost_t least; /* layouts worth less are not listed */
  struct near_list list;
  struct near_row *row; /* of SHARED */
  struct near_cell *next;
};

static cost_t counts_worth(const struct near *near, const struct near_counts *counts) {
  cost_t worth = 0;
  for (size_t d = 0; d < near->question->demand_count; d++)
    worth += near_count(counts, d) * near->question->demand_worth[d];
  return worth;
}

bool near_is_over(struct near *near) {
  near->failed =
      near->failed || near->steps >= near->question->steps || near->entry_count >= MOST_ENTRIES;
  return near->failed;
}

void near_keep(struct near *near, struct near_list *list, const struct near_entry *entry) {
  struct near_entry *own = ARENA_NEW(near->arena, struct near_entry);
  *own = *entry;
  near->entry_count++;
  *ARENA_PUSH(near->arena, list->items, list->count, list->room) = own;
}

void near_offer(struct near *near, struct near_list *list, const struct near_entry *entry) {
  size_t kept = 0;
  near->steps += (int64_t)list->count + 1;
  for (size_t i = 0; i < list->count; i++)
    if (near_covers(&list->items[i]->counts, &entry->counts)) return;
  for (size_t i = 0; i < list->count; i++)
    if (!near_covers(&entry->counts, &list->items[i]->counts)) list->items[kept++] = list->items[i];
  list->count = kept;
  near_keep(near, list, entry);
}

static struct near_cell **look_up(struct near *near, int stages, enum division along,
                                  const length_t *extent);

/* One piece of exactly the extent across, trimmed along. */
static void list_pieces(struct near *near, struct near_cell *cell) {
  const struct near_question *question = near->question;
  enum division along = cell->along;
  bool trims = may_divide(question->staged, along, cell->extent[across(along)]);
  for (size_t o = 0; o < question->stock->option_count; o++) {
    const struct nest_option *option = &question->stock->options[o];
    length_t over = cell->extent[along] - option_extent(option, along);
    if (option_extent(option, across(along)) != cell->extent[across(along)]) continue;
    if (over < 0 || (over > 0 && !trims)) continue;
    struct near_entry entry = {.along = along, .option = (uint32_t)o};
    if (near_count(&near->limit, option->demand) == 0) continue;
    near_set(&entry.counts, option->demand, 1);
    entry.worth = question->option_worth[o];
    if (entry.worth >= cell->least) near_offer(near, &cell->list, &entry);
  }
}

/* A part of a row: what it leads to from each raster point, and what it is worth at most. */
struct near_part {
  size_t point; /* of its grown extent */
  length_t extent;
  cost_t worth;
};

struct near_row {
  struct near_cell *cell;
  const struct raster *raster;
  size_t points; /* within the room */
  bool divides;
  bool must_divide;
  struct near_part *parts;
  size_t part_count;
  cost_t *rest;            /* per point: worth of the part that takes in the rest */
  cost_t *before, *behind; /* per point: most worth of what ends there, of what may follow */
  cost_t *most_before;     /* of what ends there or earlier */
  cost_t *needed;          /* less is of no use there; `low` is no more, and never falls */
  cost_t *low;
  struct near_list *reached; /* per point */
};

static void set_extents(const struct near_row *row, length_t along, length_t *extent) {
  extent[row->cell->along] = along;
  extent[across(row->cell->along)] = row->cell->extent[across(row->cell->along)];
}

static cost_t most_worth(struct near *near, const struct near_row *row, length_t along) {
  length_t extent[2];
  set_extents(row, along, extent);
  return staged_worth(near->question->staged, row->cell->stages - 1, across(row->cell->along),
                      extent[0], extent[1]);
}

/* Where a part leads to from a point; SIZE_MAX where it does not fit. */
static size_t led_to(const struct near_row *row, size_t from, size_t part_point) {
  size_t to = 0;
  length_t grown = row->raster->point[from] + row->raster->point[part_point];
  if (grown > row->raster->point[row->points - 1]) return SIZE_MAX;
  return raster_find(row->raster, grown, &to) ? to : SIZE_MAX;
}

static void list_parts(struct near *near, struct near_row *row) {
  struct near_cell *cell = row->cell;
  const struct raster *raster = row->raster;
  const struct series_sizes *sizes = staged_sizes(near->question->staged, cell->along);
  size_t most = cell->stages >= 3 ? raster->count : sizes->count + 1;
  row->parts = ARENA_ARRAY(near->arena, most, struct near_part);
  for (size_t i = cell->stages >= 3 ? 1 : 0; i < (cell->stages >= 3 ? row->points : sizes->count);
       i++) {
    length_t extent = cell->stages >= 3 ? raster->point[i] - raster->kerf : sizes->size[i];
    bool whole = extent == cell->extent[cell->along];
    size_t point = i;
    if (cell->stages < 3 &&
        (!raster_find(raster, extent + raster->kerf, &point) || point >= row->points))
      continue;
    if (whole ? row->must_divide : !row->divides) continue;
    cost_t worth = most_worth(near, row, extent);
    if (worth > 0) row->parts[row->part_count++] = (struct near_part){point, extent, worth};
  }
  for (size_t i = row->must_divide ? 1 : 0;
       cell->stages >= 2 && i < (row->divides ? row->points : 1); i++) {
    length_t rest = cell->extent[cell->along] - raster->point[i];
    row->rest[i] = rest > 0 ? most_worth(near, row, rest) : 0;
  }
}

/* A part no better than what shorter ones fill its room with tells nothing new of bounds. */
static void bound_points(struct near *near, struct near_row *row) {
  struct near_part *useful = ARENA_ARRAY(near->arena, row->part_count, struct near_part);
  size_t count = 0;
  for (size_t i = 1; i < row->points; i++) row->before[i] = COST_NEVER;
  for (size_t p = 0; p < row->part_count; p++) {
    const struct near_part *part = &row->parts[p];
    if (row->before[part->point] >= part->worth) continue;
    useful[count++] = *part;
    for (size_t i = 0; i < row->points; i++) {
      size_t to = row->before[i] <= COST_NEVER ? SIZE_MAX : led_to(row, i, part->point);
      if (to != SIZE_MAX && row->before[i] + part->worth > row->before[to])
        row->before[to] = row->before[i] + part->worth;
    }
  }
  for (size_t i = row->points; i-- > 0;) {
    row->behind[i] = row->rest[i];
    for (size_t p = 0; p < count; p++) {
      size_t to = led_to(row, i, useful[p].point);
      if (to != SIZE_MAX && useful[p].worth + row->behind[to] > row->behind[i])
        row->behind[i] = useful[p].worth + row->behind[to];
    }
  }
  for (size_t i = 0; i < row->points; i++) {
    bool less = i > 0 && row->most_before[i - 1] > row->before[i];
    row->most_before[i] = less ? row->most_before[i - 1] : row->before[i];
  }
  near->steps += (int64_t)(4 * row->points * (count + 1) + row->part_count);
}

/* What must be worth at a point so that the row can still be. */
static void need_for_row(struct near_row *row) {
  cost_t most = 0;
  for (size_t i = row->points; i-- > 0;) {
    if (row->behind[i] > most) most = row->behind[i];
    row->needed[i] = row->cell->least - row->behind[i];
    row->low[i] = row->cell->least - most;
  }
}

/* For rows of every shorter extent: none can make good what is lost up to a point. */
static void need_for_all(const struct near *near, struct near_row *row) {
  for (size_t i = 0; i < row->points; i++)
    row->needed[i] = row->low[i] = row->most_before[i] - near->slack;
}

/* Whether what is reached at an earlier point, or the same, makes as much: only where the most
 * worth up to there is no less. */
static bool is_beaten(struct near *near, const struct near_row *row, size_t at,
                      const struct near_entry *entry) {
  for (size_t i = at + 1; i-- > 0 && row->most_before[i] >= entry->worth;) {
    if (row->before[i] < entry->worth) continue;
    near->steps += (int64_t)row->reached[i].count;
    for (size_t e = 0; e < row->reached[i].count; e++)
      if (near_covers(&row->reached[i].items[e]->counts, &entry->counts)) return true;
  }
  return false;
}

/* Takes what an entry makes as much as out at its point and later ones. */
static void beat(struct near *near, const struct near_row *row, size_t at,
                 const struct near_entry *entry) {
  for (size_t i = at; i < row->points && row->low[i] <= entry->worth; i++) {
    struct near_list *list = &row->reached[i];
    size_t kept = 0;
    near->steps += (int64_t)list->count;
    for (size_t e = 0; e < list->count; e++)
      if (!near_covers(&entry->counts, &list->items[e]->counts))
        list->items[kept++] = list->items[e];
    list->count = kept;
  }
}

static void reach(struct near *near, const struct near_row *row, size_t at,
                  const struct near_entry *entry) {
  near->steps++;
  if (is_beaten(near, row, at, entry)) return;
  beat(near, row, at, entry);
  near_keep(near, &row->reached[at], entry);
}

struct near_entry near_put_behind(struct near *near, enum division along,
                                  const struct near_entry *before, const struct near_entry *part,
                                  length_t extent) {
  bool clipped = false;
  struct near_entry entry = {
      .before = before, .part = part, .extent = extent, .along = along, .option = NO_OPTION};
  near->steps += PUT_STEPS;
  entry.worth = before->worth + part->worth;
  entry.counts = near_add(&before->counts, &part->counts, &near->limit, &clipped);
  if (clipped) entry.worth = counts_worth(near, &entry.counts);
  return entry;
}

/* What a part can hold that the parts before it, shorter ones, cannot make in the same room. */
static void list_fresh(struct near *near, const struct near_row *row, const struct near_part *part,
                       const struct near_list *all, struct near_list *fresh) {
  for (size_t l = 0; l < all->count; l++)
    if (!is_beaten(near, row, part->point, all->items[l]))
      *ARENA_PUSH(near->arena, fresh->items, fresh->count, fresh->room) = all->items[l];
}

/* One part after the other, each as often as wanted: so their order makes no difference. */
static void add_part(struct near *near, struct near_row *row, const struct near_part *part) {
  /* parts may lie in any order: the least is asked of it where it comes first */
  cost_t least = row->needed[part->point];
  near->steps++;
  if (part->worth < least) return;
  length_t extent[2];
  struct near_list fresh = {NULL, 0, 0};
  set_extents(row, part->extent, extent);
  list_fresh(near, row, part,
             near_find_cell(near, row->cell->stages - 1, across(row->cell->along), extent, least),
             &fresh);
  for (size_t i = 0; i < row->points && fresh.count > 0 && !near_is_over(near); i++) {
    size_t to = row->reached[i].count == 0 ? SIZE_MAX : led_to(row, i, part->point);
    if (to == SIZE_MAX) continue;
    for (size_t e = 0; e < row->reached[i].count; e++)
      for (size_t l = 0; l < fresh.count; l++) {
        struct near_entry entry = near_put_behind(near, row->cell->along, row->reached[i].items[e],
                                                  fresh.items[l], part->extent);
        if (entry.worth >= row->needed[to]) reach(near, row, to, &entry);
      }
  }
}

static void add_rest(struct near *near, struct near_row *row, size_t at) {
  cost_t least = row->cell->least - row->before[at];
  if (row->before[at] <= COST_NEVER || row->rest[at] <= 0 || row->rest[at] < least) return;
  length_t extent[2];
  set_extents(row, row->cell->extent[row->cell->along] - row->raster->point[at], extent);
  const struct near_list *list =
      near_find_cell(near, row->cell->stages - 1, across(row->cell->along), extent, least);
  for (size_t e = 0; e < row->reached[at].count && !near_is_over(near); e++)
    for (size_t l = 0; l < list->count; l++) {
      struct near_entry entry =
          near_put_behind(near, row->cell->along, row->reached[at].items[e], list->items[l], 0);
      if (entry.worth >= row->cell->least) near_offer(near, &row->cell->list, &entry);
    }
}

static void open_row(struct near *near, struct near_row *row, struct near_cell *cell) {
  const struct raster *raster = near->question->staged->direction[cell->along].raster;
  *row = (struct near_row){.cell = cell, .raster = raster};
  row->points = raster_floor(raster, cell->extent[cell->along] + raster->kerf) + 1;
  row->divides = may_divide(near->question->staged, cell->along, cell->extent[across(cell->along)]);
  row->rest = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->before = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->behind = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->most_before = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->needed = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->low = ARENA_ARRAY(near->arena, row->points, cost_t);
  row->reached = ARENA_ARRAY(near->arena, row->points, struct near_list);
}

static void fill_row(struct near *near, struct near_row *row) {
  struct near_entry nothing = {.along = row->cell->along, .option = NO_OPTION};
  near_keep(near, &row->reached[0], &nothing);
  for (size_t p = 0; p < row->part_count && !near_is_over(near); p++)
    add_part(near, row, &row->parts[p]);
}

static void list_row(struct near *near, struct near_cell *cell, bool must_divide) {
  struct near_row row;
  open_row(near, &row, cell);
  row.must_divide = must_divide;
  list_parts(near, &row);
  bound_points(near, &row);
  if (row.behind[0] < cell->least) return;
  need_for_row(&row);
  fill_row(near, &row);
  for (size_t i = 0; i < row.points && !near_is_over(near); i++) {
    for (size_t e = 0; e < row.reached[i].count; e++)
      if (row.reached[i].items[e]->worth >= cell->least)
        near_offer(near, &cell->list, row.reached[i].items[e]);
    add_rest(near, &row, i);
  }
}

/* Rows of single pieces of every length, for one extent across. */
static const struct near_row *find_shared(struct near *near, const struct near_cell *cell) {
  length_t extent[2] = {cell->extent[0], cell->extent[1]};
  extent[cell->along] = whole_of(near->question->staged, cell->along);
  struct near_cell **at = look_up(near, SHARED, cell->along, extent);
  if (*at != NULL) return (*at)->row;
  struct near_cell *shared = ARENA_NEW(near->arena, struct near_cell);
  *shared = (struct near_cell){
      .stages = 1, .along = cell->along, .extent = {extent[0], extent[1]}, .least = 1};
  shared->row = ARENA_NEW(near->arena, struct near_row);
  open_row(near, shared->row, shared);
  list_parts(near, shared->row);
  bound_points(near, shared->row);
  need_for_all(near, shared->row);
  fill_row(near, shared->row);
  shared->stages = SHARED;
  at = look_up(near, SHARED, cell->along, extent);
  shared->next = *at;
  *at = shared;
  return shared->row;
}

static void list_single_row(struct near *near, struct near_cell *cell) {
  if (!may_divide(near->question->staged, cell->along, cell->extent[across(cell->along)])) {
    const struct near_list *pieces =
        near_find_cell(near, 0, across(cell->along), cell->extent, cell->least);
    for (size_t i = 0; i < pieces->count; i++) near_offer(near, &cell->list, pieces->items[i]);
    return;
  }
  const struct near_row *row = find_shared(near, cell);
  size_t points = raster_floor(row->raster, cell->extent[cell->along] + row->raster->kerf) + 1;
  for (size_t i = points; i-- > 0 && row->most_before[i] >= cell->least;)
    for (size_t e = 0; e < row->reached[i].count; e++)
      if (row->reached[i].items[e]->worth >= cell->least)
        near_offer(near, &cell->list, row->reached[i].items[e]);
}

/* Extents between raster points are all the same. */
static length_t plain_extent(const struct near *near, enum division d, length_t extent) {
  const struct raster *raster = near->question->staged->direction[d].raster;
  size_t i = raster_floor(raster, extent + raster->kerf);
  length_t low = raster->point[i] - raster->kerf;
  return low == extent ? low : low + 1;
}

static struct near_cell **look_up(struct near *near, int stages, enum division along,
                                  const length_t *extent) {
  uint64_t hash = (uint64_t)stages * 2 + (uint64_t)along;
  for (int d = 0; d < 2; d++) hash = (hash ^ (uint64_t)extent[d]) * UINT64_C(0x9E3779B97F4A7C15);
  struct near_cell **at = &near->buckets[(hash >> 32) % NEAR_BUCKETS];
  while (*at != NULL && !((*at)->stages == stages && (*at)->along == along &&
                          (*at)->extent[0] == extent[0] && (*at)->extent[1] == extent[1]))
    at = &(*at)->next;
  return at;
}

const struct near_list *near_find_cell(struct near *near, int stages, enum division along,
                                       const length_t *extent, cost_t least) {
  length_t plain[2] = {plain_extent(near, DIVIDE_LENGTH, extent[0]),
                       plain_extent(near, DIVIDE_WIDTH, extent[1])};
  if (least < 1) least = 1; /* what is worth nothing is of no use */
  struct near_cell **at = look_up(near, stages, along, plain);
  if (*at != NULL && (*at)->least <= least) return &(*at)->list;
  struct near_cell *cell = ARENA_NEW(near->arena, struct near_cell);
  *cell = (struct near_cell){.stages = stages,
                             .along = along,
                             .extent = {plain[0], plain[1]},
                             .least = least,
                             .next = *at == NULL ? NULL : (*at)->next};
  if (stages == 0)
    list_pieces(near, cell);
  else if (stages == 1)
    list_single_row(near, cell);
  else
    list_row(near, cell, false);
  at = look_up(near, stages, along, plain);
  *at = cell;
  return &cell->list;
}

/* The stock uncut is a piece. */
static void offer_whole(struct near *near, cost_t least, struct near_list *list) {
  const struct nest_stock *stock = near->question->stock;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (option->length != stock->length || option->width != stock->width) continue;
    if (near->question->flawed != NULL &&
        !flawed_option_is_clear(near->question->flawed, option, 0, 0))
      continue;
    struct near_entry entry = {.option = (uint32_t)o, .worth = near->question->option_worth[o]};
    if (near_count(&near->limit, option->demand) == 0 || entry.worth < least) continue;
    near_set(&entry.counts, option->demand, 1);
    near_offer(near, list, &entry);
  }
}

static void list_clear(struct near *near, cost_t least, struct near_list *list) {
  const struct nest_stock *stock = near->question->stock;
  const struct nest_rules *rules = &stock->rules;
  bool forced = !rules->crosscut_first || !rules->rip_first;
  int stages = rules->stages == 0 || rules->stages > 3 ? 3 : rules->stages;
  for (int d = 0; d < 2; d++) {
    if (d == DIVIDE_LENGTH ? !rules->crosscut_first : !rules->rip_first) continue;
    struct near_cell cell = {.stages = stages,
                             .along = (enum division)d,
                             .extent = {stock->length, stock->width},
                             .least = least};
    list_row(near, &cell, forced);
    for (size_t i = 0; i < cell.list.count; i++) near_offer(near, list, cell.list.items[i]);
  }
}

bool near_best_list(struct arena *arena, struct near_question *question, struct near_list *list) {
  struct near *near = ARENA_NEW(arena, struct near);
  cost_t least = question->least < 1 ? 1 : question->least;
  near->question = question;
  near->arena = arena;
  near->slack = staged_best(question->staged) - least;
  for (size_t d = 0; d < question->demand_count; d++) near_set(&near->limit, d, question->limit[d]);
  if (question->flawed != NULL)
    near_list_flawed(near, question->flawed, least, list);
  else
    list_clear(near, least, list);
  offer_whole(near, least, list);
  question->steps = near->steps;
  return !near->failed;
}

void near_entry_counts(const struct near_entry *entry, size_t demand_count, int64_t *counts) {
  for (size_t d = 0; d < demand_count; d++) counts[d] = near_count(&entry->counts, d);
}

void near_entry_build(struct arena *arena, const struct nest_stock *stock,
                      const struct near_entry *entry, struct node *root) {
  if (entry->placed) {
    near_build_placed(arena, stock, entry, root);
    return;
  }
  if (entry->option != NO_OPTION) {
    cutting_place(arena, root, stock, &stock->options[entry->option], entry->along == DIVIDE_WIDTH);
    return;
  }
  size_t count = 0;
  for (const struct near_entry *e = entry; e != NULL && e->part != NULL; e = e->before) count++;
  const struct near_entry **parts = ARENA_ARRAY(arena, count, const struct near_entry *);
  length_t *extents = ARENA_ARRAY(arena, count, length_t);
  size_t at = count;
  for (const struct near_entry *e = entry; e != NULL && e->part != NULL; e = e->before)
    parts[--at] = e;
  length_t kerf = entry->along == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
  length_t left = entry->along == DIVIDE_LENGTH ? root->length : root->width;
  for (size_t i = 0; i < count; i++) {
    extents[i] = parts[i]->extent > 0 ? parts[i]->extent : left;
    left -= extents[i] + kerf;
  }
  struct node *children = cutting_divide(arena, root, entry->along, kerf, extents, count);
  for (size_t i = 0; i < count; i++)
    near_entry_build(arena, stock, parts[i]->part, children == NULL ? root : &children[i]);
}
