/* A problem on a grid: every layout of a stock has one of the same pieces on the grid, so what
 * holds of all layouts there holds of all layouts. It has fewer places to look at.
 *
 * A place x falls to the grid line below it. A piece, its kerf behind it, then takes at least so
 * many lines as its grown size has whole meshes, kerfs take none, and a flaw keeps the meshes that
 * neither a piece before it nor one behind it can reach. A strip and the pieces in it lose the
 * same, so pieces that fill a strip still do. Of the saw's rules those for single cuts are left
 * out. */
#ifndef BLANKWRIGHT_NEST_COARSE_H
#define BLANKWRIGHT_NEST_COARSE_H

#include "base/arena.h"
#include "nest/problem.h"

/* The problem with stock `stock` on a grid of at most about so many cells, whose meshes are the
 * same part of a piece's mean size each way; cuts cost nothing. Lengths of that stock are numbers
 * of meshes. NULL where it would not be coarser. */
const struct nest_problem *coarse_problem(struct arena *arena, const struct nest_problem *problem,
                                          size_t stock, int64_t cells);

#endif
