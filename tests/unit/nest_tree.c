/* Cut trees looked at by the rules of nest/problem.h. */
#include <inttypes.h>

#include "nest_fixture.h"

struct looking {
  const struct nest_stock *stock;
  const cost_t *worth;
  bool stages;
  struct tree_look *look;
};

/* The way to a node: the direction of its last cut, turns taken, and whether the present
 * stage began in a rectangle that holds one piece. */
struct path {
  enum node_kind last;
  int stages;
  bool alone;
};

static int pieces_in(const struct node *node) {
  int pieces = node->kind == NODE_PIECE ? 1 : 0;
  for (size_t i = 0; i < node->child_count; i++) pieces += pieces_in(&node->children[i]);
  return pieces;
}

static bool on_flaw(const struct nest_stock *stock, const struct node *node,
                    const struct nest_option *option) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t dx = flaw->rim_ok ? option->core_x : 0;
    length_t dy = flaw->rim_ok ? option->core_y : 0;
    if (flaw->x < node->x + node->length - dx && node->x + dx < flaw->x + flaw->length &&
        flaw->y < node->y + node->width - dy && node->y + dy < flaw->y + flaw->width)
      return true;
  }
  return false;
}

static const char *piece_fault(const struct looking *looking, const struct node *node,
                               struct path path) {
  const struct nest_stock *stock = looking->stock;
  if (node->child_count != 0) return "a piece with children";
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (option->blank != node->blank || option->turned != node->turned) continue;
    if (option->length != node->length || option->width != node->width)
      return "a piece of another size than its option";
    if (on_flaw(stock, node, option)) return "a piece on a flaw";
    int stages = path.stages - (path.alone ? 1 : 0);
    if (looking->stages && stock->rules.stages > 0 && stages > stock->rules.stages)
      return "too many stages";
    looking->look->counts[option->demand]++;
    if (looking->worth != NULL) looking->look->worth += looking->worth[o];
    return NULL;
  }
  return "a piece of no option";
}

static const char *rip_fault(const struct nest_rules *rules, const struct node *node) {
  if (node->length < rules->rip_min_length) return "a rip of too short a piece";
  length_t end = node->y + node->width;
  for (size_t i = 0; i + 1 < node->child_count; i++) {
    length_t strip = node->children[i].width;
    length_t rest = end - node->children[i + 1].y;
    length_t narrower = strip < rest ? strip : rest;
    if (rules->rip_no_wider_than_long && narrower > node->length) return "a rip wider than long";
    if (rules->rip_capacity > 0 && narrower > rules->rip_capacity)
      return "a rip over the saw's capacity";
  }
  return NULL;
}

static const char *cut_rule_fault(const struct looking *looking, const struct node *node,
                                  struct path path) {
  const struct nest_rules *rules = &looking->stock->rules;
  bool crosscut = node->kind == NODE_CROSSCUT;
  if (looking->stages && path.last == NODE_WASTE &&
      !(crosscut ? rules->crosscut_first : rules->rip_first))
    return "a first cut in the wrong direction";
  if (crosscut && rules->crosscut_capacity > 0 && node->width > rules->crosscut_capacity)
    return "a crosscut of too wide a piece";
  return crosscut ? NULL : rip_fault(rules, node);
}

/* Children from low to high, a kerf apart, edge to edge across, the last one to the end or,
 * when less than a kerf is left, without extent. */
static const char *children_fault(const struct nest_stock *stock, const struct node *node) {
  bool crosscut = node->kind == NODE_CROSSCUT;
  length_t kerf = crosscut ? stock->kerf_crosscut : stock->kerf_rip;
  length_t at = crosscut ? node->x : node->y;
  length_t end = at + (crosscut ? node->length : node->width);
  if (node->child_count < 2) return "a cut that parts nothing";
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    length_t size = crosscut ? child->length : child->width;
    if (i > 0) at += kerf;
    if ((crosscut ? child->x : child->y) != at) return "a child that is not a kerf from the last";
    if ((crosscut ? child->y : child->x) != (crosscut ? node->y : node->x))
      return "a child off its row";
    if ((crosscut ? child->width : child->length) != (crosscut ? node->width : node->length))
      return "a cut that is not edge to edge";
    if (i + 1 == node->child_count) {
      if (at - kerf >= end) return "a cut where there is no wood";
      return size == (end > at ? end - at : 0) ? NULL : "a last child that does not reach the end";
    }
    if (size < 0 || at + size > end) return "a child that does not fit";
    at += size;
  }
  return NULL;
}

static const char *node_fault(const struct looking *looking, const struct node *node,
                              struct path path) {
  if (node->kind == NODE_WASTE) return node->child_count == 0 ? NULL : "waste with children";
  if (node->length <= 0 || node->width <= 0) return "a node of no size";
  if (node->kind == NODE_PIECE) return piece_fault(looking, node, path);
  const char *fault = children_fault(looking->stock, node);
  if (fault == NULL) fault = cut_rule_fault(looking, node, path);
  looking->look->cuts += (int64_t)node->child_count - 1;
  if (path.last != node->kind)
    path = (struct path){node->kind, path.stages + 1, pieces_in(node) == 1};
  for (size_t i = 0; i < node->child_count && fault == NULL; i++)
    fault = node_fault(looking, &node->children[i], path);
  return fault;
}

const char *tree_fault(const struct nest_stock *stock, const struct node *root, const cost_t *worth,
                       cost_t cut_cost, bool stages, struct tree_look *look) {
  struct looking looking = {stock, worth, stages, look};
  *look = (struct tree_look){0};
  if (root->x != 0 || root->y != 0 || root->length != stock->length || root->width != stock->width)
    return "a root that is not the whole stock";
  const char *fault = node_fault(&looking, root, (struct path){NODE_WASTE, 0, false});
  look->worth -= look->cuts * cut_cost;
  return fault;
}

void tree_print(const struct node *node, int depth) {
  static const char *const kinds[] = {"waste", "piece", "crosscut", "rip"};
  fprintf(stderr, "%*s%s at %" PRId64 " %" PRId64 ", %" PRId64 " x %" PRId64, 2 * depth, "",
          kinds[node->kind], node->x, node->y, node->length, node->width);
  if (node->kind == NODE_PIECE) fprintf(stderr, " blank %zu", node->blank);
  fputc('\n', stderr);
  for (size_t i = 0; i < node->child_count; i++) tree_print(&node->children[i], depth + 1);
}

void tree_assert_same(const struct node *a, const struct node *b) {
  assert_int_equal(a->kind, b->kind);
  assert_int_equal(a->x, b->x);
  assert_int_equal(a->y, b->y);
  assert_int_equal(a->length, b->length);
  assert_int_equal(a->width, b->width);
  assert_int_equal(a->child_count, b->child_count);
  if (a->kind == NODE_PIECE) assert_int_equal(a->blank, b->blank);
  for (size_t i = 0; i < a->child_count; i++) tree_assert_same(&a->children[i], &b->children[i]);
}

void answer_assert_same(const struct nest_answer *a, const struct nest_answer *b) {
  assert_int_equal(a->complete, b->complete);
  assert_int_equal(a->cost, b->cost);
  assert_int_equal(a->bound, b->bound);
  assert_int_equal(a->steps, b->steps);
  assert_int_equal(a->layout_count, b->layout_count);
  for (size_t l = 0; l < a->layout_count; l++) {
    assert_int_equal(a->layouts[l].stock, b->layouts[l].stock);
    assert_int_equal(a->layouts[l].times, b->layouts[l].times);
    tree_assert_same(&a->layouts[l].root, &b->layouts[l].root);
  }
}
