/* What the tests of the optimiser share: a test body with an arena of its own, random
 * numbers, the best layout by trying every cut, and a look at a cut tree that takes its
 * rules from nest/problem.h alone. Lengths are small whole numbers here. */
#ifndef BLANKWRIGHT_TESTS_NEST_FIXTURE_H
#define BLANKWRIGHT_TESTS_NEST_FIXTURE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "nest/cutting.h"
#include "nest/nest.h"

/* A test whose body gets an arena; what is raised on it fails the test. */
struct arena_body {
  void (*body)(struct arena *arena);
};
void run_arena_body(void **state);
#define ARENA_TEST(body) \
  { \
#body, run_arena_body, NULL, NULL, &(struct arena_body) { body } \
  }

/* Random numbers that are the same on every machine. */
void random_start(uint64_t seed);
int64_t random_between(int64_t low, int64_t high);
bool random_chance(int parts, int whole);

/* A stock of the given size with both first cuts allowed, three stages, no other rule,
 * one free piece. */
struct nest_stock plain_stock(length_t length, length_t width, length_t kerf);

/* An option for demand `demand`, with blank number `blank`. */
struct nest_option plain_option(size_t demand, size_t blank, length_t length, length_t width);

enum { MOST_OPTIONS = 5, MOST_FLAWS = 2 };

/* A stock with its options, one demand each, and what they are worth. */
struct random_case {
  struct nest_problem problem;
  struct nest_stock stock;
  struct nest_option options[MOST_OPTIONS];
  struct nest_flaw flaws[MOST_FLAWS];
  int64_t demand[MOST_OPTIONS];
  cost_t worth[MOST_OPTIONS];
};

/* Random sizes, kerfs and worths on at most length x width; 1 to 4 options, any cost of cuts,
 * no rules but `stages`. */
void random_case(struct random_case *random, length_t length, length_t width, int stages);

/* Adds rules at random: rip_min_length, crosscut_capacity. */
void random_rules(struct random_case *random);

/* Allows only one direction for the first cut. */
void random_first_cut(struct random_case *random);

/* Adds one or two flaws, some of which may lie in rims, and rims. */
void random_flaws(struct random_case *random);

void random_case_print(const struct random_case *random);

/* The worth of the best layout of `stock`, sizes at most BRUTE_SIDE, by trying every cut at
 * every whole place. `limit` per demand, NULL or negative for any number. */
enum { BRUTE_SIDE = 20 };
cost_t brute_best(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                  const int64_t *limit, cost_t cut_cost);

/* The same of a rectangle inside it, without limits: the stock's stages are left, the next cut
 * divides `next` (or none is made along it), as behind a cut in the other direction. */
cost_t brute_inside(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                    cost_t cut_cost, enum division next, length_t length, length_t width);

/* What a tree comes to. */
struct tree_look {
  int64_t counts[8]; /* per demand */
  int64_t cuts;
  cost_t worth; /* of the pieces less the cuts */
};

/* NULL when the tree is a layout the stock allows (geometry, kerfs, sizes of pieces, flaws,
 * rules, stages, first cut), else what is wrong with it. `stages` false leaves stages and
 * the first cut out. */
const char *tree_fault(const struct nest_stock *stock, const struct node *root, const cost_t *worth,
                       cost_t cut_cost, bool stages, struct tree_look *look);

void tree_print(const struct node *node, int depth);

/* Fail the test where two trees, or two answers, are not the same. */
void tree_assert_same(const struct node *a, const struct node *b);
void answer_assert_same(const struct nest_answer *a, const struct nest_answer *b);

#endif
