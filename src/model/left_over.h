/* What is different on the rack once a plan is cut. */
#ifndef BLANKWRIGHT_MODEL_LEFT_OVER_H
#define BLANKWRIGHT_MODEL_LEFT_OVER_H

#include "model/project.h"

/* The copies of one stock of the rack that a plan cuts up, resawn ones among them. */
struct used_stock {
  const char *name;
  const char *fingerprint; /* of the stock when the plan was made, see stock_fingerprint */
  int64_t *copies;         /* in rising order */
  size_t count, room;
};

struct left_over {
  const char *project; /* the plan's */
  const char *plan;    /* sixteen digits that tell this plan from others */
  int64_t sets;
  struct used_stock *used; /* in order of name (strcmp) */
  size_t used_count, used_room;
  /* What joins the rack, in the order of the plan: offcuts, then whole pieces of packs. Their
   * flaws are counted from their own corner; names may be taken on the rack already. */
  struct stock *pieces;
  size_t piece_count, piece_room;
  size_t offcut_count; /* of them, the first ones */
};

#endif
