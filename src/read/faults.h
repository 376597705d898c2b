/* The faults of one input file: each with its place, up to a limit, after which the
 * rest of the file is not looked at. */
#ifndef BLANKWRIGHT_READ_FAULTS_H
#define BLANKWRIGHT_READ_FAULTS_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/diagnostics.h"

enum { FAULTS_MOST = 1000 };

struct faults {
  struct arena *arena;
  struct diagnostics *diagnostics;
  const char *file;
  size_t count;
  bool full; /* FAULTS_MOST is passed: stop reading */
};

/* Adds an error; row may be NULL. Very long rows are shown only by their beginning. */
void faults_add_list(struct faults *faults, const struct place *place, const char *format,
                     va_list list) __attribute__((format(printf, 3, 0)));
void faults_add(struct faults *faults, const struct place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The row, or a cut copy of its beginning when it is too long to show. */
const char *row_shown(struct arena *arena, const char *row);

/* A copy of a cell fit to stand between quotes in a message: one line, not too long. */
const char *text_shown(struct arena *arena, const char *text);

#endif
