/* Sorted lists of pointers. A comparison gets the addresses of two of the pointers. */
#ifndef BLANKWRIGHT_PROOF_ORDER_H
#define BLANKWRIGHT_PROOF_ORDER_H

#include <stddef.h>
#include <stdlib.h>

static inline void sort_pointers(void *pointers, size_t count,
                                 int (*compare)(const void *, const void *)) {
  if (count > 1) qsort(pointers, count, sizeof(void *), compare);
}

/* The place of one that compares equal to `wanted`; `count` when there is none. */
static inline size_t find_pointer(const void *wanted, const void *pointers, size_t count,
                                  int (*compare)(const void *, const void *)) {
  if (count == 0) return 0;
  const char *found = bsearch(&wanted, pointers, count, sizeof(void *), compare);
  return found == NULL ? count : (size_t)(found - (const char *)pointers) / sizeof(void *);
}

#endif
