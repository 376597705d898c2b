/* The terms a run is priced on. */
#ifndef BLANKWRIGHT_COST_PRICE_TERMS_H
#define BLANKWRIGHT_COST_PRICE_TERMS_H

#include "base/arena.h"
#include "model/price.h"

/* From the shop's labour rate and the project's money; past sales are copied into the arena. */
struct price_terms price_terms_of(struct arena *arena, const struct project *project);

#endif
