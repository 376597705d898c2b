#include "hold/clamp_rows.h"

#include <stdlib.h>

#include "base/divisor.h"
#include "hold/clamp_rules.h"

/* A node is a linear program, taken to cost a step for each entry of its rows (about a tenth of a
 * microsecond). */
enum { LEAST_NODES = 100, MOST_NODES = 3000, MOST_STEPS = 10000000, TIE_SHARE = 10 };

struct rows {
  struct arena *arena;
  const struct clamp_problem *problem;
  struct clamp_place *places; /* of the kinds asked for, sorted by side, choice and start */
  size_t count;
  size_t first[BED_SIDES + 1]; /* of each side; the last is the count */
  const struct clamp_asked *asked;
  struct program *program;
};

struct clamp_asked asked_in_full(const struct clamp_problem *problem) {
  return (struct clamp_asked){
      RULES_ALL, AIM_FEWEST, {CLAMP_SIDE, CLAMP_SIDE}, -1, {problem->span, problem->span}};
}

static const struct clamp_choice *choice_at(const struct rows *rows, size_t place) {
  return &rows->problem->choices[rows->places[place].choice];
}

static enum clamp_kind kind_on(const struct rows *rows, enum bed_side side) {
  return rows->asked->kind[side_axis(side)];
}

static void add_columns(struct rows *rows, const struct clamp_places *places) {
  rows->places = ARENA_ARRAY(rows->arena, places->count, struct clamp_place);
  for (size_t i = 0; i < places->count; i++) {
    const struct clamp_place *place = &places->places[i];
    if (rows->problem->choices[place->choice].kind != kind_on(rows, place->side)) continue;
    rows->places[rows->count++] = *place;
    rows->first[place->side + 1] = rows->count;
    program_add_choice(rows->program, rows->asked->aim == AIM_FEWEST ? 1 : 0);
  }
  for (int side = 0; side < BED_SIDES; side++)
    if (rows->first[side + 1] < rows->first[side]) rows->first[side + 1] = rows->first[side];
}

/* At least one clamp that ends after `after`, no earlier than `reach`, and starts by `by`. */
static void add_window(struct rows *rows, enum bed_side side, length_t after, length_t reach,
                       length_t by) {
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    length_t end = place_end(rows->problem, &rows->places[i]);
    if (end > after && end >= reach && rows->places[i].start <= by)
      program_put(rows->program, i, 1);
  }
  program_end_row(rows->program, 1, INFINITY);
}

/* Whether an earlier place of the side has the same end, or start. */
static bool seen_before(const struct rows *rows, size_t place, bool ends) {
  const struct clamp_place *own = &rows->places[place];
  for (size_t i = rows->first[own->side]; i < place; i++) {
    const struct clamp_place *other = &rows->places[i];
    if (ends ? place_end(rows->problem, other) == place_end(rows->problem, own)
             : other->start == own->start)
      return true;
  }
  return false;
}

/* Rule 1. From any point of a covered side that lies before the last clamp's end, a clamp's end
 * is no further than span and the clamp's width: asked at every place where a free stretch could
 * begin, it keeps all stretches short. Each column stands in rows of consecutive points, so the
 * relaxation of one side is whole by itself. */
static void add_cover(struct rows *rows, enum bed_side side) {
  if (!side_covered_by(rows->problem, side, kind_on(rows, side))) return;
  length_t span = rows->asked->span[side_axis(side)];
  length_t end = side_end(rows->problem, span);
  length_t extent = side_extent(rows->problem, side);
  add_window(rows, side, 0, 0, end);
  add_window(rows, side, 0, extent - end, extent);
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    length_t from = place_end(rows->problem, &rows->places[i]);
    if (from < extent - end && !seen_before(rows, i, true))
      add_window(rows, side, from, 0, from + span);
  }
}

/* Of the clamps of a side at most one covers a point. */
static void add_apart(struct rows *rows, enum bed_side side) {
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    if (seen_before(rows, i, false)) continue;
    length_t at = rows->places[i].start;
    for (size_t j = rows->first[side]; j < rows->first[side + 1]; j++)
      if (rows->places[j].start <= at && place_end(rows->problem, &rows->places[j]) > at)
        program_put(rows->program, j, 1);
    program_end_row(rows->program, -INFINITY, 1);
  }
}

/* Feet that reach over the load may meet around a corner or across a narrow load. */
static void add_clear_of(struct rows *rows) {
  for (size_t i = 0; i < rows->count; i++) {
    if (choice_at(rows, i)->over <= 0) continue;
    const struct clamp_place *one = &rows->places[i];
    for (size_t j = i + 1; j < rows->count; j++) {
      const struct clamp_place *other = &rows->places[j];
      if (one->side == other->side || choice_at(rows, j)->over <= 0 ||
          !places_meet(rows->problem, one, other))
        continue;
      program_put(rows->program, i, 1);
      program_put(rows->program, j, 1);
      program_end_row(rows->program, -INFINITY, 1);
    }
  }
}

static void add_opposite(struct rows *rows) {
  for (size_t i = 0; i < rows->count; i++) {
    const struct clamp_place *place = &rows->places[i];
    enum bed_side opposite = side_opposite(place->side);
    if (choice_at(rows, i)->kind != CLAMP_SIDE || rows->problem->stop[opposite]) continue;
    program_put(rows->program, i, -1);
    for (size_t j = rows->first[opposite]; j < rows->first[opposite + 1]; j++)
      if (place_is_backed(rows->problem, place, &rows->places[j])) program_put(rows->program, j, 1);
    program_end_row(rows->program, 0, INFINITY);
  }
}

static void put_side(struct rows *rows, enum bed_side side, double value) {
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++)
    program_put(rows->program, i, value);
}

static void add_balance(struct rows *rows, enum bed_side side) {
  enum bed_side opposite = side_opposite(side);
  if (kind_on(rows, side) != CLAMP_HOLD_DOWN || !rows->problem->held[side] ||
      !rows->problem->held[opposite])
    return;
  put_side(rows, side, 1);
  put_side(rows, opposite, -1);
  program_end_row(rows->program, -1, 1);
}

static void add_owned(struct rows *rows) {
  for (size_t c = 0; c < rows->problem->choice_count; c++) {
    for (size_t i = 0; i < rows->count; i++)
      if (rows->places[i].choice == c) program_put(rows->program, i, 1);
    program_end_row(rows->program, -INFINITY, (double)rows->problem->choices[c].count);
  }
}

/* Forces known in their common unit, so that sums of usual ones are small whole numbers. */
static int64_t force_unit(const struct clamp_problem *problem) {
  int64_t unit = 0;
  for (size_t c = 0; c < problem->choice_count; c++)
    unit = common_divisor(problem->choices[c].force, unit);
  return unit > 0 ? unit : 1;
}

static int64_t in_units(int64_t force, int64_t unit) { return force / unit + (force % unit != 0); }

static void put_forces(struct rows *rows, enum bed_side side, int64_t unit) {
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    int64_t force = friction_counted(rows->problem, rows->places[i].choice);
    program_put(rows->program, i, (double)in_units(force, unit));
  }
}

/* Side clamps push against each other where there is no stop. */
static bool in_pairs(const struct rows *rows, enum bed_side side) {
  return kind_on(rows, side) == CLAMP_SIDE && !rows->problem->stop[side] &&
         !rows->problem->stop[side_opposite(side)];
}

/* What they push: a column no larger than either side's sum. */
static size_t add_pushed(struct rows *rows, enum bed_side side, int64_t unit) {
  size_t pushed = program_add_column(rows->program, PROGRAM_CONTINUOUS, 0, INFINITY, 0);
  for (int s = 0; s < 2; s++) {
    put_forces(rows, s == 0 ? side : side_opposite(side), unit);
    program_put(rows->program, pushed, -1);
    program_end_row(rows->program, 0, INFINITY);
  }
  return pushed;
}

/* Rule 6; to find the most, the sum is a column of its own and costs -1. */
static void add_friction(struct rows *rows) {
  bool most = rows->asked->aim == AIM_FRICTION;
  int64_t needed = friction_needed(rows->problem);
  if (!most && (needed == 0 || !(rows->asked->rules & RULE_FRICTION))) return;
  int64_t unit = force_unit(rows->problem);
  size_t pushed[2] = {0, 0};
  if (in_pairs(rows, BED_LEFT)) pushed[0] = add_pushed(rows, BED_LEFT, unit);
  if (in_pairs(rows, BED_FRONT)) pushed[1] = add_pushed(rows, BED_FRONT, unit);
  size_t sum = most ? program_add_column(rows->program, PROGRAM_CONTINUOUS, 0, INFINITY, -1) : 0;
  for (int s = 0; s < BED_SIDES; s++) {
    enum bed_side side = (enum bed_side)s;
    if (!in_pairs(rows, side))
      put_forces(rows, side, unit);
    else if (side == BED_LEFT || side == BED_FRONT)
      program_put(rows->program, pushed[side_axis(side)], 1);
  }
  if (most) program_put(rows->program, sum, -1);
  int64_t least = most ? 0 : in_units(needed, unit);
  program_end_row(rows->program, (double)least, INFINITY);
}

/* 1 when a choice is used on a side. */
static size_t add_used(struct rows *rows, enum bed_side side, size_t choice) {
  size_t used = program_add_choice(rows->program, 0);
  double number = 0;
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    if (rows->places[i].choice != choice) continue;
    program_put(rows->program, i, 1);
    number++;
  }
  program_put(rows->program, used, -number);
  program_end_row(rows->program, -INFINITY, 0);
  return used;
}

static void add_bed(struct rows *rows, enum bed_side side) {
  const struct clamp_problem *problem = rows->problem;
  length_t room = side_bed(problem, side) - side_across(problem, side);
  size_t count = problem->choice_count;
  length_t most = 0;
  for (size_t c = 0; c < count; c++)
    if (problem->choices[c].beside > most) most = problem->choices[c].beside;
  if (2 * most <= room) return;
  size_t *one = ARENA_ARRAY(rows->arena, count, size_t);
  size_t *other = ARENA_ARRAY(rows->arena, count, size_t);
  for (size_t c = 0; c < count; c++) {
    one[c] = add_used(rows, side, c);
    other[c] = add_used(rows, side_opposite(side), c);
  }
  for (size_t c = 0; c < count; c++) {
    if (problem->choices[c].beside > room) {
      program_put(rows->program, one[c], 1);
      program_put(rows->program, other[c], 1);
      program_end_row(rows->program, -INFINITY, 0);
    }
    for (size_t d = 0; d < count; d++) {
      if (problem->choices[c].beside + problem->choices[d].beside <= room) continue;
      program_put(rows->program, one[c], 1);
      program_put(rows->program, other[d], 1);
      program_end_row(rows->program, -INFINITY, 1);
    }
  }
  if (room < 0) program_end_row(rows->program, 1, INFINITY); /* 0 >= 1: the load itself */
}

/* The weight of a side's clamps about its middle, and how far it is from another number. */
static void put_weights(struct rows *rows, enum bed_side side, double sign) {
  double middle = (double)side_extent(rows->problem, side) / 2;
  for (size_t i = rows->first[side]; i < rows->first[side + 1]; i++) {
    const struct clamp_place *place = &rows->places[i];
    double centre = ((double)place->start + (double)place_end(rows->problem, place)) / 2;
    program_put(rows->program, i, sign * (centre - middle) / (double)LENGTH_PER_MM);
  }
}

static void add_symmetry(struct rows *rows) {
  for (int side = 0; side < BED_SIDES + 2; side++) {
    size_t off = program_add_column(rows->program, PROGRAM_CONTINUOUS, 0, INFINITY, 1);
    for (int sign = -1; sign <= 1; sign += 2) {
      if (side < BED_SIDES) {
        put_weights(rows, (enum bed_side)side, sign);
      } else {
        enum bed_side one = side == BED_SIDES ? BED_LEFT : BED_FRONT;
        put_weights(rows, one, sign);
        put_weights(rows, side_opposite(one), -sign);
      }
      program_put(rows->program, off, 1);
      program_end_row(rows->program, 0, INFINITY);
    }
  }
}

static void add_number(struct rows *rows) {
  if (rows->asked->number < 0) return;
  for (size_t i = 0; i < rows->count; i++) program_put(rows->program, i, 1);
  program_end_row(rows->program, (double)rows->asked->number, (double)rows->asked->number);
}

static void add_rules(struct rows *rows) {
  unsigned rules = rows->asked->rules;
  for (int s = 0; s < BED_SIDES; s++) {
    enum bed_side side = (enum bed_side)s;
    if (!side_axis_held(rows->problem, side)) continue;
    if (rules & RULE_COVER) add_cover(rows, side);
    add_apart(rows, side);
  }
  if (rules & RULE_CLEAR_OF) add_clear_of(rows);
  if (rules & RULE_OPPOSITE) add_opposite(rows);
  for (int s = BED_LEFT; s < BED_SIDES; s += 2) {
    if (rules & RULE_BALANCE) add_balance(rows, (enum bed_side)s);
    if (rules & RULE_BED) add_bed(rows, (enum bed_side)s);
  }
  if (rules & RULE_OWNED) add_owned(rows);
  add_friction(rows);
  add_number(rows);
  if (rows->asked->aim == AIM_SYMMETRY) add_symmetry(rows);
}

static int compare_chosen(const void *left, const void *right) {
  const struct clamp_place *a = left;
  const struct clamp_place *b = right;
  if (a->side != b->side) return a->side < b->side ? -1 : 1;
  return (a->start > b->start) - (a->start < b->start);
}

/* Ties between answers that hold get a share of the effort only. */
static int64_t node_limit(const struct rows *rows) {
  int64_t entries = (int64_t)program_entries(rows->program) + 1;
  int64_t nodes = MOST_STEPS / entries;
  if (rows->asked->number >= 0) nodes /= TIE_SHARE;
  if (nodes < LEAST_NODES) return LEAST_NODES;
  return nodes < MOST_NODES ? nodes : MOST_NODES;
}

void clamp_rows_solve(struct arena *arena, const struct clamp_problem *problem,
                      const struct clamp_places *places, const struct clamp_asked *asked,
                      struct clamp_found *found) {
  struct rows rows = {
      .arena = arena, .problem = problem, .asked = asked, .program = program_create(arena)};
  add_columns(&rows, places);
  add_rules(&rows);
  struct program_result result;
  program_solve(rows.program, node_limit(&rows), &result);
  *found =
      (struct clamp_found){.answer = result.answer, .found = result.found, .value = result.value};
  if (!result.found) return;
  found->places = ARENA_ARRAY(arena, rows.count, struct clamp_place);
  for (size_t i = 0; i < rows.count; i++)
    if (result.values[i] > 0.5) found->places[found->count++] = rows.places[i];
  if (found->count > 1) qsort(found->places, found->count, sizeof *found->places, compare_chosen);
}
