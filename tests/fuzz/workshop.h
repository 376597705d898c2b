/* A small project folder of a target's own, of which single files are written anew for each
 * input. It is removed when the program ends. */
#ifndef BLANKWRIGHT_TESTS_FUZZ_WORKSHOP_H
#define BLANKWRIGHT_TESTS_FUZZ_WORKSHOP_H

#include <stddef.h>

/* The folder, made by the first call with every input file in it: parts of every way, stock of
 * every kind, flaws, clamps, steps, money. Below TMPDIR or /tmp. */
const char *workshop_folder(void);

/* Writes a file of the folder anew. `file` is a plain name. */
void workshop_put(const char *file, const void *bytes, size_t size);

#endif
