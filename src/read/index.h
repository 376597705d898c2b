/* Names to numbers, with the case of names folded; looking up takes the same time
 * however many there are. The names must outlive the index, which lives in its arena. */
#ifndef BLANKWRIGHT_READ_INDEX_H
#define BLANKWRIGHT_READ_INDEX_H

#include <stddef.h>

#include "base/diagnostics.h"

struct name_index;

/* Room for `expected` names at first; it grows as needed. */
struct name_index *name_index_create(struct arena *arena, size_t expected);

/* The number of a name, or SIZE_MAX. */
size_t name_index_find(const struct name_index *index, const char *name);

/* Adds a name that is not in it yet. The numbers are 0, 1, 2, ... in order of adding.
 * place is where the name stands. */
void name_index_add(struct name_index *index, const char *name, const struct place *place);

/* Where the name of a number stands. */
const struct place *name_index_place(const struct name_index *index, size_t number);

/* All names in order of adding; name_index_count of them. */
const char *const *name_index_names(const struct name_index *index);
size_t name_index_count(const struct name_index *index);

#endif
