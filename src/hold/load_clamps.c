#include "hold/load_clamps.h"

#include <string.h>

#include "hold/load_chains.h"
#include "hold/load_lanes.h"
#include "hold/load_places.h"
#include "hold/load_sides.h"

static bool along_y(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

static length_t side_length(const struct clamp_problem *problem, enum bed_side side) {
  return along_y(side) ? problem->width : problem->length;
}

/* The body: the strip on the load and what stands beside it. */
static void body_of(const struct clamp_problem *problem, enum bed_side side,
                    const struct clamp_choice *choice, length_t begin, length_t box[4]) {
  length_t end = begin + choice->width;
  length_t low = -choice->beside;
  length_t high = choice->over;
  if (side == BED_RIGHT || side == BED_BACK) {
    length_t across = side == BED_RIGHT ? problem->length : problem->width;
    low = across - choice->over;
    high = across + choice->beside;
  }
  box[0] = along_y(side) ? low : begin;
  box[1] = along_y(side) ? begin : low;
  box[2] = along_y(side) ? high : end;
  box[3] = along_y(side) ? end : high;
}

static bool from_far_end(const struct clamp_problem *problem, enum bed_side side) {
  return along_y(side) ? problem->stop[BED_BACK] && !problem->stop[BED_FRONT]
                       : problem->stop[BED_RIGHT] && !problem->stop[BED_LEFT];
}

static void sort_places(struct load_side *side) {
  for (size_t i = 1; i < side->count; i++) {
    struct load_place place = side->places[i];
    size_t at = i;
    for (; at > 0 && (side->places[at - 1].begin > place.begin ||
                      (side->places[at - 1].begin == place.begin &&
                       side->places[at - 1].choice > place.choice));
         at--)
      side->places[at] = side->places[at - 1];
    side->places[at] = place;
  }
}

static void add_place(struct load_clamps *clamps, enum bed_side side, size_t number, length_t at) {
  const struct clamp_choice *choice = &clamps->problem->choices[number];
  struct load_side *made = &clamps->sides[side];
  length_t box[4];
  body_of(clamps->problem, side, choice, at, box);
  made->places[made->count++] = (struct load_place){at,
                                                    number,
                                                    box[0] - choice->keep_out,
                                                    box[1] - choice->keep_out,
                                                    box[2] + choice->keep_out,
                                                    box[3] + choice->keep_out};
}

/* On so narrow a load one might lie over another on the opposite side: none of these are looked at.
 */
static bool reaches_across(struct load_clamps *clamps, enum bed_side side, size_t number) {
  const struct clamp_problem *problem = clamps->problem;
  length_t across = along_y(side) ? problem->length : problem->width;
  size_t pair = (size_t)side / 2 * 2;
  bool opposite = problem->held[pair] && problem->held[pair + 1];
  if (!opposite || 2 * problem->choices[number].over <= across) return false;
  clamps->exact = false;
  return true;
}

/* False when they are more than there is room for. */
static bool fill_side(struct load_clamps *clamps, enum bed_side side, length_t pitch) {
  const struct clamp_problem *problem = clamps->problem;
  struct load_side *made = &clamps->sides[side];
  length_t whole = side_length(problem, side);
  made->count = 0;
  for (size_t c = 0; c < problem->choice_count && c < LOAD_CHOICES_MOST; c++) {
    const struct clamp_choice *choice = &problem->choices[c];
    if (choice->count < 1 || reaches_across(clamps, side, c)) continue;
    for (length_t begin = 0; begin + choice->width <= whole; begin += pitch) {
      if (made->count == LOAD_PLACES_MOST) return false;
      add_place(clamps, side, c,
                from_far_end(problem, side) ? whole - choice->width - begin : begin);
    }
  }
  sort_places(made);
  return true;
}

/* Where clamps may stand anywhere, or places are too many, every so many millimetres do. */
static void fill_sides(struct load_clamps *clamps, const struct load_begins *begins) {
  const struct clamp_problem *problem = clamps->problem;
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++) {
    size_t pair = (size_t)side / 2 * 2;
    if (!problem->held[pair] && !problem->held[pair + 1]) continue;
    if (begins != NULL) {
      const struct load_begins *along = &begins[along_y(side) ? 1 : 0];
      for (size_t i = 0; i < along->count; i++)
        if (!reaches_across(clamps, side, along->items[i].choice))
          add_place(clamps, side, along->items[i].choice, along->items[i].at);
      sort_places(&clamps->sides[side]);
      continue;
    }
    length_t step = problem->pitch > 0 ? problem->pitch : MM(1);
    if (problem->pitch <= 0) clamps->exact = false;
    for (length_t times = 1; !fill_side(clamps, side, step * times); times++)
      if (times > 0) clamps->exact = false;
  }
}

/* More clamps than that on one side are never needed. In a chain none of which can be left out,
 * from the end of one to the beginning of the next but one is more than the span. Others are
 * there for friction, or so that the opposite side has no more than one more. */
static int64_t most_useful(const struct clamp_problem *problem) {
  length_t whole = larger(problem->length, problem->width);
  length_t width = whole;
  int64_t force = INT64_MAX;
  for (size_t c = 0; c < problem->choice_count; c++) {
    const struct clamp_choice *choice = &problem->choices[c];
    if (choice->width < width) width = choice->width;
    if (choice->force < force && choice->force > 0) force = choice->force;
  }
  int64_t covering = 2 * (whole / (problem->span + width) + 1) + 2;
  if (force == INT64_MAX || problem->force <= 0) return covering;
  if (problem->friction <= 0) return INT64_MAX;
  int64_t rubbing =
      (int64_t)(500.0 * (double)problem->force / ((double)problem->friction * (double)force)) + 2;
  return covering > rubbing ? covering : rubbing;
}

/* Which numbers have at least as many of each. */
static void compare_counts(struct load_counts *counts, unsigned combinations) {
  for (unsigned n = 0; n < combinations; n++)
    for (unsigned m = n + 1; m < combinations; m++) {
      bool more = true;
      for (size_t c = 0; c < LOAD_CHOICES_MOST && more; c++)
        more = counts->digit[m][c] >= counts->digit[n][c];
      if (more) counts->more[n] |= UINT64_C(1) << m;
    }
}

static void fill_counts(struct load_clamps *clamps, enum clamp_kind kind) {
  const struct clamp_problem *problem = clamps->problem;
  struct load_counts *counts = &clamps->counts[kind];
  length_t whole = larger(problem->length, problem->width);
  int64_t useful = most_useful(problem);
  unsigned combinations = 1;
  for (size_t c = 0; c < problem->choice_count && c < LOAD_CHOICES_MOST; c++) {
    const struct clamp_choice *choice = &problem->choices[c];
    if (choice->kind != kind || choice->count < 1 || choice->width < 1) continue;
    int64_t most = whole / choice->width;
    if (choice->count < most) most = choice->count;
    if (most > useful) most = useful;
    if (most > 63) most = 63;
    if (most > 64 / (int64_t)combinations - 1) {
      most = 64 / (int64_t)combinations - 1;
      clamps->exact = false;
    }
    counts->cap[c] = (unsigned)most;
    counts->weight[c] = combinations;
    combinations *= (unsigned)most + 1;
    if (most > 0) counts->any = true;
  }
  for (unsigned n = 0; n < combinations; n++)
    for (size_t c = 0; c < LOAD_CHOICES_MOST; c++)
      if (counts->cap[c] > 0)
        counts->digit[n][c] = (uint8_t)(n / counts->weight[c] % (counts->cap[c] + 1));
  compare_counts(counts, combinations);
  for (unsigned n = 0; n < combinations; n++) {
    for (size_t c = 0; c < LOAD_CHOICES_MOST; c++) {
      if (counts->cap[c] == 0) continue;
      unsigned digit = counts->digit[n][c];
      if (digit < counts->cap[c]) counts->roomy[c] |= UINT64_C(1) << n;
      if (digit == 0) continue;
      counts->total[n] += digit;
      counts->force[n] += digit * problem->choices[c].force;
      if (problem->choices[c].force == 0) counts->unknown[n] = true;
      counts->beside[n] = larger(counts->beside[n], problem->choices[c].beside);
    }
  }
}

struct load_clamps *load_clamps_begin(struct arena *arena, const struct clamp_problem *problem,
                                      const struct load_begins *begins) {
  struct load_clamps *clamps = ARENA_NEW(arena, struct load_clamps);
  clamps->problem = problem;
  clamps->exact = problem->choice_count <= LOAD_CHOICES_MOST;
  clamps->idle = true;
  for (size_t s = 0; s < BED_SIDES; s++)
    if (problem->held[s]) clamps->idle = false;
  if (clamps->idle) return clamps;
  fill_sides(clamps, begins);
  fill_counts(clamps, CLAMP_SIDE);
  fill_counts(clamps, CLAMP_HOLD_DOWN);
  load_sides_fill(clamps);
  load_lanes_fill(clamps);
  return clamps;
}

struct load_open load_clamps_open(const struct load_clamps *clamps) {
  struct load_open open = {{0}};
  for (size_t s = 0; s < BED_SIDES; s++) {
    size_t count = clamps->sides[s].count;
    open.sides[s] = count >= LOAD_PLACES_MOST ? ~(load_bits)0 : load_bit(count) - 1;
  }
  return open;
}

static length_t beyond(length_t at, length_t low, length_t high) {
  return at < low ? low - at : (at > high ? at - high : 0);
}

bool load_place_meets(const struct load_place *place, length_t reach, const struct load_laid *part,
                      bool round) {
  if (!round)
    return part->x - reach < place->right && part->x + part->length + reach > place->left &&
           part->y - reach < place->top && part->y + part->width + reach > place->bottom;
  /* doubled, so that the middle is whole */
  length_t dx = beyond(2 * part->x + part->length, 2 * place->left, 2 * place->right);
  length_t dy = beyond(2 * part->y + part->width, 2 * place->bottom, 2 * place->top);
  length_t radius = part->length + 2 * reach;
  return dx < radius && dy < radius && dx * dx + dy * dy < radius * radius;
}

static uint64_t hash_of(const struct load_open *open) {
  uint64_t hash = 0;
  for (size_t s = 0; s < BED_SIDES; s++)
    for (unsigned from = 0; from < LOAD_PLACES_MOST; from += 64)
      hash =
          (hash ^ (uint64_t)(open->sides[s] >> from)) * UINT64_C(0x9E3779B97F4A7C15) ^ (hash >> 29);
  return (hash >> 40) % LOAD_CLAMPS_REMEMBERED;
}

bool load_clamps_possible(struct load_clamps *clamps, const struct load_open *open) {
  if (clamps->idle) return true;
  clamps->work += 20;
  size_t at = hash_of(open);
  if (clamps->remembered[at].known && memcmp(&clamps->remembered[at].open, open, sizeof *open) == 0)
    return clamps->remembered[at].possible;
  bool possible = load_chains_couple(clamps, open, true, NULL, &clamps->work) != SIZE_MAX;
  clamps->remembered[at].open = *open;
  clamps->remembered[at].known = true;
  clamps->remembered[at].possible = possible;
  return possible;
}

size_t load_clamps_choose(const struct load_clamps *clamps, const struct load_open *open,
                          struct held_clamp *held) {
  if (clamps->idle) return 0;
  struct load_stand stands[LOAD_CLAMPS_MOST];
  int64_t work = 0;
  size_t count = load_chains_couple(clamps, open, false, stands, &work);
  if (count == SIZE_MAX || held == NULL) return count;
  for (size_t i = 0; i < count; i++) {
    const struct load_place *place = &clamps->sides[stands[i].side].places[stands[i].place];
    const struct clamp_choice *choice = &clamps->problem->choices[place->choice];
    length_t box[4];
    body_of(clamps->problem, stands[i].side, choice, place->begin, box);
    held[i] = (struct held_clamp){.clamp = choice->clamp,
                                  .side = stands[i].side,
                                  .x = box[0],
                                  .y = box[1],
                                  .length = box[2] - box[0],
                                  .width = box[3] - box[1],
                                  .keep_out = choice->keep_out};
  }
  return count;
}
