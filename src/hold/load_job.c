#include "hold/load_job.h"

#include <math.h>
#include <string.h>

static length_t larger(length_t a, length_t b) { return a > b ? a : b; }

/* Least whole inset for which the square lies within the disc of the path. */
static length_t inset_of(length_t diameter, length_t reach) {
  length_t path = diameter + 2 * reach;
  length_t side = (length_t)floor((double)path / sqrt(2.0));
  while (2 * side * side > path * path) side--;
  return (path - side + 1) / 2 + 1;
}

static void add_kind(struct load_job *job, size_t index) {
  const struct load_item *item = &job->problem->items[index];
  length_t gap = job->problem->gap;
  struct load_kind kind = {.item = index, .round = item->round, .worth = item->worth};
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
    kind.inset = inset_of(item->length, job->problem->hold.reach);
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
  job->clamps = load_clamps_begin(arena, &problem->hold);
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

bool load_take_places(const struct load_job *job, struct load_part part, bool loosely,
                      struct load_open *open) {
  const struct clamp_problem *hold = &job->problem->hold;
  struct load_laid laid = load_laid_of(job, part);
  bool round = job->kinds[part.kind].round;
  length_t from[BED_SIDES] = {laid.x, hold->length - laid.x - laid.length, laid.y,
                              hold->width - laid.y - laid.width};
  if (loosely && round) {
    length_t inset = job->kinds[part.kind].inset;
    laid.x += inset;
    laid.y += inset;
    laid.length -= 2 * inset;
    laid.width -= 2 * inset;
    round = false;
  }
  bool taken = false;
  for (size_t s = 0; s < BED_SIDES; s++) {
    if (from[s] >= job->deep[s]) continue;
    for (uint64_t rest = open->sides[s]; rest != 0; rest &= rest - 1) {
      size_t i = (size_t)__builtin_ctzll(rest);
      if (!load_place_meets(&job->clamps->sides[s].places[i], hold->reach, &laid, round)) continue;
      open->sides[s] &= ~(UINT64_C(1) << i);
      taken = true;
    }
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
