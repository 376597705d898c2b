#include "nest/free_space.h"

#include <string.h>

static void reserve(struct arena *arena, struct free_rects *rects, size_t room) {
  if (room <= rects->room) return;
  size_t grown = rects->room < 8 ? 8 : rects->room;
  while (grown < room) grown *= 2;
  rects->items = arena_grow(arena, rects->items, rects->count, grown, sizeof *rects->items);
  rects->room = grown;
}

void free_rects_add(struct arena *arena, struct free_rects *rects, struct free_rect rect) {
  if (rects->count == rects->room) reserve(arena, rects, rects->count + 1);
  rects->items[rects->count++] = rect;
}

void free_rects_copy(struct arena *arena, struct free_rects *to, const struct free_rects *from) {
  to->count = 0;
  reserve(arena, to, from->count);
  if (from->count > 0) memcpy(to->items, from->items, from->count * sizeof *to->items);
  to->count = from->count;
}

static bool is_useful(const struct free_rect *rect, struct free_least least) {
  return rect->right - rect->left >= least.width && rect->top - rect->bottom >= least.height;
}

/* The up to four greatest parts of a room beside a place that meets it. Returns how many. */
static size_t split(const struct free_rect *room, const struct free_rect *place,
                    struct free_least least, struct free_rect part[4]) {
  size_t count = 0;
  struct free_rect left = *room, right = *room, below = *room, above = *room;
  left.right = place->left;
  right.left = place->right;
  below.top = place->bottom;
  above.bottom = place->top;
  if (is_useful(&left, least)) part[count++] = left;
  if (is_useful(&right, least)) part[count++] = right;
  if (is_useful(&below, least)) part[count++] = below;
  if (is_useful(&above, least)) part[count++] = above;
  return count;
}

static bool within_any(const struct free_rect *rect, const struct free_rects *rects) {
  for (size_t i = 0; i < rects->count; i++)
    if (free_rect_within(rect, &rects->items[i])) return true;
  return false;
}

/* Adds a rectangle to a list none of which holds another, and keeps it so. */
static void add_greatest(struct arena *arena, struct free_rects *rects, struct free_rect rect) {
  if (within_any(&rect, rects)) return;
  size_t kept = 0;
  for (size_t i = 0; i < rects->count; i++)
    if (!free_rect_within(&rects->items[i], &rect)) rects->items[kept++] = rects->items[i];
  rects->count = kept;
  free_rects_add(arena, rects, rect);
}

void free_space_take(struct arena *arena, struct free_rects *rooms, struct free_rects *fresh,
                     struct free_rect place, struct free_least least) {
  struct free_rect part[4];
  size_t kept = 0;
  fresh->count = 0;
  for (size_t i = 0; i < rooms->count; i++) {
    struct free_rect room = rooms->items[i];
    if (!free_rects_meet(&room, &place)) {
      rooms->items[kept++] = room;
      continue;
    }
    size_t parts = split(&room, &place, least, part);
    for (size_t p = 0; p < parts; p++) add_greatest(arena, fresh, part[p]);
  }
  rooms->count = kept;
  /* a part never holds an old room: it lies in one, and no old room lies in another */
  for (size_t i = 0; i < fresh->count; i++) {
    bool held = false;
    for (size_t r = 0; r < kept && !held; r++)
      held = free_rect_within(&fresh->items[i], &rooms->items[r]);
    if (!held) free_rects_add(arena, rooms, fresh->items[i]);
  }
}

void free_gift_begin(struct arena *arena, struct free_gift *gift, const struct free_rects *empty,
                     struct free_rect place, struct free_least least) {
  gift->rooms.count = 0;
  gift->place = place;
  gift->least = least;
  for (size_t i = 0; i < empty->count; i++)
    if (free_rects_meet(&empty->items[i], &place))
      free_rects_add(arena, &gift->rooms, empty->items[i]);
}

void free_gift_keep(struct arena *arena, struct free_gift *gift, const struct free_rect *piece) {
  struct free_rects *rooms = &gift->rooms;
  struct free_rect cut[64];
  size_t cuts = 0;
  size_t kept = 0;
  struct free_rect part[4];
  /* the rooms beyond the first 64 that meet the piece wait for another pass */
  for (size_t i = 0; i < rooms->count; i++) {
    if (cuts < 64 && free_rects_meet(&rooms->items[i], piece))
      cut[cuts++] = rooms->items[i];
    else
      rooms->items[kept++] = rooms->items[i];
  }
  if (cuts == 0) return;
  rooms->count = kept;
  for (size_t c = 0; c < cuts; c++) {
    size_t parts = split(&cut[c], piece, gift->least, part);
    for (size_t p = 0; p < parts; p++)
      if (free_rects_meet(&part[p], &gift->place)) add_greatest(arena, rooms, part[p]);
  }
  if (cuts == 64) free_gift_keep(arena, gift, piece);
}

void free_gift_end(struct arena *arena, struct free_gift *gift, struct free_rects *rooms) {
  size_t kept = 0;
  for (size_t i = 0; i < rooms->count; i++)
    if (!within_any(&rooms->items[i], &gift->rooms)) rooms->items[kept++] = rooms->items[i];
  rooms->count = kept;
  for (size_t i = 0; i < gift->rooms.count; i++) free_rects_add(arena, rooms, gift->rooms.items[i]);
}
