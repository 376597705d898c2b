#include "model/plan.h"

const struct node *layout_split(const struct layout *layout) {
  const struct node *node = &layout->root;
  while (node->kind != NODE_SPLIT) {
    const struct node *inside = NULL;
    for (size_t i = 0; node->trim && i < node->child_count; i++)
      if (node->children[i].kind != NODE_WASTE) inside = &node->children[i];
    if (inside == NULL) return NULL;
    node = inside;
  }
  return node;
}
