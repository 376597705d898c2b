/* Chains of clamps along each side of a load, and the sides coupled: the inside of
 * load_clamps.h. */
#ifndef BLANKWRIGHT_HOLD_LOAD_CHAINS_H
#define BLANKWRIGHT_HOLD_LOAD_CHAINS_H

#include "hold/load_clamps.h"

enum { LOAD_OPTIONS_MOST = 256 }; /* classes of chains along one side */

struct load_stand {
  enum bed_side side;
  size_t place;
};

/* Number of clamps of the best clamping (with `any`: of some clamping), SIZE_MAX when there is
 * none. `stands` has room for LOAD_CLAMPS_MOST, or is NULL. Steps are added to `work`. */
size_t load_chains_couple(const struct load_clamps *clamps, const struct load_open *open, bool any,
                          struct load_stand *stands, int64_t *work);

#endif
