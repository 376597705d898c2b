/* The cell that says where the holes of a step are: "20x15; 20x30 to 260x30 by 24". */
#ifndef BLANKWRIGHT_READ_HOLES_H
#define BLANKWRIGHT_READ_HOLES_H

#include "read/cell.h"

/* Items parted by ; or | are places, and rows and fields of places:
 *   PLACE                        along the part's length x across it, from its lower left corner
 *   PLACE to PLACE by LENGTH     a row along one side, both ends included
 *   PLACE to PLACE by LxW        a field of rows, both corners included
 * Fills the step's holes in the order of the cell. `left` is how many the file may still place, and
 * is lowered. False when the cell is empty or a fault was added; the step has no holes then. */
bool cell_holes(struct reader *reader, struct table *table, size_t column, struct step *step,
                int64_t *left);

/* Adds faults where a hole of this diameter does not lie within the part or two are one, a caution
 * where two overlap. */
void check_places_of_holes(struct reader *reader, struct table *table, size_t column,
                           const struct part *part, const struct step *step, length_t diameter);

#endif
