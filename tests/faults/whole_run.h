/* Whole runs of the program, each in a process of its own with a fault laid in its way, on a
 * project in a scratch folder. What goes wrong with the disk itself ends the program. */
#ifndef BLANKWRIGHT_TESTS_WHOLE_RUN_H
#define BLANKWRIGHT_TESTS_WHOLE_RUN_H

#include "base/buffer.h"
#include "fault_points.h"

/* Relative to the scratch folder, in which everything runs. */
#define PROJECT "boards/first"
#define REPORTS "reports/first"

struct ended {
  int status; /* exit status, or -1 where a signal ended it */
  int signal; /* 0 where none did */
  bool met;   /* the fault has happened */
  long calls; /* those that were counted */
  const struct buffer *output, *errors;
};

enum { WORDS_MOST = 12 };

/* Makes the scratch folder and goes there. NULL when there is no memory. */
struct arena *scratch_open(void);

/* Plans the project once in this process, so that the runs need not look for fonts each. */
void warm_up(void);

/* Removes the scratch folder. */
void scratch_close(struct arena *arena);

/* Runs the program; the words end with NULL and do not hold its name. The texts live in the arena.
 */
struct ended run_program(struct arena *arena, const struct fault *fault, const char *const *words);

/* The folder's files, byte for byte. */
struct snapshot {
  struct snapshot_file {
    const char *name;
    const struct buffer *bytes;
  } * files;
  size_t count, room;
};

/* Of a folder that is not there: no files. */
struct snapshot snapshot_take(struct arena *arena, const char *folder);

/* Makes the folder anew, with these files. */
void snapshot_restore(struct arena *arena, const struct snapshot *snapshot, const char *folder);

/* NULL where there is no such file. */
const struct buffer *snapshot_file(const struct snapshot *snapshot, const char *name);

/* NULL when both hold the same, else the first name that differs. */
const char *snapshot_difference(const struct snapshot *a, const struct snapshot *b);

/* A name that starts with a dot, or NULL. */
const char *snapshot_hidden(const struct snapshot *snapshot);

/* How far apart the places of failure are that are tried: 1 where BLANKWRIGHT_FAULTS asks for all
 * of them, else so that about `most` are; under the sanitizers a third of those. */
long fault_stride(long calls, long most);

#endif
