#include "hold/load_seen.h"

#include <string.h>

enum { WORDS_MOST = 1 << 23, SLOTS_LEAST = 256 };

struct load_seen {
  struct arena *arena;
  uint32_t *words; /* each key behind its number of words; 0 is no key */
  size_t used, room;
  uint32_t *slots; /* where a key begins; 0: free */
  size_t slot_count, count;
};

struct load_seen *load_seen_begin(struct arena *arena) {
  struct load_seen *seen = ARENA_NEW(arena, struct load_seen);
  seen->arena = arena;
  seen->room = 4096;
  seen->words = ARENA_ARRAY(arena, seen->room, uint32_t);
  seen->slot_count = SLOTS_LEAST;
  seen->slots = ARENA_ARRAY(arena, seen->slot_count, uint32_t);
  load_seen_clear(seen);
  return seen;
}

void load_seen_clear(struct load_seen *seen) {
  if (seen->count > 0 || seen->used == 0)
    memset(seen->slots, 0, seen->slot_count * sizeof *seen->slots);
  seen->used = 1;
  seen->count = 0;
}

static uint64_t hash_of(const uint32_t *key, size_t words) {
  uint64_t hash = words;
  for (size_t i = 0; i < words; i++) {
    hash = (hash ^ key[i]) * UINT64_C(0x9E3779B97F4A7C15);
    hash ^= hash >> 32;
  }
  return hash;
}

/* The slot of the key, or the free one where it would be. */
static size_t slot_of(const struct load_seen *seen, const uint32_t *key, size_t words) {
  size_t at = hash_of(key, words) & (seen->slot_count - 1);
  while (seen->slots[at] != 0) {
    const uint32_t *other = seen->words + seen->slots[at];
    if (other[0] == words && memcmp(other + 1, key, words * sizeof *key) == 0) return at;
    at = (at + 1) & (seen->slot_count - 1);
  }
  return at;
}

bool load_seen_has(const struct load_seen *seen, const uint32_t *key, size_t words) {
  return seen->slots[slot_of(seen, key, words)] != 0;
}

static void grow_slots(struct load_seen *seen) {
  const uint32_t *old = seen->slots;
  size_t count = seen->slot_count;
  seen->slot_count *= 4;
  seen->slots = ARENA_ARRAY(seen->arena, seen->slot_count, uint32_t);
  for (size_t i = 0; i < count; i++) {
    if (old[i] == 0) continue;
    const uint32_t *key = seen->words + old[i];
    seen->slots[slot_of(seen, key + 1, key[0])] = old[i];
  }
}

void load_seen_add(struct load_seen *seen, const uint32_t *key, size_t words) {
  if (seen->used + words + 1 > seen->room) {
    if (seen->room * 2 > WORDS_MOST) return;
    size_t room = seen->room * 2;
    seen->words = arena_grow(seen->arena, seen->words, seen->used, room, sizeof *seen->words);
    seen->room = room;
  }
  if (2 * (seen->count + 1) > seen->slot_count) grow_slots(seen);
  size_t at = slot_of(seen, key, words);
  if (seen->slots[at] != 0) return;
  seen->slots[at] = (uint32_t)seen->used;
  seen->words[seen->used] = (uint32_t)words;
  memcpy(seen->words + seen->used + 1, key, words * sizeof *key);
  seen->used += words + 1;
  seen->count++;
}
