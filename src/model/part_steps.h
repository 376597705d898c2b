/* The steps of each part, in the order of the file. */
#ifndef BLANKWRIGHT_MODEL_PART_STEPS_H
#define BLANKWRIGHT_MODEL_PART_STEPS_H

#include "base/arena.h"
#include "model/project.h"

/* Steps of one part, in the order they are to be done. */
struct step_list {
  const struct step *const *steps;
  size_t count;
};

/* One list per part of the project; in the arena. */
struct step_list *part_steps(struct arena *arena, const struct project *project);

#endif
