#include "nest/near_flawed.h"

#include <string.h>

#include "nest/staged_tables.h"

enum { AROUND_BUCKETS = 1024, FLAWED_SHARE = 2, EDGE_STEPS = 8 };

/* What is known of an area with flaws. */
struct around_cell {
  struct area area;
  int stages;
  enum division along;
  cost_t least; /* layouts worth less are not listed */
  struct near_list list;
  struct around_cell *next;
};

struct around {
  struct near *near;
  struct flawed *flawed;
  struct around_cell *buckets[AROUND_BUCKETS];
};

/* A part of a row, between two starts. */
struct around_edge {
  cost_t most; /* it is worth at most */
  uint32_t to;
  bool guessed; /* looking into it may tell less */
};

/* Of the rest of a row from a start on, `to` has no meaning. */
struct around_row {
  const struct area *area;
  int stages;
  enum division along;
  bool divides, must_divide;
  cost_t least;
  struct starts starts;
  bool *is_base;             /* per start: waste may lead to it */
  bool *ends;                /* scratch, per start */
  struct around_edge *edges; /* those of one start follow each other */
  size_t edge_count, edge_room;
  size_t *first_edge;        /* per start, and one more */
  struct around_edge *rest;  /* per start: worth 0 where nothing is left */
  cost_t *before, *behind;   /* per start: most worth of what leads there, of what may follow */
  struct near_list *reached; /* per start: rows whose last part ends there */
  cost_t *reached_most;      /* per start: the most worth of those */
};

static const struct near_list *find_around(struct around *around, const struct area *area,
                                           int stages, enum division along, cost_t least);

static bool is_over(struct around *around) { return near_is_over(around->near); }

/* What flawed.c does counts as well; no more than a share of the steps is left to it. */
static void note_steps(struct around *around, int64_t before) {
  around->near->steps += flawed_steps(around->flawed) - before;
}

static struct area part_of(const struct around_row *row, length_t low, length_t high) {
  struct area part = *row->area;
  part.low[row->along] = low;
  part.high[row->along] = high;
  return part;
}

static struct area part_between(const struct around *around, const struct around_row *row,
                                size_t from, size_t to) {
  return part_of(row, row->starts.at[from],
                 row->starts.at[to] - flawed_kerf(around->flawed, row->along));
}

static struct area rest_from(const struct around_row *row, size_t from) {
  return part_of(row, row->starts.at[from], row->area->high[row->along]);
}

/* ---- single pieces ---- */

static bool piece_fits(const struct around *around, const struct area *area, enum division along,
                       const struct nest_option *option, length_t at) {
  length_t before = at - area->low[along];
  length_t behind = area->high[along] - at - option_extent(option, along);
  length_t corner[2];
  if (before < 0 || behind < 0) return false;
  if (before > 0 && before < flawed_kerf(around->flawed, along)) return false;
  if ((before > 0 || behind > 0) && !flawed_may_divide(around->flawed, along, area)) return false;
  corner[along] = at;
  corner[area_across(along)] = area->low[area_across(along)];
  return flawed_option_is_clear(around->flawed, option, corner[0], corner[1]);
}

/* Where the piece may lie, from the area's low edge; -1: nowhere. */
static length_t find_place(const struct around *around, const struct area *area,
                           enum division along, const struct nest_option *option,
                           const length_t *places, size_t place_count) {
  length_t ends[2] = {area->low[along], area->high[along] - option_extent(option, along)};
  for (size_t p = 0; p < place_count + 2; p++) {
    length_t at = p < 2 ? ends[p] : places[p - 2];
    if (piece_fits(around, area, along, option, at)) return at - area->low[along];
  }
  return -1;
}

/* One piece of exactly the extent across, trimmed along. */
static void list_pieces(struct around *around, struct around_cell *cell) {
  struct near *near = around->near;
  const struct nest_stock *stock = near->question->stock;
  enum division across = area_across(cell->along);
  length_t *places = ARENA_ARRAY(near->arena, flawed_most_places(around->flawed) + 1, length_t);
  size_t place_count = flawed_places(around->flawed, &cell->area, cell->along, places);
  near->steps += (int64_t)stock->option_count;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    struct near_entry entry = {.along = cell->along, .option = (uint32_t)o, .placed = true};
    if (option_extent(option, across) != area_extent(&cell->area, across)) continue;
    if (near_count(&near->limit, option->demand) == 0) continue;
    entry.worth = near->question->option_worth[o];
    if (entry.worth < cell->least) continue;
    entry.at = find_place(around, &cell->area, cell->along, option, places, place_count);
    if (entry.at < 0) continue;
    near_set(&entry.counts, option->demand, 1);
    near_offer(near, &cell->list, &entry);
  }
}

/* ---- what parts of a row are worth at most ---- */

/* Clear parts of other extents than those of what they can hold tell nothing new: what follows
 * moves up to the part, or stays behind a flaw. */
static bool is_tight(const struct around *around, const struct around_row *row,
                     length_t part_extent) {
  const struct staged *staged = around->near->question->staged;
  const struct series_sizes *sizes = staged_sizes(staged, row->along);
  size_t at = 0;
  if (row->stages >= 3) return raster_find(sizes->raster, part_extent + sizes->raster->kerf, &at);
  return size_index(sizes, part_extent, &at) && sizes->size[at] == part_extent;
}

static struct around_edge weigh_part(struct around *around, const struct around_row *row,
                                     const struct area *part) {
  struct around_edge edge = {0, 0, false};
  around->near->steps += EDGE_STEPS;
  edge.most =
      flawed_most(around->flawed, part, row->stages - 1, area_across(row->along), &edge.guessed);
  return edge;
}

static void list_edges(struct around *around, struct around_row *row, size_t from) {
  length_t high = row->area->high[row->along];
  row->first_edge[from] = row->edge_count;
  if (row->stages >= 2)
    flawed_find_ends(around->flawed, &row->starts, row->along, row->stages, from, row->ends);
  for (size_t to = from + 1; row->divides && to < row->starts.count; to++) {
    struct area part = part_between(around, row, from, to);
    length_t extent = area_extent(&part, row->along);
    if (extent <= 0) continue;
    if (part.high[row->along] > high) break;
    around->near->steps++;
    if (from == 0 && part.high[row->along] == high && row->must_divide) continue;
    bool clear = flawed_is_clear(around->flawed, &part);
    if ((clear || row->stages == 1) && !is_tight(around, row, extent)) continue;
    if (!clear && row->stages >= 2 && !row->ends[to]) continue;
    struct around_edge edge = weigh_part(around, row, &part);
    edge.to = (uint32_t)to;
    if (edge.most > 0)
      *ARENA_PUSH(around->near->arena, row->edges, row->edge_count, row->edge_room) = edge;
  }
  row->first_edge[from + 1] = row->edge_count;
}

static void open_row(struct around *around, struct around_row *row) {
  struct arena *arena = around->near->arena;
  int64_t before = flawed_steps(around->flawed);
  row->starts = flawed_starts(around->flawed, row->area, row->along, row->must_divide);
  size_t count = row->starts.count;
  row->divides = flawed_may_divide(around->flawed, row->along, row->area);
  row->is_base = ARENA_ARRAY(arena, count, bool);
  row->ends = ARENA_ARRAY(arena, count, bool);
  row->first_edge = ARENA_ARRAY(arena, count + 1, size_t);
  row->rest = ARENA_ARRAY(arena, count, struct around_edge);
  row->before = ARENA_ARRAY(arena, count, cost_t);
  row->behind = ARENA_ARRAY(arena, count, cost_t);
  row->reached = ARENA_ARRAY(arena, count, struct near_list);
  row->reached_most = ARENA_ARRAY(arena, count, cost_t);
  for (size_t b = 0; b < row->starts.base_count; b++) row->is_base[row->starts.base[b]] = true;
  for (size_t i = 0; i < count; i++) {
    list_edges(around, row, i);
    struct area rest = rest_from(row, i);
    bool undivided = i == 0 && row->must_divide;
    if (area_extent(&rest, row->along) > 0 && (row->divides || i == 0) && !undivided)
      row->rest[i] = weigh_part(around, row, &rest);
  }
  note_steps(around, before);
}

/* Whether waste may lead from one start to a later one: a kerf fits, or runs out into that of the
 * part before. */
static bool leads_to(const struct around *around, const struct around_row *row, size_t from,
                     size_t base) {
  return from > 0 ||
         row->starts.at[base] - row->starts.at[0] >= flawed_kerf(around->flawed, row->along);
}

static void bound_before(struct around *around, struct around_row *row) {
  cost_t most = COST_NEVER; /* of what ends at an earlier start */
  for (size_t i = 0; i < row->starts.count; i++) row->before[i] = i == 0 ? 0 : COST_NEVER;
  for (size_t i = 0; i < row->starts.count; i++) {
    if (row->is_base[i]) {
      if (most > row->before[i]) row->before[i] = most;
      if (row->before[i] < 0 && leads_to(around, row, 0, i)) row->before[i] = 0;
    }
    if (row->before[i] <= COST_NEVER) continue;
    if (i > 0 && row->before[i] > most) most = row->before[i];
    for (size_t e = row->first_edge[i]; e < row->first_edge[i + 1]; e++) {
      const struct around_edge *edge = &row->edges[e];
      if (row->before[i] + edge->most > row->before[edge->to])
        row->before[edge->to] = row->before[i] + edge->most;
    }
  }
  around->near->steps += (int64_t)(row->starts.count + row->edge_count);
}

/* Looks into a part that may be of use and is only guessed. True when less was told. */
static bool sharpen(struct around *around, const struct around_row *row, const struct area *part,
                    struct around_edge *edge) {
  int64_t before = flawed_steps(around->flawed);
  cost_t guessed = edge->most;
  flawed_look_into(around->flawed, part, row->stages - 1, area_across(row->along));
  edge->most =
      flawed_most(around->flawed, part, row->stages - 1, area_across(row->along), &edge->guessed);
  note_steps(around, before);
  return edge->most < guessed;
}

/* From the end on: what may follow, parts of use looked into. True when any told less. */
static bool bound_behind(struct around *around, struct around_row *row) {
  bool any = false;
  cost_t most = 0; /* of what follows a later base */
  for (size_t i = row->starts.count; i-- > 0;) {
    cost_t need = row->least - row->before[i];
    bool reached = row->before[i] > COST_NEVER;
    struct area rest = rest_from(row, i);
    if (reached && row->rest[i].guessed && row->rest[i].most >= need && !is_over(around))
      any = sharpen(around, row, &rest, &row->rest[i]) || any;
    row->behind[i] = most > row->rest[i].most ? most : row->rest[i].most;
    for (size_t e = row->first_edge[i]; e < row->first_edge[i + 1]; e++) {
      struct around_edge *edge = &row->edges[e];
      struct area part = part_between(around, row, i, edge->to);
      if (reached && edge->guessed && edge->most + row->behind[edge->to] >= need &&
          !is_over(around))
        any = sharpen(around, row, &part, edge) || any;
      if (edge->most + row->behind[edge->to] > row->behind[i])
        row->behind[i] = edge->most + row->behind[edge->to];
    }
    if (row->is_base[i] && row->behind[i] > most) most = row->behind[i];
  }
  around->near->steps += (int64_t)(row->starts.count + row->edge_count);
  return any;
}

/* ---- the rows themselves ---- */

/* Whether what ends earlier, or there, makes as much: it leaves as much room. */
static bool is_beaten(struct around *around, const struct around_row *row, size_t at,
                      const struct near_entry *entry) {
  for (size_t i = at; i-- > 0;) {
    if (row->reached_most[i] < entry->worth) continue;
    around->near->steps += (int64_t)row->reached[i].count;
    for (size_t e = 0; e < row->reached[i].count; e++)
      if (near_covers(&row->reached[i].items[e]->counts, &entry->counts)) return true;
  }
  return false;
}

/* Takes out what earlier starts make as well; all that leads there is known by then. */
static void tidy_reached(struct around *around, struct around_row *row, size_t at) {
  struct near_list *list = &row->reached[at];
  size_t kept = 0;
  around->near->steps += (int64_t)at;
  row->reached_most[at] = COST_NEVER;
  for (size_t e = 0; at > 0 && e < list->count; e++) {
    if (is_beaten(around, row, at, list->items[e])) continue;
    list->items[kept++] = list->items[e];
    if (list->items[kept - 1]->worth > row->reached_most[at])
      row->reached_most[at] = list->items[kept - 1]->worth;
  }
  if (at > 0) list->count = kept;
  if (at == 0) row->reached_most[0] = 0;
}

/* The rows that a part may follow at a start: those that end there, and at a base all earlier. */
static struct near_list gather(struct around *around, const struct around_row *row, size_t at) {
  struct near_list all = {NULL, 0, 0};
  cost_t need = row->least - row->behind[at];
  for (size_t i = row->is_base[at] ? 0 : at; i <= at; i++) {
    if (i < at && !leads_to(around, row, i, at)) continue;
    for (size_t e = 0; e < row->reached[i].count; e++)
      if (row->reached[i].items[e]->worth >= need)
        *ARENA_PUSH(around->near->arena, all.items, all.count, all.room) = row->reached[i].items[e];
    around->near->steps += (int64_t)row->reached[i].count + 1;
  }
  return all;
}

static cost_t most_of(const struct near_list *list) {
  cost_t most = COST_NEVER;
  for (size_t e = 0; e < list->count; e++)
    if (list->items[e]->worth > most) most = list->items[e]->worth;
  return most;
}

/* Puts every layout of a part behind every row that leads to it. */
static void put_part(struct around *around, const struct around_row *row,
                     const struct near_list *from, const struct area *part, cost_t need,
                     cost_t from_most, struct near_list *to) {
  struct near *near = around->near;
  const struct near_list *parts =
      find_around(around, part, row->stages - 1, area_across(row->along), need - from_most);
  for (size_t e = 0; e < from->count && !is_over(around); e++)
    for (size_t l = 0; l < parts->count; l++) {
      if (from->items[e]->worth + parts->items[l]->worth < need) continue;
      struct near_entry entry = near_put_behind(near, row->along, from->items[e], parts->items[l],
                                                area_extent(part, row->along));
      entry.placed = true;
      entry.at = part->low[row->along] - row->area->low[row->along];
      if (entry.worth >= need) near_offer(near, to, &entry);
    }
}

static void go_on_from(struct around *around, struct around_row *row, size_t at,
                       struct near_list *found) {
  tidy_reached(around, row, at);
  for (size_t e = 0; e < row->reached[at].count; e++)
    if (row->reached[at].items[e]->worth >= row->least)
      near_offer(around->near, found, row->reached[at].items[e]);
  struct near_list from = gather(around, row, at);
  cost_t most = most_of(&from);
  if (from.count == 0) return;
  struct area rest = rest_from(row, at);
  if (row->rest[at].most > 0 && most + row->rest[at].most >= row->least)
    put_part(around, row, &from, &rest, row->least, most, found);
  for (size_t e = row->first_edge[at]; e < row->first_edge[at + 1] && !is_over(around); e++) {
    const struct around_edge *edge = &row->edges[e];
    cost_t need = row->least - row->behind[edge->to];
    struct area part = part_between(around, row, at, edge->to);
    around->near->steps++;
    if (most + edge->most >= need)
      put_part(around, row, &from, &part, need, most, &row->reached[edge->to]);
  }
}

static void list_row(struct around *around, const struct around_cell *cell, bool must_divide,
                     struct near_list *found) {
  struct around_row row = {.area = &cell->area,
                           .stages = cell->stages,
                           .along = cell->along,
                           .must_divide = must_divide,
                           .least = cell->least};
  struct near_entry nothing = {.along = cell->along, .option = NO_OPTION, .placed = true};
  open_row(around, &row);
  do bound_before(around, &row);
  while (bound_behind(around, &row) && !is_over(around));
  if (row.behind[0] < cell->least) return;
  near_keep(around->near, &row.reached[0], &nothing);
  for (size_t i = 0; i < row.starts.count && !is_over(around); i++)
    go_on_from(around, &row, i, found);
}

static struct around_cell **look_up(struct around *around, const struct area *area, int stages,
                                    enum division along) {
  uint64_t hash = (uint64_t)stages * 2 + (uint64_t)along;
  for (int d = 0; d < 2; d++) {
    hash = (hash ^ (uint64_t)area->low[d]) * UINT64_C(0x9E3779B97F4A7C15);
    hash = (hash ^ (uint64_t)area->high[d]) * UINT64_C(0x9E3779B97F4A7C15);
  }
  struct around_cell **at = &around->buckets[(hash >> 32) % AROUND_BUCKETS];
  while (*at != NULL && !((*at)->stages == stages && (*at)->along == along &&
                          memcmp(&(*at)->area, area, sizeof *area) == 0))
    at = &(*at)->next;
  return at;
}

static const struct near_list *find_around(struct around *around, const struct area *area,
                                           int stages, enum division along, cost_t least) {
  if (flawed_is_clear(around->flawed, area)) {
    length_t extent[2] = {area_extent(area, DIVIDE_LENGTH), area_extent(area, DIVIDE_WIDTH)};
    return near_find_cell(around->near, stages, along, extent, least);
  }
  if (least < 1) least = 1; /* what is worth nothing is of no use */
  struct around_cell **at = look_up(around, area, stages, along);
  if (*at != NULL && (*at)->least <= least) return &(*at)->list;
  struct around_cell *cell = ARENA_NEW(around->near->arena, struct around_cell);
  *cell = (struct around_cell){.area = *area,
                               .stages = stages,
                               .along = along,
                               .least = least,
                               .next = *at == NULL ? NULL : (*at)->next};
  if (stages == 0)
    list_pieces(around, cell);
  else
    list_row(around, cell, false, &cell->list);
  at = look_up(around, area, stages, along);
  *at = cell;
  return &cell->list;
}

void near_list_flawed(struct near *near, struct flawed *flawed, cost_t least,
                      struct near_list *list) {
  const struct near_question *question = near->question;
  const struct nest_stock *stock = question->stock;
  const struct nest_rules *rules = &stock->rules;
  struct around *around = ARENA_NEW(near->arena, struct around);
  *around = (struct around){.near = near, .flawed = flawed};
  struct node root;
  cost_t worth = 0;
  cost_t bound = 0;
  int64_t before = flawed_steps(flawed);
  flawed_stop_at(flawed, least - 1);
  flawed_open(near->arena, flawed, question->option_worth, question->steps / FLAWED_SHARE);
  flawed_run(flawed, &root, &worth, &bound);
  note_steps(around, before);
  if (bound < least) return;
  if (bound - least < near->slack) near->slack = bound - least;
  bool forced = !rules->crosscut_first || !rules->rip_first;
  int stages = rules->stages == 0 || rules->stages > 3 ? 3 : rules->stages;
  for (int d = 0; d < 2; d++) {
    if (d == DIVIDE_LENGTH ? !rules->crosscut_first : !rules->rip_first) continue;
    struct around_cell cell = {.area = {{0, 0}, {stock->length, stock->width}},
                               .stages = stages,
                               .along = (enum division)d,
                               .least = least};
    list_row(around, &cell, forced, list);
  }
}

/* ---- trees ---- */

static void build_piece(struct arena *arena, const struct nest_stock *stock,
                        const struct near_entry *entry, struct node *root) {
  const struct nest_option *option = &stock->options[entry->option];
  length_t kerf = entry->along == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
  length_t extents[2] = {entry->at - kerf, option_extent(option, entry->along)};
  size_t first = entry->at > 0 ? 0 : 1;
  struct node *children =
      cutting_divide(arena, root, entry->along, kerf, extents + first, 2 - first);
  struct node *piece = children == NULL ? root : &children[1 - first];
  piece->kind = NODE_PIECE;
  piece->blank = option->blank;
  piece->turned = option->turned;
}

/* Room for a part is longer where the kerf that frees it runs out into that of the next; what is
 * longer than that is a piece of waste. Returns how many children there are. */
static size_t list_rooms(const struct near_entry **parts, size_t count, length_t kerf,
                         length_t *rooms, size_t *child_of) {
  size_t children = 0;
  length_t end = 0; /* of what is cut off, its kerf included */
  for (size_t i = 0; i < count; i++) {
    length_t gap = parts[i]->at - end;
    if (gap >= kerf && gap > 0)
      rooms[children++] = gap - kerf;
    else if (children > 0)
      rooms[children - 1] += gap;
    child_of[i] = children;
    rooms[children++] = parts[i]->extent;
    end = parts[i]->at + parts[i]->extent + kerf;
  }
  return children;
}

void near_build_placed(struct arena *arena, const struct nest_stock *stock,
                       const struct near_entry *entry, struct node *root) {
  if (entry->option != NO_OPTION) {
    build_piece(arena, stock, entry, root);
    return;
  }
  size_t count = 0;
  for (const struct near_entry *e = entry; e != NULL && e->part != NULL; e = e->before) count++;
  const struct near_entry **parts = ARENA_ARRAY(arena, count, const struct near_entry *);
  length_t *rooms = ARENA_ARRAY(arena, 2 * count, length_t);
  size_t *child_of = ARENA_ARRAY(arena, count, size_t);
  size_t at = count;
  for (const struct near_entry *e = entry; e != NULL && e->part != NULL; e = e->before)
    parts[--at] = e;
  length_t kerf = entry->along == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
  size_t child_count = list_rooms(parts, count, kerf, rooms, child_of);
  struct node *children = cutting_divide(arena, root, entry->along, kerf, rooms, child_count);
  for (size_t i = 0; i < count; i++) {
    struct node *room = children == NULL ? root : &children[child_of[i]];
    struct node *inner = cutting_divide(arena, room, entry->along, kerf, &parts[i]->extent, 1);
    near_entry_build(arena, stock, parts[i]->part, inner == NULL ? room : inner);
  }
}
