/* Reading the clampings of a plan.json. */
#ifndef BLANKWRIGHT_PROOF_CLAIM_LOAD_H
#define BLANKWRIGHT_PROOF_CLAIM_LOAD_H

#include "proof/claim.h"
#include "proof/field.h"

/* x, y, length and width under their keys; corner and sizes at least as given. */
struct box claim_read_box(const struct spot *spot, length_t least_corner, length_t least_size);

/* One load of the plan's list, all but what check_loads sets. */
void claim_read_load(const struct spot *spot, struct claim_load *load);

#endif
