/* Tables over all numbers of pieces from none to so many of each kind: the least that each takes.
 * A table's cell of numbers that are more than wanted stands for those wanted. */
#ifndef BLANKWRIGHT_NEST_COUNT_BOX_H
#define BLANKWRIGHT_NEST_COUNT_BOX_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct count_box {
  size_t kinds;
  const int64_t *most; /* per kind */
  size_t *stride;      /* per kind; of the last 1 */
  size_t cells;
};

/* Not reached. */
#define COUNT_NEVER (INT64_MAX / 4)

/* False where there were more than `cells_most` cells. most[] stays the caller's. */
bool count_box_open(struct arena *arena, size_t kinds, const int64_t *most, size_t cells_most,
                    struct count_box *box);

/* All cells COUNT_NEVER but the first, which is 0. */
int64_t *count_box_table(struct arena *arena, const struct count_box *box);

/* The cell of numbers, each cut to the most. */
size_t count_box_cell(const struct count_box *box, const int64_t *counts);

/* The cell that is left when numbers are taken away, none falling below 0. */
size_t count_box_less(const struct count_box *box, size_t cell, const int64_t *counts);

/* How many of a kind a cell stands for. */
int64_t count_box_count(const struct count_box *box, size_t cell, size_t kind);

/* One step of a dynamic program: to[c] is no more than `adds` and from[c less counts]. Where that
 * is less, choice[c], if there is one, becomes `name`. `from` and `to` may be the same: then the
 * counts are added as often as it pays. Counts are not all 0. */
void count_box_add(const struct count_box *box, const int64_t *from, int64_t *to,
                   const int64_t *counts, int64_t adds, uint32_t *choice, uint32_t name);

#endif
