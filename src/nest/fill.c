#include "nest/fill.h"

struct filling {
  struct arena *arena;
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  const cost_t *worth;
  const int64_t *limit;
  struct node *root;
  int64_t *counts;
  size_t *order; /* options, the dearest first */
  size_t order_count;
};

static bool touches_flaw(const struct nest_stock *stock, const struct nest_option *option,
                         length_t x, length_t y) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t inset_x = flaw->rim_ok ? option->core_x : 0;
    length_t inset_y = flaw->rim_ok ? option->core_y : 0;
    if (flaw->x < x + option->length - inset_x && flaw->x + flaw->length > x + inset_x &&
        flaw->y < y + option->width - inset_y && flaw->y + flaw->width > y + inset_y)
      return true;
  }
  return false;
}

/* Options by worth, falling; equal ones in order. */
static void sort_options(struct filling *filling) {
  const struct nest_stock *stock = filling->stock;
  filling->order = ARENA_ARRAY(filling->arena, stock->option_count, size_t);
  for (size_t o = 0; o < stock->option_count; o++) {
    cost_t worth = filling->worth[stock->options[o].demand];
    if (worth <= 0) continue;
    size_t slot = filling->order_count++;
    while (slot > 0 && filling->worth[stock->options[filling->order[slot - 1]].demand] < worth) {
      filling->order[slot] = filling->order[slot - 1];
      slot--;
    }
    filling->order[slot] = o;
  }
}

/* Places one option into a waste leaf; false, and the leaf as it was, when it may not. */
static bool place(struct filling *filling, struct node *leaf, const struct nest_option *option,
                  bool rip_first) {
  const struct node before = *leaf;
  cutting_place(filling->arena, leaf, filling->stock, option, rip_first);
  cost_t gain =
      filling->worth[option->demand] - filling->problem->cut_cost * cutting_count_cuts(leaf);
  if (gain > 0 && cutting_obeys(filling->root, &filling->stock->rules)) {
    filling->counts[option->demand]++;
    return true;
  }
  *leaf = before;
  return false;
}

static bool fill_leaf(struct filling *filling, struct node *leaf) {
  for (size_t i = 0; i < filling->order_count; i++) {
    const struct nest_option *option = &filling->stock->options[filling->order[i]];
    if (option->length > leaf->length || option->width > leaf->width) continue;
    if (filling->counts[option->demand] >= filling->limit[option->demand]) continue;
    if (touches_flaw(filling->stock, option, leaf->x, leaf->y)) continue;
    if (place(filling, leaf, option, true) || place(filling, leaf, option, false)) return true;
  }
  return false;
}

static void fill_node(struct filling *filling, struct node *node) {
  if (node->kind == NODE_WASTE && (node->length <= 0 || node->width <= 0)) return;
  if (node->kind == NODE_WASTE && !fill_leaf(filling, node)) return;
  for (size_t i = 0; i < node->child_count; i++) fill_node(filling, &node->children[i]);
}

void fill_waste(struct arena *arena, const struct nest_problem *problem,
                const struct nest_stock *stock, const cost_t *worth, const int64_t *limit,
                struct node *root, int64_t *counts) {
  struct filling filling = {.arena = arena,
                            .problem = problem,
                            .stock = stock,
                            .worth = worth,
                            .limit = limit,
                            .root = root,
                            .counts = counts};
  sort_options(&filling);
  fill_node(&filling, root);
}
