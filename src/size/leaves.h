/* Thick planks resawn into leaves, as stocks among the project's own. */
#ifndef BLANKWRIGHT_SIZE_LEAVES_H
#define BLANKWRIGHT_SIZE_LEAVES_H

#include "model/project.h"

/* How a plank is split into as many leaves as it holds. */
struct leaves {
  int64_t count;
  length_t thickness; /* of each, its resawn faces cleaned */
  int64_t cuts;
};

/* The most leaves of a plank `raw` thick, at least `least` and at most `most` thick after
 * cleaning: n leaves take n times their thickness and, n - 1 times, the resaw's kerf and what is
 * cleaned off two faces. As thick as they can be, in whole `step`s where that is enough.
 * What is left over is planed off, or falls with one more cut when it can hold one.
 * False when there are fewer than two. */
bool leaves_of(const struct shop *shop, length_t raw, length_t least, length_t most, length_t step,
               struct leaves *leaves);

/* The project with the leaves that its parts can use and its planks can yield behind its stocks;
 * the project itself when it does not resaw or there are none. Planks wider between their
 * trims than the resaw is high are not split, nor those too thick to be trimmed. Lives in the arena
 * and points into the project. */
const struct project *leaves_add(struct arena *arena, const struct project *project);

#endif
