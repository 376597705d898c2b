#include "model/tool_order.h"

struct waiting {
  const struct step_list *lists;
  size_t count;
  size_t *next; /* of each list */
  bool free;    /* only what frees parts is left */
  size_t place; /* in the order, of the cutter that is in */
  /* Where what is done at one place is wanted; else no room for it. */
  size_t wanted;
  const struct step **done;
  size_t done_count;
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
         step = step_waiting(waiting, i)) {
      if (waiting->done != NULL && waiting->place == waiting->wanted)
        waiting->done[waiting->done_count++] = step;
      waiting->next[i]++;
    }
  }
}

static size_t steps_in(const struct step_list *lists, size_t count) {
  size_t steps = 0;
  for (size_t i = 0; i < count; i++) steps += lists[i].count;
  return steps;
}

/* Adds the cutters to the order, which has room for one a step. */
static void do_all(struct waiting *waiting, struct tool_order *order) {
  for (;;) {
    /* The cutter that is in goes on where it can, also into the profiles. */
    size_t cutter = most_waited_for(waiting);
    if (cutter == SIZE_MAX && waiting->free) break;
    if (cutter == SIZE_MAX) {
      waiting->free = true;
      if (order->count == 0 || wait_for(waiting, order->cutters[order->count - 1]) == 0) continue;
      cutter = order->cutters[order->count - 1];
    }
    if (order->count == 0 || order->cutters[order->count - 1] != cutter)
      order->cutters[order->count++] = cutter;
    waiting->place = order->count - 1;
    do_with(waiting, cutter);
  }
}

struct tool_order tool_order_of(struct arena *arena, const struct step_list *lists, size_t count) {
  struct waiting waiting = {.lists = lists, .count = count};
  waiting.next = ARENA_ARRAY(arena, count, size_t);
  struct tool_order order = {.cutters = ARENA_ARRAY(arena, steps_in(lists, count), size_t)};
  do_all(&waiting, &order);
  return order;
}

struct step_list tool_order_steps(struct arena *arena, const struct step_list *lists, size_t count,
                                  size_t place) {
  size_t most = steps_in(lists, count);
  struct waiting waiting = {.lists = lists, .count = count, .wanted = place};
  waiting.next = ARENA_ARRAY(arena, count, size_t);
  waiting.done = ARENA_ARRAY(arena, most, const struct step *);
  struct tool_order order = {.cutters = ARENA_ARRAY(arena, most, size_t)};
  do_all(&waiting, &order);
  return (struct step_list){waiting.done, waiting.done_count};
}
