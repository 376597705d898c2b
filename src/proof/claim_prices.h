/* Reading what a plan claims its run costs and brings at every quantity. */
#ifndef BLANKWRIGHT_PROOF_CLAIM_PRICES_H
#define BLANKWRIGHT_PROOF_CLAIM_PRICES_H

#include "proof/claim.h"
#include "proof/field.h"

/* The object under the key "price"; lives in the proof's arena. NULL, with a fault, where there is
 * none. */
struct claim_prices *claim_read_prices(const struct spot *top);

#endif
