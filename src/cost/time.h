/* How long a run takes: whole thousandths of a minute.
 *
 * Conventions. Feeds are taken for the speeds they name, without the slowing down in corners. How
 * fast the router moves above the work is not given; it moves at least at the fastest feed of
 * cutters.csv, and that is reckoned with. Ways between cuts are not known before the drawing is:
 * only down to the surface and up again, `clearance` each, is counted, and for holes the `path`
 * where it is given. Common practice; the results are for pricing, not for timing. */
#ifndef BLANKWRIGHT_COST_TIME_H
#define BLANKWRIGHT_COST_TIME_H

#include "model/project.h"
#include "model/tool_order.h"
#include "model/work_time.h"

/* One part as it lies in its clamping. */
struct timed_part {
  const struct project *project;
  const struct part *part;
  const struct step *const *steps; /* all of the part's own */
  size_t step_count;
  length_t raw;        /* thickness of its stock */
  int64_t tabs;        /* that its profile leaves */
  length_t tab_height; /* from its lower face */
};

/* Minutes the router takes for one step of one part, `count` times where it is given.
 * face: area / (stepover x feed) a pass, or parallel paths along the length with the cutter's
 *   middle from edge to edge of the outline, ceil(width / stepover) + 1 of them, and the steps
 *   between.
 * pocket: area / (stepover x feed) a pass; without an area the part's whole face.
 * drill: what is new at the plunge rate; after each peck out of the hole and back into it; up.
 * profile: the path, else the way of the cutter's middle around the outline (pi x diameter
 *   longer), once a pass through raw stock and overcut; over each tab up and down at the plunge
 *   rate, by as much as it stands above the pass.
 * chamfer: the path, else the outline, once a pass.
 * To this each takes its depth at the plunge rate and comes up. 0 for what is not done on the
 * bed. */
int64_t time_step(const struct timed_part *timed, const struct step *step);

/* One kind of clamping, `times` of it in a row. */
struct timed_clamping {
  struct tool_order order; /* cutters in their order */
  int64_t cutting;         /* one clamping's steps of all its parts */
  int64_t tabs;            /* to clean off after one */
  int64_t hand;            /* hand minutes of the parts freed in one */
  int64_t times;
  /* What all the times together are spared by parts that are left out of some of them. */
  struct spared {
    int64_t cutting, tabs, hand;
  } spared;
};

/* Parts of one kind in a clamping, `copies` of them, and the steps done on each in it. */
struct timed_kind {
  struct timed_part timed;
  struct step_list steps;
  int64_t copies;
  bool freed; /* cut free in it: its tabs and hand minutes count here */
};

/* Adds a clamping up; the order of cutters lives in the arena. */
struct timed_clamping time_clamping(struct arena *arena, const struct timed_kind *kinds,
                                    size_t count, int64_t times);

struct timed_run {
  const struct timed_clamping *clampings; /* in the order of work */
  size_t clamping_count;
  int64_t saw_cuts, fence_settings;
  int64_t hand; /* other hand minutes: parts that are sawn only, sanding and oil per set */
};

/* Each clamping has its set-up and a probing of the work; each change of cutter, the first one put
 * in too, tool_change_min and a probing of its length. A cutter with a place in the changer
 * is changed in machine time and needs no probing. Of machine time attended_share is
 * attended. */
struct run_time time_run(const struct project *project, const struct timed_run *run);

#endif
