/* Answers one question about one published instance, and checks the answer. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_ANSWER_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_ANSWER_H

#include "published_sets.h"

enum { FAULT_ROOM = 160 };

/* Plain bytes, so that it can go through a pipe. */
struct published_answer {
  int64_t result, bound; /* value, sheets, or area */
  bool complete;         /* all demands are met; of a knapsack always */
  double used_percent;   /* area of the pieces in that of the sheets used */
  int64_t steps;
  double seconds;         /* of this process, all its threads */
  int64_t peak;           /* KiB of memory of this process */
  char fault[FAULT_ROOM]; /* what is wrong with the answer, or why there is none; else empty */
};

/* effort: thousands of steps. The answer is whole even when `fault` says something. */
void published_answer(const struct instance *instance, enum question question, int64_t effort,
                      struct published_answer *answer);

#endif
