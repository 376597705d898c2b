#include "hold/load_area.h"

#include <string.h>

enum { AXIS_MOST = 40 };

/* In larger rooms the products of 64 parts' views might not be whole numbers of 64 bits. */
#define LENGTH_LARGE (5 * LENGTH_PER_METRE)

/* One function of lengths along one axis, in whole numbers: f(line) = `whole`. */
struct sight {
  length_t whole;
  length_t along[LOAD_ITEMS_MOST][LOAD_WAYS];
};

struct load_views {
  size_t kinds, count;
  size_t last;    /* the one that refuted last is tried first */
  int64_t *areas; /* of each view: of the room, then of each kind */
};

static length_t size_along(const struct load_kind *kind, unsigned way, bool across) {
  return across ? kind->width[way] : kind->length[way];
}

static void drop_small(const struct load_job *job, bool across, length_t least,
                       struct sight *sight) {
  length_t line = across ? job->width : job->length;
  sight->whole = line;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways; way++) {
      length_t size = size_along(&job->kinds[i], way, across);
      sight->along[i][way] = size > line - least ? line : (size < least ? 0 : size);
    }
}

static void round_to(const struct load_job *job, bool across, length_t k, struct sight *sight) {
  length_t line = across ? job->width : job->length;
  sight->whole = line * k;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways; way++) {
      length_t size = size_along(&job->kinds[i], way, across) * (k + 1);
      sight->along[i][way] = size % line == 0 ? size / (k + 1) * k : size / line * line;
    }
}

static size_t list_sights(const struct load_job *job, bool across, struct sight *sights) {
  length_t line = across ? job->width : job->length;
  size_t count = 0;
  drop_small(job, across, 0, &sights[count++]);
  for (length_t k = 1; k <= 6; k++) round_to(job, across, k, &sights[count++]);
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways; way++) {
      length_t size = size_along(&job->kinds[i], way, across);
      if (2 * size <= line && count < AXIS_MOST) drop_small(job, across, size, &sights[count++]);
      if (2 * size > line && line - size > 0 && count < AXIS_MOST)
        drop_small(job, across, line - size + 1, &sights[count++]);
    }
  return count;
}

struct load_views *load_views_begin(struct arena *arena, const struct load_job *job) {
  struct sight *along = ARENA_ARRAY(arena, AXIS_MOST, struct sight);
  struct sight *across = ARENA_ARRAY(arena, AXIS_MOST, struct sight);
  size_t along_count = list_sights(job, false, along);
  size_t across_count = list_sights(job, true, across);
  if (job->length > LENGTH_LARGE || job->width > LENGTH_LARGE) along_count = across_count = 1;
  struct load_views *views = ARENA_NEW(arena, struct load_views);
  views->kinds = job->count;
  views->count = along_count * across_count;
  views->areas = ARENA_ARRAY(arena, views->count * (job->count + 1), int64_t);
  int64_t *areas = views->areas;
  for (size_t a = 0; a < along_count; a++)
    for (size_t b = 0; b < across_count; b++, areas += job->count + 1) {
      areas[0] = along[a].whole * across[b].whole;
      for (size_t i = 0; i < job->count; i++)
        for (unsigned way = 0; way < job->kinds[i].ways; way++) {
          int64_t area = along[a].along[i][way] * across[b].along[i][way];
          if (way == 0 || area < areas[i + 1]) areas[i + 1] = area;
        }
    }
  return views;
}

static bool refutes(const struct load_views *views, size_t index, const uint8_t *counts) {
  const int64_t *areas = views->areas + index * (views->kinds + 1);
  int64_t area = 0;
  for (size_t i = 0; i < views->kinds; i++) area += counts[i] * areas[i + 1];
  return area > areas[0];
}

bool load_views_refute(struct load_views *views, const uint8_t *counts, int64_t *steps) {
  *steps += (int64_t)views->kinds;
  if (refutes(views, views->last, counts)) return true;
  *steps += (int64_t)(views->count * views->kinds);
  for (size_t i = 0; i < views->count; i++)
    if (refutes(views, i, counts)) {
      views->last = i;
      return true;
    }
  return false;
}

static length_t clipped(length_t low, length_t high, length_t line) {
  if (low < 0) low = 0;
  if (high > line) high = line;
  return high > low ? high - low : 0;
}

/* Of the room, what a clamp takes for itself alone: where two could share it, its body only. */
static int64_t area_of_place(const struct load_job *job, const struct load_place *place) {
  const struct load_problem *problem = job->problem;
  const struct clamp_choice *choice = &problem->hold.choices[place->choice];
  length_t grown = problem->hold.reach - problem->gap / 2 - 1; /* a gap may be odd */
  if (choice->keep_out + grown > 0) grown = -choice->keep_out;
  length_t shift = problem->gap / 2 - problem->edge;
  return clipped(place->left - grown + shift, place->right + grown + shift, job->length) *
         clipped(place->bottom - grown + shift, place->top + grown + shift, job->width);
}

/* Least area of a chain along the side; 0 when it needs none. */
static int64_t area_of_side(const struct load_job *job, size_t s) {
  const struct clamp_problem *hold = &job->problem->hold;
  const struct load_side *side = &job->clamps->sides[s];
  length_t whole = s < BED_FRONT ? hold->width : hold->length;
  int64_t least[LOAD_PLACES_MOST];
  int64_t best = INT64_MAX;
  if (!hold->held[s] || job->clamps->counts[CLAMP_SIDE].any) return 0;
  for (size_t i = 0; i < side->count; i++) {
    const struct load_place *place = &side->places[i];
    least[i] = place->begin <= hold->end ? 0 : INT64_MAX;
    for (size_t j = 0; j < i; j++) {
      length_t end = side->places[j].begin + hold->choices[side->places[j].choice].width;
      if (end <= place->begin && place->begin - end <= hold->span && least[j] < least[i])
        least[i] = least[j];
    }
    if (least[i] == INT64_MAX) continue;
    least[i] += area_of_place(job, place);
    if (place->begin + hold->choices[place->choice].width >= whole - hold->end && least[i] < best)
      best = least[i];
  }
  return best == INT64_MAX ? 0 : best;
}

int64_t load_clamped_area(const struct load_job *job) {
  int64_t area = 0;
  if (job->clamps->idle || !job->clamps->exact || job->rounds) return 0;
  for (size_t s = 0; s < BED_SIDES; s++) area += area_of_side(job, s);
  return area;
}
