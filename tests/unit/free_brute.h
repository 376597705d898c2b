/* The least cost of a free plan by trying everything: for a handful of pieces on sheets a few
 * units a side. */
#ifndef BLANKWRIGHT_TESTS_FREE_BRUTE_H
#define BLANKWRIGHT_TESTS_FREE_BRUTE_H

#include "nest/problem.h"

enum { BRUTE_PIECES = 5, BRUTE_STOCKS = 2, BRUTE_OPTIONS = 2 * BRUTE_PIECES, BRUTE_FLAWS = 2 };

struct free_case {
  struct nest_problem problem;
  struct nest_stock stocks[BRUTE_STOCKS];
  struct nest_option options[BRUTE_STOCKS][BRUTE_OPTIONS];
  struct nest_flaw flaws[BRUTE_STOCKS][BRUTE_FLAWS];
  int64_t demand[BRUTE_PIECES];
};

/* Up to BRUTE_PIECES pieces, some alike, some with two ways to lie; one or two kinds of stock, some
 * limited, some flawed; gaps of 0 to 2. Uses the fixture's random numbers. */
void free_case_random(struct free_case *made);

/* -1 when the stock cannot hold the pieces. */
cost_t free_case_least_cost(const struct free_case *given);

/* Fails the test when a piece at (x, y) leaves its stock or lies on a flaw. */
void assert_on_sound_wood(const struct nest_stock *stock, const struct nest_option *option,
                          length_t x, length_t y);

#endif
