/* Answers to questions whether parts fit a load, remembered: a run that is planned for several
 * numbers of sets asks most of them again. */
#ifndef BLANKWRIGHT_HOLD_LOAD_MEMORY_H
#define BLANKWRIGHT_HOLD_LOAD_MEMORY_H

#include "hold/load.h"

struct load_memory;

/* Lives as long as the arena, and what it remembers too. */
struct load_memory *load_memory_create(struct arena *parent);

/* As load_fits, which answers what was not yet asked; `memory` may be NULL. The answer, its steps
 * too, is the same with and without it. */
enum load_outcome load_memory_fits(struct load_memory *memory, struct arena *arena,
                                   const struct load_problem *problem, int64_t effort,
                                   struct load_answer *answer);

#endif
