#include "clamp_rules.h"

#include <string.h>

enum { MOST = 64 };

/* Of a clamp whose force is not known. */
static const int64_t FORCE_ENOUGH = INT64_C(1) << 40;

struct span {
  length_t from, to;
};

static bool upright(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

static enum bed_side facing(enum bed_side side) { return (enum bed_side)(side ^ 1); }

static length_t least(length_t a, length_t b) { return a < b ? a : b; }
static length_t most(length_t a, length_t b) { return a > b ? a : b; }

static struct span span_of(const struct held_clamp *clamp) {
  length_t from = upright(clamp->side) ? clamp->y : clamp->x;
  return (struct span){from, from + (upright(clamp->side) ? clamp->width : clamp->length)};
}

static const struct clamp_choice *choice_of(const struct clamp_problem *problem,
                                            const struct held_clamp *clamp) {
  return &problem->choices[clamp->clamp];
}

static bool axis_held(const struct clamp_problem *problem, enum bed_side side) {
  return problem->held[side] || problem->held[facing(side)];
}

/* The body is where a clamp of its kind stands on its side. */
static bool body_is_right(const struct clamp_problem *problem, const struct held_clamp *clamp) {
  const struct clamp_choice *choice = choice_of(problem, clamp);
  struct span span = span_of(clamp);
  length_t side = upright(clamp->side) ? problem->width : problem->length;
  length_t across = upright(clamp->side) ? problem->length : problem->width;
  length_t depth = upright(clamp->side) ? clamp->length : clamp->width;
  length_t start = upright(clamp->side) ? clamp->x : clamp->y;
  bool low = clamp->side == BED_LEFT || clamp->side == BED_FRONT;
  if (start != (low ? -choice->beside : across - choice->over)) return false;
  if (depth != choice->over + choice->beside || span.to - span.from != choice->width) return false;
  if (clamp->keep_out != choice->keep_out || span.from < 0 || span.to > side) return false;
  if (problem->pitch == 0) return true;
  enum bed_side begin = upright(clamp->side) ? BED_FRONT : BED_LEFT;
  bool from_far = problem->stop[facing(begin)] && !problem->stop[begin];
  return (from_far ? side - span.to : span.from) % problem->pitch == 0;
}

/* All lengths twice, for the middle of a round. */
static bool in_path(const struct clamp_problem *problem, const struct held_clamp *clamp,
                    const struct clamp_obstacle *part) {
  length_t x0 = 2 * (clamp->x - clamp->keep_out);
  length_t x1 = 2 * (clamp->x + clamp->length + clamp->keep_out);
  length_t y0 = 2 * (clamp->y - clamp->keep_out);
  length_t y1 = 2 * (clamp->y + clamp->width + clamp->keep_out);
  if (part->round) {
    length_t cx = 2 * part->x + part->length;
    length_t cy = 2 * part->y + part->width;
    length_t dx = cx - most(x0, least(cx, x1));
    length_t dy = cy - most(y0, least(cy, y1));
    length_t radius = part->length + 2 * problem->reach;
    return dx * dx + dy * dy < radius * radius;
  }
  return x0 < 2 * (part->x + part->length + problem->reach) &&
         x1 > 2 * (part->x - problem->reach) && y0 < 2 * (part->y + part->width + problem->reach) &&
         y1 > 2 * (part->y - problem->reach);
}

static bool overlap(const struct held_clamp *a, const struct held_clamp *b) {
  return a->x < b->x + b->length && b->x < a->x + a->length && a->y < b->y + b->width &&
         b->y < a->y + a->width;
}

/* The spans of a side in rising order. */
static size_t spans_of(const struct held_clamp *clamps, size_t count, enum bed_side side,
                       struct span *spans) {
  size_t number = 0;
  for (size_t i = 0; i < count && number < MOST; i++) {
    if (clamps[i].side != side) continue;
    struct span span = span_of(&clamps[i]);
    size_t at = number++;
    for (; at > 0 && spans[at - 1].from > span.from; at--) spans[at] = spans[at - 1];
    spans[at] = span;
  }
  return number;
}

/* Whether clamps of the kind have to cover the side. */
static bool must_cover(const struct clamp_problem *problem, enum bed_side side,
                       enum clamp_kind kind) {
  if (kind == CLAMP_HOLD_DOWN) return problem->held[side];
  if (problem->stop[side]) return false;
  return problem->held[side] || (problem->held[facing(side)] && problem->stop[facing(side)]);
}

static bool covered(const struct clamp_problem *problem, const struct held_clamp *clamps,
                    size_t count, enum bed_side side) {
  struct span spans[MOST];
  size_t number = spans_of(clamps, count, side, spans);
  length_t length = upright(side) ? problem->width : problem->length;
  length_t end = least(problem->end, problem->span);
  if (number == 0 || spans[0].from > end || spans[number - 1].to < length - end) return false;
  for (size_t i = 1; i < number; i++)
    if (spans[i].from - spans[i - 1].to > problem->span) return false;
  return true;
}

static bool pushes(const struct clamp_problem *problem, const struct held_clamp *clamps,
                   size_t count, size_t own) {
  if (choice_of(problem, &clamps[own])->kind == CLAMP_HOLD_DOWN) return true;
  enum bed_side other = facing(clamps[own].side);
  if (problem->stop[other]) return true;
  struct span span = span_of(&clamps[own]);
  for (size_t i = 0; i < count; i++) {
    if (clamps[i].side != other) continue;
    struct span against = span_of(&clamps[i]);
    if (2 * (least(span.to, against.to) - most(span.from, against.from)) >= span.to - span.from)
      return true;
  }
  return false;
}

static const char *broken_on_axis(const struct clamp_problem *problem,
                                  const struct held_clamp *clamps, size_t count,
                                  enum bed_side side) {
  size_t number[BED_SIDES] = {0};
  int kind = -1;
  for (size_t i = 0; i < count; i++) {
    if (upright(clamps[i].side) != upright(side)) continue;
    number[clamps[i].side]++;
    int own = (int)choice_of(problem, &clamps[i])->kind;
    if (kind >= 0 && kind != own) return "kinds differ";
    kind = own;
    if (own == CLAMP_HOLD_DOWN && !problem->held[clamps[i].side]) return "hold-down on free side";
    if (own == CLAMP_SIDE && problem->stop[clamps[i].side]) return "side clamp at a stop";
  }
  if (!axis_held(problem, side)) return kind < 0 ? NULL : "clamps on free sides";
  if (kind < 0) return "no clamps";
  for (int s = 0; s < 2; s++) {
    enum bed_side own = s == 0 ? side : facing(side);
    if (must_cover(problem, own, (enum clamp_kind)kind) && !covered(problem, clamps, count, own))
      return "free stretch";
  }
  length_t off = (length_t)number[side] - (length_t)number[facing(side)];
  if (kind == CLAMP_HOLD_DOWN && problem->held[side] && problem->held[facing(side)] &&
      (off > 1 || off < -1))
    return "balance";
  return NULL;
}

static const char *broken_sums(const struct clamp_problem *problem, const struct held_clamp *clamps,
                               size_t count) {
  length_t x0 = 0;
  length_t y0 = 0;
  length_t x1 = problem->length;
  length_t y1 = problem->width;
  int64_t used[MOST] = {0};
  int64_t from_side[BED_SIDES] = {0};
  int64_t force = 0;
  bool known = false;
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].force > 0) known = true;
  for (size_t i = 0; i < count; i++) {
    const struct clamp_choice *choice = choice_of(problem, &clamps[i]);
    x0 = least(x0, clamps[i].x);
    y0 = least(y0, clamps[i].y);
    x1 = most(x1, clamps[i].x + clamps[i].length);
    y1 = most(y1, clamps[i].y + clamps[i].width);
    if (++used[clamps[i].clamp] > choice->count) return "more than there are";
    int64_t counted = choice->force > 0 ? choice->force : FORCE_ENOUGH;
    if (choice->kind == CLAMP_SIDE)
      from_side[clamps[i].side] += counted;
    else
      force += counted;
  }
  if (x1 - x0 > problem->bed_length || y1 - y0 > problem->bed_width) return "bed";
  for (int side = BED_LEFT; side < BED_SIDES; side += 2) {
    bool stop = problem->stop[side] || problem->stop[side + 1];
    force +=
        stop ? from_side[side] + from_side[side + 1] : least(from_side[side], from_side[side + 1]);
  }
  if (known && 2 * problem->friction * force < 1000 * problem->force) return "friction";
  return NULL;
}

const char *broken_rule(const struct clamp_problem *problem, const struct held_clamp *clamps,
                        size_t count) {
  const char *broken = broken_on_axis(problem, clamps, count, BED_LEFT);
  if (broken == NULL) broken = broken_on_axis(problem, clamps, count, BED_FRONT);
  if (broken == NULL) broken = broken_sums(problem, clamps, count);
  if (broken != NULL) return broken;
  for (size_t i = 0; i < count; i++) {
    if (!body_is_right(problem, &clamps[i])) return "body";
    if (!pushes(problem, clamps, count, i)) return "nothing opposite";
    for (size_t o = 0; o < problem->obstacle_count; o++)
      if (in_path(problem, &clamps[i], &problem->obstacles[o])) return "cutter path";
    for (size_t j = 0; j < i; j++)
      if (overlap(&clamps[i], &clamps[j])) return "bodies";
  }
  return NULL;
}

length_t largest_stretch(const struct clamp_problem *problem, const struct held_clamp *clamps,
                         size_t count) {
  length_t largest = 0;
  for (int s = 0; s < BED_SIDES; s++) {
    enum bed_side side = (enum bed_side)s;
    struct span spans[MOST];
    size_t number = spans_of(clamps, count, side, spans);
    enum clamp_kind kind = CLAMP_SIDE;
    for (size_t i = 0; i < count; i++)
      if (clamps[i].side == side) kind = choice_of(problem, &clamps[i])->kind;
    if (number == 0 || !must_cover(problem, side, kind)) continue;
    largest = most(largest, spans[0].from);
    for (size_t i = 1; i < number; i++) largest = most(largest, spans[i].from - spans[i - 1].to);
    length_t length = upright(side) ? problem->width : problem->length;
    largest = most(largest, length - spans[number - 1].to);
  }
  return largest;
}
