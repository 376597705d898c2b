#include "hold/clamp_spread.h"

#include <string.h>

#include "hold/clamp_rules.h"
#include "solver/program.h"

/* What a millimetre of a side's largest free stretch weighs against one of skewness. */
static const double stretch_weight = 1000;

struct spread {
  const struct clamp_problem *problem;
  const struct clear_side *clear;
  const struct clamp_place *places;
  size_t count;
  struct program *program; /* the first columns are the starts, in mm */
  size_t largest[BED_SIDES];
};

static double in_mm(length_t length) { return (double)length / (double)LENGTH_PER_MM; }

static double width_of(const struct spread *spread, size_t place) {
  return in_mm(spread->problem->choices[spread->places[place].choice].width);
}

/* start of `later` - start of `earlier` between two numbers of mm. */
static void add_difference(struct spread *spread, size_t earlier, size_t later, double least,
                           double most) {
  program_put(spread->program, later, 1);
  program_put(spread->program, earlier, -1);
  program_end_row(spread->program, least, most);
}

static void add_bound(struct spread *spread, size_t place, double least, double most) {
  program_put(spread->program, place, 1);
  program_end_row(spread->program, least, most);
}

/* Ends the row of a free stretch: what was put and a constant are at most the side's largest. */
static void end_stretch(struct spread *spread, enum bed_side side, double constant) {
  program_put(spread->program, spread->largest[side], -1);
  program_end_row(spread->program, -INFINITY, -constant);
}

static void add_side(struct spread *spread, enum bed_side side, size_t first, size_t after) {
  const struct clamp_problem *problem = spread->problem;
  enum clamp_kind kind = problem->choices[spread->places[first].choice].kind;
  bool covered = side_covered_by(problem, side, kind);
  double span = covered ? in_mm(problem->span) : INFINITY;
  double end = covered ? in_mm(side_end(problem, problem->span)) : INFINITY;
  double extent = in_mm(side_extent(problem, side));
  add_bound(spread, first, 0, end);
  program_put(spread->program, first, 1);
  end_stretch(spread, side, 0);
  for (size_t i = first + 1; i < after; i++) {
    double width = width_of(spread, i - 1);
    add_difference(spread, i - 1, i, width, width + span);
    program_put(spread->program, i, 1);
    program_put(spread->program, i - 1, -1);
    end_stretch(spread, side, -width);
  }
  double width = width_of(spread, after - 1);
  add_bound(spread, after - 1, extent - end - width, extent - width);
  program_put(spread->program, after - 1, -1);
  end_stretch(spread, side, extent - width);
}

/* The place opposite with most of its width in line. */
static size_t best_backing(const struct spread *spread, size_t place) {
  const struct clamp_place *own = &spread->places[place];
  size_t best = spread->count;
  length_t most = 0;
  for (size_t i = 0; i < spread->count; i++) {
    const struct clamp_place *other = &spread->places[i];
    if (other->side != side_opposite(own->side)) continue;
    length_t low = other->start > own->start ? other->start : own->start;
    length_t own_end = place_end(spread->problem, own);
    length_t end = place_end(spread->problem, other);
    length_t in_line = (end < own_end ? end : own_end) - low;
    if (best < spread->count && in_line <= most) continue;
    best = i;
    most = in_line;
  }
  return best;
}

static void add_backing(struct spread *spread, size_t place) {
  const struct clamp_place *own = &spread->places[place];
  if (spread->problem->choices[own->choice].kind != CLAMP_SIDE ||
      spread->problem->stop[side_opposite(own->side)])
    return;
  size_t other = best_backing(spread, place);
  if (other == spread->count) return;
  double half = width_of(spread, place) / 2;
  add_difference(spread, place, other, half - width_of(spread, other),
                 width_of(spread, place) - half);
}

/* Feet of two sides that could meet stay apart the way they are apart now: across a narrow load
 * in their order, around a corner by whichever keeps further away. */
static void add_apart(struct spread *spread, size_t one, size_t other) {
  const struct clamp_problem *problem = spread->problem;
  const struct clamp_place *a = &spread->places[one];
  const struct clamp_place *b = &spread->places[other];
  length_t over_a = problem->choices[a->choice].over;
  length_t over_b = problem->choices[b->choice].over;
  if (over_a <= 0 || over_b <= 0) return;
  if (side_axis(a->side) == side_axis(b->side)) {
    if (over_a + over_b <= side_across(problem, a->side)) return;
    bool first = a->start < b->start;
    add_difference(spread, first ? one : other, first ? other : one,
                   width_of(spread, first ? one : other), INFINITY);
    return;
  }
  /* At a far corner (to the right or the back) it is the end that keeps away, else the start. */
  bool far_a = b->side == BED_RIGHT || b->side == BED_BACK;
  bool far_b = a->side == BED_RIGHT || a->side == BED_BACK;
  length_t end_a = side_extent(problem, a->side) - place_end(problem, a);
  length_t end_b = side_extent(problem, b->side) - place_end(problem, b);
  length_t room_a = (far_a ? end_a : a->start) - over_b;
  length_t room_b = (far_b ? end_b : b->start) - over_a;
  bool by_a = room_a >= room_b;
  size_t moved = by_a ? one : other;
  length_t over = by_a ? over_b : over_a;
  if (by_a ? far_a : far_b)
    add_bound(
        spread, moved, -INFINITY,
        in_mm(side_extent(problem, spread->places[moved].side) - over) - width_of(spread, moved));
  else
    add_bound(spread, moved, in_mm(over), INFINITY);
}

/* How far a sum of centres about the middle is from 0, or from that of the side opposite. */
static void add_skewness(struct spread *spread, enum bed_side side, bool against) {
  size_t skew = program_add_column(spread->program, PROGRAM_CONTINUOUS, 0, INFINITY, 1);
  for (int sign = -1; sign <= 1; sign += 2) {
    double constant = 0;
    for (size_t i = 0; i < spread->count; i++) {
      bool own = spread->places[i].side == side;
      if (!own && !(against && spread->places[i].side == side_opposite(side))) continue;
      double way = own ? sign : -sign;
      program_put(spread->program, i, way);
      double middle = in_mm(side_extent(spread->problem, side)) / 2;
      constant += way * (width_of(spread, i) / 2 - middle);
    }
    program_put(spread->program, skew, 1);
    program_end_row(spread->program, -constant, INFINITY);
  }
}

static void add_all(struct spread *spread) {
  for (size_t i = 0; i < spread->count; i++) {
    const struct clamp_place *place = &spread->places[i];
    const struct clear_stretch *stretch = clear_find(
        &spread->clear[clear_index(spread->problem, place->side, place->choice)], place->start);
    program_add_column(spread->program, PROGRAM_CONTINUOUS, in_mm(stretch->first),
                       in_mm(stretch->last), 0);
  }
  for (int side = 0; side < BED_SIDES; side++)
    spread->largest[side] =
        program_add_column(spread->program, PROGRAM_CONTINUOUS, 0, INFINITY, stretch_weight);
  for (size_t i = 0; i < spread->count;) {
    size_t after = i;
    while (after < spread->count && spread->places[after].side == spread->places[i].side) after++;
    add_side(spread, spread->places[i].side, i, after);
    i = after;
  }
  for (size_t i = 0; i < spread->count; i++) {
    add_backing(spread, i);
    for (size_t j = 0; j < i; j++)
      if (spread->places[i].side != spread->places[j].side) add_apart(spread, i, j);
  }
  for (int side = 0; side < BED_SIDES; side++) add_skewness(spread, (enum bed_side)side, false);
  add_skewness(spread, BED_LEFT, true);
  add_skewness(spread, BED_FRONT, true);
}

/* The moved places at multiples of a step, counted from the corner; true when they hold. */
static bool round_places(const struct spread *spread, const double *values, length_t step,
                         struct clamp_place *moved) {
  for (size_t i = 0; i < spread->count; i++) {
    moved[i] = spread->places[i];
    moved[i].start = llround(values[i] * (double)LENGTH_PER_MM / (double)step) * step;
  }
  return clamps_hold(spread->problem, spread->clear, moved, spread->count);
}

void clamps_spread(struct arena *arena, const struct clamp_problem *problem,
                   const struct clear_side *clear, struct clamp_place *places, size_t count) {
  if (count == 0) return;
  struct spread spread = {problem, clear, places, count, program_create(arena), {0}};
  add_all(&spread);
  struct program_result result;
  program_solve(spread.program, 0, &result);
  if (!result.found) return;
  struct clamp_place *moved = ARENA_ARRAY(arena, count, struct clamp_place);
  length_t mark = problem->mark > 0 ? problem->mark : LENGTH_PER_MM / 2;
  if (round_places(&spread, result.values, mark, moved) ||
      round_places(&spread, result.values, 1, moved))
    memcpy(places, moved, count * sizeof *places);
}
