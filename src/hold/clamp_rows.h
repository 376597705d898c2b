/* The integer program over clamp places: one column a place, the rules as rows. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_ROWS_H
#define BLANKWRIGHT_HOLD_CLAMP_ROWS_H

#include "hold/clamp_places.h"
#include "solver/program.h"

/* Rules that can be left out, to learn which of them cannot be kept. */
enum {
  RULE_COVER = 1,     /* 1 */
  RULE_CLEAR_OF = 2,  /* bodies of each other, 2 */
  RULE_OPPOSITE = 4,  /* 3 */
  RULE_BALANCE = 8,   /* 4, of hold-downs opposite */
  RULE_OWNED = 16,    /* 5 */
  RULE_FRICTION = 32, /* 6 */
  RULE_BED = 64,      /* 7 */
  RULES_ALL = 127
};

enum clamp_aim {
  AIM_FEWEST,
  AIM_ANY,      /* the first answer found */
  AIM_SYMMETRY, /* weight about the middles, and of opposite sides alike */
  AIM_FRICTION  /* most force */
};

/* What clamp_rows_solve is to look for. */
struct clamp_asked {
  unsigned rules;
  enum clamp_aim aim;
  enum clamp_kind kind[2]; /* that holds the sides of each axis (left and right are 0) */
  int64_t number;          /* of clamps; -1: any */
  length_t span[2];        /* at most, of the sides of each axis */
};

/* What is asked when nothing is left out; the kinds are still to be set. */
struct clamp_asked asked_in_full(const struct clamp_problem *problem);

struct clamp_found {
  enum program_answer answer;
  bool found;
  double value;               /* what the aim makes least: the number of clamps, how far off the
                                 middles they are in mm, or minus the force */
  struct clamp_place *places; /* sorted by side and start */
  size_t count;
};

/* Chooses among the places of the kinds asked for; in the arena. Nodes are limited, see the
 * source. */
void clamp_rows_solve(struct arena *arena, const struct clamp_problem *problem,
                      const struct clamp_places *places, const struct clamp_asked *asked,
                      struct clamp_found *found);

#endif
