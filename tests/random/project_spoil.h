/* Spoils a project in one place, and says what must come of it. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_SPOIL_H
#define BLANKWRIGHT_TESTS_PROJECT_SPOIL_H

#include "project_maker.h"

struct spoilt {
  size_t kind;          /* of fault, see spoil_kind_name */
  const char *what;     /* what was done, for the report */
  const char *name;     /* of the file, such as "parts.csv" */
  struct buffer *bytes; /* its bytes now; NULL: there is no such file */
  bool is_folder;       /* a folder stands in its place */
  bool certain;         /* a fault must be told at `line` and `column` of the file */
  long line, column;    /* 0 and 0: of the file as a whole */
};

extern const size_t spoil_kind_count;

/* Such as "column renamed". */
const char *spoil_kind_name(size_t kind);

/* Changes the project, but for the file that is spoilt byte by byte: that is to be written from
 * the bytes returned. */
struct spoilt spoil_project(struct arena *arena, struct random_source *source,
                            struct random_project *project);

#endif
