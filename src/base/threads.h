/* Work side by side: a few threads that take the numbered parts of a job as they come free.
 * Which thread does which part is left open, so a part may only read what is shared and
 * write what is its own; then the outcome is the same with any number of threads. */
#ifndef BLANKWRIGHT_BASE_THREADS_H
#define BLANKWRIGHT_BASE_THREADS_H

#include "base/arena.h"

struct threads;

enum { THREADS_MOST = 8 };

/* One part of a job. `own` is the arena of this part alone: what is raised on it, or on its
 * children, ends the part. Nothing may be allocated from, released in or raised on another
 * thread's arena. */
typedef void thread_work(void *data, size_t part, struct arena *own);

/* `count` threads (1 to THREADS_MOST), the caller's counted; 0 is one for each processor, at
 * most THREADS_MOST. They start with the first job that has use for them and end with the
 * arena. Where no thread can be had, the caller does the work alone. */
struct threads *threads_create(struct arena *arena, int count);

/* Does every part of a job below `count` and returns when all are done. own[part] are child
 * arenas, each of one part only. A failure in a part is raised on `arena` once all have ended,
 * that of the lowest part first. threads may be NULL: then the parts are done in order. A
 * part may run a job itself. */
void threads_run(struct threads *threads, struct arena *arena, struct arena *const *own,
                 size_t count, thread_work *work, void *data);

/* Calls start(data) with every signal held back, so that threads it starts, those of a library
 * too, take none: signals are for the threads of the program. */
void threads_without_signals(void (*start)(void *data), void *data);

#endif
