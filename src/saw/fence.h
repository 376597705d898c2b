/* The fence settings of a class of stock, and which to take next. */
#ifndef BLANKWRIGHT_SAW_FENCE_H
#define BLANKWRIGHT_SAW_FENCE_H

#include "saw/peel.h"

#define FENCE_QUEUE_END SIZE_MAX

/* One setting: a kind of cut at one distance. */
struct fence {
  bool rip;           /* of the rip fence; else of the crosscut's stop */
  length_t keep;      /* between fence or stop and the near side of the kerf */
  size_t left;        /* cuts not yet made */
  size_t reachable;   /* of those, cuts that need no other setting first */
  size_t first, last; /* queue of the cuts that can be made now */
  size_t heap_place;  /* FENCE_QUEUE_END while taken or nothing is reachable */
};

struct fences {
  struct fence *items; /* by kind, then keep */
  size_t count;
  size_t *heap; /* best first; holds settings with a reachable cut that are not taken */
  size_t heap_count;
  size_t taken;
};

/* Finds the settings of the peels of `count` layouts and sets each peel's `setting`. No cut is
 * reachable yet. Lives in the arena. */
void fences_of_peels(struct arena *arena, struct peels *peels, size_t count, struct fences *fences);

/* One more cut of a setting is reachable. */
void fences_reached(struct fences *fences, size_t setting);

/* The setting to work next, out of the heap, or FENCE_QUEUE_END when all is cut. */
size_t fences_take(struct fences *fences);

/* The same for the setting the fence stands at: FENCE_QUEUE_END when no cut of it can be made. */
size_t fences_take_same(struct fences *fences, bool rip, length_t keep);

/* Ends the work at the setting taken: every cut of it that could be made is made. */
void fences_worked_off(struct fences *fences);

#endif
