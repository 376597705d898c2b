#include "saw/fence.h"

#include <stdlib.h>

static int compare_fences(const void *left, const void *right) {
  const struct fence *a = left;
  const struct fence *b = right;
  if (a->rip != b->rip) return a->rip ? 1 : -1;
  return (a->keep > b->keep) - (a->keep < b->keep);
}

static struct fence fence_of_peel(const struct peel *peel) {
  return (struct fence){.rip = peel->node->kind == NODE_RIP,
                        .keep = peel->keep,
                        .first = FENCE_QUEUE_END,
                        .last = FENCE_QUEUE_END,
                        .heap_place = FENCE_QUEUE_END};
}

static size_t find_fence(const struct fences *fences, const struct fence *key) {
  if (fences->count == 0) return FENCE_QUEUE_END;
  const struct fence *found =
      bsearch(key, fences->items, fences->count, sizeof *key, compare_fences);
  return found == NULL ? FENCE_QUEUE_END : (size_t)(found - fences->items);
}

static void drop_repeats(struct fences *fences) {
  size_t kept = 0;
  for (size_t i = 1; i < fences->count; i++)
    if (compare_fences(&fences->items[kept], &fences->items[i]) != 0)
      fences->items[++kept] = fences->items[i];
  if (fences->count > 0) fences->count = kept + 1;
}

void fences_of_peels(struct arena *arena, struct peels *peels, size_t count,
                     struct fences *fences) {
  size_t total = 0;
  for (size_t i = 0; i < count; i++) total += peels[i].count;
  *fences =
      (struct fences){.items = ARENA_ARRAY(arena, total, struct fence), .taken = FENCE_QUEUE_END};
  for (size_t i = 0; i < count; i++)
    for (size_t p = 0; p < peels[i].count; p++)
      fences->items[fences->count++] = fence_of_peel(&peels[i].items[p]);
  if (total > 0) qsort(fences->items, total, sizeof *fences->items, compare_fences);
  drop_repeats(fences);
  fences->heap = ARENA_ARRAY(arena, fences->count, size_t);
  for (size_t i = 0; i < count; i++)
    for (size_t p = 0; p < peels[i].count; p++) {
      struct fence key = fence_of_peel(&peels[i].items[p]);
      peels[i].items[p].setting = find_fence(fences, &key);
    }
}

static bool need_never_return(const struct fence *setting) {
  return setting->reachable == setting->left;
}

/* Those that can be worked off for good come first, rips before crosscuts and wide before
 * narrow, so that pieces stay long while they are ripped; else the one with most to do. */
static bool comes_before(const struct fences *fences, size_t left, size_t right) {
  const struct fence *a = &fences->items[left];
  const struct fence *b = &fences->items[right];
  if (need_never_return(a) != need_never_return(b)) return need_never_return(a);
  if (!need_never_return(a) && a->reachable != b->reachable) return a->reachable > b->reachable;
  if (a->rip != b->rip) return a->rip;
  return a->keep > b->keep;
}

static void put(struct fences *fences, size_t place, size_t setting) {
  fences->heap[place] = setting;
  fences->items[setting].heap_place = place;
}

static void sift_up(struct fences *fences, size_t place) {
  size_t setting = fences->heap[place];
  while (place > 0) {
    size_t above = (place - 1) / 2;
    if (!comes_before(fences, setting, fences->heap[above])) break;
    put(fences, place, fences->heap[above]);
    place = above;
  }
  put(fences, place, setting);
}

static void sift_down(struct fences *fences, size_t place) {
  size_t setting = fences->heap[place];
  for (;;) {
    size_t below = 2 * place + 1;
    if (below >= fences->heap_count) break;
    if (below + 1 < fences->heap_count &&
        comes_before(fences, fences->heap[below + 1], fences->heap[below]))
      below++;
    if (!comes_before(fences, fences->heap[below], setting)) break;
    put(fences, place, fences->heap[below]);
    place = below;
  }
  put(fences, place, setting);
}

/* A setting only ever rises while it waits in the heap: cuts are made of the taken one. */
void fences_reached(struct fences *fences, size_t setting) {
  struct fence *item = &fences->items[setting];
  item->reachable++;
  if (setting == fences->taken) return;
  if (item->heap_place == FENCE_QUEUE_END) put(fences, fences->heap_count++, setting);
  sift_up(fences, item->heap_place);
}

static void remove_place(struct fences *fences, size_t place) {
  fences->items[fences->heap[place]].heap_place = FENCE_QUEUE_END;
  fences->heap_count--;
  if (place == fences->heap_count) return;
  put(fences, place, fences->heap[fences->heap_count]);
  sift_down(fences, place);
  sift_up(fences, place);
}

static size_t take(struct fences *fences, size_t setting) {
  remove_place(fences, fences->items[setting].heap_place);
  fences->taken = setting;
  return setting;
}

size_t fences_take(struct fences *fences) {
  if (fences->heap_count == 0) return FENCE_QUEUE_END;
  return take(fences, fences->heap[0]);
}

size_t fences_take_same(struct fences *fences, bool rip, length_t keep) {
  struct fence key = {.rip = rip, .keep = keep};
  size_t found = find_fence(fences, &key);
  if (found == FENCE_QUEUE_END || fences->items[found].heap_place == FENCE_QUEUE_END)
    return FENCE_QUEUE_END;
  return take(fences, found);
}

void fences_worked_off(struct fences *fences) { fences->taken = FENCE_QUEUE_END; }
