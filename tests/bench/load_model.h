/* One load on a raster as a plain integer program, written as a file in the LP format. */
#ifndef BLANKWRIGHT_TESTS_BENCH_LOAD_MODEL_H
#define BLANKWRIGHT_TESTS_BENCH_LOAD_MODEL_H

#include <stdio.h>

#include "hold/load_problem.h"

/* Every length of the problem is a multiple of the raster; hold-downs of one kind at the ends, no
 * two of whose keep-outs overlap in the room. Returns the number of columns. */
size_t write_load_model(const struct load_problem *problem, length_t raster, FILE *file);

#endif
