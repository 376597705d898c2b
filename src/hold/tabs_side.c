#include "hold/tabs_side.h"

#include <math.h>
#include <stdlib.h>

/* A rectangle as the side sees it: along the side, and outwards from it. */
struct seen {
  length_t low, high; /* along */
  length_t near, far; /* outwards; negative is inside the part */
};

/* Looks from one side of one part. `half` a tab's width; the strip and the wood beyond reach
 * `deep` outwards. */
struct view {
  struct arena *arena;
  const struct held_part *part;
  enum bed_side side;
  length_t half, deep;
  struct tab_stretch *taken; /* open intervals no middle may lie in */
  size_t count, room;
};

static bool upright(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

static struct seen look(const struct view *view, length_t x, length_t y, length_t length,
                        length_t width) {
  const struct held_part *part = view->part;
  switch (view->side) {
    case BED_LEFT:
      return (struct seen){y, y + width, part->x - (x + length), part->x - x};
    case BED_RIGHT:
      return (struct seen){y, y + width, x - (part->x + part->length),
                           x + length - (part->x + part->length)};
    case BED_FRONT:
      return (struct seen){x, x + length, part->y - (y + width), part->y - y};
    default:
      return (struct seen){x, x + length, y - (part->y + part->width),
                           y + width - (part->y + part->width)};
  }
}

static void take(struct view *view, length_t low, length_t high) {
  *ARENA_PUSH(view->arena, view->taken, view->count, view->room) =
      (struct tab_stretch){low - view->half, high + view->half};
}

/* What touches is not in the way. */
static void take_box(struct view *view, struct seen box, length_t deep) {
  if (box.far > 0 && box.near < deep) take(view, box.low, box.high);
}

/* The disc in a square: as wide as its chord is where the tab's wood comes nearest to its
 * middle. */
static void take_disc(struct view *view, struct seen square) {
  length_t radius = (square.high - square.low + 1) / 2;
  length_t middle = square.low + radius, height = square.near + radius;
  length_t off = height < 0 ? -height : height > view->deep ? height - view->deep : 0;
  if (off >= radius) return;
  length_t chord =
      (length_t)ceil(sqrt((double)(radius - off)) * sqrt((double)(radius + off)) + 1e-6);
  take(view, middle - chord, middle + chord);
}

static void take_parts(struct view *view, const struct tab_work *work, size_t index) {
  length_t path = work->cutter_diameter;
  for (size_t i = 0; i < work->part_count; i++) {
    const struct held_part *other = &work->parts[i];
    if (i == index) continue;
    struct seen box = look(view, other->x - path, other->y - path, other->length + 2 * path,
                           other->width + 2 * path);
    if (work->project->parts[other->part].shape == SHAPE_ROUND) {
      take_disc(view, box);
    } else {
      take_box(view, box, view->deep);
    }
  }
}

static int by_start(const void *a, const void *b) {
  const struct tab_stretch *first = a, *second = b;
  if (first->from != second->from) return first->from < second->from ? -1 : 1;
  return (first->to > second->to) - (first->to < second->to);
}

/* [low, high] without what is taken. */
static void keep_free(struct view *view, length_t low, length_t high, struct tab_side *side) {
  if (view->count > 1) qsort(view->taken, view->count, sizeof *view->taken, by_start);
  side->stretches = ARENA_ARRAY(view->arena, view->count + 1, struct tab_stretch);
  for (size_t i = 0; i < view->count && low <= high; i++) {
    const struct tab_stretch *taken = &view->taken[i];
    if (taken->to <= low) continue;
    if (taken->from >= low) {
      length_t to = taken->from < high ? taken->from : high;
      side->stretches[side->count++] = (struct tab_stretch){low, to};
    }
    low = taken->to;
  }
  if (low <= high) side->stretches[side->count++] = (struct tab_stretch){low, high};
}

struct tab_side tabs_side(struct arena *arena, const struct tab_work *work, size_t index,
                          enum bed_side side) {
  const struct shop *shop = &work->project->shop;
  const struct held_part *part = &work->parts[index];
  struct view view = {.arena = arena,
                      .part = part,
                      .side = side,
                      .half = (shop->tab_width + 1) / 2,
                      .deep = work->cutter_diameter + shop->tab_width};
  struct tab_side made = {.start = upright(side) ? part->y : part->x,
                          .size = upright(side) ? part->width : part->length};
  struct seen load = look(&view, 0, 0, work->load_length, work->load_width);
  if (load.far < view.deep || load.near > 0) return made;
  take_parts(&view, work, index);
  for (size_t i = 0; i < work->bad_count; i++) {
    const struct tab_bad *bad = &work->bad[i];
    take_box(&view, look(&view, bad->x, bad->y, bad->length, bad->width), view.deep);
  }
  for (size_t i = 0; i < work->clamp_count; i++) {
    const struct held_clamp *clamp = &work->clamps[i];
    take_box(&view, look(&view, clamp->x, clamp->y, clamp->length, clamp->width),
             work->cutter_diameter);
  }
  length_t low = made.start + shop->tab_corner, high = made.start + made.size - shop->tab_corner;
  keep_free(&view, (low > load.low ? low : load.low) + view.half,
            (high < load.high ? high : load.high) - view.half, &made);
  return made;
}

/* The first place at `at` or beyond; false when there is none. */
static bool first_from(const struct tab_side *side, length_t at, length_t *place) {
  for (size_t i = 0; i < side->count; i++) {
    if (side->stretches[i].to < at) continue;
    *place = at > side->stretches[i].from ? at : side->stretches[i].from;
    return true;
  }
  return false;
}

static bool last_until(const struct tab_side *side, length_t at, length_t *place) {
  for (size_t i = side->count; i-- > 0;) {
    if (side->stretches[i].from > at) continue;
    *place = at < side->stretches[i].to ? at : side->stretches[i].to;
    return true;
  }
  return false;
}

int64_t tabs_side_room(const struct tab_side *side, length_t pitch, int64_t most) {
  int64_t count = 0;
  length_t at = side->start;
  while (count < most && first_from(side, at, &at)) {
    count++;
    at += pitch;
  }
  return count;
}

/* Of the places within [low, high], both of which are places, the nearest to `wish`. */
static length_t nearest(const struct tab_side *side, length_t wish, length_t low, length_t high) {
  if (wish <= low) return low;
  if (wish >= high) return high;
  length_t below = low, above = high;
  (void)last_until(side, wish, &below);
  (void)first_from(side, wish, &above);
  if (below < low) below = low;
  if (above > high) above = high;
  return above - wish < wish - below ? above : below;
}

/* latest[i] is the furthest the i-th may stand with all behind it still finding room. Each is
 * chosen no further than that, so the next always has a place. */
void tabs_side_spread(struct arena *arena, const struct tab_side *side, length_t pitch,
                      int64_t count, length_t *middles) {
  if (count < 1) return;
  length_t *latest = ARENA_ARRAY(arena, count, length_t);
  length_t at = side->start + side->size;
  for (int64_t i = count; i-- > 0;) {
    if (!last_until(side, at, &latest[i])) return;
    at = latest[i] - pitch;
  }
  at = side->start;
  for (int64_t i = 0; i < count; i++) {
    length_t earliest = at;
    (void)first_from(side, at, &earliest);
    length_t wish = side->start + (2 * i + 1) * side->size / (2 * count);
    middles[i] = nearest(side, wish, earliest, latest[i]);
    at = middles[i] + pitch;
  }
}
