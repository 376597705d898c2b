/* Whole numbers of layouts from a list: an exact search. Its answer rests on no tolerance: a part
 * of the search is closed only where prices in whole numbers show that it has no plan. */
#ifndef BLANKWRIGHT_NEST_WHOLE_H
#define BLANKWRIGHT_NEST_WHOLE_H

#include "nest/master.h"

struct whole_layout {
  size_t stock;
  const int64_t *counts; /* per demand, >= 0 */
};

struct whole_question {
  size_t demand_count, stock_count;
  const int64_t *demand;      /* at least so many pieces */
  const int64_t *most;        /* per stock: at most so many layouts */
  const cost_t *missing_cost; /* per demand: of a missing piece; above 0 */
  const struct whole_layout *layouts;
  size_t layout_count;
  int64_t steps; /* allowed; set to what was taken */
};

enum whole_answer { WHOLE_FOUND, WHOLE_NONE, WHOLE_UNKNOWN };

/* taken[] is set per layout when found. */
enum whole_answer whole_search(struct arena *arena, struct whole_question *question,
                               int64_t *taken);

#endif
