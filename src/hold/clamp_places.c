#include "hold/clamp_places.h"

#include <math.h>
#include <stdlib.h>

size_t clear_index(const struct clamp_problem *problem, enum bed_side side, size_t choice) {
  return (size_t)side * problem->choice_count + choice;
}

/* The least whole number whose square is at least `square`. */
static int64_t root_up(int64_t square) {
  int64_t root = (int64_t)sqrt((double)square);
  while (root * root >= square && root > 0) root--;
  while (root * root < square) root++;
  return root;
}

static length_t half_up(length_t twice) { return (twice + (twice > 0 ? 1 : 0)) / 2; }

/* Starts strictly between from and to are blocked. */
struct blocked {
  length_t from, to;
};

/* What a rectangle's path blocks, if it comes near enough to the side. */
static bool block_rectangle(const struct clamp_problem *problem, const struct clamp_choice *choice,
                            const struct side_outline *outline, struct blocked *blocked) {
  if (outline->near - problem->reach >= choice->over + choice->keep_out ||
      outline->far + problem->reach <= -choice->beside - choice->keep_out)
    return false;
  blocked->from = outline->first - problem->reach - choice->keep_out - choice->width;
  blocked->to = outline->last + problem->reach + choice->keep_out;
  return true;
}

/* The same of a disc, twice all lengths so that its middle is whole: half the chord that the
 * keep-out's inner edge (or its outer one) cuts off the disc, rounded up to a whole number,
 * which loses no whole start since starts lie at whole numbers of halves of one parity. */
static bool block_round(const struct clamp_problem *problem, const struct clamp_choice *choice,
                        const struct side_outline *outline, struct blocked *blocked) {
  length_t radius = outline->last - outline->first + 2 * problem->reach;
  length_t depth = outline->near + outline->far;
  length_t past = larger(depth - 2 * (choice->over + choice->keep_out),
                         -2 * (choice->beside + choice->keep_out) - depth);
  past = larger(past, 0);
  if (past >= radius) return false;
  length_t chord = root_up(radius * radius - past * past);
  length_t middle = outline->first + outline->last;
  blocked->from = -half_up(-(middle - chord - 2 * (choice->keep_out + choice->width)));
  blocked->to = half_up(middle + chord + 2 * choice->keep_out);
  blocked->from = larger(blocked->from, -choice->width);
  return true;
}

static int compare_blocked(const void *left, const void *right) {
  const struct blocked *a = left;
  const struct blocked *b = right;
  if (a->from != b->from) return a->from < b->from ? -1 : 1;
  return (a->to > b->to) - (a->to < b->to);
}

static struct blocked *list_blocked(struct arena *arena, const struct clamp_problem *problem,
                                    enum bed_side side, size_t choice, size_t *count) {
  struct blocked *blocked = ARENA_ARRAY(arena, problem->obstacle_count, struct blocked);
  *count = 0;
  for (size_t o = 0; o < problem->obstacle_count; o++) {
    struct side_outline outline = side_outline(problem, side, &problem->obstacles[o]);
    bool near =
        outline.round
            ? block_round(problem, &problem->choices[choice], &outline, &blocked[*count])
            : block_rectangle(problem, &problem->choices[choice], &outline, &blocked[*count]);
    if (near) (*count)++;
  }
  if (*count > 1) qsort(blocked, *count, sizeof *blocked, compare_blocked);
  return blocked;
}

/* The beds' places within a clear stretch, each a stretch by itself. */
static void add_pitched(const struct clamp_problem *problem, enum bed_side side, length_t width,
                        struct clear_stretch stretch, struct clear_side *clear) {
  bool upright = side_axis(side) == 0;
  enum bed_side low = upright ? BED_FRONT : BED_LEFT;
  length_t pitch = problem->pitch;
  length_t offset = 0;
  if (problem->stop[side_opposite(low)] && !problem->stop[low])
    offset = (side_extent(problem, side) - width) % pitch;
  length_t steps = (stretch.first - offset + pitch - 1) / pitch;
  if (stretch.first < offset) steps = 0;
  for (length_t start = offset + steps * pitch; start <= stretch.last; start += pitch)
    clear->stretches[clear->count++] = (struct clear_stretch){start, start};
}

static void add_stretch(const struct clamp_problem *problem, enum bed_side side, length_t width,
                        struct clear_stretch stretch, struct clear_side *clear) {
  if (stretch.first > stretch.last) return;
  if (problem->pitch > 0)
    add_pitched(problem, side, width, stretch, clear);
  else
    clear->stretches[clear->count++] = stretch;
}

static struct clear_side clear_side(struct arena *arena, const struct clamp_problem *problem,
                                    enum bed_side side, size_t choice) {
  struct clear_side clear = {NULL, 0};
  length_t width = problem->choices[choice].width;
  length_t last = side_extent(problem, side) - width;
  if (!side_takes(problem, side, problem->choices[choice].kind) || last < 0) return clear;
  size_t count;
  const struct blocked *blocked = list_blocked(arena, problem, side, choice, &count);
  size_t room = problem->pitch > 0 ? (size_t)(last / problem->pitch) + 1 : count + 1;
  clear.stretches = ARENA_ARRAY(arena, room + 1, struct clear_stretch);
  length_t from = 0;
  for (size_t b = 0; b < count; b++) {
    length_t to = smaller(blocked[b].from, last);
    add_stretch(problem, side, width, (struct clear_stretch){from, to}, &clear);
    from = larger(from, blocked[b].to);
  }
  add_stretch(problem, side, width, (struct clear_stretch){from, last}, &clear);
  return clear;
}

struct clear_side *clear_sides(struct arena *arena, const struct clamp_problem *problem) {
  struct clear_side *clear =
      ARENA_ARRAY(arena, BED_SIDES * problem->choice_count, struct clear_side);
  for (int side = 0; side < BED_SIDES; side++)
    for (size_t c = 0; c < problem->choice_count; c++)
      clear[clear_index(problem, (enum bed_side)side, c)] =
          clear_side(arena, problem, (enum bed_side)side, c);
  return clear;
}

const struct clear_stretch *clear_find(const struct clear_side *clear, length_t start) {
  size_t low = 0;
  size_t high = clear->count;
  while (low < high) {
    size_t middle = (low + high) / 2;
    if (clear->stretches[middle].last < start)
      low = middle + 1;
    else
      high = middle;
  }
  if (low == clear->count || clear->stretches[low].first > start) return NULL;
  return &clear->stretches[low];
}

/* The last start that is at most `limit`, or -1; *next is the first that is more, or -1. */
static length_t last_start(const struct clear_side *clear, length_t limit, length_t *next) {
  length_t last = -1;
  *next = -1;
  for (size_t s = 0; s < clear->count; s++) {
    const struct clear_stretch *stretch = &clear->stretches[s];
    if (stretch->first <= limit) last = smaller(stretch->last, limit);
    if (stretch->last > limit) {
      *next = larger(stretch->first, limit + 1);
      break;
    }
  }
  return last;
}

/* The furthest a next clamp of the kind reaches; *next as above, over all choices. */
static length_t furthest_reach(const struct clamp_problem *problem, const struct clear_side *clear,
                               enum bed_side side, enum clamp_kind kind, length_t limit,
                               length_t *next) {
  length_t reach = -1;
  *next = -1;
  for (size_t c = 0; c < problem->choice_count; c++) {
    if (problem->choices[c].kind != kind) continue;
    length_t after;
    length_t start = last_start(&clear[clear_index(problem, side, c)], limit, &after);
    if (start >= 0) reach = larger(reach, start + problem->choices[c].width);
    if (after >= 0 && (*next < 0 || after < *next)) *next = after;
  }
  return reach;
}

int64_t clear_least(const struct clamp_problem *problem, const struct clear_side *clear,
                    enum bed_side side, enum clamp_kind kind, length_t *from, length_t *to) {
  length_t end = side_end(problem, problem->span);
  length_t extent = side_extent(problem, side);
  length_t reached = 0;
  length_t limit = end;
  int64_t count = 0;
  do {
    length_t next;
    length_t reach = furthest_reach(problem, clear, side, kind, limit, &next);
    if (reach <= reached) {
      *from = reached;
      *to = next >= 0 ? next : extent;
      return -1;
    }
    count++;
    reached = reach;
    limit = reached + problem->span;
  } while (reached < extent - end);
  return count;
}

/* Where a clamp may stand anywhere: places as they are found, each once, to be stepped on from. */
enum { MOST_PLACES = 240, MOST_EVEN = 12 };

struct gather {
  struct arena *arena;
  const struct clamp_problem *problem;
  const struct clear_side *clear;
  struct clamp_place *found;
  size_t count, room;
  size_t *listed; /* by side and choice */
  bool cut_off;
};

static void note_place(struct gather *gather, enum bed_side side, size_t choice, length_t start) {
  size_t index = clear_index(gather->problem, side, choice);
  if (start < 0 || clear_find(&gather->clear[index], start) == NULL) return;
  for (size_t i = 0; i < gather->count; i++) {
    const struct clamp_place *place = &gather->found[i];
    if (place->start == start && place->side == side && place->choice == choice) return;
  }
  if (gather->listed[index] == MOST_PLACES) {
    gather->cut_off = true;
    return;
  }
  gather->listed[index]++;
  *ARENA_PUSH(gather->arena, gather->found, gather->count, gather->room) =
      (struct clamp_place){side, choice, start};
}

/* A wished-for start, moved as little as need be to be clear. */
static void note_near(struct gather *gather, enum bed_side side, size_t choice, length_t wish) {
  const struct clear_side *clear = &gather->clear[clear_index(gather->problem, side, choice)];
  length_t best = -1;
  for (size_t s = 0; s < clear->count; s++) {
    length_t start = larger(clear->stretches[s].first, smaller(clear->stretches[s].last, wish));
    if (best < 0 || llabs(start - wish) < llabs(best - wish)) best = start;
  }
  note_place(gather, side, choice, best);
}

/* Clamps spread evenly, as many as the side needs at least or up to two more. */
static void note_even(struct gather *gather, enum bed_side side, size_t choice) {
  const struct clamp_problem *problem = gather->problem;
  length_t from;
  length_t to;
  int64_t least =
      clear_least(problem, gather->clear, side, problem->choices[choice].kind, &from, &to);
  length_t width = problem->choices[choice].width;
  length_t extent = side_extent(problem, side);
  if (least < 1) least = 1;
  for (int64_t n = least; n <= least + 2 && n <= MOST_EVEN; n++) {
    length_t rest = extent - n * width;
    if (rest < 0) return;
    length_t end = smaller(rest / (n + 1), side_end(problem, problem->span));
    if (n == 1) end = rest / 2;
    for (int64_t k = 0; k < n; k++) {
      length_t free = n == 1 ? 0 : k * (rest - 2 * end) / (n - 1);
      note_near(gather, side, choice, end + k * width + free);
    }
  }
}

/* Starts that rest on no other clamp. */
static void note_anchors(struct gather *gather, enum bed_side side, size_t choice) {
  const struct clamp_problem *problem = gather->problem;
  const struct clear_side *clear = &gather->clear[clear_index(problem, side, choice)];
  for (size_t s = 0; s < clear->count; s++)
    note_place(gather, side, choice, clear->stretches[s].first);
  length_t extent = side_extent(problem, side);
  length_t end = side_end(problem, problem->span);
  length_t width = problem->choices[choice].width;
  note_place(gather, side, choice, extent - end - width);
  for (size_t c = 0; c < problem->choice_count; c++)
    note_place(gather, side, choice, problem->choices[c].over);
}

/* The same seen from the other corner, for even answers. */
static void note_mirrored(struct gather *gather, enum bed_side side, size_t choice) {
  const struct clamp_problem *problem = gather->problem;
  const struct clear_side *clear = &gather->clear[clear_index(problem, side, choice)];
  for (size_t s = 0; s < clear->count; s++)
    note_place(gather, side, choice, clear->stretches[s].last);
  note_place(gather, side, choice, side_end(problem, problem->span));
  length_t last = side_extent(problem, side) - problem->choices[choice].width;
  for (size_t c = 0; c < problem->choice_count; c++)
    note_place(gather, side, choice, last - problem->choices[c].over);
}

/* The steps from one place to those that would rest on it. */
static void note_steps(struct gather *gather, struct clamp_place place) {
  const struct clamp_problem *problem = gather->problem;
  const struct clamp_choice *own = &problem->choices[place.choice];
  enum bed_side opposite = side_opposite(place.side);
  for (size_t c = 0; c < problem->choice_count; c++) {
    const struct clamp_choice *choice = &problem->choices[c];
    if (choice->kind != own->kind) continue;
    note_place(gather, place.side, c, place.start + own->width);
    note_place(gather, place.side, c, place.start - problem->span - choice->width);
    if (choice->kind == CLAMP_SIDE) {
      note_place(gather, opposite, c, place.start - choice->width + (choice->width + 1) / 2);
      note_place(gather, opposite, c, place.start - choice->width + (own->width + 1) / 2);
    } else if (choice->over + own->over > side_across(problem, place.side)) {
      note_place(gather, opposite, c, place.start + own->width);
    }
  }
}

static int compare_places(const void *left, const void *right) {
  const struct clamp_place *a = left;
  const struct clamp_place *b = right;
  if (a->side != b->side) return a->side < b->side ? -1 : 1;
  if (a->choice != b->choice) return a->choice < b->choice ? -1 : 1;
  return (a->start > b->start) - (a->start < b->start);
}

size_t clamp_places_sort(struct clamp_place *places, size_t count) {
  if (count > 1) qsort(places, count, sizeof *places, compare_places);
  size_t kept = 0;
  for (size_t i = 0; i < count; i++)
    if (kept == 0 || compare_places(&places[kept - 1], &places[i]) != 0) places[kept++] = places[i];
  return kept;
}

static void note_all(struct gather *gather,
                     void (*note)(struct gather *gather, enum bed_side side, size_t choice)) {
  for (int side = 0; side < BED_SIDES; side++)
    for (size_t c = 0; c < gather->problem->choice_count; c++) {
      size_t index = clear_index(gather->problem, (enum bed_side)side, c);
      if (gather->clear[index].count > 0) note(gather, (enum bed_side)side, c);
    }
}

static void note_pitched(struct gather *gather, enum bed_side side, size_t choice) {
  const struct clear_side *clear = &gather->clear[clear_index(gather->problem, side, choice)];
  for (size_t s = 0; s < clear->count; s++)
    *ARENA_PUSH(gather->arena, gather->found, gather->count, gather->room) =
        (struct clamp_place){side, choice, clear->stretches[s].first};
}

static void gather_anywhere(struct gather *gather, enum clamp_detail detail) {
  note_all(gather, note_anchors);
  size_t first_steps = gather->count;
  if (detail == CLAMP_FEW) {
    note_all(gather, note_mirrored);
    note_all(gather, note_even);
    for (size_t i = 0; i < first_steps; i++) note_steps(gather, gather->found[i]);
  } else {
    for (size_t i = 0; i < gather->count; i++) note_steps(gather, gather->found[i]);
    note_all(gather, note_mirrored);
    note_all(gather, note_even);
  }
}

struct clamp_places clamp_places(struct arena *arena, const struct clamp_problem *problem,
                                 const struct clear_side *clear, enum clamp_detail detail) {
  struct gather gather = {.arena = arena, .problem = problem, .clear = clear};
  gather.listed = ARENA_ARRAY(arena, BED_SIDES * problem->choice_count, size_t);
  if (problem->pitch > 0)
    note_all(&gather, note_pitched);
  else
    gather_anywhere(&gather, detail);
  gather.count = clamp_places_sort(gather.found, gather.count);
  bool complete = problem->pitch > 0 || (detail == CLAMP_CHAIN && !gather.cut_off);
  return (struct clamp_places){gather.found, gather.count, complete};
}
