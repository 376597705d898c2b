/* Parts and clamps of one load, placed together. Lengths in 1/8000 mm, places from the load's
 * lower left corner, x to the right, y to the back.
 *
 * What is allowed. Parts lie square to the load. Any two outlines are at least `gap` apart along
 * x or along y, and at least `edge` from every edge of the load; a round counts as its square in
 * both. Against clamps a round is a disc. There are clamps so that every rule of
 * hold/clamp_problem.h holds with the parts laid as its obstacles; a clamp may stand between parts.
 * The worth of the parts laid is to be as large as it can be. Of equal worth: fewer clamps, then
 * the larger empty rectangle. */
#ifndef BLANKWRIGHT_HOLD_LOAD_PROBLEM_H
#define BLANKWRIGHT_HOLD_LOAD_PROBLEM_H

#include "hold/clamp_problem.h"

/* More kinds of parts, or parts in one load, are not laid; the bound minds all. */
enum { LOAD_ITEMS_MOST = 32, LOAD_PARTS_MOST = 64 };

/* A kind of part that may be laid. */
struct load_item {
  length_t length, width; /* finished outline, above 0; a round has length == width */
  bool turns;             /* may lie with its length across */
  bool round;
  int64_t most;  /* copies; 0: none */
  int64_t worth; /* of each, not below 0; the sum of all copies fits */
};

struct load_problem {
  struct clamp_problem hold; /* its obstacles are not looked at */
  length_t gap;              /* between outlines, not below 0 */
  length_t edge;             /* outline to the load's edge, not below 0 */
  const struct load_item *items;
  size_t item_count;
  bool pushed; /* of places anywhere, only those of layouts pushed to the corner are looked at, if
                  they are few: then answers are exact */
  bool to_refute; /* load_fits looks for no layout but those soon at hand: all steps go into showing
                     that there is none */
};

/* A part as it lies: `length` along x. */
struct load_laid {
  size_t item;
  length_t x, y, length, width;
  bool turned;
};

struct load_answer {
  struct load_laid *laid;
  size_t laid_count;
  struct held_clamp *clamps; /* `clamp` is handed through from the choice */
  size_t clamp_count;
  bool held;     /* false: no clamps hold even an empty load, and nothing is laid */
  int64_t worth; /* of what is laid */
  int64_t bound; /* no load of this kind is worth more */
  bool proved;   /* worth == bound */
  int64_t steps; /* used */
};

enum load_outcome { LOAD_FOUND, LOAD_REFUTED, LOAD_OPEN };

#endif
