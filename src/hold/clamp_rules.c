#include "hold/clamp_rules.h"

static bool any_force_known(const struct clamp_problem *problem) {
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].force > 0) return true;
  return false;
}

static bool anything_held(const struct clamp_problem *problem) {
  for (int side = 0; side < BED_SIDES; side++)
    if (problem->held[side]) return true;
  return false;
}

/* held is 2 mu F with mu in thousandths: F = 1000 held / (2 x thousandths) = 500 held / mu. */
int64_t friction_needed(const struct clamp_problem *problem) {
  if (!any_force_known(problem) || problem->force <= 0 || problem->friction <= 0 ||
      !anything_held(problem))
    return 0;
  int64_t whole = problem->force / problem->friction;
  int64_t rest = problem->force % problem->friction;
  if (whole > INT64_MAX / 1000) return INT64_MAX / 1024; /* more than any clamps; sums of it fit */
  return 500 * whole + (500 * rest + problem->friction - 1) / problem->friction;
}

int64_t friction_counted(const struct clamp_problem *problem, size_t choice) {
  int64_t force = problem->choices[choice].force;
  return force > 0 ? force : friction_needed(problem);
}

int64_t friction_reached(const struct clamp_problem *problem, const struct clamp_place *places,
                         size_t count) {
  int64_t above = 0;
  int64_t pushed[BED_SIDES] = {0};
  for (size_t i = 0; i < count; i++) {
    int64_t force = friction_counted(problem, places[i].choice);
    if (problem->choices[places[i].choice].kind == CLAMP_HOLD_DOWN)
      above += force;
    else
      pushed[places[i].side] += force;
  }
  for (int side = BED_LEFT; side < BED_SIDES; side += 2) {
    int64_t one = pushed[side];
    int64_t other = pushed[side + 1];
    bool stopped = problem->stop[side] || problem->stop[side + 1];
    if (stopped)
      above += one + other;
    else
      above += one < other ? one : other;
  }
  return above;
}

/* The clamps of one side within the sorted list. */
struct row {
  const struct clamp_place *places;
  size_t count;
};

static struct row row_of(const struct clamp_place *places, size_t count, enum bed_side side) {
  struct row row = {places, 0};
  for (size_t i = 0; i < count; i++) {
    if (places[i].side != side) continue;
    if (row.count == 0) row.places = &places[i];
    row.count++;
  }
  return row;
}

static bool row_covers(const struct clamp_problem *problem, struct row row, enum bed_side side) {
  length_t end = side_end(problem, problem->span);
  if (row.count == 0 || row.places[0].start > end) return false;
  for (size_t i = 1; i < row.count; i++)
    if (row.places[i].start > place_end(problem, &row.places[i - 1]) + problem->span) return false;
  return place_end(problem, &row.places[row.count - 1]) >= side_extent(problem, side) - end;
}

static bool is_backed(const struct clamp_problem *problem, const struct clamp_place *place,
                      const struct clamp_place *places, size_t count) {
  if (problem->choices[place->choice].kind != CLAMP_SIDE) return true;
  enum bed_side opposite = side_opposite(place->side);
  if (problem->stop[opposite]) return true;
  for (size_t i = 0; i < count; i++)
    if (places[i].side == opposite && place_is_backed(problem, place, &places[i])) return true;
  return false;
}

/* Rules 1, 3 and 4 on the two sides of an axis. */
static bool axis_holds(const struct clamp_problem *problem, const struct clamp_place *places,
                       size_t count, enum bed_side side) {
  enum bed_side opposite = side_opposite(side);
  if (!side_axis_held(problem, side)) return true;
  struct row rows[2] = {row_of(places, count, side), row_of(places, count, opposite)};
  if (rows[0].count + rows[1].count == 0) return false;
  enum clamp_kind kind = problem->choices[rows[rows[0].count == 0].places[0].choice].kind;
  for (int r = 0; r < 2; r++) {
    for (size_t i = 0; i < rows[r].count; i++)
      if (problem->choices[rows[r].places[i].choice].kind != kind) return false;
    enum bed_side covered = r == 0 ? side : opposite;
    if (side_covered_by(problem, covered, kind) && !row_covers(problem, rows[r], covered))
      return false;
  }
  if (kind == CLAMP_HOLD_DOWN && problem->held[side] && problem->held[opposite])
    return rows[0].count <= rows[1].count + 1 && rows[1].count <= rows[0].count + 1;
  return true;
}

static bool bed_has_room(const struct clamp_problem *problem, const struct clamp_place *places,
                         size_t count, int axis) {
  length_t beside[BED_SIDES] = {0};
  for (size_t i = 0; i < count; i++) {
    length_t own = problem->choices[places[i].choice].beside;
    if (own > beside[places[i].side]) beside[places[i].side] = own;
  }
  enum bed_side side = axis == 0 ? BED_LEFT : BED_FRONT;
  return beside[side] + side_across(problem, side) + beside[side_opposite(side)] <=
         side_bed(problem, side);
}

static bool counts_suffice(const struct clamp_problem *problem, const struct clamp_place *places,
                           size_t count) {
  for (size_t c = 0; c < problem->choice_count; c++) {
    int64_t used = 0;
    for (size_t i = 0; i < count; i++)
      if (places[i].choice == c) used++;
    if (used > problem->choices[c].count) return false;
  }
  return true;
}

bool clamps_hold(const struct clamp_problem *problem, const struct clear_side *clear,
                 const struct clamp_place *places, size_t count) {
  for (size_t i = 0; i < count; i++) {
    const struct clamp_place *place = &places[i];
    size_t index = clear_index(problem, place->side, place->choice);
    if (clear_find(&clear[index], place->start) == NULL) return false;
    if (!is_backed(problem, place, places, count)) return false;
    for (size_t j = 0; j < i; j++)
      if (places_meet(problem, place, &places[j])) return false;
  }
  return axis_holds(problem, places, count, BED_LEFT) &&
         axis_holds(problem, places, count, BED_FRONT) && counts_suffice(problem, places, count) &&
         friction_reached(problem, places, count) >= friction_needed(problem) &&
         bed_has_room(problem, places, count, 0) && bed_has_room(problem, places, count, 1);
}
