#include "nest_workshop.h"

#include <strings.h>

#include "size/size.h"

void workshop_open(struct arena *arena, struct workshop *workshop) {
  memset(workshop, 0, sizeof *workshop);
  workshop->arena = arena;
  workshop->diagnostics = diagnostics_create(arena);
  struct project *project = &workshop->project;
  project->parts = workshop->parts;
  project->stocks = workshop->stocks;
  shop_set_defaults(arena, &project->shop, UNIT_MM);
  project->shop.kerf_crosscut = MM(3);
  project->shop.kerf_rip = MM(3);
  project->shop.saw_allowance = 0;
  project->shop.mark_step = MM(1);
  project->shop.flaw_margin = 0;
  project->shop.split_margin = 0;
  project->shop.labour_rate = 0;
  project->shop.saw_stages = 3;
  project->shop.rip_min_length = MM(300);
}

struct part *workshop_part(struct workshop *workshop, const char *name, int64_t per_set,
                           int64_t length, int64_t width) {
  struct part *part = &workshop->parts[workshop->project.part_count++];
  *part = (struct part){.name = name,
                        .per_set = per_set,
                        .length = MM(length),
                        .width = MM(width),
                        .thickness = MM(20),
                        .grain = GRAIN_ALONG,
                        .way = WAY_SAW,
                        .faced = FACED_NONE,
                        .tabs = -1,
                        .fit = -1};
  return part;
}

struct stock *workshop_plank(struct workshop *workshop, const char *name, enum source source,
                             int64_t length, int64_t width, int64_t count, cents_t value) {
  struct stock *stock = &workshop->stocks[workshop->project.stock_count++];
  *stock = (struct stock){.name = name,
                          .kind = STOCK_PLANK,
                          .source = source,
                          .wood = "maple",
                          .length = MM(length),
                          .width = MM(width),
                          .thickness = MM(20),
                          .count = count,
                          .value = value,
                          .price = value,
                          .pack = 1,
                          .surface = SURFACE_PLANED};
  return stock;
}

struct flaw *workshop_flaw(struct workshop *workshop, int64_t copy, int64_t x, int64_t y,
                           int64_t length, int64_t width) {
  struct stock *stock = &workshop->stocks[workshop->project.stock_count - 1];
  struct flaw *flaw =
      ARENA_PUSH(workshop->arena, stock->flaws, stock->flaw_count, stock->flaw_room);
  *flaw = (struct flaw){copy, MM(x), MM(y), MM(length), MM(width), "knot", false};
  return flaw;
}

enum status workshop_plan(struct workshop *workshop, const struct nest_run_options *options,
                          struct plan *plan) {
  struct diagnostics *sizing = diagnostics_create(workshop->arena);
  size_blanks(workshop->arena, &workshop->project, sizing, &workshop->blanks);
  return nest_run(workshop->arena, &workshop->project, &workshop->blanks, options,
                  workshop->diagnostics, plan);
}

/* ---- checks ---- */

static int64_t cuts_in(const struct node *node) {
  int64_t cuts = node->child_count > 0 ? (int64_t)node->child_count - 1 : 0;
  for (size_t i = 0; i < node->child_count; i++) cuts += cuts_in(&node->children[i]);
  return cuts;
}

static bool is_split(const struct flaw *flaw) { return strcasecmp(flaw->what, "split") == 0; }

static void check_flaws(const struct workshop *workshop, const struct layout *layout,
                        const struct node *piece) {
  const struct stock *stock = &workshop->stocks[layout->stock];
  const struct shop *shop = &workshop->project.shop;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct flaw *flaw = &stock->flaws[f];
    length_t beyond = is_split(flaw) ? shop->split_margin : shop->flaw_margin;
    bool of_copy = flaw->copy == 0 || (flaw->copy >= layout->first_copy &&
                                       flaw->copy < layout->first_copy + layout->times);
    bool touches = flaw->x - beyond < piece->x + piece->length &&
                   piece->x < flaw->x + flaw->length + beyond &&
                   flaw->y - shop->flaw_margin < piece->y + piece->width &&
                   piece->y < flaw->y + flaw->width + shop->flaw_margin;
    assert_false(of_copy && touches && !flaw->rim_ok);
  }
}

static void check_pieces(const struct workshop *workshop, const struct layout *layout,
                         const struct node *node, int64_t *made) {
  for (size_t i = 0; i < node->child_count; i++)
    check_pieces(workshop, layout, &node->children[i], made);
  if (node->kind != NODE_PIECE) return;
  const struct stock *stock = &workshop->stocks[layout->stock];
  const struct blank *blank = &workshop->blanks.items[node->blank];
  assert_int_equal(blank->stock, layout->stock);
  assert_int_equal(node->length, node->turned ? blank->width : blank->length);
  assert_int_equal(node->width, node->turned ? blank->length : blank->width);
  assert_true(node->turned ? blank->may_lie_turned : blank->may_lie_straight);
  assert_true(node->x >= stock->trim_ends && node->y >= stock->trim_edges);
  assert_true(node->x + node->length <= stock->length - stock->trim_ends);
  assert_true(node->y + node->width <= stock->width - stock->trim_edges);
  check_flaws(workshop, layout, node);
  made[blank->part] += layout->times;
}

static void check_demand(struct workshop *workshop, const struct plan *plan) {
  int64_t made[WORKSHOP_MOST] = {0};
  for (size_t l = 0; l < plan->layout_count; l++) {
    const struct layout *layout = &plan->layouts[l];
    assert_true(layout->times > 0);
    assert_int_equal(layout->root.length, workshop->stocks[layout->stock].length);
    assert_int_equal(layout->root.width, workshop->stocks[layout->stock].width);
    assert_int_equal(layout->cuts, cuts_in(&layout->root));
    check_pieces(workshop, layout, &layout->root, made);
  }
  for (size_t u = 0; u < plan->unplaced_count; u++) {
    assert_true(plan->unplaced[u].missing > 0);
    assert_non_null(plan->unplaced[u].why);
    made[plan->unplaced[u].part] += plan->unplaced[u].missing;
  }
  for (size_t p = 0; p < workshop->project.part_count; p++)
    assert_int_equal(made[p], plan->needed[p]);
}

/* No copy is cut twice; returns how many pieces of a stock are cut. */
static int64_t check_copies(const struct workshop *workshop, const struct plan *plan, size_t s) {
  int64_t used = 0;
  for (size_t l = 0; l < plan->layout_count; l++) {
    const struct layout *one = &plan->layouts[l];
    if (one->stock != s) continue;
    used += one->times;
    assert_true(one->first_copy >= 1);
    if (workshop->stocks[s].count >= 0)
      assert_true(one->first_copy + one->times - 1 <= workshop->stocks[s].count);
    for (size_t m = 0; m < l; m++) {
      const struct layout *other = &plan->layouts[m];
      bool apart = one->first_copy >= other->first_copy + other->times ||
                   other->first_copy >= one->first_copy + one->times;
      assert_true(other->stock != s || apart);
    }
  }
  return used;
}

static const struct purchase *purchase_of(const struct plan *plan, size_t stock) {
  const struct purchase *found = NULL;
  for (size_t i = 0; i < plan->purchase_count; i++) {
    if (plan->purchases[i].stock != stock) continue;
    assert_null(found);
    found = &plan->purchases[i];
  }
  return found;
}

static cents_t check_purchase(const struct workshop *workshop, const struct plan *plan, size_t s) {
  const struct stock *stock = &workshop->stocks[s];
  const struct purchase *purchase = purchase_of(plan, s);
  int64_t used = check_copies(workshop, plan, s);
  if (used == 0) {
    assert_null(purchase);
    return 0;
  }
  assert_non_null(purchase);
  int64_t bought = 0;
  while (stock->source == SOURCE_YARD && bought < used) bought += stock->pack;
  assert_int_equal(purchase->used, used);
  assert_int_equal(purchase->bought, bought);
  assert_int_equal(purchase->cost, stock->value * (bought > 0 ? bought : used));
  return purchase->cost;
}

void workshop_check(struct workshop *workshop, const struct plan *plan) {
  cents_t stock = 0;
  int64_t cuts = 0;
  check_demand(workshop, plan);
  for (size_t s = 0; s < workshop->project.stock_count; s++)
    stock += check_purchase(workshop, plan, s);
  for (size_t l = 0; l < plan->layout_count; l++)
    cuts += plan->layouts[l].cuts * plan->layouts[l].times;
  /* thousandths of a minute times cents an hour, a cent begun is a cent */
  int64_t fine = cuts * workshop->project.shop.saw_cut_min * workshop->project.shop.labour_rate;
  assert_int_equal(plan->cost.stock, stock);
  assert_int_equal(plan->cost.handling, (fine + 59999) / 60000);
  assert_int_equal(plan->cost.total, plan->cost.stock + plan->cost.handling);
  assert_true(plan->cost.bound <= plan->cost.total);
  if (plan->cost.proved) assert_int_equal(plan->cost.bound, plan->cost.total);
}

void workshop_assert_same(const struct plan *a, const struct plan *b) {
  assert_int_equal(a->cost.total, b->cost.total);
  assert_int_equal(a->cost.bound, b->cost.bound);
  assert_int_equal(a->steps, b->steps);
  assert_int_equal(a->layout_count, b->layout_count);
  for (size_t l = 0; l < a->layout_count; l++) {
    assert_int_equal(a->layouts[l].stock, b->layouts[l].stock);
    assert_int_equal(a->layouts[l].first_copy, b->layouts[l].first_copy);
    assert_int_equal(a->layouts[l].times, b->layouts[l].times);
    tree_assert_same(&a->layouts[l].root, &b->layouts[l].root);
  }
}
