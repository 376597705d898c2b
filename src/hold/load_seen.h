/* States a search has been through in vain, by their whole key: never mistaken for another. */
#ifndef BLANKWRIGHT_HOLD_LOAD_SEEN_H
#define BLANKWRIGHT_HOLD_LOAD_SEEN_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"

struct load_seen;

/* Empty; lives in the arena. */
struct load_seen *load_seen_begin(struct arena *arena);
void load_seen_clear(struct load_seen *seen);

/* Whether a key `words` long was added. */
bool load_seen_has(const struct load_seen *seen, const uint32_t *key, size_t words);

/* Adds a key `words` long, unless it is there. Once the room is full nothing is added any more. */
void load_seen_add(struct load_seen *seen, const uint32_t *key, size_t words);

#endif
