/* Plans made by hand for the tests of the writers: what is in them is known. */
#ifndef BLANKWRIGHT_TEST_WRITE_FIXTURE_H
#define BLANKWRIGHT_TEST_WRITE_FIXTURE_H

#include "model/plan.h"

struct fixture {
  struct arena *arena;
  struct project *project;
  struct blanks blanks;
  struct plan plan;
};

/* Millimetres. One walnut plank W1 (1830 x 215 x 21, trims 20 and 3, a knot at 640, 60)
 * gives 11 blanks of 292 x 100 for boards of 240 x 72, an offcut of 222 x 100 and waste;
 * two copies of Y2 (2440 x 150 x 21) give 8 blanks and 16 sawn lids (139 x 35 for
 * 138 x 34) each, one of them turned. Kerfs 3. 66.00 an hour of
 * labour. */
void fixture_make_mm(struct arena *arena, struct fixture *fixture);

/* Inches. One cherry plank C1 (48 x 5-1/2 x 1/2, trim of the ends 1/2) gives 6 sides of
 * 12 x 2-1/2 sawn to size; kerfs 1/8. Left over is an offcut of 10-5/8 x 5-1/2. */
void fixture_make_inch(struct arena *arena, struct fixture *fixture);

/* A plank too narrow for the type: `count` pegs of 8 x 6 mm in a row, kerfs 3. */
void fixture_make_tiny(struct arena *arena, struct fixture *fixture, int count);

/* `times` copies of a sheet of 600 x 600 that gives 10 x 10 tiles of 57 x 57 each. */
void fixture_make_large(struct arena *arena, struct fixture *fixture, int64_t times);

/* Every blank is held: its part in the middle, by a hold-down 25 wide, 15 on the wood and 25 beside
 * it on the left, 10 from the front; a tab in the middle of the part's front. Fixed once. */
void fixture_hold(struct fixture *fixture);

#endif
