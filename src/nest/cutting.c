#include "nest/cutting.h"

static length_t extent_of(const struct node *node, enum division division) {
  return division == DIVIDE_LENGTH ? node->length : node->width;
}

struct node *cutting_divide(struct arena *arena, struct node *node, enum division division,
                            length_t kerf, const length_t *extent, size_t count) {
  length_t whole = extent_of(node, division);
  length_t used = -kerf;
  for (size_t i = 0; i < count; i++) used += extent[i] + kerf;
  bool fills = used == whole;
  if (fills && count == 1) return NULL;
  node->kind = division == DIVIDE_LENGTH ? NODE_CROSSCUT : NODE_RIP;
  node->child_count = count + (fills ? 0 : 1);
  node->children = ARENA_ARRAY(arena, node->child_count, struct node);
  length_t at = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    length_t rest = whole - at > 0 ? whole - at : 0;
    length_t size = i < count ? extent[i] : rest;
    struct node *child = &node->children[i];
    child->kind = NODE_WASTE;
    child->x = node->x + (division == DIVIDE_LENGTH ? at : 0);
    child->y = node->y + (division == DIVIDE_LENGTH ? 0 : at);
    child->length = division == DIVIDE_LENGTH ? size : node->length;
    child->width = division == DIVIDE_LENGTH ? node->width : size;
    at += size + kerf;
  }
  return node->children;
}

void cutting_place(struct arena *arena, struct node *node, const struct nest_stock *stock,
                   const struct nest_option *option, bool rip_first) {
  for (int turn = 0; turn < 2; turn++) {
    bool rip = (turn == 0) == rip_first;
    struct node *children =
        rip ? cutting_divide(arena, node, DIVIDE_WIDTH, stock->kerf_rip, &option->width, 1)
            : cutting_divide(arena, node, DIVIDE_LENGTH, stock->kerf_crosscut, &option->length, 1);
    if (children != NULL) node = children;
  }
  node->kind = NODE_PIECE;
  node->blank = option->blank;
  node->turned = option->turned;
}

int64_t cutting_count_cuts(const struct node *node) {
  if (node->child_count == 0) return 0;
  int64_t cuts = (int64_t)node->child_count - 1;
  for (size_t i = 0; i < node->child_count; i++) cuts += cutting_count_cuts(&node->children[i]);
  return cuts;
}

void cutting_count_pieces(const struct node *node, const size_t *demand_of_blank, int64_t *counts) {
  if (node->kind == NODE_PIECE) counts[demand_of_blank[node->blank]]++;
  for (size_t i = 0; i < node->child_count; i++)
    cutting_count_pieces(&node->children[i], demand_of_blank, counts);
}

struct node cutting_copy(struct arena *arena, const struct node *node, length_t dx, length_t dy) {
  struct node copy = *node;
  copy.x += dx;
  copy.y += dy;
  if (node->child_count == 0) return copy;
  copy.children = ARENA_ARRAY(arena, node->child_count, struct node);
  for (size_t i = 0; i < node->child_count; i++)
    copy.children[i] = cutting_copy(arena, &node->children[i], dx, dy);
  return copy;
}

static bool is_plain_waste(const struct node *node) { return node->kind == NODE_WASTE; }

/* The waste children a and b of one node become one that spans both and their kerf. */
static void join_waste(struct node *low, const struct node *high) {
  length_t end_x = high->x + high->length;
  length_t end_y = high->y + high->width;
  low->length = end_x - low->x;
  low->width = end_y - low->y;
}

/* The last waste child of a node reaches to the node's end, whatever kerfs fell away. */
static void merge_waste_children(struct node *node) {
  size_t kept = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    struct node *child = &node->children[i];
    if (kept > 0 && is_plain_waste(child) && is_plain_waste(&node->children[kept - 1])) {
      if (i + 1 < node->child_count || (child->length > 0 && child->width > 0))
        join_waste(&node->children[kept - 1], child);
      else if (node->kind == NODE_CROSSCUT)
        node->children[kept - 1].length = node->x + node->length - node->children[kept - 1].x;
      else
        node->children[kept - 1].width = node->y + node->width - node->children[kept - 1].y;
    } else {
      node->children[kept++] = *child;
    }
  }
  node->child_count = kept;
}

void cutting_tidy(struct node *node, const struct nest_stock *stock) {
  if (node->child_count == 0) return;
  for (size_t i = 0; i < node->child_count; i++) cutting_tidy(&node->children[i], stock);
  merge_waste_children(node);
  if (node->child_count == 1) {
    bool waste = is_plain_waste(&node->children[0]);
    struct node only = node->children[0];
    if (waste) {
      node->kind = NODE_WASTE;
      node->child_count = 0;
      node->children = NULL;
    } else {
      *node = only;
    }
  }
}

/* Stages a tree needs when its next cut may be made in either direction; `free_trim` is
 * whether the last cut that frees a single piece stays uncounted. */
static bool is_last_trim(const struct node *node) {
  size_t pieces = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    if (node->children[i].kind == NODE_PIECE)
      pieces++;
    else if (node->children[i].kind != NODE_WASTE)
      return false;
  }
  return pieces == 1;
}

static int stages_of(const struct node *node) {
  if (node->child_count == 0) return 0;
  int deepest = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    int stages = is_last_trim(child) ? 0 : stages_of(child);
    /* a child cut in its parent's direction belongs to the parent's stage */
    if (child->child_count > 0 && child->kind == node->kind && stages > 0) stages--;
    if (stages > deepest) deepest = stages;
  }
  return deepest + 1;
}

static bool rip_obeys(const struct node *node, const struct nest_rules *rules) {
  if (rules->rip_min_length > 0 && node->length < rules->rip_min_length) return false;
  length_t end = node->y + node->width;
  for (size_t i = 0; i + 1 < node->child_count; i++) {
    length_t strip = node->children[i].width;
    length_t rest = end - node->children[i + 1].y;
    length_t narrower = strip < rest ? strip : rest;
    if (rules->rip_no_wider_than_long && narrower > node->length) return false;
    if (rules->rip_capacity > 0 && narrower > rules->rip_capacity) return false;
  }
  return true;
}

static bool cuts_obey(const struct node *node, const struct nest_rules *rules) {
  if (node->kind == NODE_RIP && !rip_obeys(node, rules)) return false;
  if (node->kind == NODE_CROSSCUT && rules->crosscut_capacity > 0 &&
      node->width > rules->crosscut_capacity)
    return false;
  for (size_t i = 0; i < node->child_count; i++)
    if (!cuts_obey(&node->children[i], rules)) return false;
  return true;
}

bool cutting_obeys(const struct node *root, const struct nest_rules *rules) {
  if (root->kind == NODE_CROSSCUT && !rules->crosscut_first) return false;
  if (root->kind == NODE_RIP && !rules->rip_first) return false;
  if (rules->stages > 0 && stages_of(root) > rules->stages) return false;
  return cuts_obey(root, rules);
}
