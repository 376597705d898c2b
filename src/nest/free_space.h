/* Room left on a sheet laid freely: all greatest empty rectangles, kept up to date as pieces
 * come and go. Whole coordinates of at most 2^31 - 1, pieces and sheets grown by the gap. */
#ifndef BLANKWRIGHT_NEST_FREE_SPACE_H
#define BLANKWRIGHT_NEST_FREE_SPACE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"

struct free_rect {
  int32_t left, bottom, right, top;
};

/* Lives in an arena; its array only grows. */
struct free_rects {
  struct free_rect *items;
  size_t count, room;
};

/* Rooms narrower or lower than any piece are not kept. */
struct free_least {
  int32_t width, height;
};

static inline bool free_rects_meet(const struct free_rect *a, const struct free_rect *b) {
  return a->left < b->right && b->left < a->right && a->bottom < b->top && b->bottom < a->top;
}

static inline bool free_rect_within(const struct free_rect *inner, const struct free_rect *outer) {
  return inner->left >= outer->left && inner->right <= outer->right &&
         inner->bottom >= outer->bottom && inner->top <= outer->top;
}

/* Appends one; replaces what `to` holds. */
void free_rects_add(struct arena *arena, struct free_rects *rects, struct free_rect rect);
void free_rects_copy(struct arena *arena, struct free_rects *to, const struct free_rects *from);

/* Takes a piece's place out of the rooms. `fresh` is working space. */
void free_space_take(struct arena *arena, struct free_rects *rooms, struct free_rects *fresh,
                     struct free_rect place, struct free_least least);

/* A place being given back, between free_gift_begin and free_gift_end: the rooms that meet it. */
struct free_gift {
  struct free_rects rooms;
  struct free_rect place;
  struct free_least least;
};

/* Gives a place back: begin with the rooms of the sheet when empty, take every piece that
 * stays, end. Only rooms that meet the place are looked at, so this is cheap. */
void free_gift_begin(struct arena *arena, struct free_gift *gift, const struct free_rects *empty,
                     struct free_rect place, struct free_least least);
void free_gift_keep(struct arena *arena, struct free_gift *gift, const struct free_rect *piece);
void free_gift_end(struct arena *arena, struct free_gift *gift, struct free_rects *rooms);

#endif
