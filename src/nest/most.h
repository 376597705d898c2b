/* The question turned round: how many complete sets the rack alone gives. */
#ifndef BLANKWRIGHT_NEST_MOST_H
#define BLANKWRIGHT_NEST_MOST_H

#include "model/blank.h"
#include "nest/nest.h"
#include "nest/setup.h"

struct most_sets {
  int64_t sets;
  int64_t made;              /* sets the layouts yield, before spoilage */
  bool planned;              /* the layouts are of a plan for `sets`; else it is to be made */
  struct material material;  /* of the whole rack; fit for use when made > 0 */
  struct nest_answer answer; /* its layouts, the cheapest found for so many sets */
  bool proved;               /* no layout of the rack gives one more */
  const char *stop;          /* what stops one set more, in words */
};

/* An integer program over layouts of the rack and the number of sets that are not made,
 * each of which is dearer than the whole rack. */
struct most_sets most_sets_of_rack(struct arena *arena, const struct project *project,
                                   const struct blanks *blanks, const struct nest_options *options);

#endif
