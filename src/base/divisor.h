/* Greatest common divisors by Euclid's algorithm. */
#ifndef BLANKWRIGHT_BASE_DIVISOR_H
#define BLANKWRIGHT_BASE_DIVISOR_H

#include <stdint.h>

/* Of two numbers that are 0 or more; of 0 and a number that number. */
static inline int64_t common_divisor(int64_t a, int64_t b) {
  while (b != 0) {
    int64_t rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

#endif
