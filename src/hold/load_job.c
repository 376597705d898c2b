#include "hold/load_job.h"

#include <math.h>
#include <string.h>

#include "hold/load_places.h"

/* Rectangles within the disc of the path, their corners on it at even angles; rounded inwards. */
static void inner_of_round(struct load_kind *kind, length_t diameter, length_t reach) {
  double radius = (double)diameter / 2 + (double)reach;
  double step = acos(-1.0) / 2 / (LOAD_INNER_MOST + 1);
  for (unsigned i = 0; i < LOAD_INNER_MOST; i++) {
    double angle = step * (i + 1);
    kind->inner[i].x = (length_t)ceil(radius * (1 - cos(angle))) + 1;
    kind->inner[i].y = (length_t)ceil(radius * (1 - sin(angle))) + 1;
  }
  kind->inner_count = LOAD_INNER_MOST;
}

static void add_kind(struct load_job *job, size_t index) {
  const struct load_item *item = &job->problem->items[index];
  length_t gap = job->problem->gap;
  struct load_kind kind = {
      .item = index, .round = item->round, .worth = item->worth, .inner_count = 1};
  for (unsigned way = 0; way < LOAD_WAYS; way++) {
    length_t length = (way == 0 ? item->length : item->width) + gap;
    length_t width = (way == 0 ? item->width : item->length) + gap;
    if (way == 1 && (!item->turns || item->length == item->width)) continue;
    if (length > job->length || width > job->width) continue;
    kind.length[kind.ways] = length;
    kind.width[kind.ways] = width;
    kind.turned[kind.ways++] = way == 1;
  }
  if (kind.ways == 0 || item->most < 1) return;
  kind.area = kind.length[0] * kind.width[0];
  int64_t most = job->length * job->width / kind.area;
  if (most > item->most) most = item->most;
  if (most > LOAD_PARTS_MOST) most = LOAD_PARTS_MOST;
  kind.most = (int)most;
  if (item->round) {
    inner_of_round(&kind, item->length, job->problem->hold.reach);
    job->rounds = true;
  }
  if (job->count == LOAD_ITEMS_MOST)
    job->limited = true;
  else
    job->kinds[job->count++] = kind;
}

static void sort_kinds(struct load_job *job) {
  for (size_t i = 1; i < job->count; i++) {
    struct load_kind kind = job->kinds[i];
    size_t at = i;
    for (; at > 0 && job->kinds[at - 1].area < kind.area; at--) job->kinds[at] = job->kinds[at - 1];
    job->kinds[at] = kind;
  }
}

/* How far from its side the keep-outs reach, the path's reach counted in. */
static void measure_depths(struct load_job *job) {
  const struct clamp_problem *hold = &job->problem->hold;
  for (size_t s = 0; s < BED_SIDES; s++) {
    const struct load_side *side = &job->clamps->sides[s];
    for (size_t i = 0; i < side->count; i++) {
      const struct load_place *place = &side->places[i];
      length_t into[BED_SIDES] = {place->right, hold->length - place->left, place->top,
                                  hold->width - place->bottom};
      job->deep[s] = larger(job->deep[s], into[s] + hold->reach);
    }
  }
}

void load_job_begin(struct arena *arena, const struct load_problem *problem, struct load_job *job) {
  memset(job, 0, sizeof *job);
  job->problem = problem;
  struct load_begins begins[2];
  bool pushed = problem->pushed && problem->hold.pitch <= 0 && load_places_list(problem, begins);
  job->clamps = load_clamps_begin(arena, &problem->hold, pushed ? begins : NULL);
  job->open = load_clamps_open(job->clamps);
  job->length = problem->hold.length - 2 * problem->edge + problem->gap;
  job->width = problem->hold.width - 2 * problem->edge + problem->gap;
  for (size_t i = 0; i < problem->item_count; i++) add_kind(job, i);
  int64_t parts = 0;
  int64_t area = 0;
  for (size_t i = 0; i < job->count; i++) {
    parts += job->kinds[i].most;
    area = larger(area, job->kinds[i].area);
  }
  if (parts > LOAD_PARTS_MOST) job->limited = true;
  sort_kinds(job);
  measure_depths(job);
}

struct load_laid load_laid_of(const struct load_job *job, struct load_part part) {
  const struct load_kind *kind = &job->kinds[part.kind];
  length_t gap = job->problem->gap;
  return (struct load_laid){.item = kind->item,
                            .x = part.x + job->problem->edge,
                            .y = part.y + job->problem->edge,
                            .length = kind->length[part.way] - gap,
                            .width = kind->width[part.way] - gap,
                            .turned = kind->turned[part.way]};
}

/* Places of the side that the rectangles within a round's path meet. */
static load_bits met_within(const struct load_job *job, enum bed_side side,
                            const struct load_kind *kind, const struct load_laid *laid) {
  load_bits met = 0;
  for (unsigned i = 0; i < kind->inner_count; i++) {
    struct load_inner inner = kind->inner[i];
    struct load_laid less = *laid;
    less.x += inner.x;
    less.y += inner.y;
    less.length -= 2 * inner.x;
    less.width -= 2 * inner.y;
    met |= load_places_met(job->clamps, side, job->problem->hold.reach, &less);
  }
  return met;
}

static load_bits met_by_round(const struct load_job *job, enum bed_side side,
                              const struct load_laid *laid, load_bits open) {
  load_bits met = 0;
  for (; open != 0; open &= open - 1) {
    size_t i = load_lowest(open);
    if (load_place_meets(&job->clamps->sides[side].places[i], job->problem->hold.reach, laid, true))
      met |= load_bit(i);
  }
  return met;
}

bool load_take_places(const struct load_job *job, struct load_part part, bool loosely,
                      struct load_open *open) {
  const struct clamp_problem *hold = &job->problem->hold;
  struct load_laid laid = load_laid_of(job, part);
  const struct load_kind *kind = &job->kinds[part.kind];
  length_t from[BED_SIDES] = {laid.x, hold->length - laid.x - laid.length, laid.y,
                              hold->width - laid.y - laid.width};
  bool taken = false;
  for (enum bed_side s = BED_LEFT; s <= BED_BACK; s++) {
    if (from[s] >= job->deep[s]) continue;
    load_bits met = loosely || !kind->round ? met_within(job, s, kind, &laid)
                                            : met_by_round(job, s, &laid, open->sides[s]);
    taken = taken || (open->sides[s] & met) != 0;
    open->sides[s] &= ~met;
  }
  return taken;
}

void load_write(struct arena *arena, const struct load_job *job, const struct load_part *parts,
                size_t count, struct load_answer *answer) {
  struct held_clamp held[LOAD_CLAMPS_MOST];
  struct load_open open = job->open;
  answer->laid = ARENA_ARRAY(arena, count, struct load_laid);
  answer->laid_count = count;
  answer->worth = 0;
  for (size_t i = 0; i < count; i++) {
    answer->laid[i] = load_laid_of(job, parts[i]);
    answer->worth += job->kinds[parts[i].kind].worth;
    load_take_places(job, parts[i], false, &open);
  }
  size_t clamps = load_clamps_choose(job->clamps, &open, held);
  answer->held = clamps != SIZE_MAX;
  answer->clamp_count = answer->held ? clamps : 0;
  answer->clamps = ARENA_ARRAY(arena, answer->clamp_count, struct held_clamp);
  if (answer->clamp_count > 0) memcpy(answer->clamps, held, answer->clamp_count * sizeof *held);
}
