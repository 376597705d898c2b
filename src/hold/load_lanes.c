#include "hold/load_lanes.h"

static bool is_upright(size_t side) { return side < BED_FRONT; }

static void fill_lane(const struct clamp_problem *problem, struct load_side *side, size_t choice,
                      bool upright) {
  struct load_lane *lane = &side->lanes[side->lane_count];
  size_t first = 0;
  if (side->lane_count > 0) first = lane[-1].first + lane[-1].count;
  *lane = (struct load_lane){.width = problem->choices[choice].width,
                             .keep_out = problem->choices[choice].keep_out,
                             .first = first};
  load_bits *upto = &side->lane_upto[first + side->lane_count];
  upto[0] = 0;
  for (size_t i = 0; i < side->count; i++) {
    const struct load_place *place = &side->places[i];
    if (place->choice != choice) continue;
    lane->low = upright ? place->left : place->bottom;
    lane->high = upright ? place->right : place->top;
    side->lane_begins[first + lane->count] = place->begin;
    upto[lane->count + 1] = upto[lane->count] | load_bit(i);
    lane->count++;
  }
  if (lane->count > 0) side->lane_count++;
}

void load_lanes_fill(struct load_clamps *clamps) {
  const struct clamp_problem *problem = clamps->problem;
  for (size_t s = 0; s < BED_SIDES; s++)
    for (size_t c = 0; c < problem->choice_count && c < LOAD_CHOICES_MOST; c++)
      fill_lane(problem, &clamps->sides[s], c, is_upright(s));
}

/* How many of the lane's places begin before it. */
static size_t count_before(const length_t *begins, size_t count, length_t at) {
  size_t low = 0;
  while (count > 0) {
    size_t half = count / 2;
    if (begins[low + half] < at) {
      low += half + 1;
      count -= half + 1;
    } else {
      count = half;
    }
  }
  return low;
}

load_bits load_places_met(const struct load_clamps *clamps, enum bed_side side, length_t reach,
                          const struct load_laid *part) {
  const struct load_side *places = &clamps->sides[side];
  bool upright = is_upright(side);
  length_t low = (upright ? part->x : part->y) - reach;
  length_t high = low + (upright ? part->length : part->width) + 2 * reach;
  length_t begin = (upright ? part->y : part->x) - reach;
  length_t end = begin + (upright ? part->width : part->length) + 2 * reach;
  load_bits met = 0;
  for (size_t l = 0; l < places->lane_count; l++) {
    const struct load_lane *lane = &places->lanes[l];
    if (low >= lane->high || high <= lane->low) continue;
    const length_t *begins = &places->lane_begins[lane->first];
    const load_bits *upto = &places->lane_upto[lane->first + l];
    size_t from = count_before(begins, lane->count, begin - lane->width - lane->keep_out + 1);
    size_t to = count_before(begins, lane->count, end + lane->keep_out);
    if (from < to) met |= upto[to] & ~upto[from];
  }
  return met;
}
