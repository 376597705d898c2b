#include "hold/load_exact.h"

#include <string.h>

#include "hold/load_seen.h"

enum {
  CANDIDATES_MOST = 256,
  FILLS_KEPT = 1024,
  KEY_WORDS = 2 * LOAD_PARTS_MOST + LOAD_ITEMS_MOST / 4 + LOAD_PLACES_MOST / 32 * BED_SIDES + 3,
  SUPPORTS_MOST = (BED_SIDES - 1) * LOAD_PLACES_MOST
};

/* Closure of the parts laid: a stair falling to the right. Points by x; y falls. */
struct stair {
  struct point {
    length_t x, y;
  } points[LOAD_PARTS_MOST];
  size_t count;
  int64_t area;
};

/* Fills of both axes with what is not laid yet. */
struct fills {
  uint8_t counts[LOAD_ITEMS_MOST];
  struct load_fill along, across;
};

/* Where a part may be stopped by a clamp on an axis, and its extent on the other. */
struct support {
  length_t at, low, high;
  uint8_t side, place;
};

/* Those at the same place. */
struct group {
  length_t at;
  size_t first, end;
};

struct load_exact {
  const struct load_job *job;
  struct load_axis along, across;
  struct arena *arena;
  struct fills *fills[FILLS_KEPT]; /* by hash of what is left; NULL until wanted */
  struct load_seen *seen;
  struct support xs[SUPPORTS_MOST], ys[SUPPORTS_MOST];
  size_t x_count, y_count;
  struct group x_group[SUPPORTS_MOST], y_group[SUPPORTS_MOST]; /* by place */
  size_t x_groups, y_groups;
  bool clamps_known;       /* clamps are minded exactly; else they are left out */
  bool mirror_x, mirror_y; /* mirrored clamps are clamps too */
  /* of one question */
  uint8_t left[LOAD_ITEMS_MOST];
  int64_t left_area, room_area;
  struct load_part parts[LOAD_PARTS_MOST];
  size_t count;
  int64_t steps, limit;
  bool unrealised; /* a layout held only as long as rounds are taken for less than they are */
  int guide;       /* kind kept in the lower left half where layouts can be mirrored; -1: none */
};

struct candidate {
  struct load_part part;
  int64_t area; /* of the closure with it */
};

static void list_supports(struct load_exact *exact) {
  const struct load_job *job = exact->job;
  length_t off = job->problem->hold.reach - job->problem->edge;
  for (size_t s = 0; s < BED_SIDES; s++) {
    const struct load_side *side = &job->clamps->sides[s];
    for (size_t i = 0; i < side->count; i++) {
      const struct load_place *place = &side->places[i];
      length_t left = place->left - job->problem->hold.reach - job->problem->edge;
      length_t low = place->bottom - job->problem->hold.reach - job->problem->edge;
      length_t right = place->right + off;
      length_t top = place->top + off;
      if (s != BED_RIGHT && right > 0)
        exact->xs[exact->x_count++] = (struct support){right, low, top, (uint8_t)s, (uint8_t)i};
      if (s != BED_BACK && top > 0)
        exact->ys[exact->y_count++] = (struct support){top, left, right, (uint8_t)s, (uint8_t)i};
    }
  }
}

/* Sorts them by place. */
static size_t group_supports(struct support *supports, size_t count, struct group *groups) {
  size_t made = 0;
  for (size_t i = 1; i < count; i++) {
    struct support support = supports[i];
    size_t at = i;
    for (; at > 0 && supports[at - 1].at > support.at; at--) supports[at] = supports[at - 1];
    supports[at] = support;
  }
  for (size_t i = 0; i < count; i++) {
    if (made == 0 || groups[made - 1].at != supports[i].at)
      groups[made++] = (struct group){supports[i].at, i, i};
    groups[made - 1].end = i + 1;
  }
  return made;
}

/* A stop matters to side clamps alone. */
static bool sides_alike(const struct load_job *job, size_t a, size_t b) {
  const struct clamp_problem *hold = &job->problem->hold;
  return hold->held[a] == hold->held[b] &&
         (hold->stop[a] == hold->stop[b] || !hold->held[a] || !job->clamps->counts[CLAMP_SIDE].any);
}

/* Does every place of the side have its mirror image on the side? */
static bool side_mirrors(const struct load_job *job, size_t s) {
  const struct load_side *side = &job->clamps->sides[s];
  const struct clamp_problem *hold = &job->problem->hold;
  length_t whole = s < BED_FRONT ? hold->width : hold->length;
  for (size_t i = 0; i < side->count; i++) {
    const struct load_place *place = &side->places[i];
    length_t image = whole - place->begin - hold->choices[place->choice].width;
    bool found = false;
    for (size_t j = 0; j < side->count && !found; j++)
      found = side->places[j].begin == image && side->places[j].choice == place->choice;
    if (!found) return false;
  }
  return true;
}

static bool mirrors(const struct load_exact *exact, size_t turned, size_t swapped) {
  const struct load_job *job = exact->job;
  if (!exact->clamps_known || job->clamps->idle) return true;
  return side_mirrors(job, turned) && side_mirrors(job, turned + 1) &&
         sides_alike(job, swapped, swapped + 1);
}

struct load_exact *load_exact_begin(struct arena *arena, const struct load_job *job) {
  struct load_exact *exact = ARENA_NEW(arena, struct load_exact);
  exact->job = job;
  exact->clamps_known = job->clamps->exact;
  load_axis_begin(job, false, &exact->along);
  load_axis_begin(job, true, &exact->across);
  exact->arena = arena;
  exact->seen = load_seen_begin(arena);
  list_supports(exact);
  exact->mirror_y = mirrors(exact, BED_LEFT, BED_FRONT);
  exact->mirror_x = mirrors(exact, BED_FRONT, BED_LEFT);
  if (!exact->clamps_known) exact->x_count = exact->y_count = 0;
  exact->x_groups = group_supports(exact->xs, exact->x_count, exact->x_group);
  exact->y_groups = group_supports(exact->ys, exact->y_count, exact->y_group);
  return exact;
}

/* Least x outside the closure just above y, and least y just right of x. */
static length_t level_x(const struct stair *stair, length_t y) {
  length_t x = 0;
  for (size_t i = 0; i < stair->count && stair->points[i].y > y; i++) x = stair->points[i].x;
  return x;
}

static length_t level_y(const struct stair *stair, length_t x) {
  for (size_t i = 0; i < stair->count; i++)
    if (stair->points[i].x > x) return stair->points[i].y;
  return 0;
}

static void measure(struct stair *stair) {
  length_t before = 0;
  stair->area = 0;
  for (size_t i = 0; i < stair->count; i++) {
    stair->area += (stair->points[i].x - before) * stair->points[i].y;
    before = stair->points[i].x;
  }
}

static void stair_add(const struct stair *from, length_t x, length_t y, struct stair *to) {
  size_t count = 0;
  size_t i = 0;
  for (; i < from->count && from->points[i].x < x; i++)
    if (from->points[i].y > y) to->points[count++] = from->points[i];
  bool covered = i < from->count && from->points[i].y >= y;
  if (!covered) to->points[count++] = (struct point){x, y};
  for (; i < from->count; i++)
    if (covered || from->points[i].x > x) to->points[count++] = from->points[i];
  to->count = count;
  measure(to);
}

/* The least length and width of what is left. */
static struct point least_left(const struct load_exact *exact) {
  const struct load_job *job = exact->job;
  struct point least = {job->length, job->width};
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways && exact->left[i] > 0; way++) {
      if (job->kinds[i].length[way] < least.x) least.x = job->kinds[i].length[way];
      if (job->kinds[i].width[way] < least.y) least.y = job->kinds[i].width[way];
    }
  return least;
}

/* Behind the first steps and beside the last ones nothing that is left has room: they are taken
 * into the closure, so that more states are alike and the lines shorter. */
static void close_pockets(const struct load_exact *exact, struct stair *stair) {
  const struct load_job *job = exact->job;
  struct point least = least_left(exact);
  size_t first = 0;
  while (first < stair->count && job->width - stair->points[first].y < least.y) first++;
  size_t end = stair->count;
  while (end > first && job->length - stair->points[end - 1].x < least.x) end--;
  size_t count = 0;
  struct point last = {job->length, end < stair->count ? stair->points[end].y : 0};
  if (first > 0) stair->points[count++] = (struct point){stair->points[first - 1].x, job->width};
  for (size_t i = first; i < end; i++) stair->points[count++] = stair->points[i];
  if (end < stair->count) stair->points[count++] = last;
  stair->count = count;
  measure(stair);
}

/* By how much the closure grows. */
static int64_t growth(const struct stair *stair, length_t x, length_t y) {
  int64_t area = 0;
  length_t before = 0;
  for (size_t i = 0; i < stair->count && before < x; i++) {
    length_t end = stair->points[i].x < x ? stair->points[i].x : x;
    if (stair->points[i].y < y) area += (end - before) * (y - stair->points[i].y);
    before = end;
  }
  if (before < x) area += (x - before) * y;
  return area;
}

static const struct fills *fills_of(struct load_exact *exact) {
  const struct load_job *job = exact->job;
  uint64_t hash = 0;
  for (size_t i = 0; i < job->count; i++)
    hash = (hash ^ exact->left[i]) * UINT64_C(0x9E3779B97F4A7C15) + 1;
  struct fills **kept = &exact->fills[(hash >> 32) % FILLS_KEPT];
  struct fills *fills = *kept;
  if (fills != NULL && memcmp(fills->counts, exact->left, job->count) == 0) return fills;
  if (fills == NULL) fills = *kept = ARENA_NEW(exact->arena, struct fills);
  memcpy(fills->counts, exact->left, job->count);
  load_fill_with(job, &exact->along, exact->left, &fills->along);
  load_fill_with(job, &exact->across, exact->left, &fills->across);
  exact->steps += 2000;
  return fills;
}

/* What all lines across the room outside the closure can be filled with holds what is left? */
static bool lines_suffice(struct load_exact *exact, const struct stair *stair) {
  const struct load_job *job = exact->job;
  const struct fills *fills = fills_of(exact);
  int64_t along = 0;
  int64_t across = 0;
  length_t above = job->width;
  length_t before = 0;
  for (size_t i = 0; i <= stair->count; i++) {
    length_t y = i < stair->count ? stair->points[i].y : 0;
    length_t x = i < stair->count ? stair->points[i].x : job->length;
    along += (above - y) * load_fill_best(&exact->along, &fills->along, job->length - before);
    across += (x - before) * load_fill_best(&exact->across, &fills->across, job->width - y);
    above = y;
    before = x;
  }
  exact->steps += 4 * (int64_t)stair->count + 4;
  return along >= exact->left_area && across >= exact->left_area;
}

/* Is one of the clamps of the group beside the part, [low, high) on the other axis, and open? */
static bool supported(const struct support *supports, struct group group,
                      const struct load_open *open, length_t low, length_t high) {
  for (size_t i = group.first; i < group.end; i++)
    if (low < supports[i].high && high > supports[i].low &&
        (open->sides[supports[i].side] >> supports[i].place & 1) != 0)
      return true;
  return false;
}

struct candidates {
  struct candidate items[CANDIDATES_MOST];
  size_t count;
};

/* Mirrored layouts: the largest kind's only copy need not lie beyond the middle. */
static bool beyond_middle(const struct load_exact *exact, struct load_part part) {
  const struct load_job *job = exact->job;
  if (exact->guide != part.kind) return false;
  return (exact->mirror_x && part.x + load_right(job, part) > job->length) ||
         (exact->mirror_y && part.y + load_top(job, part) > job->width);
}

static bool is_within(const struct load_exact *exact, struct load_part part) {
  const struct load_job *job = exact->job;
  return load_right(job, part) <= job->length && load_top(job, part) <= job->width &&
         !beyond_middle(exact, part);
}

/* Within the room, and with room for what is left then outside the closure? Sets its area. */
static bool has_room(struct load_exact *exact, const struct stair *stair, struct load_part part,
                     int64_t *area) {
  const struct load_job *job = exact->job;
  if (!is_within(exact, part)) return false;
  exact->steps += 20;
  *area = stair->area + growth(stair, load_right(job, part), load_top(job, part));
  return exact->room_area - *area >= exact->left_area - job->kinds[part.kind].area;
}

static void offer(struct load_exact *exact, struct load_part part, int64_t area,
                  struct candidates *list) {
  if (list->count == CANDIDATES_MOST) {
    exact->unrealised = true;
    return;
  }
  size_t at = list->count++;
  for (; at > 0 && list->items[at - 1].area > area; at--) list->items[at] = list->items[at - 1];
  list->items[at] = (struct candidate){part, area};
}

/* False where no corner takes it, nor will one of a larger closure. One that has no room for what
 * is left may have when more of that is laid. */
static bool offer_corners(struct load_exact *exact, const struct stair *stair,
                          struct load_part part, struct candidates *list) {
  length_t before = 0;
  int64_t area;
  bool any = false;
  for (size_t i = 0; i <= stair->count; i++) {
    part.x = before;
    part.y = i < stair->count ? stair->points[i].y : 0;
    any = any || is_within(exact, part);
    if (has_room(exact, stair, part, &area)) offer(exact, part, area, list);
    if (i < stair->count) before = stair->points[i].x;
  }
  return any;
}

/* A part's rectangle that meets clamps, from its grown corner. */
struct inner {
  length_t x, y, length, width;
};

static struct inner inner_of(const struct load_exact *exact, struct load_part part,
                             unsigned which) {
  const struct load_kind *kind = &exact->job->kinds[part.kind];
  struct load_inner less = kind->inner[which];
  length_t gap = exact->job->problem->gap;
  return (struct inner){less.x, less.y, kind->length[part.way] - gap - less.x,
                        kind->width[part.way] - gap - less.y};
}

/* Does an open clamp of the group stop the part on its left, or in front, by the rectangle? */
static bool stops_x(const struct load_exact *exact, struct group group,
                    const struct load_open *open, struct load_part part, struct inner inner) {
  return supported(exact->xs, group, open, part.y + inner.y, part.y + inner.width);
}

static bool stops_y(const struct load_exact *exact, struct group group,
                    const struct load_open *open, struct load_part part, struct inner inner) {
  return supported(exact->ys, group, open, part.x + inner.x, part.x + inner.length);
}

static void offer_beside_x(struct load_exact *exact, const struct stair *stair,
                           const struct load_open *open, struct load_part part, unsigned which,
                           struct candidates *list) {
  struct inner inner = inner_of(exact, part, which);
  int64_t area;
  for (size_t g = 0; g < exact->x_groups; g++) {
    part.x = exact->x_group[g].at - inner.x;
    exact->steps += 5;
    if (part.x <= 0) continue;
    if (load_right(exact->job, part) > exact->job->length) break;
    part.y = level_y(stair, part.x);
    if (part.x > level_x(stair, part.y) && has_room(exact, stair, part, &area) &&
        stops_x(exact, exact->x_group[g], open, part, inner))
      offer(exact, part, area, list);
  }
}

/* Stopped in front by the one rectangle and a clamp, on the left by another and a clamp. */
static void offer_between(struct load_exact *exact, const struct stair *stair,
                          const struct load_open *open, struct load_part part, struct group front,
                          struct inner above, struct candidates *list) {
  length_t level = level_x(stair, part.y);
  int64_t area;
  for (unsigned which = 0; which < exact->job->kinds[part.kind].inner_count; which++) {
    struct inner inner = inner_of(exact, part, which);
    for (size_t g = 0; g < exact->x_groups; g++) {
      part.x = exact->x_group[g].at - inner.x;
      exact->steps += 3;
      if (part.x <= level) continue;
      if (!has_room(exact, stair, part, &area)) break;
      if (part.y > level_y(stair, part.x) && stops_y(exact, front, open, part, above) &&
          stops_x(exact, exact->x_group[g], open, part, inner))
        offer(exact, part, area, list);
    }
  }
}

static void offer_beside_y(struct load_exact *exact, const struct stair *stair,
                           const struct load_open *open, struct load_part part, unsigned which,
                           struct candidates *list) {
  struct inner inner = inner_of(exact, part, which);
  int64_t area;
  for (size_t g = 0; g < exact->y_groups; g++) {
    part.y = exact->y_group[g].at - inner.y;
    exact->steps += 5;
    if (part.y <= 0) continue;
    if (load_top(exact->job, part) > exact->job->width) break;
    part.x = level_x(stair, part.y);
    if (part.y > level_y(stair, part.x) && has_room(exact, stair, part, &area) &&
        stops_y(exact, exact->y_group[g], open, part, inner))
      offer(exact, part, area, list);
    offer_between(exact, stair, open, part, exact->y_group[g], inner, list);
  }
}

/* Of two parts laid one after the other that do not need each other, the one further to the left
 * comes first: of the orders of one layout the least by this rule has no such two. */
static bool out_of_order(const struct load_exact *exact, const struct candidate *next) {
  if (exact->count == 0) return false;
  struct load_part last = exact->parts[exact->count - 1];
  return load_top(exact->job, last) <= next->part.y && load_right(exact->job, next->part) <= last.x;
}

static size_t key_of(const struct load_exact *exact, const struct stair *stair,
                     const struct load_open *open, uint32_t key[KEY_WORDS]) {
  size_t words = 0;
  const struct load_job *job = exact->job;
  for (size_t i = 0; i < job->count; i += 4) {
    uint32_t word = 0;
    for (size_t j = i; j < i + 4 && j < job->count; j++) word = word << 8 | exact->left[j];
    key[words++] = word;
  }
  for (size_t s = 0; s < BED_SIDES; s++) {
    if (job->clamps->sides[s].count == 0) continue;
    for (size_t from = 0; from < job->clamps->sides[s].count; from += 32)
      key[words++] = (uint32_t)(open->sides[s] >> from);
  }
  for (size_t i = 0; i < stair->count; i++) {
    key[words++] = (uint32_t)stair->points[i].x;
    key[words++] = (uint32_t)stair->points[i].y;
  }
  return words;
}

/* Rounds were taken for less than they are: are there clamps in truth? */
static bool is_held(struct load_exact *exact) {
  const struct load_job *job = exact->job;
  if (exact->clamps_known && !job->rounds) return true;
  struct load_open open = job->open;
  for (size_t i = 0; i < exact->count; i++) load_take_places(job, exact->parts[i], false, &open);
  bool possible = load_clamps_possible(job->clamps, &open);
  if (!possible) exact->unrealised = true;
  return possible;
}

static enum load_outcome lay(struct load_exact *exact, const struct stair *stair,
                             const struct load_open *open);

static enum load_outcome lay_next(struct load_exact *exact, const struct stair *stair,
                                  const struct load_open *open, const struct candidate *next) {
  const struct load_job *job = exact->job;
  struct load_open still = *open;
  exact->steps += 40;
  if (exact->clamps_known && load_take_places(job, next->part, true, &still)) {
    bool possible = load_clamps_possible(job->clamps, &still);
    exact->steps += load_clamps_work(job->clamps);
    if (!possible) return LOAD_REFUTED;
  }
  struct stair grown;
  stair_add(stair, load_right(job, next->part), load_top(job, next->part), &grown);
  uint8_t kind = next->part.kind;
  exact->parts[exact->count] = next->part;
  exact->count++;
  exact->left[kind]--;
  exact->left_area -= job->kinds[kind].area;
  if (exact->left_area > 0) close_pockets(exact, &grown);
  enum load_outcome outcome = lay(exact, &grown, &still);
  if (outcome == LOAD_FOUND) return outcome;
  exact->left_area += job->kinds[kind].area;
  exact->left[kind]++;
  exact->count--;
  return outcome;
}

static size_t add_last(const struct load_exact *exact, uint32_t *key, size_t words) {
  struct load_part last = exact->parts[exact->count - 1];
  key[words++] = (uint32_t)last.x;
  key[words++] = (uint32_t)load_top(exact->job, last);
  key[words++] = 0; /* so that it has not the length of a state alone */
  return words;
}

static bool is_seen(const struct load_exact *exact, uint32_t *key, size_t words) {
  if (exact->count == 0) return false;
  return load_seen_has(exact->seen, key, words) ||
         load_seen_has(exact->seen, key, add_last(exact, key, words));
}

/* False when a part is left that has no place any more. */
static bool list_candidates(struct load_exact *exact, const struct stair *stair,
                            const struct load_open *open, struct candidates *list) {
  const struct load_job *job = exact->job;
  list->count = 0;
  for (uint8_t k = 0; k < job->count; k++) {
    if (exact->left[k] == 0) continue;
    bool any = false;
    for (uint8_t way = 0; way < job->kinds[k].ways; way++) {
      struct load_part part = {k, way, 0, 0};
      if (!offer_corners(exact, stair, part, list)) continue;
      any = true;
      for (unsigned which = 0; which < job->kinds[k].inner_count; which++) {
        offer_beside_x(exact, stair, open, part, which, list);
        offer_beside_y(exact, stair, open, part, which, list);
      }
    }
    if (!any) return false;
  }
  return true;
}

static enum load_outcome lay(struct load_exact *exact, const struct stair *stair,
                             const struct load_open *open) {
  exact->steps += 40;
  if (exact->left_area == 0) return is_held(exact) ? LOAD_FOUND : LOAD_REFUTED;
  if (exact->steps >= exact->limit) return LOAD_OPEN;
  if (!lines_suffice(exact, stair)) return LOAD_REFUTED;
  uint32_t key[KEY_WORDS];
  size_t words = key_of(exact, stair, open, key);
  if (is_seen(exact, key, words)) return LOAD_REFUTED;
  struct candidates list;
  if (!list_candidates(exact, stair, open, &list)) return LOAD_REFUTED;
  bool ordered = true;
  enum load_outcome outcome = LOAD_REFUTED;
  for (size_t i = 0; i < list.count && outcome == LOAD_REFUTED; i++) {
    if (out_of_order(exact, &list.items[i]))
      ordered = false;
    else
      outcome = lay_next(exact, stair, open, &list.items[i]);
  }
  /* what was left to another order counts only for states with this last part */
  if (outcome == LOAD_REFUTED)
    load_seen_add(exact->seen, key, ordered ? words : add_last(exact, key, words));
  return outcome;
}

enum load_outcome load_exact_lay(struct load_exact *exact, const uint8_t *counts, int64_t limit,
                                 struct load_part *parts, int64_t *steps) {
  const struct load_job *job = exact->job;
  exact->left_area = 0;
  exact->room_area = job->length * job->width;
  exact->count = 0;
  exact->steps = 0;
  exact->limit = limit;
  exact->unrealised = false;
  exact->guide = -1;
  for (size_t i = 0; i < job->count; i++) {
    exact->left[i] = counts[i];
    exact->left_area += counts[i] * job->kinds[i].area;
    if (counts[i] == 1 && exact->guide < 0) exact->guide = (int)i;
  }
  load_seen_clear(exact->seen);
  struct stair empty = {.count = 0};
  enum load_outcome outcome =
      exact->left_area > exact->room_area ? LOAD_REFUTED : lay(exact, &empty, &job->open);
  *steps += exact->steps;
  if (outcome == LOAD_FOUND) memcpy(parts, exact->parts, exact->count * sizeof *parts);
  return outcome == LOAD_REFUTED && exact->unrealised ? LOAD_OPEN : outcome;
}
