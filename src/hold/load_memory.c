#include "hold/load_memory.h"

#include <string.h>

/* Numbers of a question that are always there, of each choice of clamp, and of each item. */
enum { FIXED = 24, PER_CHOICE = 8, PER_ITEM = 6, FIRST_SLOTS = 1024 };

struct remembered {
  uint64_t hash;
  const int64_t *question;
  size_t length; /* numbers in it; 0: a free slot */
  enum load_outcome outcome;
  struct load_answer answer;
};

struct load_memory {
  struct arena *arena;
  struct remembered *slots; /* a power of two of them */
  size_t slot_count, used;
};

/* In an arena of its own: whoever asks may release theirs. */
struct load_memory *load_memory_create(struct arena *parent) {
  struct arena *arena = arena_create_child(parent);
  struct load_memory *memory = ARENA_NEW(arena, struct load_memory);
  *memory = (struct load_memory){.arena = arena, .slot_count = FIRST_SLOTS};
  memory->slots = ARENA_ARRAY(arena, FIRST_SLOTS, struct remembered);
  return memory;
}

/* ---- a question as a row of numbers ---- */

/* All that load_fits looks at. */
static size_t write_question(const struct load_problem *problem, int64_t effort, int64_t *to) {
  const struct clamp_problem *hold = &problem->hold;
  size_t n = 0;
  to[n++] = effort;
  to[n++] = problem->gap;
  to[n++] = problem->edge;
  to[n++] = (problem->pushed ? 1 : 0) + (problem->to_refute ? 2 : 0);
  to[n++] = hold->length;
  to[n++] = hold->width;
  to[n++] = hold->bed_length;
  to[n++] = hold->bed_width;
  to[n++] = hold->reach;
  to[n++] = hold->span;
  to[n++] = hold->end;
  to[n++] = hold->mark;
  to[n++] = hold->pitch;
  to[n++] = hold->friction;
  to[n++] = hold->force;
  for (size_t s = 0; s < BED_SIDES; s++)
    to[n++] = (hold->held[s] ? 1 : 0) + (hold->stop[s] ? 2 : 0);
  to[n++] = (int64_t)hold->choice_count;
  to[n++] = (int64_t)problem->item_count;
  for (size_t c = 0; c < hold->choice_count; c++) {
    const struct clamp_choice *choice = &hold->choices[c];
    to[n++] = choice->kind;
    to[n++] = choice->width;
    to[n++] = choice->over;
    to[n++] = choice->beside;
    to[n++] = choice->keep_out;
    to[n++] = choice->count;
    to[n++] = choice->force;
    to[n++] = (int64_t)choice->clamp;
  }
  for (size_t i = 0; i < problem->item_count; i++) {
    const struct load_item *item = &problem->items[i];
    to[n++] = item->length;
    to[n++] = item->width;
    to[n++] = item->turns;
    to[n++] = item->round;
    to[n++] = item->most;
    to[n++] = item->worth;
  }
  return n;
}

static uint64_t hash_of(const int64_t *question, size_t length) {
  uint64_t hash = length;
  for (size_t i = 0; i < length; i++) {
    hash = (hash ^ (uint64_t)question[i]) * UINT64_C(0x9E3779B97F4A7C15);
    hash ^= hash >> 32;
  }
  return hash;
}

/* ---- slots ---- */

/* Where the question stands, or would. */
static struct remembered *find(const struct load_memory *memory, const int64_t *question,
                               size_t length, uint64_t hash) {
  size_t mask = memory->slot_count - 1;
  for (size_t at = (size_t)hash & mask;; at = (at + 1) & mask) {
    struct remembered *slot = &memory->slots[at];
    if (slot->length == 0) return slot;
    if (slot->hash == hash && slot->length == length &&
        memcmp(slot->question, question, length * sizeof *question) == 0)
      return slot;
  }
}

static void grow(struct load_memory *memory) {
  struct load_memory larger = *memory;
  larger.slot_count = 2 * memory->slot_count;
  larger.slots = ARENA_ARRAY(memory->arena, larger.slot_count, struct remembered);
  for (size_t i = 0; i < memory->slot_count; i++) {
    const struct remembered *slot = &memory->slots[i];
    if (slot->length > 0) *find(&larger, slot->question, slot->length, slot->hash) = *slot;
  }
  *memory = larger;
}

static void *copy(struct arena *arena, const void *items, size_t count, size_t size) {
  void *copied = arena_alloc(arena, count, size);
  if (count > 0) memcpy(copied, items, count * size);
  return copied;
}

static void remember(struct load_memory *memory, const int64_t *question, size_t length,
                     uint64_t hash, enum load_outcome outcome, const struct load_answer *answer) {
  if (2 * memory->used >= memory->slot_count) grow(memory);
  struct remembered *slot = find(memory, question, length, hash);
  *slot = (struct remembered){hash, copy(memory->arena, question, length, sizeof *question), length,
                              outcome, *answer};
  if (outcome == LOAD_FOUND) {
    slot->answer.laid = copy(memory->arena, answer->laid, answer->laid_count, sizeof *answer->laid);
    slot->answer.clamps =
        copy(memory->arena, answer->clamps, answer->clamp_count, sizeof *answer->clamps);
  }
  memory->used++;
}

enum load_outcome load_memory_fits(struct load_memory *memory, struct arena *arena,
                                   const struct load_problem *problem, int64_t effort,
                                   struct load_answer *answer) {
  if (memory == NULL) return load_fits(arena, problem, effort, answer);
  int64_t *question = ARENA_ARRAY(
      arena, FIXED + PER_CHOICE * problem->hold.choice_count + PER_ITEM * problem->item_count,
      int64_t);
  size_t length = write_question(problem, effort, question);
  uint64_t hash = hash_of(question, length);
  const struct remembered *known = find(memory, question, length, hash);
  if (known->length > 0) {
    *answer = known->answer;
    return known->outcome;
  }
  enum load_outcome outcome = load_fits(arena, problem, effort, answer);
  remember(memory, question, length, hash, outcome, answer);
  return outcome;
}
