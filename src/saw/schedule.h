/* The order of the cuts of one class of wood and thickness. */
#ifndef BLANKWRIGHT_SAW_SCHEDULE_H
#define BLANKWRIGHT_SAW_SCHEDULE_H

#include "saw/peel.h"

/* One copy of a layout to be cut. */
struct saw_job {
  size_t layout;
  int64_t copy;
  const struct peels *peels;
};

/* Appends every cut of the jobs to plan->cuts, which has room for them, and counts steps
 * and fence settings on from those that stand there.
 *
 * Of the settings with a cut that can be made, one that need never be set again is taken
 * first: every cut left for it can be made, at once or after others of the same setting.
 * It costs no more now than later. Where there is none, the one with the most such cuts is
 * taken. */
void schedule_class(struct arena *arena, const struct project *project, struct peels *peels,
                    size_t peels_count, const struct saw_job *jobs, size_t job_count,
                    struct plan *plan);

#endif
