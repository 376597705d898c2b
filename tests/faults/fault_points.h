/* Calls of the system and of the allocator that can be made to fail, or at which a signal can be
 * made to arrive: the nth one of a run. The linker hands the program's own calls over to these
 * (see tests/CMakeLists.txt); allocations are those of every library, but for a build under the
 * address sanitizer, which has an allocator of its own. */
#ifndef BLANKWRIGHT_TESTS_FAULT_POINTS_H
#define BLANKWRIGHT_TESTS_FAULT_POINTS_H

#include <stdbool.h>

enum call {
  CALL_ALLOCATE, /* malloc, calloc, realloc */
  CALL_DRAW,     /* the same while pages to print are drawn, by cairo and Pango */
  CALL_READ,     /* fopen, opendir: of the project's files */
  CALL_OPEN,     /* open, openat */
  CALL_WRITE,    /* write */
  CALL_SYNC,     /* fsync */
  CALL_CLOSE,    /* close */
  CALL_MODE,     /* fchmod */
  CALL_RENAME,   /* rename, renameat */
  CALL_LINK,     /* linkat */
  CALL_REMOVE,   /* unlink, unlinkat */
  CALL_FOLDER,   /* mkdir */
  CALL_LIST,     /* fdopendir: of the folder written to */
  CALLS
};

#define CALL_BIT(call) (1U << (call))
/* All that a run makes from when it begins to write. */
#define EVERY_WRITING_CALL (CALL_BIT(CALLS) - CALL_BIT(CALL_OPEN))

enum fault_kind {
  FAULT_NONE,
  FAULT_ERROR, /* the call fails with the number as its reason; a write is torn in two first */
  FAULT_ALL,   /* so do all of its kinds from it on */
  FAULT_SIGNAL /* the signal of that number arrives just before the call */
};

struct fault {
  enum fault_kind kind;
  unsigned calls; /* bits of those that are counted */
  long nth;       /* from 1 */
  int number;     /* of the error or signal */
};

/* How many of the calls counted were made; outlives the process that made them. */
struct fault_tally {
  long calls;
  bool met; /* the fault has happened */
};

/* True where allocations are counted and can fail. */
bool fault_reaches_allocations(void);

/* From now on, of the calls of this thread. The tally lies in memory that is shared. */
void fault_arm(const struct fault *fault, struct fault_tally *tally);

void fault_disarm(void);

#endif
