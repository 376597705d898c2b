#include "saw/extents.h"

#include <stdlib.h>

length_t extents_start(const struct node *node, bool rip) { return rip ? node->y : node->x; }

length_t extents_size(const struct node *node, bool rip) {
  return rip ? node->width : node->length;
}

bool extents_is_waste(const struct node *child, bool rip) {
  return child->kind == NODE_WASTE || extents_size(child, rip) <= 0;
}

static bool is_cut(const struct node *node) {
  return node->kind == NODE_CROSSCUT || node->kind == NODE_RIP;
}

struct node_stack {
  struct waiting {
    const struct node *node;
  } * items;
  size_t count, room;
};

static void push_node(struct arena *arena, struct node_stack *stack, const struct node *node) {
  struct waiting *waiting = ARENA_PUSH(arena, stack->items, stack->count, stack->room);
  waiting->node = node;
}

/* Trees may be as deep as they have pieces, so they are walked without recursion. */
void extents_add(struct arena *arena, struct extents *extents, const struct node *root,
                 int64_t times) {
  struct node_stack stack = {0};
  push_node(arena, &stack, root);
  while (stack.count > 0) {
    const struct node *node = stack.items[--stack.count].node;
    if (!is_cut(node)) continue;
    bool rip = node->kind == NODE_RIP;
    for (size_t c = 0; c < node->child_count; c++) {
      const struct node *child = &node->children[c];
      if (!extents_is_waste(child, rip)) {
        struct extent *added = ARENA_PUSH(arena, extents->items, extents->count, extents->room);
        *added = (struct extent){rip, extents_size(child, rip), times};
      }
      if (is_cut(child)) push_node(arena, &stack, child);
    }
  }
}

static int compare_extents(const void *left, const void *right) {
  const struct extent *a = left;
  const struct extent *b = right;
  if (a->rip != b->rip) return a->rip ? 1 : -1;
  return (a->size > b->size) - (a->size < b->size);
}

void extents_sort(struct extents *extents) {
  if (extents->count == 0) return;
  qsort(extents->items, extents->count, sizeof *extents->items, compare_extents);
  size_t kept = 0;
  for (size_t i = 1; i < extents->count; i++) {
    if (compare_extents(&extents->items[kept], &extents->items[i]) == 0)
      extents->items[kept].times += extents->items[i].times;
    else
      extents->items[++kept] = extents->items[i];
  }
  extents->count = kept + 1;
}

int64_t extents_times(const struct extents *extents, bool rip, length_t size) {
  struct extent key = {rip, size, 0};
  if (extents->count == 0) return 0;
  const struct extent *found =
      bsearch(&key, extents->items, extents->count, sizeof key, compare_extents);
  return found == NULL ? 0 : found->times;
}
