/* What the fuzz targets share. A target is a source with LLVMFuzzerTestOneInput: linked with
 * libFuzzer it looks for inputs that break it, linked with replay.c it goes through those that are
 * kept in corpus/. What must hold for any input is said by `must`, and ends the program where it
 * does not. */
#ifndef BLANKWRIGHT_TESTS_FUZZ_H
#define BLANKWRIGHT_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* The names are libFuzzer's. The first returns 0; it is given each input. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
/* Changes `size` bytes in place, room for `most`; returns how many there are then. */
size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t most);
/* A target's own way to change an input. */
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed);

#define must(condition) ((condition) ? (void)0 : must_fail(#condition, __FILE__, __LINE__))

static inline _Noreturn void must_fail(const char *condition, const char *file, int line) {
  fprintf(stderr, "%s:%d: does not hold: %s\n", file, line, condition);
  abort();
}

#endif
