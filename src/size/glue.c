#include "size/glue.h"

#include "size/fit.h"

length_t glue_strip_width(const struct shop *shop, length_t whole, int64_t n) {
  length_t sum = whole + 2 * (n - 1) * shop->glue_per_edge;
  return length_raise((sum + n - 1) / n, shop->mark_step);
}

/* A blank as it is glued up: its strips lie along the grain. */
struct glue_up {
  const struct glue_planks *planks;
  const struct blank *like;
  length_t along;  /* of a strip and of the blank */
  length_t across; /* of the blank */
  bool sideways;   /* `along` is the part's length */
};

/* The fewest strips that this plank is wide enough for; 0 when it needs none or too many. */
static int64_t fewest_strips(const struct glue_up *up, const struct stock *plank) {
  const struct shop *shop = &up->planks->project->shop;
  length_t room = stock_room_width(plank);
  if (up->across <= room) return 0;
  for (int64_t n = 2; n <= STRIPS_MOST; n++)
    if (glue_strip_width(shop, up->across, n) <= room) return n;
  return 0;
}

static void add_strips(struct arena *arena, const struct glue_up *up, int64_t n,
                       struct blanks *blanks) {
  const struct project *project = up->planks->project;
  length_t width = glue_strip_width(&project->shop, up->across, n);
  if (width < project->shop.rip_min_width || width >= up->across) return;
  for (size_t i = 0; i < up->planks->count; i++) {
    const struct stock *plank = &project->stocks[up->planks->stocks[i]];
    if (up->along > stock_room_length(plank) || width > stock_room_width(plank)) continue;
    struct blank *strip = ARENA_PUSH(arena, blanks->items, blanks->count, blanks->room);
    *strip = *up->like;
    strip->stock = up->planks->stocks[i];
    strip->strips = n;
    strip->glued_sideways = up->sideways;
    strip->glued_length = up->sideways ? up->along : up->across;
    strip->glued_width = up->sideways ? up->across : up->along;
    strip->length = up->sideways ? up->along : width;
    strip->width = up->sideways ? width : up->along;
    strip->may_lie_straight = up->sideways;
    strip->may_lie_turned = !up->sideways;
  }
}

static void glue_one_way(struct arena *arena, const struct glue_up *up, struct blanks *blanks) {
  bool wanted[STRIPS_MOST + 2] = {false};
  for (size_t i = 0; i < up->planks->count; i++) {
    int64_t n = fewest_strips(up, &up->planks->project->stocks[up->planks->stocks[i]]);
    if (n > 0) wanted[n] = wanted[n + 1] = true;
  }
  for (int64_t n = 2; n <= STRIPS_MOST; n++)
    if (wanted[n]) add_strips(arena, up, n, blanks);
}

void glue_add_strips(struct arena *arena, const struct glue_planks *planks,
                     const struct choice *choice, const struct blank *like, struct blanks *blanks) {
  enum grain grain = planks->project->parts[like->part].grain;
  struct glue_up up = {planks, like, choice->length, choice->width, true};
  if (grain != GRAIN_ACROSS) glue_one_way(arena, &up, blanks);
  struct glue_up turned = {planks, like, choice->width, choice->length, false};
  if (grain != GRAIN_ALONG) glue_one_way(arena, &turned, blanks);
}
