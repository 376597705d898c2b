/* Bounds that need no layout: dual feasible functions on lengths and widths, and large pieces no
 * two of which lie on one sheet. They hold for every plan, guillotine or free.
 *
 * A function f with f(x1) + .. + f(xn) <= f(L) whenever x1 + .. + xn <= L is dual feasible for L.
 * Where u is one for a sheet's length and v for its width, the sum of u(length) v(width) over the
 * pieces on the sheet is at most u(L) v(W). Fekete, Schepers, Math. Program. 91 (2001); the
 * functions: ibid.; Carlier, Clautiaux, Moukrim, Comput. Oper. Res. 34 (2007); Clautiaux, Alves,
 * Valerio de Carvalho, Ann. Oper. Res. 179 (2010). */
#ifndef BLANKWRIGHT_NEST_DUAL_FEASIBLE_H
#define BLANKWRIGHT_NEST_DUAL_FEASIBLE_H

#include "base/arena.h"
#include "nest/problem.h"

/* No complete plan costs less; 0 when nothing is known, INT64_MAX / 4 when what stock there is
 * cannot hold the pieces. Pieces and stock are grown by the kerfs, which is exact for free layouts
 * and true for saw layouts. Units of stock with `given` hold what they give. Cuts are not counted.
 * Whole numbers decide; work stays below some ten million steps. */
cost_t dual_feasible_bound(struct arena *arena, const struct nest_problem *problem);

enum dual_family {
  DUAL_PLAIN, /* x */
  DUAL_ROUND, /* u(k): rounds x down to a multiple of L / (k + 1), stretched; multiples stay */
  DUAL_CLIP,  /* f0(k): nothing below k, all above L - k */
  DUAL_STEP,  /* f2(k): counts whole k, the large pieces from the far end */
  DUAL_SPLIT, /* VB2(k): rounds down to less than a multiple of L / k */
  DUAL_COUNT, /* f1(k): counts pieces of at least k beside the large ones; needs the sizes at hand
               */
  DUAL_FAMILIES
};

/* Sizes at hand for DUAL_COUNT: ascending, each at least k and at most half of L. */
struct dual_sizes {
  const length_t *size;
  size_t count;
};

/* The function's value for 0 < x <= whole, a whole number; of x == whole its greatest. k is at
 * least 1 and, for CLIP and STEP and COUNT, at most whole / 2; at least 2 for SPLIT. */
int64_t dual_value(enum dual_family family, length_t k, length_t whole, length_t x,
                   const struct dual_sizes *sizes);

#endif
