/* Where a project that could be read goes on to, with work that is bounded by its size. */
#ifndef BLANKWRIGHT_TESTS_FUZZ_ONWARDS_H
#define BLANKWRIGHT_TESTS_FUZZ_ONWARDS_H

#include "model/project.h"

/* Settles the rack as if part of it had been cut up, and reads it again: it holds what it should.
 * `folder` is the project's. */
void onwards_settle(struct arena *arena, const char *folder, const struct project *project);

/* Clampings, heights, cautions and minutes of every part, each in stock a little thicker. */
void onwards_hold(struct arena *arena, const char *folder, const struct project *project);

/* Prices a few quantities whose wood is made up. */
void onwards_price(struct arena *arena, const char *folder, const struct project *project);

#endif
