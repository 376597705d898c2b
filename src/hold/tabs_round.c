#include "hold/tabs_round.h"

#include <math.h>

/* A turn is divided into so many places for each tab wanted. */
enum { PLACES_EACH = 24 };

/* In 1/8000 mm: overlaps up to it are taken for touching, since places are rounded to it. */
#define TOUCH 0.5

/* A tab and the wood beyond it: a rectangle from the outline's point (x, y) outwards along
 * the unit (u, v), half wide to either side of it. */
struct bridge {
  double x, y, u, v, half, deep;
};

struct box {
  double low_x, low_y, high_x, high_y;
};

static void corners(const struct bridge *bridge, double *x, double *y) {
  for (int i = 0; i < 4; i++) {
    double along = (i & 1) != 0 ? bridge->half : -bridge->half;
    double out = (i & 2) != 0 ? bridge->deep : 0;
    x[i] = bridge->x + out * bridge->u - along * bridge->v;
    y[i] = bridge->y + out * bridge->v + along * bridge->u;
  }
}

/* How far the bridge and the box overlap along the direction (u, v). */
static double overlap(const struct bridge *bridge, const struct box *box, double u, double v) {
  double x[4], y[4];
  corners(bridge, x, y);
  double low = INFINITY, high = -INFINITY, box_low = INFINITY, box_high = -INFINITY;
  for (int i = 0; i < 4; i++) {
    double at = x[i] * u + y[i] * v;
    double corner_x = (i & 1) != 0 ? box->high_x : box->low_x;
    double corner_y = (i & 2) != 0 ? box->high_y : box->low_y;
    double box_at = corner_x * u + corner_y * v;
    low = fmin(low, at), high = fmax(high, at);
    box_low = fmin(box_low, box_at), box_high = fmax(box_high, box_at);
  }
  return fmin(high, box_high) - fmax(low, box_low);
}

/* Two convex shapes are apart where they are so along the normal of a side of one of them. */
static bool meets_box(const struct bridge *bridge, const struct box *box) {
  return overlap(bridge, box, 1, 0) > TOUCH && overlap(bridge, box, 0, 1) > TOUCH &&
         overlap(bridge, box, bridge->u, bridge->v) > TOUCH &&
         overlap(bridge, box, -bridge->v, bridge->u) > TOUCH;
}

static bool meets_disc(const struct bridge *bridge, double x, double y, double radius) {
  double out = (x - bridge->x) * bridge->u + (y - bridge->y) * bridge->v;
  double along = -(x - bridge->x) * bridge->v + (y - bridge->y) * bridge->u;
  double off_out = out - fmin(fmax(out, 0), bridge->deep);
  double off_along = along - fmin(fmax(along, -bridge->half), bridge->half);
  return hypot(off_out, off_along) < radius - TOUCH;
}

static struct box box_of(length_t x, length_t y, length_t length, length_t width, length_t grown) {
  return (struct box){(double)(x - grown), (double)(y - grown), (double)(x + length + grown),
                      (double)(y + width + grown)};
}

static bool meets_part(const struct bridge *bridge, const struct tab_work *work,
                       const struct held_part *other) {
  length_t path = work->cutter_diameter;
  if (work->project->parts[other->part].shape != SHAPE_ROUND) {
    struct box box = box_of(other->x, other->y, other->length, other->width, path);
    return meets_box(bridge, &box);
  }
  double radius = (double)other->length / 2;
  return meets_disc(bridge, (double)other->x + radius, (double)other->y + radius,
                    radius + (double)path);
}

static bool within_load(const struct bridge *bridge, const struct tab_work *work) {
  double x[4], y[4];
  corners(bridge, x, y);
  for (int i = 0; i < 4; i++)
    if (x[i] < -TOUCH || y[i] < -TOUCH || x[i] > (double)work->load_length + TOUCH ||
        y[i] > (double)work->load_width + TOUCH)
      return false;
  return true;
}

static bool stands(const struct tab_work *work, size_t index, const struct bridge *bridge) {
  if (!within_load(bridge, work)) return false;
  for (size_t i = 0; i < work->part_count; i++)
    if (i != index && meets_part(bridge, work, &work->parts[i])) return false;
  for (size_t i = 0; i < work->bad_count; i++) {
    const struct tab_bad *bad = &work->bad[i];
    struct box box = box_of(bad->x, bad->y, bad->length, bad->width, 0);
    if (meets_box(bridge, &box)) return false;
  }
  struct bridge strip = *bridge;
  strip.deep = (double)work->cutter_diameter;
  for (size_t i = 0; i < work->clamp_count; i++) {
    const struct held_clamp *clamp = &work->clamps[i];
    struct box box = box_of(clamp->x, clamp->y, clamp->length, clamp->width, 0);
    if (meets_box(&strip, &box)) return false;
  }
  return true;
}

/* The ring of places around one round. */
struct ring {
  const struct tab_work *work;
  const struct held_part *part;
  size_t index;
  double radius;
  int64_t wanted, places, least; /* at least so many places from one tab to the next */
  bool *free, *taken;
};

/* The first place is that of a side with the grain, the tabs' best. */
static struct bridge bridge_at(const struct ring *ring, int64_t place) {
  const struct shop *shop = &ring->work->project->shop;
  double turn = (double)place / (double)ring->places;
  if (ring->work->grain != LOAD_GRAIN_Y) turn += 0.25;
  double angle = 2 * acos(-1.0) * turn;
  struct bridge bridge = {.u = cos(angle),
                          .v = sin(angle),
                          .half = (double)shop->tab_width / 2,
                          .deep = (double)(ring->work->cutter_diameter + shop->tab_width)};
  bridge.x = (double)ring->part->x + ring->radius * (1 + bridge.u);
  bridge.y = (double)ring->part->y + ring->radius * (1 + bridge.v);
  return bridge;
}

static double chord(double radius, double turn) { return 2 * radius * sin(acos(-1.0) * turn); }

/* As many as have `pitch` between them, at most. */
static int64_t room_on(double radius, length_t pitch, int64_t wanted) {
  double most = 2 * acos(-1.0) * radius / (double)pitch;
  int64_t count = (double)wanted > most ? (int64_t)most + 1 : wanted;
  while (count > 1 && chord(radius, 1.0 / (double)count) < (double)pitch) count--;
  return count;
}

static int64_t even_free(const struct ring *ring, int64_t first) {
  int64_t count = 0;
  for (int64_t i = 0; i < ring->wanted; i++)
    if (ring->free[first + i * PLACES_EACH]) count++;
  return count;
}

static int64_t take_even(struct ring *ring) {
  int64_t best = 0, best_count = -1;
  for (int64_t first = 0; first < PLACES_EACH; first++) {
    int64_t count = even_free(ring, first);
    if (count <= best_count) continue;
    best = first;
    best_count = count;
  }
  for (int64_t i = 0; i < ring->wanted; i++) {
    int64_t place = best + i * PLACES_EACH;
    ring->taken[place] = ring->free[place];
  }
  return best_count;
}

/* Places to the nearest tab, either way round. */
static int64_t distance(const struct ring *ring, int64_t place) {
  int64_t near = 0;
  while (near <= ring->places / 2 && !ring->taken[(place + near) % ring->places] &&
         !ring->taken[(place - near + ring->places) % ring->places])
    near++;
  return near;
}

/* One more, as far as may be from all others; false when none has room. */
static bool take_furthest(struct ring *ring) {
  int64_t best = -1, best_distance = ring->least - 1;
  for (int64_t place = 0; place < ring->places; place++) {
    if (!ring->free[place]) continue;
    int64_t far = distance(ring, place);
    if (far <= best_distance) continue;
    best = place;
    best_distance = far;
  }
  if (best >= 0) ring->taken[best] = true;
  return best >= 0;
}

static int64_t widest_gap(const struct ring *ring) {
  int64_t widest = 0, gap = 0;
  for (int64_t i = 0; i < 2 * ring->places; i++) {
    gap = ring->taken[i % ring->places] ? 1 : gap + 1;
    if (gap > widest) widest = gap;
  }
  return widest;
}

static enum bed_side side_of(const struct bridge *bridge) {
  if (fabs(bridge->u) > fabs(bridge->v)) return bridge->u < 0 ? BED_LEFT : BED_RIGHT;
  return bridge->v < 0 ? BED_FRONT : BED_BACK;
}

static void put_tabs(struct arena *arena, const struct ring *ring, int64_t count,
                     struct held_part *part) {
  struct tab *tabs = ARENA_ARRAY(arena, count, struct tab);
  size_t used = 0;
  for (int64_t place = 0; place < ring->places; place++) {
    if (!ring->taken[place]) continue;
    struct bridge bridge = bridge_at(ring, place);
    tabs[used++] =
        (struct tab){.x = llround(bridge.x), .y = llround(bridge.y), .side = side_of(&bridge)};
  }
  part->tabs = tabs;
  part->tab_count = used;
}

void tabs_round(struct arena *arena, const struct tab_work *work, size_t index,
                struct held_part *part, struct tab_result *result) {
  length_t pitch = tabs_pitch(&work->project->shop, work->cutter_diameter);
  struct ring ring = {.work = work,
                      .part = &work->parts[index],
                      .index = index,
                      .radius = (double)work->parts[index].length / 2};
  ring.wanted = room_on(ring.radius, pitch, result->wanted);
  ring.places = ring.wanted * PLACES_EACH;
  ring.free = ARENA_ARRAY(arena, ring.places, bool);
  ring.taken = ARENA_ARRAY(arena, ring.places, bool);
  for (int64_t place = 0; place < ring.places; place++) {
    struct bridge bridge = bridge_at(&ring, place);
    ring.free[place] = stands(work, index, &bridge);
  }
  ring.least = 1;
  while (ring.least < ring.places / 2 &&
         chord(ring.radius, (double)ring.least / (double)ring.places) < (double)pitch)
    ring.least++;
  int64_t made = take_even(&ring);
  while (made < ring.wanted && take_furthest(&ring)) made++;
  result->made = made;
  result->opposite = result->wanted < 2 || (made >= 2 && 2 * widest_gap(&ring) <= ring.places);
  put_tabs(arena, &ring, made, part);
}
