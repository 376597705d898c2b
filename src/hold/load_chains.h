/* Chains of clamps along each side of a load, and the sides coupled: the inside of
 * load_clamps.h. */
#ifndef BLANKWRIGHT_HOLD_LOAD_CHAINS_H
#define BLANKWRIGHT_HOLD_LOAD_CHAINS_H

#include "hold/load_clamps.h"

struct load_stand {
  enum bed_side side;
  size_t place;
};

/* Tells of each place what chains ask of it. Takes away places that the coupling at corners does
 * not look at: only with clamps that reach further on the load than others are wide. */
void load_chains_begin(struct load_clamps *clamps);

/* Number of clamps of the best clamping (with `any`: of some clamping), SIZE_MAX when there is
 * none. `stands` has room for LOAD_CLAMPS_MOST, or is NULL. Steps are added to `work`. */
size_t load_chains_couple(const struct load_clamps *clamps, const struct load_open *open, bool any,
                          struct load_stand *stands, int64_t *work);

#endif
