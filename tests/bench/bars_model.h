/* A relaxation of cutting sheets of several sizes, made without any of the optimiser: sheets are
 * sliced into bars one unit thin, lengthwise and crosswise. Every line across a sheet meets pieces
 * whose lengths add up to no more than the sheet's; each piece is met by as many lines as it is
 * wide. Lines along both directions share the pieces that come from a size of sheet, in fractions;
 * the sheets are whole. So it bounds free layouts too, guillotine cuts or not.
 * Source: bar relaxation, Scheithauer, Optimization 45 (1999); flows along a line, Valerio de
 * Carvalho, Annals of Operations Research 86 (1999). */
#ifndef BLANKWRIGHT_TESTS_BENCH_BARS_MODEL_H
#define BLANKWRIGHT_TESTS_BENCH_BARS_MODEL_H

#include <stdbool.h>
#include <stdio.h>

#include "published/instance.h"

enum { BARS_LONGEST = 400 }; /* units: longer sheets make larger programs than are of use */

/* In the LP format; the objective is the cost of the sheets. Without turning pieces. False, nothing
 * written, for a sheet or demand it is not made for. */
bool bars_model_write(const struct instance *instance, FILE *file);

#endif
