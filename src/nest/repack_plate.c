#include "nest/repack_plate.h"

#include <math.h>
#include <string.h>

enum { DEPTH_MOST = 200 };

struct plate plate_create(struct arena *arena, size_t room) {
  if (room > PLATE_CELLS_MOST) room = PLATE_CELLS_MOST;
  return (struct plate){.room = (uint16_t)room,
                        .cells = ARENA_ARRAY(arena, room, struct cell),
                        .leaves = ARENA_ARRAY(arena, room, struct leaf)};
}

/* In units of the kind's scale. */
static double wood_area(const struct plate_kind *kind, length_t along_x, length_t along_y) {
  length_t x = along_x - kind->kerf[0];
  length_t y = along_y - kind->kerf[1];
  return x <= 0 || y <= 0 ? 0 : (double)(x * y) * kind->scale;
}

int64_t plate_value(const struct plate_kind *kind, length_t along_x, length_t along_y) {
  /* products and roots alone: rounded the same everywhere */
  double area = wood_area(kind, along_x, along_y);
  return (int64_t)(area * sqrt(area));
}

static uint16_t take_cell(struct plate *plate) {
  uint16_t cell = plate->vacant;
  if (cell != CELL_NONE)
    plate->vacant = plate->cells[cell].next;
  else
    cell = plate->cell_count++;
  plate->cells[cell] = (struct cell){.parent = CELL_NONE,
                                     .first = CELL_NONE,
                                     .next = CELL_NONE,
                                     .prev = CELL_NONE,
                                     .kind = CELL_FREE};
  return cell;
}

static void drop_cell(struct plate *plate, uint16_t cell) {
  plate->cells[cell].kind = CELL_VACANT;
  plate->cells[cell].next = plate->vacant;
  plate->vacant = cell;
}

/* In a cut one stage too deep its one piece was freed by the last trim: no other may join. */
static bool is_dead(const struct plate_kind *kind, const struct plate *plate, uint16_t cell) {
  const struct cell *free = &plate->cells[cell];
  if (free->extent[0] < kind->least[0] || free->extent[1] < kind->least[1]) return true;
  int stages = kind->stock->rules.stages;
  return stages > 0 && free->parent != CELL_NONE && plate->cells[free->parent].depth > stages;
}

static void value_leaf(const struct plate_kind *kind, struct plate *plate, struct leaf *leaf) {
  const struct cell *cell = &plate->cells[leaf->cell];
  bool dead = is_dead(kind, plate, leaf->cell);
  plate->value -= leaf->value;
  leaf->extent[0] = dead ? 0 : cell->extent[0];
  leaf->extent[1] = dead ? 0 : cell->extent[1];
  double area = wood_area(kind, cell->extent[0], cell->extent[1]);
  leaf->root = sqrt(area);
  leaf->value = (int64_t)(area * leaf->root);
  plate->value += leaf->value;
  if (plate->fresh_count < PLATE_FRESH) plate->fresh[plate->fresh_count++] = leaf->cell;
}

static void add_leaf(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                     const length_t at[2]) {
  struct leaf *leaf = &plate->leaves[plate->leaf_count];
  plate->cells[cell].what = plate->leaf_count++;
  *leaf = (struct leaf){.at = {at[0], at[1]}, .cell = cell};
  value_leaf(kind, plate, leaf);
}

static void drop_leaf(struct plate *plate, uint16_t cell) {
  uint32_t at = plate->cells[cell].what;
  struct leaf *leaf = &plate->leaves[at];
  plate->value -= leaf->value;
  *leaf = plate->leaves[--plate->leaf_count];
  plate->cells[leaf->cell].what = at;
}

void plate_measure(const struct plate *plate, length_t reach[2]) {
  reach[0] = reach[1] = 0;
  for (uint16_t l = 0; l < plate->leaf_count; l++)
    for (int axis = 0; axis < 2; axis++)
      if (plate->leaves[l].extent[axis] > reach[axis]) reach[axis] = plate->leaves[l].extent[axis];
}

void plate_clear(struct plate *plate, const struct plate_kind *kind, size_t number) {
  static const length_t corner[2] = {0, 0};
  plate->kind = number;
  plate->cell_count = plate->leaf_count = plate->piece_count = 0;
  plate->vacant = CELL_NONE;
  plate->value = 0;
  plate->fresh_count = 0;
  uint16_t root = take_cell(plate);
  plate->cells[root].extent[0] = kind->extent[0];
  plate->cells[root].extent[1] = kind->extent[1];
  add_leaf(kind, plate, root, corner);
}

void plate_copy(struct plate *to, const struct plate *from) {
  struct cell *cells = to->cells;
  struct leaf *leaves = to->leaves;
  *to = *from;
  to->cells = cells;
  to->leaves = leaves;
  memcpy(cells, from->cells, from->cell_count * sizeof *cells);
  memcpy(leaves, from->leaves, from->leaf_count * sizeof *leaves);
}

bool plate_has_room(const struct plate *plate) {
  return plate->cell_count + PLATE_INSERT_CELLS <= plate->room;
}

/* ---- cutting ---- */

uint16_t plate_divide(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                      uint8_t along) {
  length_t at[2] = {plate->leaves[plate->cells[cell].what].at[0],
                    plate->leaves[plate->cells[cell].what].at[1]};
  drop_leaf(plate, cell);
  uint16_t inside = take_cell(plate);
  struct cell *cut = &plate->cells[cell];
  unsigned depth = cut->parent == CELL_NONE ? 1U : plate->cells[cut->parent].depth + 1U;
  cut->kind = CELL_CUT;
  cut->along = along;
  cut->depth = (uint8_t)(depth < DEPTH_MOST ? depth : DEPTH_MOST);
  cut->first = inside;
  plate->cells[inside].parent = cell;
  plate->cells[inside].extent[0] = cut->extent[0];
  plate->cells[inside].extent[1] = cut->extent[1];
  add_leaf(kind, plate, inside, at);
  return inside;
}

/* A new free cell before or behind `cell` in its list. */
static uint16_t add_beside(struct plate *plate, uint16_t cell, bool before) {
  uint16_t added = take_cell(plate);
  struct cell *new = &plate->cells[added];
  struct cell *old = &plate->cells[cell];
  new->parent = old->parent;
  new->extent[0] = old->extent[0];
  new->extent[1] = old->extent[1];
  if (before) {
    new->prev = old->prev;
    new->next = cell;
    old->prev = added;
    if (new->prev == CELL_NONE)
      plate->cells[new->parent].first = added;
    else
      plate->cells[new->prev].next = added;
  } else {
    new->next = old->next;
    new->prev = cell;
    old->next = added;
    if (new->next != CELL_NONE) plate->cells[new->next].prev = added;
  }
  return added;
}

uint16_t plate_carve(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                     length_t offset, length_t size, uint16_t *rest) {
  uint8_t along = plate->cells[plate->cells[cell].parent].along;
  length_t whole = plate->cells[cell].extent[along];
  *rest = CELL_NONE;
  length_t corner[2] = {plate->leaves[plate->cells[cell].what].at[0],
                        plate->leaves[plate->cells[cell].what].at[1]};
  if (offset > 0) { /* what lies before it is a leaf of its own */
    uint16_t before = add_beside(plate, cell, true);
    plate->cells[before].extent[along] = offset;
    add_leaf(kind, plate, before, corner);
  }
  corner[along] += offset;
  struct leaf *leaf = &plate->leaves[plate->cells[cell].what];
  leaf->at[along] = corner[along];
  plate->cells[cell].extent[along] = whole - offset;
  if (whole == offset + size) {
    if (offset > 0) value_leaf(kind, plate, leaf);
    return cell;
  }
  uint16_t carved = add_beside(plate, cell, true);
  plate->cells[carved].extent[along] = size;
  add_leaf(kind, plate, carved, corner);
  leaf = &plate->leaves[plate->cells[cell].what];
  leaf->at[along] = corner[along] + size;
  plate->cells[cell].extent[along] = whole - offset - size;
  value_leaf(kind, plate, leaf);
  *rest = cell;
  return carved;
}

void plate_fill(struct plate *plate, uint16_t cell, uint32_t option) {
  drop_leaf(plate, cell);
  plate->cells[cell].kind = CELL_PIECE;
  plate->cells[cell].what = option;
  plate->piece_count++;
}

/* Leaves each free cell once among the fresh ones. */
static void keep_fresh_leaves(struct plate *plate) {
  size_t kept = 0;
  for (size_t i = 0; i < plate->fresh_count; i++) {
    uint16_t cell = plate->fresh[i];
    bool known = plate->cells[cell].kind != CELL_FREE;
    for (size_t j = 0; j < kept && !known; j++) known = plate->fresh[j] == cell;
    if (!known) plate->fresh[kept++] = cell;
  }
  plate->fresh_count = kept;
}

/* Cuts [offset, offset + size) along a direction out of a free cell, which may be all of it. */
static uint16_t cut_out(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                        uint8_t along, length_t offset, length_t size) {
  const struct cell *whole = &plate->cells[cell];
  uint16_t rest;
  if (size >= whole->extent[along]) return cell;
  bool joins = whole->parent != CELL_NONE && plate->cells[whole->parent].along == along;
  if (!joins) cell = plate_divide(kind, plate, cell, along);
  return plate_carve(kind, plate, cell, offset, size, &rest);
}

uint16_t plate_insert(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                      const struct placing *placing, uint32_t option) {
  uint8_t first = placing->first;
  uint8_t second = first == 0 ? 1 : 0;
  length_t strip = placing->strip > 0 ? placing->strip : placing->size[first];
  plate->fresh_count = 0;
  cell = cut_out(kind, plate, cell, first, placing->offset[first], strip);
  cell = cut_out(kind, plate, cell, second, placing->offset[second], placing->size[second]);
  cell = cut_out(kind, plate, cell, first, 0, placing->size[first]);
  plate_fill(plate, cell, option);
  keep_fresh_leaves(plate);
  return cell;
}

/* ---- taking out ---- */

void plate_corner(const struct plate *plate, uint16_t cell, length_t at[2]) {
  at[0] = at[1] = 0;
  while (plate->cells[cell].parent != CELL_NONE) {
    uint8_t along = plate->cells[plate->cells[cell].parent].along;
    for (uint16_t c = plate->cells[cell].prev; c != CELL_NONE; c = plate->cells[c].prev)
      at[along] += plate->cells[c].extent[along];
    cell = plate->cells[cell].parent;
  }
}

static size_t drop_inside(struct plate *plate, uint16_t cell, uint32_t *out) {
  struct cell *old = &plate->cells[cell];
  if (old->kind == CELL_FREE) {
    drop_leaf(plate, cell);
    return 0;
  }
  if (old->kind == CELL_PIECE) {
    out[0] = old->what;
    plate->piece_count--;
    return 1;
  }
  size_t count = 0;
  uint16_t next;
  for (uint16_t c = old->first; c != CELL_NONE; c = next) {
    next = plate->cells[c].next;
    count += drop_inside(plate, c, out + count);
    drop_cell(plate, c);
  }
  return count;
}

static void unlink_cell(struct plate *plate, uint16_t cell) {
  const struct cell *old = &plate->cells[cell];
  if (old->prev == CELL_NONE)
    plate->cells[old->parent].first = old->next;
  else
    plate->cells[old->prev].next = old->next;
  if (old->next != CELL_NONE) plate->cells[old->next].prev = old->prev;
  drop_cell(plate, cell);
}

/* Joins the free cell `other`, which has a leaf, to `cell`, which has none yet. */
static void absorb(struct plate *plate, uint16_t cell, uint16_t other, uint8_t along,
                   length_t at[2]) {
  const struct leaf *leaf = &plate->leaves[plate->cells[other].what];
  if (plate->cells[cell].prev == other) {
    at[0] = leaf->at[0];
    at[1] = leaf->at[1];
  }
  plate->cells[cell].extent[along] += plate->cells[other].extent[along];
  drop_leaf(plate, other);
  unlink_cell(plate, other);
}

/* Free cells beside `cell` become part of it; where order does not matter all of the list
 * lie beside it. */
static void join_free(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                      length_t at[2]) {
  uint16_t parent = plate->cells[cell].parent;
  uint8_t along = plate->cells[parent].along;
  if (kind->flawed) {
    uint16_t prev = plate->cells[cell].prev;
    uint16_t next = plate->cells[cell].next;
    if (prev != CELL_NONE && plate->cells[prev].kind == CELL_FREE)
      absorb(plate, cell, prev, along, at);
    if (next != CELL_NONE && plate->cells[next].kind == CELL_FREE)
      absorb(plate, cell, next, along, at);
    return;
  }
  uint16_t next;
  for (uint16_t c = plate->cells[parent].first; c != CELL_NONE; c = next) {
    next = plate->cells[c].next;
    if (c != cell && plate->cells[c].kind == CELL_FREE) absorb(plate, cell, c, along, at);
  }
}

size_t plate_remove(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                    uint32_t *out) {
  length_t at[2] = {0, 0};
  if (kind->flawed) plate_corner(plate, cell, at);
  size_t count = drop_inside(plate, cell, out);
  plate->fresh_count = 0;
  for (;;) {
    struct cell *free = &plate->cells[cell];
    free->kind = CELL_FREE;
    free->first = CELL_NONE;
    if (free->parent == CELL_NONE) break;
    join_free(kind, plate, cell, at);
    free = &plate->cells[cell];
    if (free->prev != CELL_NONE || free->next != CELL_NONE) break;
    uint16_t parent = free->parent;
    drop_cell(plate, cell);
    cell = parent;
  }
  add_leaf(kind, plate, cell, at);
  return count;
}

/* ---- tightening ---- */

static uint16_t free_in(const struct plate *plate, uint16_t cut) {
  for (uint16_t c = plate->cells[cut].first; c != CELL_NONE; c = plate->cells[c].next)
    if (plate->cells[c].kind == CELL_FREE) return c;
  return CELL_NONE;
}

/* By how much all cells of a cut could end earlier across it. */
static length_t slack_across(const struct plate *plate, uint16_t cut) {
  length_t slack = INT64_MAX;
  uint8_t across = plate->cells[cut].along == 0 ? 1 : 0;
  for (uint16_t c = plate->cells[cut].first; c != CELL_NONE; c = plate->cells[c].next) {
    if (plate->cells[c].kind == CELL_FREE) continue;
    if (plate->cells[c].kind == CELL_PIECE) return 0;
    uint16_t free = free_in(plate, c);
    if (free == CELL_NONE) return 0;
    if (plate->cells[free].extent[across] < slack) slack = plate->cells[free].extent[across];
  }
  return slack;
}

static void resize_free(const struct plate_kind *kind, struct plate *plate, uint16_t cut,
                        length_t more) {
  static const length_t corner[2] = {0, 0};
  uint8_t along = plate->cells[cut].along;
  uint16_t free = free_in(plate, cut);
  if (free == CELL_NONE) {
    free = add_beside(plate, plate->cells[cut].first, true);
    plate->cells[free].extent[along] = more;
    add_leaf(kind, plate, free, corner);
    return;
  }
  plate->cells[free].extent[along] += more;
  if (plate->cells[free].extent[along] > 0) {
    value_leaf(kind, plate, &plate->leaves[plate->cells[free].what]);
    return;
  }
  drop_leaf(plate, free);
  unlink_cell(plate, free);
}

static void set_depths(struct plate *plate, uint16_t cell) {
  struct cell *cut = &plate->cells[cell];
  if (cut->kind != CELL_CUT) return;
  unsigned depth = cut->parent == CELL_NONE ? 1U : plate->cells[cut->parent].depth + 1U;
  cut->depth = (uint8_t)(depth < DEPTH_MOST ? depth : DEPTH_MOST);
  for (uint16_t c = cut->first; c != CELL_NONE; c = plate->cells[c].next) set_depths(plate, c);
}

/* A cut left with one cell makes way for it, and, cut like the list it comes to lie in, for
 * its cells. */
static void dissolve(const struct plate_kind *kind, struct plate *plate, uint16_t cut) {
  struct cell *cells = plate->cells;
  uint16_t only = cells[cut].first;
  uint16_t parent = cells[cut].parent;
  cells[only].parent = parent;
  cells[only].prev = cells[cut].prev;
  cells[only].next = cells[cut].next;
  if (cells[cut].prev == CELL_NONE)
    cells[parent].first = only;
  else
    cells[cells[cut].prev].next = only;
  if (cells[cut].next != CELL_NONE) cells[cells[cut].next].prev = only;
  drop_cell(plate, cut);
  if (cells[only].kind != CELL_CUT) return;
  uint8_t along = cells[parent].along;
  uint16_t free = free_in(plate, only);
  length_t more = free == CELL_NONE ? 0 : cells[free].extent[along];
  if (free != CELL_NONE) {
    drop_leaf(plate, free);
    unlink_cell(plate, free);
  }
  uint16_t next;
  uint16_t last = only;
  for (uint16_t c = cells[only].first; c != CELL_NONE; c = next) {
    next = cells[c].next;
    cells[c].parent = parent;
    cells[c].prev = last;
    cells[c].next = cells[last].next;
    cells[last].next = c;
    if (cells[c].next != CELL_NONE) cells[cells[c].next].prev = c;
    last = c;
  }
  unlink_cell(plate, only);
  if (more > 0) resize_free(kind, plate, parent, more);
}

static bool tighten_cut(const struct plate_kind *kind, struct plate *plate, uint16_t cut) {
  struct cell *cells = plate->cells;
  uint16_t parent = cells[cut].parent;
  length_t slack = slack_across(plate, cut);
  if (slack == 0 || slack == INT64_MAX) return false;
  uint8_t across = cells[parent].along;
  cells[cut].extent[across] -= slack;
  uint16_t next;
  for (uint16_t c = cells[cut].first; c != CELL_NONE; c = next) {
    next = cells[c].next;
    cells[c].extent[across] -= slack;
    if (cells[c].kind == CELL_FREE)
      value_leaf(kind, plate, &plate->leaves[cells[c].what]);
    else
      resize_free(kind, plate, c, -slack);
  }
  resize_free(kind, plate, parent, slack);
  for (uint16_t c = cells[cut].first; c != CELL_NONE; c = next) {
    next = cells[c].next;
    if (cells[c].kind == CELL_CUT && cells[cells[c].first].next == CELL_NONE)
      dissolve(kind, plate, c);
  }
  set_depths(plate, cut);
  return true;
}

void plate_tighten(const struct plate_kind *kind, struct plate *plate) {
  bool again = true;
  while (again) {
    again = false;
    for (uint16_t c = 0; c < plate->cell_count; c++)
      if (plate->cells[c].kind == CELL_CUT && plate->cells[c].parent != CELL_NONE &&
          tighten_cut(kind, plate, c))
        again = true;
  }
}
