/* Random loads of parts and clamps as a small shop has them. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_LOAD_MAKER_H
#define BLANKWRIGHT_TESTS_RANDOM_LOAD_MAKER_H

#include "hold/load_problem.h"

struct made_load {
  struct load_problem problem;
  struct load_item items[LOAD_ITEMS_MOST];
  struct clamp_choice choices[4];
  int parts;
  double offered; /* area of all parts, grown by the gap, to the room's */
};

enum made_kind {
  MADE_BENCH, /* hold-downs at 25 mm on a load of 300 x 200 */
  MADE_PLAIN, /* the same without rounds */
  MADE_WILD,  /* anything goes: loads, clamps, stops, pitches, sizes */
  MADE_SMALL  /* few parts on a coarse grid, for exhaustive search */
};

/* The same seed makes the same load. The problem points into *made. */
void make_load(struct made_load *made, enum made_kind kind, uint64_t seed);

#endif
