#include "nest/flawed_memo.h"

enum { MOST_ENTRIES = 4000000, MOST_LISTED = 20000000 };

static double grown_area(const struct flaw_memo *memo, length_t length, length_t width) {
  return (double)(length + memo->kerf[0]) * (double)(width + memo->kerf[1]);
}

static bool flaws_overlap(const struct nest_flaw *a, const struct nest_flaw *b) {
  return a->x < b->x + b->length && b->x < a->x + a->length && a->y < b->y + b->width &&
         b->y < a->y + a->width;
}

static void note_flaws(struct flaw_memo *memo) {
  const struct nest_stock *stock = memo->stock;
  memo->apart = true;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    memo->rims = memo->rims || stock->flaws[f].rim_ok;
    for (size_t g = 0; g < f; g++)
      if (flaws_overlap(&stock->flaws[f], &stock->flaws[g])) memo->apart = false;
  }
}

struct flaw_memo *flaw_memo_create(struct arena *arena, const struct nest_stock *stock,
                                   const struct unstaged *table, const cost_t *option_worth) {
  struct flaw_memo *memo = ARENA_NEW(arena, struct flaw_memo);
  memo->arena = arena;
  memo->stock = stock;
  memo->table = table;
  memo->option_worth = option_worth;
  memo->kerf[DIVIDE_LENGTH] = stock->kerf_crosscut;
  memo->kerf[DIVIDE_WIDTH] = stock->kerf_rip;
  memo->places = flaw_places_create(arena, stock, option_worth);
  memo->bases = ARENA_ARRAY(arena, flaw_places_most_bases(memo->places) + 1, length_t);
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    double density = (double)option_worth[o] / grown_area(memo, option->length, option->width);
    if (density > memo->density) memo->density = density;
  }
  note_flaws(memo);
  memo->slot_count = 4096;
  for (int i = 0; i < 2; i++) memo->slot_arena[i] = arena_create_child(arena);
  for (int i = 0; i < 2; i++) memo->empty[i] = arena_mark(memo->slot_arena[i]);
  memo->slots = ARENA_ARRAY(memo->slot_arena[0], memo->slot_count, struct flaw_slot);
  return memo;
}

static double overlap(length_t low, length_t high, length_t flaw_low, length_t flaw_high,
                      length_t kerf) {
  length_t from = flaw_low > low ? flaw_low + kerf : low;
  length_t to = flaw_high < high ? flaw_high : high + kerf;
  return to > from ? (double)(to - from) : 0;
}

/* Area that no piece, grown by a kerf behind it, can cover: flaws, less a kerf where a piece
 * may end before them. */
static double lost_area(const struct flaw_memo *memo, const struct flaw_box *box) {
  double lost = 0;
  for (size_t f = 0; f < memo->stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &memo->stock->flaws[f];
    if (flaw->rim_ok || flaw->x >= box->high[0] || flaw->x + flaw->length <= box->low[0] ||
        flaw->y >= box->high[1] || flaw->y + flaw->width <= box->low[1])
      continue;
    double own =
        overlap(box->low[0], box->high[0], flaw->x, flaw->x + flaw->length, memo->kerf[0]) *
        overlap(box->low[1], box->high[1], flaw->y, flaw->y + flaw->width, memo->kerf[1]);
    if (memo->apart)
      lost += own;
    else if (own > lost)
      lost = own;
  }
  return lost;
}

cost_t flaw_memo_quick(const struct flaw_memo *memo, const struct flaw_box *box) {
  length_t length = box->high[0] - box->low[0];
  length_t width = box->high[1] - box->low[1];
  cost_t clear = unstaged_worth(memo->table, length, width);
  if (clear == 0) return 0;
  double area = grown_area(memo, length, width) - lost_area(memo, box);
  double most = memo->density * area * (1 + 1e-12); /* covers what doubles round away */
  return most < (double)clear ? (cost_t)most : clear;
}

/* ---- entries ---- */

/* The slot of a rectangle, or the empty one where it belongs. */
static size_t slot_of(const struct flaw_memo *memo, const struct flaw_slot *key) {
  uint64_t hash = (uint64_t)(uint32_t)key->low[0] << 32 | (uint32_t)key->high[0];
  hash *= 0x9E3779B97F4A7C15U;
  hash ^= hash >> 31;
  hash ^= (uint64_t)(uint32_t)key->low[1] << 32 | (uint32_t)key->high[1];
  hash *= 0xC2B2AE3D27D4EB4FU;
  size_t slot = (size_t)(hash >> 32) & (memo->slot_count - 1);
  for (; memo->slots[slot].entry != 0; slot = (slot + 1) & (memo->slot_count - 1)) {
    const struct flaw_slot *own = &memo->slots[slot];
    if (own->low[0] == key->low[0] && own->high[0] == key->high[0] && own->low[1] == key->low[1] &&
        own->high[1] == key->high[1])
      break;
  }
  return slot;
}

static void grow_slots(struct flaw_memo *memo) {
  if (2 * (memo->entry_count + 1) <= memo->slot_count) return;
  const struct flaw_slot *old = memo->slots;
  size_t old_count = memo->slot_count;
  struct arena *old_arena = memo->slot_arena[0];
  memo->slot_arena[0] = memo->slot_arena[1];
  memo->slot_arena[1] = old_arena;
  memo->slot_count *= 2;
  memo->slots = ARENA_ARRAY(memo->slot_arena[0], memo->slot_count, struct flaw_slot);
  for (size_t i = 0; i < old_count; i++) {
    if (old[i].entry == 0) continue;
    size_t slot = slot_of(memo, &old[i]);
    memo->slots[slot] = old[i];
    memo->entries[old[i].entry - 1].slot = (uint32_t)slot;
  }
  struct arena_mark empty = memo->empty[0];
  memo->empty[0] = memo->empty[1];
  memo->empty[1] = empty;
  arena_release(old_arena, empty);
}

bool flaw_memo_is_full(const struct flaw_memo *memo) {
  return memo->entry_count >= MOST_ENTRIES || flaw_places_listed(memo->places) >= MOST_LISTED;
}

static bool is_core_clear(const struct flaw_memo *memo, const struct nest_option *option,
                          const struct flaw_box *box) {
  for (size_t f = 0; f < memo->stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &memo->stock->flaws[f];
    length_t dx = flaw->rim_ok ? option->core_x : 0;
    length_t dy = flaw->rim_ok ? option->core_y : 0;
    if (flaw->x < box->high[0] - dx && flaw->x + flaw->length > box->low[0] + dx &&
        flaw->y < box->high[1] - dy && flaw->y + flaw->width > box->low[1] + dy)
      return false;
  }
  return true;
}

size_t flaw_memo_piece(const struct flaw_memo *memo, const struct flaw_box *box) {
  size_t best = SIZE_MAX;
  if (!memo->rims) return best;
  for (size_t o = 0; o < memo->stock->option_count; o++) {
    const struct nest_option *option = &memo->stock->options[o];
    if (option->length != box->high[0] - box->low[0] || option->width != box->high[1] - box->low[1])
      continue;
    if (memo->option_worth[o] <= (best == SIZE_MAX ? 0 : memo->option_worth[best])) continue;
    if (is_core_clear(memo, option, box)) best = o;
  }
  return best;
}

static cost_t first_bound(const struct flaw_memo *memo, const struct flaw_box *box,
                          flaw_set inside) {
  cost_t quick = flaw_memo_quick(memo, box);
  double most = memo->density * flaw_places_covered(memo->places, box, inside) * (1 + 1e-12);
  return most < (double)quick ? (cost_t)most : quick;
}

static void find_entry(struct flaw_memo *memo, struct flaw_part *part) {
  const struct flaw_box *box = &part->box;
  struct flaw_slot key = {.low = {(int32_t)box->low[0], (int32_t)box->low[1]},
                          .high = {(int32_t)box->high[0], (int32_t)box->high[1]}};
  grow_slots(memo);
  size_t slot = slot_of(memo, &key);
  struct flaw_slot *own = &memo->slots[slot];
  if (own->entry == 0) {
    struct flaw_entry *entry =
        ARENA_PUSH(memo->arena, memo->entries, memo->entry_count, memo->entry_room);
    size_t piece = flaw_memo_piece(memo, box);
    if (piece != SIZE_MAX) entry->worth[0] = entry->worth[1] = memo->option_worth[piece];
    entry->slot = (uint32_t)slot;
    key.bound[0] = key.bound[1] = first_bound(memo, box, part->inside);
    key.entry = (uint32_t)memo->entry_count;
    *own = key;
  }
  part->entry = own->entry - 1;
  for (int d = 0; d < 2; d++) part->bound[d] = own->bound[d];
}

void flaw_memo_keep(struct flaw_memo *memo, uint32_t entry, cost_t worth, enum division along,
                    length_t end, length_t start) {
  struct flaw_entry *own = &memo->entries[entry];
  own->worth[along] = worth;
  own->end[along] = (int32_t)end;
  own->start[along] = (int32_t)start;
}

/* ---- shrinking ---- */

/* Moves the edges along a direction to where content can end and (where there is no kerf)
 * begin. False when the box can hold nothing. */
static bool shrink(struct flaw_memo *memo, struct flaw_part *part, enum division along,
                   bool *moved) {
  struct flaw_box *box = &part->box;
  length_t end = flaw_places_last_end(memo->places, box, part->inside, along);
  if (end == box->low[along]) return false;
  *moved = *moved || box->high[along] != end;
  box->high[along] = end;
  if (memo->kerf[along] > 0) return true;
  length_t start = flaw_places_first_start(memo->places, box, part->inside, along);
  if (start == box->high[along]) return false;
  *moved = *moved || box->low[along] != start;
  box->low[along] = start;
  return true;
}

struct flaw_part flaw_memo_part(struct flaw_memo *memo, const struct flaw_box *box) {
  struct flaw_part part = {.box = *box, .entry = FLAW_NO_ENTRY};
  if (box->high[0] <= box->low[0] || box->high[1] <= box->low[1]) return part;
  for (bool moved = true; moved;) {
    moved = false;
    part.inside = flaw_places_inside(memo->places, &part.box);
    if (part.inside == 0) break;
    for (int d = 0; d < 2; d++)
      if (!shrink(memo, &part, (enum division)d, &moved)) return part;
  }
  length_t length = part.box.high[0] - part.box.low[0];
  length_t width = part.box.high[1] - part.box.low[1];
  part.area = (double)length * (double)width;
  if (part.inside == 0) {
    part.bound[0] = part.bound[1] = unstaged_worth(memo->table, length, width);
    return part;
  }
  find_entry(memo, &part);
  return part;
}
