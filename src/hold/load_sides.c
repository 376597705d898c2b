#include "hold/load_sides.h"

#include <string.h>

#include "hold/load_chains.h"
#include "hold/load_places.h"

static length_t side_length(const struct clamp_problem *problem, size_t side) {
  return side < BED_FRONT ? problem->width : problem->length;
}

static length_t end_of(const struct load_clamps *clamps, const struct load_place *place) {
  return place->begin + clamps->problem->choices[place->choice].width;
}

static length_t most_over(const struct clamp_problem *problem) {
  length_t most = 0;
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].over > most) most = problem->choices[c].over;
  return most;
}

static length_t over_of(const struct load_clamps *clamps, size_t side, size_t place) {
  return clamps->problem->choices[clamps->sides[side].places[place].choice].over;
}

static length_t from_corner(const struct load_clamps *clamps, size_t side, size_t place, bool far) {
  const struct load_place *at = &clamps->sides[side].places[place];
  return far ? side_length(clamps->problem, side) - end_of(clamps, at) : at->begin;
}

static const struct load_corner *corner_of(const struct load_side *side, bool far) {
  return far ? &side->high : &side->low;
}

/* Do clamps at places of `upright` (left or right) and `flat` meet at their corner? */
static bool places_meet(const struct load_clamps *clamps, size_t upright, size_t i, size_t flat,
                        size_t j) {
  return from_corner(clamps, upright, i, flat == BED_BACK) < over_of(clamps, flat, j) &&
         from_corner(clamps, flat, j, upright == BED_RIGHT) < over_of(clamps, upright, i);
}

static void set_meets(struct load_clamps *clamps, size_t upright, size_t flat) {
  const struct load_corner *a = corner_of(&clamps->sides[upright], flat == BED_BACK);
  const struct load_corner *b = corner_of(&clamps->sides[flat], upright == BED_RIGHT);
  for (size_t i = 0; i < a->count; i++)
    for (size_t j = 0; j < b->count; j++)
      if (places_meet(clamps, upright, load_lowest(a->classes[i]), flat,
                      load_lowest(b->classes[j])))
        clamps->meets[upright - BED_LEFT][flat - BED_FRONT][i] |= UINT64_C(1) << j;
}

/* How many of the hold-downs reach over the load as far as that from a corner. */
static size_t reached_by(const struct clamp_problem *problem, length_t from) {
  size_t count = 0;
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].kind == CLAMP_HOLD_DOWN && problem->choices[c].over > from) count++;
  return count;
}

/* Which others a clamp meets around a corner is told by how far it stands from it, among the
 * reaches there are, and by its own reach. */
static void fill_corner(struct load_clamps *clamps, size_t number, bool far) {
  struct load_side *side = &clamps->sides[number];
  struct load_corner *corner = far ? &side->high : &side->low;
  corner->count = 0;
  for (load_bits rest = side->of_kind[CLAMP_HOLD_DOWN]; rest != 0; rest &= rest - 1) {
    size_t i = load_lowest(rest);
    size_t reached = reached_by(clamps->problem, from_corner(clamps, number, i, far));
    if (reached == 0) continue;
    size_t class = 0;
    for (; class < corner->count; class ++) {
      size_t one = load_lowest(corner->classes[class]);
      if (over_of(clamps, number, one) == over_of(clamps, number, i) &&
          reached_by(clamps->problem, from_corner(clamps, number, one, far)) == reached)
        break;
    }
    if (class == corner->count) corner->classes[corner->count++] = 0;
    corner->classes[class] |= load_bit(i);
  }
}

static void fill_marks(struct load_clamps *clamps, size_t number) {
  const struct clamp_problem *problem = clamps->problem;
  struct load_side *side = &clamps->sides[number];
  length_t whole = side_length(problem, number);
  side->of_kind[0] = side->of_kind[1] = 0;
  side->first = side->last = 0;
  for (size_t i = 0; i < side->count; i++) {
    const struct load_place *place = &side->places[i];
    enum clamp_kind kind = problem->choices[place->choice].kind;
    if (clamps->counts[kind].cap[place->choice] > 0) side->of_kind[kind] |= load_bit(i);
    if (place->begin <= problem->end) side->first |= load_bit(i);
    if (end_of(clamps, place) >= whole - problem->end) side->last |= load_bit(i);
  }
  fill_corner(clamps, number, false);
  fill_corner(clamps, number, true);
}

/* Of one choice all that end at most `span` before the place begins: as the places follow each
 * other, so do these. */
static void add_before(const struct load_clamps *clamps, struct load_side *side, size_t choice) {
  size_t next = 0, gone = 0;
  load_bits window = 0;
  for (size_t i = 0; i < side->count; i++) {
    length_t begin = side->places[i].begin;
    for (; next < i; next++) {
      if (side->places[next].choice != choice) continue;
      if (end_of(clamps, &side->places[next]) > begin) break;
      window |= load_bit(next);
    }
    for (; gone < next; gone++) {
      if (side->places[gone].choice != choice) continue;
      if (begin - end_of(clamps, &side->places[gone]) <= clamps->problem->span) break;
      window &= ~load_bit(gone);
    }
    side->before[i] |= window;
  }
}

static void fill_sides(struct load_clamps *clamps) {
  for (size_t s = 0; s < BED_SIDES; s++) {
    struct load_side *side = &clamps->sides[s];
    fill_marks(clamps, s);
    memset(side->before, 0, sizeof side->before);
    for (size_t l = 0; l < clamps->problem->choice_count; l++) add_before(clamps, side, l);
  }
}

/* Whether the chains along every side, told apart by the classes of their ends, find room. */
static bool options_suffice(const struct load_clamps *clamps) {
  for (size_t s = 0; s < BED_SIDES; s++)
    if ((clamps->sides[s].low.count + 1) * (clamps->sides[s].high.count + 1) > LOAD_OPTIONS_MOST)
      return false;
  return true;
}

static bool is_near_corner(const struct load_clamps *clamps, size_t side, size_t place,
                           length_t over) {
  return from_corner(clamps, side, place, false) < over ||
         from_corner(clamps, side, place, true) < over;
}

void load_sides_fill(struct load_clamps *clamps) {
  const struct clamp_problem *problem = clamps->problem;
  fill_sides(clamps);
  /* of side clamps in pairs offset ones are not looked at */
  if (load_stands_in_line(problem)) clamps->exact = false;
  if (!clamp_pair_held(problem, 0) || !clamp_pair_held(problem, 1)) return;
  length_t over = most_over(problem);
  length_t least = LENGTH_MAX;
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].width < least) least = problem->choices[c].width;
  if (over <= least) {
    for (size_t corner = 0; corner < 4; corner++)
      set_meets(clamps, BED_LEFT + corner % 2, BED_FRONT + corner / 2);
    if (!options_suffice(clamps)) clamps->exact = false;
    return;
  }
  clamps->exact = false;
  for (size_t s = BED_FRONT; s < BED_SIDES; s++) {
    struct load_side *side = &clamps->sides[s];
    size_t kept = 0;
    for (size_t i = 0; i < side->count; i++)
      if (!is_near_corner(clamps, s, i, over)) side->places[kept++] = side->places[i];
    side->count = kept;
  }
  fill_sides(clamps);
}
