/* A list of what there is to say about the input or the plan. The library only
 * collects; the command line prints. The list lives in the arena it was made in. */
#ifndef BLANKWRIGHT_BASE_DIAGNOSTICS_H
#define BLANKWRIGHT_BASE_DIAGNOSTICS_H

#include <stdarg.h>
#include <stddef.h>

#include "base/arena.h"

enum severity { SEVERITY_ERROR, SEVERITY_CAUTION, SEVERITY_NOTE };

/* Where in the input: any field may be empty (NULL or 0). line and column count
 * from 1, columns in bytes of the row's text; `row` is the row as it stands in the file. */
struct place {
  const char *file;
  long line;
  long column;
  const char *row;
};

struct diagnostic {
  enum severity severity;
  struct place place;
  const char *text; /* lower case, fault first, subject quoted, no full stop */
};

struct diagnostics {
  struct arena *arena;
  struct diagnostic *items;
  size_t count;
  size_t room;
  size_t errors; /* how many of the items are errors */
};

/* An empty list. */
struct diagnostics *diagnostics_create(struct arena *arena);

/* Adds one line; texts are copied. place may be NULL. */
void diagnostics_add(struct diagnostics *list, enum severity severity, const struct place *place,
                     const char *format, ...) __attribute__((format(printf, 4, 5)));

#endif
