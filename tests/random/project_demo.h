/* The projects in boards/ as random projects are: tables of cells that can be spoilt. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_DEMO_H
#define BLANKWRIGHT_TESTS_PROJECT_DEMO_H

#include "project_maker.h"

enum { DEMOS = 4 };

/* Demo number 0 to DEMOS - 1; its files will be written in this manner, see text_table. */
struct random_project *demo_project(struct arena *arena, size_t demo, uint64_t manner);

#endif
