#include "validate.h"

#include <inttypes.h>
#include <stdarg.h>

struct check {
  FILE *report;
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  size_t layout; /* the one being looked at */
  int faults;
  int64_t *counts; /* pieces per demand in this layout */
  int64_t cuts;
};

/* The path from the usable rectangle down to a node. */
struct path {
  int runs;            /* changes of direction so far, the first cut included */
  enum node_kind last; /* direction of the last cut, NODE_WASTE when there was none */
  bool lone_run;       /* the present run of cuts began with one piece in it, and so only trims */
};

static void __attribute__((format(printf, 2, 3)))
fault(struct check *check, const char *format, ...) {
  check->faults++;
  fprintf(check->report, "layout %zu: ", check->layout);
  va_list list;
  va_start(list, format);
  vfprintf(check->report, format, list);
  va_end(list);
  fputc('\n', check->report);
}

static int64_t pieces_in(const struct node *node) {
  if (node->kind == NODE_PIECE) return 1;
  int64_t pieces = 0;
  for (size_t i = 0; i < node->child_count; i++) pieces += pieces_in(&node->children[i]);
  return pieces;
}

static bool overlap(length_t a, length_t a_size, length_t b, length_t b_size) {
  return a < b + b_size && b < a + a_size;
}

/* No flaw may touch the piece; one that may lie in a rim may not touch the core. */
static bool on_flaw(const struct nest_stock *stock, const struct node *node,
                    const struct nest_option *option) {
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &stock->flaws[i];
    length_t rim_x = flaw->rim_ok ? option->core_x : 0;
    length_t rim_y = flaw->rim_ok ? option->core_y : 0;
    if (overlap(node->x + rim_x, node->length - 2 * rim_x, flaw->x, flaw->length) &&
        overlap(node->y + rim_y, node->width - 2 * rim_y, flaw->y, flaw->width))
      return true;
  }
  return false;
}

static void check_piece(struct check *check, const struct node *node, const struct path *path) {
  const struct nest_stock *stock = check->stock;
  if (node->child_count != 0) fault(check, "a piece with children");
  const struct nest_option *found = NULL;
  for (size_t i = 0; i < stock->option_count && found == NULL; i++) {
    const struct nest_option *option = &stock->options[i];
    if (option->blank == node->blank && option->turned == node->turned &&
        option->length == node->length && option->width == node->width)
      found = option;
  }
  if (found == NULL) {
    fault(check, "no option is a %" PRId64 " x %" PRId64 " piece of blank %zu", node->length,
          node->width, node->blank);
    return;
  }
  check->counts[found->demand]++;
  if (on_flaw(stock, node, found))
    fault(check, "a flaw touches the piece at %" PRId64 ", %" PRId64, node->x, node->y);
  int stages = path->runs - (path->lone_run ? 1 : 0);
  if (stock->rules.stages > 0 && stages > stock->rules.stages)
    fault(check, "the piece at %" PRId64 ", %" PRId64 " takes %d stages of %d", node->x, node->y,
          stages, stock->rules.stages);
}

/* Where the cuts of a rip lie is given, their order is free. Each leaves one side no
 * wider than `limit`; so one strip at most may be wider, and it is freed last. */
static void check_narrower(struct check *check, const struct node *node, length_t limit,
                           length_t behind) {
  int wide = behind > limit ? 1 : 0;
  for (size_t i = 0; i < node->child_count; i++) wide += node->children[i].width > limit ? 1 : 0;
  if (wide > 1)
    fault(check, "a rip at %" PRId64 ", %" PRId64 " leaves two strips wider than %" PRId64, node->x,
          node->y, limit);
}

/* `behind` is what is left behind the last child and its kerf. */
static void check_rules(struct check *check, const struct node *node, length_t behind) {
  const struct nest_rules *rules = &check->stock->rules;
  if (node->kind == NODE_CROSSCUT) {
    if (rules->crosscut_capacity > 0 && node->width > rules->crosscut_capacity)
      fault(check, "a crosscut of a piece %" PRId64 " wide", node->width);
    return;
  }
  if (node->length < rules->rip_min_length)
    fault(check, "a rip of a piece %" PRId64 " long", node->length);
  if (rules->rip_no_wider_than_long) check_narrower(check, node, node->length, behind);
  if (rules->rip_capacity > 0) check_narrower(check, node, rules->rip_capacity, behind);
}

static void check_node(struct check *check, const struct node *node, struct path path);

/* A last strip of waste without extent only marks where the kerf runs out of the wood. */
static size_t solid_children(const struct node *node) {
  size_t count = node->child_count;
  if (count == 0) return 0;
  const struct node *last = &node->children[count - 1];
  length_t extent = node->kind == NODE_CROSSCUT ? last->length : last->width;
  return last->kind == NODE_WASTE && extent == 0 ? count - 1 : count;
}

/* Children follow each other at a kerf's distance; returns what is left behind the last
 * solid one, negative when it reaches past the end. */
static length_t check_children(struct check *check, const struct node *node, length_t kerf) {
  bool crosscut = node->kind == NODE_CROSSCUT;
  length_t at = crosscut ? node->x : node->y;
  length_t end = at + (crosscut ? node->length : node->width);
  length_t left = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    if (i > 0) at += kerf;
    if ((crosscut ? child->x : child->y) != at ||
        (crosscut ? child->y : child->x) != (crosscut ? node->y : node->x))
      fault(check, "child %zu of the cut at %" PRId64 ", %" PRId64 " lies elsewhere", i, node->x,
            node->y);
    if ((crosscut ? child->width : child->length) != (crosscut ? node->width : node->length))
      fault(check, "child %zu of the cut at %" PRId64 ", %" PRId64 " is not cut edge to edge", i,
            node->x, node->y);
    at += crosscut ? child->length : child->width;
    if (i < solid_children(node)) left = end - at;
  }
  return left;
}

static void check_cut(struct check *check, const struct node *node, struct path path) {
  const struct nest_stock *stock = check->stock;
  length_t kerf = node->kind == NODE_CROSSCUT ? stock->kerf_crosscut : stock->kerf_rip;
  if (solid_children(node) == 0) {
    fault(check, "a cut that leaves nothing");
    return;
  }
  length_t left = check_children(check, node, kerf);
  if (left < 0)
    fault(check, "the parts of the cut at %" PRId64 ", %" PRId64 " do not fit", node->x, node->y);
  int64_t cuts = (int64_t)solid_children(node) - (left == 0 ? 1 : 0);
  if (cuts == 0) fault(check, "a cut at %" PRId64 ", %" PRId64 " cuts nothing", node->x, node->y);
  check->cuts += cuts;
  check_rules(check, node, left > kerf ? left - kerf : 0);
  const struct nest_rules *rules = &stock->rules;
  if (path.last == NODE_WASTE &&
      !(node->kind == NODE_CROSSCUT ? rules->crosscut_first : rules->rip_first))
    fault(check, "the first cut runs the wrong way");
  if (path.last != node->kind) {
    path.last = node->kind;
    path.runs++;
    path.lone_run = pieces_in(node) == 1;
  }
  for (size_t i = 0; i < node->child_count; i++) check_node(check, &node->children[i], path);
}

static void check_node(struct check *check, const struct node *node, struct path path) {
  if (node->length < 0 || node->width < 0) fault(check, "a node of negative size");
  switch (node->kind) {
    case NODE_WASTE:
      if (node->child_count != 0) fault(check, "waste with children");
      break;
    case NODE_PIECE:
      check_piece(check, node, &path);
      break;
    case NODE_CROSSCUT:
    case NODE_RIP:
      check_cut(check, node, path);
      break;
    default:
      fault(check, "a node of no kind");
  }
}

/* A unit of stock that is not cut. */
static void check_ready(struct check *check, const struct nest_layout *layout) {
  for (size_t d = 0; d < check->problem->demand_count; d++) {
    check->counts[d] = check->stock->given[d];
    if (layout->counts[d] != check->counts[d]) fault(check, "other pieces than lie ready");
  }
  check->cuts = 0;
  if (layout->times < 1) fault(check, "taken %" PRId64 " times", layout->times);
  if (layout->cuts != 0) fault(check, "a cut in what lies ready");
}

static void check_layout(struct check *check, const struct nest_layout *layout) {
  const struct nest_stock *stock = check->stock;
  const struct node *root = &layout->root;
  if (layout->times < 1) fault(check, "cut %" PRId64 " times", layout->times);
  if (root->x != 0 || root->y != 0 || root->length != stock->length || root->width != stock->width)
    fault(check, "its root is not the usable rectangle");
  check->cuts = 0;
  int64_t pieces = 0;
  for (size_t d = 0; d < check->problem->demand_count; d++) check->counts[d] = 0;
  check_node(check, root, (struct path){.last = NODE_WASTE});
  for (size_t d = 0; d < check->problem->demand_count; d++) {
    pieces += check->counts[d];
    if (layout->counts[d] != check->counts[d])
      fault(check, "counts say %" PRId64 " of demand %zu, the tree has %" PRId64, layout->counts[d],
            d, check->counts[d]);
  }
  if (pieces == 0) fault(check, "nothing is cut from it");
  if (layout->cuts != check->cuts)
    fault(check, "says %" PRId64 " cuts, the tree has %" PRId64, layout->cuts, check->cuts);
}

/* Whole packs are paid for, but only what is used is trimmed. */
static void check_stocks(struct check *check, const int64_t *used, cost_t handling, cost_t cost) {
  for (size_t s = 0; s < check->problem->stock_count; s++) {
    const struct nest_stock *stock = &check->problem->stocks[s];
    if (stock->count >= 0 && used[s] > stock->count)
      fault(check, "stock %zu: %" PRId64 " used of %" PRId64, s, used[s], stock->count);
    int64_t packs = (used[s] + stock->pack - 1) / stock->pack;
    handling += packs * stock->pack * (stock->cost - stock->trim_cost);
    handling += used[s] * stock->trim_cost;
  }
  if (handling != cost)
    fault(check, "cost says %" PRId64 ", the layouts come to %" PRId64, cost, handling);
}

static void check_demand(struct check *check, const struct nest_answer *answer,
                         const int64_t *placed) {
  bool met = true;
  for (size_t d = 0; d < check->problem->demand_count; d++) {
    int64_t missing = check->problem->demand[d] - placed[d];
    if (missing != 0) met = false;
    if (missing < 0) fault(check, "demand %zu: %" PRId64 " too many", d, -missing);
    if (answer->missing[d] != missing)
      fault(check, "demand %zu: says %" PRId64 " missing, %" PRId64 " are", d, answer->missing[d],
            missing);
  }
  if (answer->complete != met) fault(check, "complete says %d, and is %d", answer->complete, met);
}

/* A bound of 0 is no news where wood and cuts may be had for nothing. */
static void check_bound(struct check *check, const struct nest_answer *answer) {
  bool priced = true;
  for (size_t s = 0; s < check->problem->stock_count; s++)
    priced = priced && check->problem->stocks[s].cost > 0;
  if (answer->complete && answer->bound > answer->cost)
    fault(check, "bound %" PRId64 " over cost %" PRId64, answer->bound, answer->cost);
  if (answer->complete && priced && answer->bound <= 0)
    fault(check, "bound %" PRId64 " says nothing", answer->bound);
}

int validate_answer(struct arena *arena, FILE *report, const struct nest_problem *problem,
                    const struct nest_answer *answer) {
  struct check check = {.report = report, .problem = problem};
  check.counts = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  int64_t *placed = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  int64_t *used = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  cost_t handling = 0;
  for (size_t i = 0; i < answer->layout_count; i++) {
    const struct nest_layout *layout = &answer->layouts[i];
    check.layout = i;
    if (layout->stock >= problem->stock_count) {
      fault(&check, "there is no stock %zu", layout->stock);
      return check.faults;
    }
    check.stock = &problem->stocks[layout->stock];
    if (check.stock->given != NULL)
      check_ready(&check, layout);
    else
      check_layout(&check, layout);
    used[layout->stock] += layout->times;
    handling += layout->times * check.cuts * problem->cut_cost;
    for (size_t d = 0; d < problem->demand_count; d++) placed[d] += layout->times * check.counts[d];
  }
  check_stocks(&check, used, handling, answer->cost);
  check_demand(&check, answer, placed);
  check_bound(&check, answer);
  return check.faults;
}

static void print_node(FILE *file, const struct node *node, int depth) {
  static const char *const names[] = {"waste", "piece", "crosscut", "rip"};
  fprintf(file, "%*s%s at %" PRId64 " %" PRId64 ", %" PRId64 " x %" PRId64, 2 * depth + 2, "",
          names[node->kind], node->x, node->y, node->length, node->width);
  if (node->kind == NODE_PIECE) fprintf(file, " blank %zu", node->blank);
  fputc('\n', file);
  for (size_t i = 0; i < node->child_count; i++) print_node(file, &node->children[i], depth + 1);
}

void validate_print(FILE *file, const struct nest_answer *answer) {
  for (size_t i = 0; i < answer->layout_count; i++) {
    const struct nest_layout *layout = &answer->layouts[i];
    fprintf(file, "layout %zu: stock %zu, %" PRId64 " times, %" PRId64 " cuts\n", i, layout->stock,
            layout->times, layout->cuts);
    print_node(file, &layout->root, 0);
  }
}

static bool same_node(const struct node *a, const struct node *b) {
  if (a->kind != b->kind || a->x != b->x || a->y != b->y || a->length != b->length ||
      a->width != b->width || a->child_count != b->child_count)
    return false;
  if (a->kind == NODE_PIECE && (a->blank != b->blank || a->turned != b->turned)) return false;
  for (size_t i = 0; i < a->child_count; i++)
    if (!same_node(&a->children[i], &b->children[i])) return false;
  return true;
}

static bool same_layout(const struct nest_layout *a, const struct nest_layout *b, size_t demands) {
  if (a->stock != b->stock || a->times != b->times || a->cuts != b->cuts) return false;
  for (size_t d = 0; d < demands; d++)
    if (a->counts[d] != b->counts[d]) return false;
  return same_node(&a->root, &b->root);
}

bool validate_same(const struct nest_problem *problem, const struct nest_answer *a,
                   const struct nest_answer *b) {
  if (a->complete != b->complete || a->cost != b->cost || a->bound != b->bound ||
      a->steps != b->steps || a->layout_count != b->layout_count)
    return false;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (a->missing[d] != b->missing[d]) return false;
  for (size_t i = 0; i < a->layout_count; i++)
    if (!same_layout(&a->layouts[i], &b->layouts[i], problem->demand_count)) return false;
  return true;
}
