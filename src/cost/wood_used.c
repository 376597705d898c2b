#include "cost/wood_used.h"

#include <math.h>

static double area(length_t length, length_t width) { return (double)length * (double)width; }

/* The area of what is kept of a node. */
static double kept_area(const struct project *project, const struct stock *stock,
                        const struct node *node) {
  if (node->kind == NODE_WASTE)
    return project_keeps(project, stock, node->length, node->width)
               ? area(node->length, node->width)
               : 0;
  double kept = 0;
  for (size_t i = 0; i < node->child_count; i++)
    kept += kept_area(project, stock, &node->children[i]);
  return kept;
}

static double stock_area(const struct stock *stock) { return area(stock->length, stock->width); }

/* What a unit of area of a stock is worth; of a leaf, its share of the plank's. */
static double worth_of(const struct project *project, const struct stock *stock) {
  if (stock->leaves == 0) return (double)stock->value / stock_area(stock);
  const struct stock *plank = &project->stocks[stock->leaf_of];
  return (double)plank->value / stock_area(plank) / (double)stock->leaves;
}

/* Leaves that a plan makes and does not cut. */
static double spare_leaves(const struct plan *plan, size_t leaf, const struct stock *stock) {
  int64_t spare = 0;
  for (size_t i = 0; i < plan->layout_count; i++) {
    const struct layout *layout = &plan->layouts[i];
    const struct node *split = layout_split(layout);
    if (split != NULL && split->blank == leaf) spare += layout->times * stock->leaves;
    if (layout->stock == leaf) spare -= layout->times;
  }
  return spare > 0 ? (double)spare : 0;
}

/* What the offcuts that are kept are worth, and leaves that are left. */
static double kept_worth(const struct project *project, const struct plan *plan) {
  double kept = 0;
  for (size_t i = 0; i < plan->layout_count; i++) {
    const struct layout *layout = &plan->layouts[i];
    const struct stock *stock = &project->stocks[layout->stock];
    kept +=
        (double)layout->times * worth_of(project, stock) * kept_area(project, stock, &layout->root);
  }
  for (size_t s = 0; s < project->stock_count; s++) {
    const struct stock *stock = &project->stocks[s];
    if (stock->leaves > 0)
      kept += spare_leaves(plan, s, stock) * worth_of(project, stock) * stock_area(stock);
  }
  return kept;
}

struct wood_used wood_used_of(const struct project *project, const struct plan *plan) {
  struct wood_used used = {0, 0, 0, 0};
  cents_t begun = 0;
  for (size_t i = 0; i < plan->purchase_count; i++) {
    const struct purchase *purchase = &plan->purchases[i];
    const struct stock *stock = &project->stocks[purchase->stock];
    *(stock->source == SOURCE_RACK ? &used.rack : &used.cash) += purchase->cost;
    begun += purchase->used * stock->value;
    if (stock->leaves == 0) used.pieces += purchase->used;
  }
  used.consumed = begun - llround(kept_worth(project, plan));
  return used;
}
