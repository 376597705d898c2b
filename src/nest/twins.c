#include "nest/twins.h"

static bool same_rules(const struct nest_rules *a, const struct nest_rules *b) {
  return a->stages == b->stages && a->crosscut_first == b->crosscut_first &&
         a->rip_first == b->rip_first && a->rip_min_length == b->rip_min_length &&
         a->rip_no_wider_than_long == b->rip_no_wider_than_long &&
         a->rip_capacity == b->rip_capacity && a->crosscut_capacity == b->crosscut_capacity;
}

/* The option of a stock that lies and serves as one of another does; NULL for none. */
static const struct nest_option *same_option(const struct nest_stock *stock,
                                             const struct nest_option *option) {
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *here = &stock->options[o];
    if (here->demand == option->demand && here->length == option->length &&
        here->width == option->width && here->turned == option->turned)
      return here;
  }
  return NULL;
}

static bool are_twins(const struct nest_stock *a, const struct nest_stock *b) {
  if (a->is_leaf || b->is_leaf || a->split_count > 0 || b->split_count > 0) return false;
  if (a->given != NULL || b->given != NULL || a->flaw_count > 0 || b->flaw_count > 0) return false;
  if (a->length != b->length || a->width != b->width || !same_rules(&a->rules, &b->rules))
    return false;
  if (a->cost != b->cost || a->pack > 1 || b->pack > 1) return false;
  for (size_t o = 0; o < b->option_count; o++)
    if (same_option(a, &b->options[o]) == NULL) return false;
  return true;
}

static void rename_pieces(const struct nest_stock *from, const struct nest_stock *to,
                          struct node *node) {
  if (node->kind == NODE_PIECE) {
    for (size_t o = 0; o < from->option_count; o++) {
      const struct nest_option *option = &from->options[o];
      if (option->blank != node->blank || option->turned != node->turned ||
          option->length != node->length || option->width != node->width)
        continue;
      node->blank = same_option(to, option)->blank;
      return;
    }
  }
  for (size_t i = 0; i < node->child_count; i++) rename_pieces(from, to, &node->children[i]);
}

static int64_t used_of(const struct search *search, size_t stock) {
  int64_t used = 0;
  for (size_t u = 0; u < search->best.count; u++)
    if (search->columns->items[search->best.items[u].column].stock == stock)
      used += search->best.items[u].times;
  return used;
}

static void move_use(struct search *search, size_t u, size_t to, int64_t times) {
  const struct nest_problem *problem = search->problem;
  const struct column column = search->columns->items[search->best.items[u].column];
  struct node root = cutting_copy(search->arena, &column.root, 0, 0);
  rename_pieces(&problem->stocks[column.stock], &problem->stocks[to], &root);
  bool added = false;
  size_t moved = columns_add(search->columns, to, &root, column.counts, &added);
  search->best.items[u].times -= times;
  uses_add(search->arena, &search->best, moved, times);
}

void use_earlier_twins(struct search *search) {
  const struct nest_problem *problem = search->problem;
  for (size_t u = 0; u < search->best.count; u++) {
    size_t from = search->columns->items[search->best.items[u].column].stock;
    for (size_t to = 0; to < from; to++) {
      if (!are_twins(&problem->stocks[to], &problem->stocks[from])) continue;
      int64_t spare = nest_stock_most(&problem->stocks[to]) - used_of(search, to);
      int64_t times = search->best.items[u].times < spare ? search->best.items[u].times : spare;
      if (times > 0) move_use(search, u, to, times);
    }
  }
}
