/* Stocks priced side by side: every kind of stock has its pricer's tables and its scratch
 * memory to itself, so that several threads can price at the same worths. */
#ifndef BLANKWRIGHT_NEST_SIDE_H
#define BLANKWRIGHT_NEST_SIDE_H

#include "base/threads.h"
#include "nest/nest.h"

/* The memory of one stock: what lasts as long as the search, and what is thrown away early. The
 * second is a child of the first. */
struct stock_memory {
  struct arena *lasting;
  struct arena *scratch;
};

/* Per stock, children of `arena`. */
struct stock_memory *side_memory(struct arena *arena, size_t stock_count);

/* Marks of every scratch arena, made in `arena`, and going back to them. */
struct arena_mark *side_mark(struct arena *arena, const struct stock_memory *memory, size_t count);
void side_release(const struct stock_memory *memory, const struct arena_mark *marks, size_t count);

/* What is done to one stock: with its own memory alone, reading what is shared. */
typedef void side_work(void *data, size_t stock);

/* A job over stocks that is done again and again. */
struct side_job {
  struct threads *threads; /* or NULL */
  struct arena *arena;     /* takes what is raised in a part */
  const struct stock_memory *memory;
  side_work *work;
  void *data;
};

/* Does work(data, stocks[i]) for each i < count: in order when less than a thread's waking up
 * is worth is expected of it, else side by side. */
void side_run(const struct side_job *job, const size_t *stocks, size_t count,
              int64_t expected_steps);

#endif
