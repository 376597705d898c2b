/* Random projects of a small workshop that can be read without a fault: parts of every
 * way, hold, grain and shape, planks and sheets, prices by every measure, flaws, rules of
 * the saw, clamps, cutters and steps. The same seed gives the same project anywhere. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_MAKER_H
#define BLANKWRIGHT_TESTS_PROJECT_MAKER_H

#include "project_text.h"

enum { PROJECT_FILES_MOST = 10 };

struct random_project {
  struct text_table files[PROJECT_FILES_MOST];
  size_t file_count;
  /* How it is to be planned. */
  int64_t sets; /* 0: as the project says */
  bool most;
  int64_t effort;
};

struct random_project *random_project(struct arena *arena, uint64_t seed);

#endif
