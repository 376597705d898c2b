/* What the wood of a plan is worth. */
#ifndef BLANKWRIGHT_COST_WOOD_USED_H
#define BLANKWRIGHT_COST_WOOD_USED_H

#include "model/plan.h"

struct wood_used {
  cents_t cash;     /* paid for stock of the yard, whole packs */
  cents_t rack;     /* value of the pieces of the rack that are begun */
  cents_t consumed; /* value of the stock begun, both kinds, less its share by area in the offcuts
                       and leaves that are kept; each leaf bears its share of the plank; to the
                       nearest cent. What a pack leaves over is not begun */
  int64_t pieces;   /* of stock, begun */
};

struct wood_used wood_used_of(const struct project *project, const struct plan *plan);

#endif
