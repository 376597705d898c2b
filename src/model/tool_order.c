#include "model/tool_order.h"

struct waiting {
  const struct step_list *lists;
  size_t count;
  size_t *next; /* of each list */
  bool free;    /* only what frees parts is left */
};

/* The step a list waits with, or NULL: a profile waits for all other lists. */
static const struct step *step_waiting(const struct waiting *waiting, size_t list) {
  if (waiting->next[list] == waiting->lists[list].count) return NULL;
  const struct step *step = waiting->lists[list].steps[waiting->next[list]];
  return step->kind == STEP_PROFILE && !waiting->free ? NULL : step;
}

static size_t wait_for(const struct waiting *waiting, size_t cutter) {
  size_t count = 0;
  for (size_t i = 0; i < waiting->count; i++) {
    const struct step *step = step_waiting(waiting, i);
    if (step != NULL && step->cutter == cutter) count++;
  }
  return count;
}

/* SIZE_MAX when nothing waits. */
static size_t most_waited_for(const struct waiting *waiting) {
  size_t best = SIZE_MAX, best_count = 0;
  for (size_t i = 0; i < waiting->count; i++) {
    const struct step *step = step_waiting(waiting, i);
    if (step == NULL) continue;
    size_t count = wait_for(waiting, step->cutter);
    if (count <= best_count) continue;
    best = step->cutter;
    best_count = count;
  }
  return best;
}

static void do_with(struct waiting *waiting, size_t cutter) {
  for (size_t i = 0; i < waiting->count; i++) {
    for (const struct step *step = step_waiting(waiting, i); step != NULL && step->cutter == cutter;
         step = step_waiting(waiting, i))
      waiting->next[i]++;
  }
}

struct tool_order tool_order_of(struct arena *arena, const struct step_list *lists, size_t count) {
  struct waiting waiting = {lists, count, ARENA_ARRAY(arena, count, size_t), false};
  size_t most = 0;
  for (size_t i = 0; i < count; i++) most += lists[i].count;
  struct tool_order order = {.cutters = ARENA_ARRAY(arena, most, size_t)};
  for (;;) {
    /* The cutter that is in goes on where it can, also into the profiles. */
    size_t cutter = most_waited_for(&waiting);
    if (cutter == SIZE_MAX && waiting.free) break;
    if (cutter == SIZE_MAX) {
      waiting.free = true;
      if (order.count == 0 || wait_for(&waiting, order.cutters[order.count - 1]) == 0) continue;
      cutter = order.cutters[order.count - 1];
    }
    do_with(&waiting, cutter);
    if (order.count == 0 || order.cutters[order.count - 1] != cutter)
      order.cutters[order.count++] = cutter;
  }
  return order;
}
