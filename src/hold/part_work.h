/* What is done to each part on the bed, and what follows from it for any load it lies in. */
#ifndef BLANKWRIGHT_HOLD_PART_WORK_H
#define BLANKWRIGHT_HOLD_PART_WORK_H

#include "base/arena.h"
#include "model/clamping.h"
#include "model/reach.h"

struct part_work {
  const struct step *const *steps; /* of the part, in the order of the file */
  size_t step_count;
  struct reach reach;
};

/* One entry per part of the project, in the arena. */
struct part_work *part_works(struct arena *arena, const struct project *project);

/* What the parts of a load have in common. Of a load of one kind of part, that part's. */
struct load_work {
  length_t reach;           /* e: furthest any cutter goes outside an outline */
  length_t cutter_diameter; /* d: of the widest profile cutter */
  length_t centre;          /* furthest any cutter's centre goes outside */
  int64_t force;            /* friction to be held, thousandths of a newton */
  int64_t clampings;        /* times the load is fixed on the bed */
  int64_t handling;         /* thousandths of a minute: fixing, probing, changing cutters */
  int64_t least_handling;   /* no load of these parts and others takes less */
};

/* `parts` are indices, each once; `raw` is the thickness of the load. */
struct load_work load_work_of(struct arena *arena, const struct project *project,
                              const struct part_work *works, const size_t *parts, size_t part_count,
                              length_t raw);

/* The times that a load of these parts is fixed on the bed, in the order of work; in the arena.
 * Returns how many. */
size_t load_fixings(struct arena *arena, const struct project *project,
                    const struct part_work *works, const size_t *parts, size_t part_count,
                    struct fixing **fixings);

/* By how much the body of a clamp is grown so that no cutter and no nut meets it: the clear gap and
 * what the nut stands over. */
length_t load_keep_out(const struct project *project, const struct part_work *works,
                       const size_t *parts, size_t part_count, length_t raw, length_t reach,
                       const struct clamp *clamp);

#endif
