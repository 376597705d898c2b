/* Arguments of the programs that measure. What is wrong with one ends the program with status 2,
 * after a line on it and the usage. */
#ifndef BLANKWRIGHT_TESTS_BENCH_BENCH_ARGUMENTS_H
#define BLANKWRIGHT_TESTS_BENCH_BENCH_ARGUMENTS_H

#include <stdint.h>

enum { MOST_JOBS = 64, MOST_NUMBER = 1000000 };

/* Prints the usage and that `what`, such as "unknown option", is so of `subject`. */
_Noreturn void refuse_argument(const char *usage, const char *what, const char *subject);

/* A whole number from 1 to `most`, all of `text`; anything else is refused. */
int64_t whole_argument(const char *usage, const char *text, int64_t most);

#endif
