/* What is asked of each set of published instances, what it may take, and what is known. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_SETS_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_SETS_H

#include "published/instance.h"

/* K: one sheet, most value. O, R: all demands, fewest sheets, or least area where there are
 * sheets of several sizes or few of them. G: guillotine cuts in any number of stages; F: pieces
 * lie freely. In KO and the O's pieces do not turn, in KR and the R's by a quarter. */
enum question { ASK_KO, ASK_KR, ASK_OG, ASK_RG, ASK_OF, ASK_RF, QUESTIONS };

/* "KO" and so on. */
const char *question_name(enum question question);

/* False when there is no question of that name. */
bool question_find(const char *name, enum question *question);

bool question_is_knapsack(enum question question);
bool question_turns(enum question question);
bool question_is_free(enum question question);

/* Whether this instance of this set is asked this. With `wanted` the caller named the question:
 * then also what the instance's data allow, but a set of the table does not ask. */
bool set_asks(const char *set, const struct instance *instance, enum question question,
              bool wanted);

/* The stated budget, in thousands of steps. */
int64_t set_budget(const char *set, enum question question);

/* The best published answer. False when none is known. */
bool set_best(const char *set, const char *name, enum question question, int64_t *best);

/* The class an instance's best use of area is published for (the length of the class's name at
 * the start of the instance's), and that use in percent. False when none is known. */
bool set_best_use(const char *set, const char *name, size_t *class_length, double *percent);

#endif
