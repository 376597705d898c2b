#include "hold/load_build.h"

#include "base/random.h"

enum { MARKS_MOST = LOAD_PARTS_MOST + BED_SIDES * LOAD_PLACES_MOST + 1 };

/* Where parts may begin along one axis: at the wall, at the ends of others, beside clamps. */
struct marks {
  length_t at[MARKS_MOST];
  size_t count;
};

static void add_mark(struct marks *marks, length_t at) {
  size_t i = marks->count;
  while (i > 0 && marks->at[i - 1] > at) i--;
  if (at < 0 || (i > 0 && marks->at[i - 1] == at) || marks->count == MARKS_MOST) return;
  for (size_t j = marks->count++; j > i; j--) marks->at[j] = marks->at[j - 1];
  marks->at[i] = at;
}

static void add_place_marks(const struct load_job *job, const struct load_open *open,
                            struct marks *xs, struct marks *ys) {
  length_t off = job->problem->hold.reach - job->problem->edge;
  for (size_t s = 0; s < BED_SIDES; s++) {
    for (load_bits rest = open->sides[s]; rest != 0; rest &= rest - 1) {
      const struct load_place *place = &job->clamps->sides[s].places[load_lowest(rest)];
      if (s != BED_RIGHT) add_mark(xs, place->right + off);
      if (s != BED_BACK) add_mark(ys, place->top + off);
    }
  }
}

static bool is_clear(const struct load_job *job, const struct load_built *built,
                     struct load_part part) {
  length_t right = load_right(job, part);
  length_t top = load_top(job, part);
  for (size_t i = 0; i < built->count; i++) {
    struct load_part other = built->parts[i];
    if (part.x < load_right(job, other) && other.x < right && part.y < load_top(job, other) &&
        other.y < top)
      return false;
  }
  return true;
}

static length_t key_of(const struct load_job *job, enum load_rule rule, struct load_part part) {
  switch (rule) {
    case LOAD_LEFT:
      return part.x * 4096 + part.y / 2048;
    case LOAD_LOW:
      return part.y * 4096 + part.x / 2048;
    case LOAD_SNUG:
      return load_right(job, part) * (load_top(job, part) / 1024 + 1);
    case LOAD_NEAR:
    case LOAD_RULES:
      break;
  }
  return part.x + part.y;
}

/* Can the part lie there and the load still be held? Then `open` is what stays open. */
static bool can_lie(const struct load_job *job, const struct load_built *built, bool kept,
                    struct load_part part, struct load_open *open) {
  if (!is_clear(job, built, part)) return false;
  *open = built->open;
  if (!load_take_places(job, part, false, open)) return true;
  return !kept && load_clamps_possible(job->clamps, open);
}

/* Where part's lower left corners may be tried, a step each. */
struct spot {
  struct load_part part;
  struct load_open open;
  length_t key;
};

static void try_way(const struct load_job *job, const struct load_built *built,
                    const struct load_order *order, struct load_part part, const struct marks *xs,
                    const struct marks *ys, struct spot *best, int64_t *steps) {
  for (size_t i = 0; i < xs->count; i++) {
    part.x = xs->at[i];
    if (load_right(job, part) > job->length) break;
    for (size_t j = 0; j < ys->count; j++) {
      part.y = ys->at[j];
      if (load_top(job, part) > job->width) break;
      length_t key = key_of(job, order->rule, part);
      *steps += 2;
      if (key >= best->key) {
        if (order->rule == LOAD_SNUG) continue;
        break;
      }
      struct load_open open;
      *steps += (int64_t)built->count + 8;
      if (!can_lie(job, built, order->kept != 0, part, &open)) continue;
      *best = (struct spot){part, open, key};
    }
  }
}

/* Sets clamps before any part: a draw of places is closed as long as the load can be held, until
 * only one clamping is left. */
static void keep_clamps(const struct load_job *job, uint64_t draw, struct load_open *open) {
  for (size_t s = 0; s < BED_SIDES; s++) {
    size_t count = job->clamps->sides[s].count;
    if (count == 0) continue;
    size_t begin = (size_t)(random_draw(&draw) % count);
    for (size_t k = 0; k < count; k++) {
      struct load_open less = *open;
      less.sides[s] &= ~load_bit((begin + k * 5) % count);
      if (load_clamps_possible(job->clamps, &less)) *open = less;
    }
  }
}

void load_build(const struct load_job *job, const struct load_order *order,
                struct load_built *built, int64_t *steps) {
  built->count = 0;
  built->worth = built->area = 0;
  built->open = job->open;
  if (order->kept != 0) {
    keep_clamps(job, order->kept, &built->open);
  }
  struct marks xs = {{0}, 1};
  struct marks ys = {{0}, 1};
  add_place_marks(job, &built->open, &xs, &ys);
  *steps += 300;
  unsigned missed[LOAD_ITEMS_MOST] = {0};
  for (size_t i = 0; i < order->count; i++) {
    uint8_t k = order->kinds[i];
    if (missed[k] != 0) continue;
    struct spot best = {.key = INT64_MAX};
    for (uint8_t way = 0; way < job->kinds[k].ways; way++)
      try_way(job, built, order, (struct load_part){k, way, 0, 0}, &xs, &ys, &best, steps);
    if (best.key == INT64_MAX) {
      missed[k] = 1;
      continue;
    }
    built->parts[built->count++] = best.part;
    built->open = best.open;
    built->worth += job->kinds[k].worth;
    built->area += job->kinds[k].area;
    add_mark(&xs, load_right(job, best.part));
    add_mark(&ys, load_top(job, best.part));
  }
  *steps += load_clamps_work(job->clamps);
}

void load_order_begin(const struct load_job *job, const uint8_t *counts, enum load_rule rule,
                      struct load_order *order) {
  order->count = 0;
  order->rule = rule;
  order->kept = 0;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned copy = 0; copy < counts[i] && order->count < LOAD_PARTS_MOST; copy++)
      order->kinds[order->count++] = (uint8_t)i;
}

/* The largest empty rectangle of the room is bounded by walls and parts on its four sides. */
static int64_t largest_rest(const struct load_job *job, const struct load_built *built) {
  int64_t best = 0;
  for (size_t a = 0; a <= built->count; a++) {
    length_t left = a == built->count ? 0 : load_right(job, built->parts[a]);
    for (size_t b = 0; b <= built->count; b++) {
      length_t low = b == built->count ? 0 : load_top(job, built->parts[b]);
      for (size_t c = 0; c <= built->count; c++) {
        length_t right = c == built->count ? job->length : built->parts[c].x;
        length_t top = job->width;
        if (right <= left) continue;
        for (size_t i = 0; i < built->count; i++) {
          struct load_part part = built->parts[i];
          if (part.x >= right || load_right(job, part) <= left || load_top(job, part) <= low)
            continue;
          if (part.y < top) top = part.y;
        }
        if (top > low && (right - left) * (top - low) > best) best = (right - left) * (top - low);
      }
    }
  }
  return best;
}

bool load_built_beats(const struct load_job *job, const struct load_built *a,
                      const struct load_built *b) {
  if (a->worth != b->worth) return a->worth > b->worth;
  size_t clamps_a = load_clamps_choose(job->clamps, &a->open, NULL);
  size_t clamps_b = load_clamps_choose(job->clamps, &b->open, NULL);
  if (clamps_a != clamps_b) return clamps_a < clamps_b;
  return largest_rest(job, a) > largest_rest(job, b);
}

static void shake(struct load_order *order, uint64_t *random) {
  uint64_t draw = random_draw(random);
  if ((draw & 31) == 0) order->rule = (enum load_rule)((draw >> 8) % LOAD_RULES);
  if ((draw >> 16 & 15) == 0) order->kept = (draw >> 20 & 1) != 0 ? random_draw(random) | 1 : 0;
  size_t moves = 1 + (draw >> 24 & 3) / 2;
  for (size_t m = 0; m < moves && order->count > 1; m++) {
    size_t from = (size_t)(random_draw(random) % order->count);
    size_t to = (size_t)(random_draw(random) % order->count);
    uint8_t kind = order->kinds[from];
    for (; from < to; from++) order->kinds[from] = order->kinds[from + 1];
    for (; from > to; from--) order->kinds[from] = order->kinds[from - 1];
    order->kinds[to] = kind;
  }
}

/* Worse orders are followed while they are not worse than they were so many rounds ago. Source:
 * Burke, Bykov: The late acceptance hill-climbing heuristic (2017). */
enum { HISTORY = 5, TIES_COMPARED = 100, ROUNDS_FOR_TIES = 40 };

void load_improve(const struct load_job *job, struct load_order *order, uint64_t seed,
                  int64_t limit, bool ties_too, struct load_built *best, int64_t *steps) {
  int64_t history[HISTORY];
  struct load_built now;
  struct load_order tried;
  unsigned ties = 0;
  for (size_t i = 0; i < HISTORY; i++) history[i] = best->worth;
  int64_t worth = best->worth;
  for (size_t round = 0; *steps < limit; round++) {
    /* once all is laid, there are only clamps and waste to be better in */
    if (best->count == order->count && (!ties_too || round >= ROUNDS_FOR_TIES)) break;
    tried = *order;
    shake(&tried, &seed);
    load_build(job, &tried, &now, steps);
    if (now.worth > best->worth || (ties_too && now.worth == best->worth &&
                                    ties++ < TIES_COMPARED && load_built_beats(job, &now, best)))
      *best = now;
    if (now.worth >= worth || now.worth >= history[round % HISTORY]) {
      *order = tried;
      worth = now.worth;
    }
    history[round % HISTORY] = worth;
  }
}
