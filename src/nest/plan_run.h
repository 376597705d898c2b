/* From a project and its blanks to a plan: the nesting problems of a run, solved one
 * group of materials after the other. */
#ifndef BLANKWRIGHT_NEST_PLAN_RUN_H
#define BLANKWRIGHT_NEST_PLAN_RUN_H

#include "base/diagnostics.h"
#include "nest/nest.h"

/* What is known of all numbers of sets up to one. */
struct nest_known;

/* For runs of 1 to `sets` sets. Lives in the arena; project and blanks must stay in place. What
 * `effort` percent of the usual work (0 is 100) do not tell stays unknown. */
struct nest_known *nest_know(struct arena *arena, const struct project *project,
                             const struct blanks *blanks, int64_t sets, int64_t effort);

/* Calls `grant` for each load that, were it as long as told, would spare plans of so many sets a
 * cut. `grant` may add blanks. `effort` as above. */
void nest_wish(struct arena *arena, const struct project *project, const struct blanks *blanks,
               int64_t sets, int64_t effort,
               void (*grant)(void *data, size_t blank, length_t length), void *data);

struct nest_run_options {
  int64_t sets;                   /* 0: as the shop says */
  bool most;                      /* as many complete sets as the rack alone gives */
  int64_t effort;                 /* percent of the usual work; 0 is 100 */
  const struct nest_known *known; /* of as many sets or more: its plans stand, where it has any,
                                     without a search; NULL: what is not proved is searched */
  void (*progress)(void *data, const struct nest_progress *progress); /* or NULL */
  void *progress_data;
  int threads;              /* 0: one for each processor */
  bool (*stop)(void *data); /* or NULL: true ends the search with the best plan so far */
  void *stop_data;          /* progress and stop may be called by any thread, progress by one at a
                               time */
};

/* Fills the plan but for its order of cuts. Returns STATUS_OK, or STATUS_NO_PLAN when
 * some part could not be placed: plan->unplaced then says which and why; or when it was stopped
 * before it had a plan. The plan is the same with any number of threads. Raises
 * STATUS_NO_MEMORY or STATUS_SOLVER_FAULT on the arena. */
enum status nest_run(struct arena *arena, const struct project *project,
                     const struct blanks *blanks, const struct nest_run_options *options,
                     struct diagnostics *diagnostics, struct plan *plan);

#endif
