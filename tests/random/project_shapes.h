/* What a random project may hold, so that none of it can be forgotten by those who make them. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_SHAPES_H
#define BLANKWRIGHT_TESTS_PROJECT_SHAPES_H

#include "project_maker.h"

enum { SHAPES_MOST = 128 };

extern const size_t shape_count; /* at most SHAPES_MOST */

/* Such as "have rack.csv with count". */
const char *shape_name(size_t shape);

/* Adds one for each shape that the project has. */
void shapes_count(const struct random_project *project, uint64_t met[SHAPES_MOST]);

#endif
