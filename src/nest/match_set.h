/* One set of a match from one piece of stock, asked apart from all else: with none but its members
 * the question is small, and mostly has an answer. */
#ifndef BLANKWRIGHT_NEST_MATCH_SET_H
#define BLANKWRIGHT_NEST_MATCH_SET_H

#include "nest/pricer.h"

enum set_answer {
  SET_HELD,    /* there is a layout with it */
  SET_REFUTED, /* no allowed layout holds it */
  SET_OPEN     /* not known after the steps */
};

/* Whether a stock that is cut holds a set of problem->matches[match]. About `steps` of work; what
 * it took is added to *taken. Where it does, *root is such a layout, which holds nothing else, and
 * counts[] are its pieces per demand (given by the caller); the tree is made in `arena`. */
enum set_answer match_set_lay(struct arena *arena, const struct nest_problem *problem, size_t stock,
                              size_t match, int64_t steps, int64_t *taken, struct node *root,
                              int64_t *counts);

/* Whether it is shown of every stock that is cut that no allowed layout of it holds a set of the
 * match, with about `steps` of work for each. */
bool match_set_is_refuted(struct arena *arena, const struct nest_problem *problem, size_t match,
                          int64_t steps);

#endif
