/* Spoils a random project in one place, and says what must come of it. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_SPOIL_H
#define BLANKWRIGHT_TESTS_PROJECT_SPOIL_H

#include "project_maker.h"

struct spoilt {
  const char *what;     /* what was done, for the report */
  size_t file;          /* of the project's files */
  struct buffer *bytes; /* its bytes now */
  bool certain;         /* a fault must be told at `line` and `column` of the file */
  long line, column;
};

struct spoilt spoil_project(struct arena *arena, struct random_source *source,
                            struct random_project *project);

#endif
