#include "read/index.h"

#include <stdint.h>

#include "base/text.h"

struct name_index {
  struct arena *arena;
  const char **names;
  size_t count, room;
  struct place *places;
  size_t place_count, place_room;
  size_t *slots; /* number + 1 of the name there, 0 where free; never more than half full */
  size_t slot_count;
};

/* FNV-1a over the bytes with ASCII's case folded. */
static size_t hash(const char *name) {
  uint64_t value = UINT64_C(14695981039346656037);
  for (; *name != '\0'; name++) {
    unsigned char byte = (unsigned char)*name;
    if (byte >= 'A' && byte <= 'Z') byte = (unsigned char)(byte - 'A' + 'a');
    value = (value ^ byte) * UINT64_C(1099511628211);
  }
  return (size_t)(value ^ value >> 32);
}

static void set_slots(struct name_index *index, size_t least) {
  size_t slots = 16;
  while (slots < 2 * least) slots *= 2;
  index->slots = ARENA_ARRAY(index->arena, slots, size_t);
  index->slot_count = slots;
}

struct name_index *name_index_create(struct arena *arena, size_t expected) {
  struct name_index *index = ARENA_NEW(arena, struct name_index);
  index->arena = arena;
  set_slots(index, expected);
  return index;
}

/* The slot that holds the name, or the free one where it belongs. */
static size_t slot_of(const struct name_index *index, const char *name) {
  size_t slot = hash(name) & (index->slot_count - 1);
  while (index->slots[slot] != 0 && !text_equal_fold(index->names[index->slots[slot] - 1], name))
    slot = (slot + 1) & (index->slot_count - 1);
  return slot;
}

size_t name_index_find(const struct name_index *index, const char *name) {
  return index->slots[slot_of(index, name)] - 1;
}

void name_index_add(struct name_index *index, const char *name, const struct place *place) {
  if (2 * (index->count + 1) > index->slot_count) {
    set_slots(index, 2 * (index->count + 1));
    for (size_t i = 0; i < index->count; i++) index->slots[slot_of(index, index->names[i])] = i + 1;
  }
  *ARENA_PUSH(index->arena, index->places, index->place_count, index->place_room) = *place;
  *ARENA_PUSH(index->arena, index->names, index->count, index->room) = name;
  index->slots[slot_of(index, name)] = index->count;
}

const struct place *name_index_place(const struct name_index *index, size_t number) {
  return &index->places[number];
}

const char *const *name_index_names(const struct name_index *index) { return index->names; }

size_t name_index_count(const struct name_index *index) { return index->count; }
