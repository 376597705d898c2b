#include "nest/repack_tree.h"

#include "nest/cutting.h"

/* ---- to a tree ---- */

struct writing {
  struct arena *arena;
  const struct plate_kind *kind;
  const struct plate *plate;
  int64_t *counts;
};

/* A cell of a list, or a slice of waste. */
struct slice {
  uint16_t cell; /* CELL_NONE: waste */
  length_t grown;
};

static length_t strip_limit(const struct nest_rules *rules, const struct node *node) {
  length_t limit = INT64_MAX;
  if (node->kind != NODE_RIP) return limit;
  if (rules->rip_capacity > 0) limit = rules->rip_capacity;
  if (rules->rip_no_wider_than_long && node->length < limit) limit = node->length;
  return limit;
}

static size_t push_slices(struct slice *slices, size_t count, length_t grown, length_t most,
                          length_t kerf) {
  length_t pieces = 1;
  if (most < INT64_MAX / 4 && grown - kerf > most)
    pieces = (grown + most + kerf - 1) / (most + kerf);
  for (length_t i = 0; i < pieces; i++) {
    length_t low = grown * i / pieces;
    slices[count++] = (struct slice){CELL_NONE, grown * (i + 1) / pieces - low};
  }
  return count;
}

/* Slices a waste cell of a list makes at most. */
static size_t slices_of(length_t grown, length_t most, length_t kerf) {
  if (most >= INT64_MAX / 4 || grown - kerf <= most) return 1;
  return (size_t)((grown + most + kerf - 1) / (most + kerf));
}

/* The cells of a cut in the order they are sawn. Where order is free: narrow ones, then the one
 * wider than the limit, waste last; waste in slices before a wide one when it is wide itself. */
static size_t order_slices(const struct writing *writing, const struct cell *cut, length_t limit,
                           struct slice **list) {
  const struct cell *cells = writing->plate->cells;
  length_t kerf = writing->kind->kerf[cut->along];
  size_t most = 0;
  int wide = 0;
  for (uint16_t c = cut->first; c != CELL_NONE; c = cells[c].next) {
    length_t grown = cells[c].extent[cut->along];
    most += cells[c].kind == CELL_FREE ? slices_of(grown, limit, kerf) : 1;
    wide += grown - kerf > limit;
  }
  struct slice *slices = ARENA_ARRAY(writing->arena, most, struct slice);
  *list = slices;
  size_t count = 0;
  if (writing->kind->flawed) {
    for (uint16_t c = cut->first; c != CELL_NONE; c = cells[c].next) {
      length_t grown = cells[c].extent[cut->along];
      if (cells[c].kind == CELL_FREE)
        count = push_slices(slices, count, grown, wide > 1 ? limit : INT64_MAX, kerf);
      else
        slices[count++] = (struct slice){c, grown};
    }
    return count;
  }
  length_t waste = 0;
  uint16_t wide_cell = CELL_NONE;
  for (uint16_t c = cut->first; c != CELL_NONE; c = cells[c].next) {
    length_t grown = cells[c].extent[cut->along];
    if (cells[c].kind == CELL_FREE)
      waste += grown;
    else if (grown - kerf > limit)
      wide_cell = c;
    else
      slices[count++] = (struct slice){c, grown};
  }
  bool waste_first = wide_cell != CELL_NONE && waste - kerf > limit;
  if (waste_first) count = push_slices(slices, count, waste, limit, kerf);
  if (wide_cell != CELL_NONE)
    slices[count++] = (struct slice){wide_cell, cells[wide_cell].extent[cut->along]};
  if (!waste_first && waste > 0) slices[count++] = (struct slice){CELL_NONE, waste};
  return count;
}

static void write_cell(const struct writing *writing, uint16_t number, struct node *node);

static void write_children(const struct writing *writing, const struct cell *cut,
                           const struct slice *slices, size_t count, struct node *node) {
  length_t kerf = writing->kind->kerf[cut->along];
  bool crosscut = cut->along == 0;
  length_t start = crosscut ? node->x : node->y;
  length_t end = start + (crosscut ? node->length : node->width);
  node->child_count = count;
  node->children = ARENA_ARRAY(writing->arena, count, struct node);
  for (size_t i = 0; i < count; i++) {
    struct node *child = &node->children[i];
    length_t size = slices[i].grown - kerf;
    if (i + 1 == count && slices[i].cell == CELL_NONE) size = end > start ? end - start : 0;
    *child = (struct node){.kind = NODE_WASTE,
                           .x = crosscut ? start : node->x,
                           .y = crosscut ? node->y : start,
                           .length = crosscut ? size : node->length,
                           .width = crosscut ? node->width : size};
    if (slices[i].cell != CELL_NONE) write_cell(writing, slices[i].cell, child);
    start += slices[i].grown;
  }
}

/* A strip wider than the limit that lies amid others is freed last: what lies behind it is
 * ripped off before, one strip after the other. */
static void free_wide_last(struct arena *arena, struct node *node, length_t limit) {
  size_t wide = 0;
  length_t end = node->y + node->width;
  while (wide < node->child_count && node->children[wide].width <= limit) wide++;
  if (wide + 1 >= node->child_count || end - node->children[wide + 1].y <= limit) return;
  size_t last = node->child_count - 1;
  struct node *pair = ARENA_ARRAY(arena, 2, struct node);
  pair[0] = *node;
  pair[0].child_count = last;
  pair[0].width = node->children[last - 1].y + node->children[last - 1].width - node->y;
  pair[1] = node->children[last];
  node->children = pair;
  node->child_count = 2;
  free_wide_last(arena, &pair[0], limit);
}

static void write_cell(const struct writing *writing, uint16_t number, struct node *node) {
  const struct cell *cell = &writing->plate->cells[number];
  if (cell->kind == CELL_PIECE) {
    const struct nest_option *option = &writing->kind->stock->options[cell->what];
    node->kind = NODE_PIECE;
    node->blank = option->blank;
    node->turned = option->turned;
    writing->counts[option->demand]++;
    return;
  }
  if (cell->kind != CELL_CUT) return;
  node->kind = cell->along == 0 ? NODE_CROSSCUT : NODE_RIP;
  length_t limit = strip_limit(&writing->kind->stock->rules, node);
  struct slice *slices;
  size_t count = order_slices(writing, cell, limit, &slices);
  write_children(writing, cell, slices, count, node);
  if (limit < INT64_MAX) free_wide_last(writing->arena, node, limit);
}

bool repack_to_layout(struct arena *arena, const struct packing *packing, size_t plate,
                      struct nest_layout *layout) {
  const struct plate *from = &packing->plates[plate];
  const struct plate_kind *kind = &packing->kinds[from->kind];
  *layout = (struct nest_layout){.stock = from->kind, .times = 1};
  layout->counts = ARENA_ARRAY(arena, packing->problem->demand_count, int64_t);
  layout->root =
      (struct node){.kind = NODE_WASTE, .length = kind->stock->length, .width = kind->stock->width};
  struct writing writing = {arena, kind, from, layout->counts};
  write_cell(&writing, 0, &layout->root);
  layout->cuts = cutting_count_cuts(&layout->root);
  nest_count_matches(packing->problem, layout->counts);
  return cutting_obeys(&layout->root, &kind->stock->rules);
}

/* ---- from a tree ---- */

struct reading {
  struct arena *scratch;
  const struct plate_kind *kind;
  struct plate *plate;
  bool fits; /* false once something found no room */
};

static bool has_piece(const struct node *node) {
  if (node->kind == NODE_PIECE) return true;
  for (size_t i = 0; i < node->child_count; i++)
    if (has_piece(&node->children[i])) return true;
  return false;
}

struct node_list {
  const struct node **items;
  size_t count, room;
};

/* Parts of a cut that hold pieces, those of cuts in the same direction one by one. */
static void list_parts(struct arena *scratch, const struct node *node, struct node_list *list) {
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    if (child->kind == node->kind)
      list_parts(scratch, child, list);
    else if (has_piece(child))
      *ARENA_PUSH(scratch, list->items, list->count, list->room) = child;
  }
}

static void read_node(struct reading *reading, uint16_t cell, const struct node *node);

static void read_piece(struct reading *reading, uint16_t cell, const struct node *node) {
  const struct nest_stock *stock = reading->kind->stock;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (option->blank != node->blank || option->turned != node->turned) continue;
    if (option->length != node->length || option->width != node->width) continue;
    plate_fill(reading->plate, cell, (uint32_t)o);
    return;
  }
  reading->fits = false;
}

static void read_cut(struct reading *reading, uint16_t cell, const struct node *node) {
  struct node_list list = {NULL, 0, 0};
  bool crosscut = node->kind == NODE_CROSSCUT;
  uint8_t along = crosscut ? 0 : 1;
  length_t kerf = reading->kind->kerf[along];
  list_parts(reading->scratch, node, &list);
  const struct cell *cells = reading->plate->cells;
  if (list.count == 1) {
    length_t size = crosscut ? list.items[0]->length : list.items[0]->width;
    if (size + kerf == cells[cell].extent[along]) {
      read_node(reading, cell, list.items[0]);
      return;
    }
  }
  length_t at = crosscut ? node->x : node->y;
  uint16_t rest = plate_divide(reading->kind, reading->plate, cell, along);
  for (size_t i = 0; i < list.count && reading->fits; i++) {
    const struct node *part = list.items[i];
    length_t size = (crosscut ? part->length : part->width) + kerf;
    length_t offset = reading->kind->flawed ? (crosscut ? part->x : part->y) - at : 0;
    reading->fits = rest != CELL_NONE && plate_has_room(reading->plate) &&
                    offset + size <= cells[rest].extent[along];
    if (!reading->fits) return;
    uint16_t carved = plate_carve(reading->kind, reading->plate, rest, offset, size, &rest);
    at += offset + size;
    read_node(reading, carved, part);
  }
}

static void read_node(struct reading *reading, uint16_t cell, const struct node *node) {
  if (node->kind == NODE_PIECE)
    read_piece(reading, cell, node);
  else if (has_piece(node))
    read_cut(reading, cell, node);
}

/* A piece on the plate of a demand that has none open any more, or CELL_NONE. */
static uint16_t surplus_piece(const struct packing *packing, size_t plate, const int64_t *open) {
  const struct plate *on = &packing->plates[plate];
  for (uint16_t c = 0; c < on->cell_count; c++)
    if (on->cells[c].kind == CELL_PIECE &&
        open[packing->kinds[on->kind].stock->options[on->cells[c].what].demand] < 0)
      return c;
  return CELL_NONE;
}

bool repack_from_layout(struct arena *scratch, struct packing *packing,
                        const struct nest_layout *layout) {
  if (layout->stock >= packing->problem->stock_count || !has_piece(&layout->root)) return false;
  size_t number = packing_open_plate(packing, layout->stock);
  if (number == SIZE_MAX) return false;
  struct plate *plate = &packing->plates[number];
  struct reading reading = {scratch, &packing->kinds[plate->kind], plate, true};
  packing->standing.value -= plate->value;
  read_node(&reading, 0, &layout->root);
  packing_measure(packing, number);
  packing->standing.value += plate->value;
  if (!reading.fits) {
    packing_restore(packing);
    return false;
  }
  for (uint16_t c = 0; c < plate->cell_count; c++)
    if (plate->cells[c].kind == CELL_PIECE)
      packing_placed(packing, reading.kind->stock->options[plate->cells[c].what].demand);
  for (uint16_t c; (c = surplus_piece(packing, number, packing->open)) != CELL_NONE;)
    packing_take_out(packing, number, c);
  packing_keep(packing);
  return packing->plates[number].open;
}
