/* Whole free plans: the best one known, a first one, and the sets of sheets worth trying next. */
#ifndef BLANKWRIGHT_NEST_FREE_PLAN_H
#define BLANKWRIGHT_NEST_FREE_PLAN_H

#include "nest/free_nest.h"
#include "nest/free_search.h"

/* A layout as it was, empty sheets left out. */
struct free_plan {
  uint32_t *sheets; /* stock of each */
  size_t sheet_count;
  struct free_place *places;
  size_t place_count;
  cost_t cost;      /* of the sheets, whole packs */
  int64_t unplaced; /* area, in the search's measure */
};

/* Copies a layout into the plan; what was in it stays in the arena. */
void free_plan_read(struct arena *arena, const struct free_state *state, struct free_plan *plan);

/* A plan laid piece after piece; where none of the sheets has room, a sheet is added of the
 * stock that costs least for its area among those that can hold the piece. */
void free_plan_first(struct arena *arena, const struct free_job *job, struct free_plan *plan,
                     int64_t *steps);

/* A set of sheets: how many of each stock. */
struct free_set {
  int64_t *count;
  int64_t sheets, area;
  cost_t cost;
};

struct free_sets {
  struct free_set *items;
  size_t count, room;
};

/* Sets of sheets that cost less than `below`, have the area of all pieces, and to which no sheet
 * can be added at less than `below`: if none of them holds the job, no cheaper plan exists. The
 * roomiest first; where there are too many to list, not all. */
struct free_sets free_sets_below(struct arena *arena, const struct free_job *job, cost_t below);

#endif
