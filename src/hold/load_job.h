/* A load as its searches see it: parts grown by the gap to the right and to the back, in a room
 * whose lower left corner is `edge` from the load's. Grown parts must not overlap; clamps are
 * minded apart. Lives in an arena. */
#ifndef BLANKWRIGHT_HOLD_LOAD_JOB_H
#define BLANKWRIGHT_HOLD_LOAD_JOB_H

#include "hold/load_clamps.h"

enum { LOAD_WAYS = 2 /* as given, turned */, LOAD_INNER_MOST = 5 };

/* By how much a rectangle within a part's path lies inside the square of the path. */
struct load_inner {
  length_t x, y;
};

/* One of the items as it can lie in the room. */
struct load_kind {
  length_t length[LOAD_WAYS], width[LOAD_WAYS]; /* grown; a way that does not fit is left out */
  unsigned ways;
  bool turned[LOAD_WAYS];
  bool round;
  struct load_inner inner[LOAD_INNER_MOST]; /* of a round: all within its disc */
  unsigned inner_count;
  int most; /* copies that can lie in the room by area */
  int64_t worth, area;
  size_t item;
};

struct load_job {
  const struct load_problem *problem;
  struct load_clamps *clamps;
  struct load_open open;                   /* every place */
  length_t length, width;                  /* of the room */
  struct load_kind kinds[LOAD_ITEMS_MOST]; /* the largest first */
  size_t count;
  bool limited; /* more parts were offered than can be looked at: nothing is proved */
  bool rounds;
  length_t deep[BED_SIDES]; /* a part's path so far from the side meets no clamp of it */
};

/* A grown part in the room. */
struct load_part {
  uint8_t kind, way;
  length_t x, y;
};

/* Fills in `job` for a problem, which must stay in place; what it points to lives in the arena. */
void load_job_begin(struct arena *arena, const struct load_problem *problem, struct load_job *job);

/* Where a grown part ends along x and along y. */
static inline length_t load_right(const struct load_job *job, struct load_part part) {
  return part.x + job->kinds[part.kind].length[part.way];
}
static inline length_t load_top(const struct load_job *job, struct load_part part) {
  return part.y + job->kinds[part.kind].width[part.way];
}

/* As it lies on the load, its outline. */
struct load_laid load_laid_of(const struct load_job *job, struct load_part part);

/* Takes away the places that the part's path meets. With `loosely` a round is taken for the
 * rectangles within its path, so that too few are taken away and never too many. True when any was.
 */
bool load_take_places(const struct load_job *job, struct load_part part, bool loosely,
                      struct load_open *open);

/* Writes parts and clamps of a load that is valid; places as they are in `parts`. */
void load_write(struct arena *arena, const struct load_job *job, const struct load_part *parts,
                size_t count, struct load_answer *answer);

#endif
