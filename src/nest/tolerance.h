/* Every tolerance of the linear programs. Bounds do not rest on any of them: they are
 * worked out anew in whole numbers from rounded shadow prices. */
#ifndef BLANKWRIGHT_NEST_TOLERANCE_H
#define BLANKWRIGHT_NEST_TOLERANCE_H

#define TOLERANCE_WHOLE 1e-6   /* a value so near a whole number counts as one */
#define TOLERANCE_MONEY 1e-4   /* cents by which a plan must be cheaper to count */
#define TOLERANCE_REDUCED 1e-6 /* cents a column must promise to be taken in */

#endif
