/* What a bounded search works on: the options that can matter, with "grown" sizes (each
 * extent plus one kerf, so that parts add up without kerfs), and the rules that can bind.
 *
 * The money of a layout: a tree with p pieces and w waste leaves takes p + w - 1 cuts, so
 * its value is cut_cost + sum (worth - cut_cost) - w cut_cost. Cuts are counted as wastes. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_JOB_H
#define BLANKWRIGHT_NEST_BOUNDED_JOB_H

#include "base/arena.h"
#include "nest/problem.h"

/* Indices of extents and kerfs: x is divided by crosscuts, y by rips. */
enum { ALONG_X, ALONG_Y };

/* One way in which a piece of a demand may lie in the stock. */
struct bounded_option {
  size_t option;      /* of the stock */
  size_t demand;      /* of the job */
  length_t extent[2]; /* grown */
};

/* Where the copies of a demand lie in packed counts. */
struct bounded_lane {
  size_t word;
  unsigned shift;
};

struct bounded_job {
  const struct nest_stock *stock;
  cost_t cut_cost;
  struct bounded_option *options;
  size_t option_count;
  size_t demand_count;
  size_t *demand;    /* of the problem */
  cost_t *worth;     /* > 0 */
  int64_t *limit;    /* > 0, no more than the stock has room for */
  length_t whole[2]; /* the stock, grown */
  length_t kerf[2];
  bool first[2];              /* may the first cut divide it? */
  int stages;                 /* 0 is no limit */
  length_t rip_min;           /* least x of what is ripped, grown; 0 when it cannot bind */
  length_t crosscut_capacity; /* most y of what is crosscut, grown; 0 when it cannot bind */
  bool narrow;                /* a rip's narrower part may be too wide: */
  length_t strip_capacity;    /* not over this (not grown; 0 for none), */
  bool strip_by_length;       /* nor over the length of the piece ripped */
  bool strict;                /* what is smaller is not always as good: cuts cost, or rules bind */
  bool form_aware;            /* which way a block was cut last matters */
  bool halves;                /* it matters whether parts fill a length exactly */
  bool full_runs;             /* a run as wide as the stock is more than one put into it */
  size_t words;               /* of packed counts */
  struct bounded_lane *lane;  /* per demand */
  uint64_t *bias, *guard;     /* counts fit the limits when (counts + bias) & guard is 0 */
};

/* value and limit per demand of the problem. */
struct bounded_job *bounded_job_create(struct arena *arena, const struct nest_problem *problem,
                                       const struct nest_stock *stock, const cost_t *value,
                                       const int64_t *limit);

/* Copies of a demand in packed counts. */
int64_t bounded_job_count(const struct bounded_job *job, const uint64_t *counts, size_t demand);

#endif
