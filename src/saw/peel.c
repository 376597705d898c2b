#include "saw/peel.h"

/* The peels that must be done before a piece exists: the last one of each end of the node
 * it comes from. Each of those waits for what freed that node. */
struct needs {
  size_t peels[2];
  size_t count;
};

struct task {
  const struct node *node;
  struct needs needs;
};

struct peeler {
  struct arena *arena;
  const struct shop *shop;
  const struct stock *stock;
  const struct extents *extents;
  struct peels *peels;
  struct task *tasks;
  size_t task_count, task_room;
};

/* One node being peeled: children low..high are still together. */
struct peeling {
  const struct node *node;
  bool rip;
  length_t kerf;
  size_t node_index;
  size_t low, high, core;
  const struct needs *freed_by; /* what frees the node */
  size_t last_low, last_high;   /* last peel of each end, or PEEL_NONE */
};

static const struct node *child_at(const struct peeling *peeling, size_t index) {
  return &peeling->node->children[index];
}

static length_t end_of(const struct peeling *peeling, size_t index) {
  const struct node *child = child_at(peeling, index);
  return extents_start(child, peeling->rip) + extents_size(child, peeling->rip);
}

static bool waste_at(const struct peeling *peeling, size_t index) {
  return extents_is_waste(child_at(peeling, index), peeling->rip);
}

static length_t low_edge(const struct peeling *peeling) {
  if (peeling->low == 0) return extents_start(peeling->node, peeling->rip);
  return extents_start(child_at(peeling, peeling->low), peeling->rip);
}

static length_t high_edge(const struct peeling *peeling) {
  if (peeling->high + 1 == peeling->node->child_count)
    return extents_start(peeling->node, peeling->rip) + extents_size(peeling->node, peeling->rip);
  return end_of(peeling, peeling->high);
}

/* How far the fence reaches for this node; a sheet too wide for the crosscut saw is
 * crosscut against the rip fence. */
static length_t fence_reach(const struct peeler *peeler, const struct node *node) {
  const struct shop *shop = peeler->shop;
  bool on_rip_fence = node->kind == NODE_RIP ||
                      (peeler->stock->kind == STOCK_SHEET && node->width > shop->crosscut_capacity);
  return on_rip_fence ? shop->rip_capacity : LENGTH_MAX;
}

/* The one child, wanted or left over, that is beyond the fence or wider than the piece ripped
 * is long: when all others are peeled off it, the narrower side of each cut is one of those. */
static size_t find_oversize(const struct peeler *peeler, const struct peeling *peeling) {
  length_t limit = fence_reach(peeler, peeling->node);
  if (peeling->rip && peeling->node->length < limit) limit = peeling->node->length;
  for (size_t c = peeling->node->child_count; c-- > 0;)
    if (extents_size(child_at(peeling, c), peeling->rip) > limit) return c;
  return PEEL_NONE;
}

static size_t find_rarest(const struct peeler *peeler, const struct peeling *peeling) {
  size_t rarest = 0;
  int64_t fewest = INT64_MAX;
  for (size_t c = peeling->node->child_count; c-- > 0;) {
    length_t size = extents_size(child_at(peeling, c), peeling->rip);
    int64_t times = extents_times(peeler->extents, peeling->rip, size);
    if (times >= fewest) continue;
    fewest = times;
    rarest = c;
  }
  return rarest;
}

/* The child the others are peeled off from: one beyond the fence, else left-over at an end,
 * else left-over further in, else the one whose size is wanted least often. */
static size_t choose_core(const struct peeler *peeler, const struct peeling *peeling) {
  size_t last = peeling->node->child_count - 1;
  size_t oversize = find_oversize(peeler, peeling);
  if (oversize != PEEL_NONE) return oversize;
  if (waste_at(peeling, last)) return last;
  for (size_t c = 0; c < last; c++)
    if (waste_at(peeling, c)) return c;
  return find_rarest(peeler, peeling);
}

/* What a peel or a child waits for that needs the last peels given (PEEL_NONE: does not). */
static struct needs needs_of(const struct peeling *peeling, size_t one, size_t other) {
  if (one == PEEL_NONE && other == PEEL_NONE) return *peeling->freed_by;
  if (one == PEEL_NONE || other == PEEL_NONE)
    return (struct needs){.peels = {one == PEEL_NONE ? other : one}, .count = 1};
  return (struct needs){.peels = {one, other}, .count = 2};
}

static void wait_for(struct peeler *peeler, size_t peel, const struct needs *needs) {
  struct peels *peels = peeler->peels;
  peels->items[peel].waits_for = needs->count;
  for (size_t i = 0; i < needs->count; i++) {
    struct peel *before = &peels->items[needs->peels[i]];
    struct peel_edge *edge =
        ARENA_PUSH(peeler->arena, peels->edges, peels->edge_count, peels->edge_room);
    *edge = (struct peel_edge){peel, before->first_edge};
    before->first_edge = peels->edge_count - 1;
  }
}

/* What one end of a node comes to when it is peeled now. */
struct side_choice {
  length_t position; /* of the cut */
  length_t own;      /* size of the child peeled off */
  length_t rest;     /* size of what stays together */
  bool keep_rest;    /* the fence is set to the rest */
};

static bool beyond_fence(const struct peeler *peeler, const struct peeling *peeling,
                         length_t keep) {
  return keep > fence_reach(peeler, peeling->node);
}

/* The wanted side is kept, except where the fence reaches only the other, and that is wide
 * enough to be held there. */
static struct side_choice choose_side(const struct peeler *peeler, const struct peeling *peeling,
                                      bool from_low) {
  size_t child = from_low ? peeling->low : peeling->high;
  struct side_choice side = {.position = end_of(peeling, from_low ? child : child - 1)};
  length_t below = side.position - low_edge(peeling);
  length_t above = high_edge(peeling) - side.position - peeling->kerf;
  if (below < 0) below = 0;
  if (above < 0) above = 0;
  side.own = from_low ? below : above;
  side.rest = from_low ? above : below;
  side.keep_rest = waste_at(peeling, child);
  bool both_waste = side.keep_rest && peeling->low + 1 == peeling->high &&
                    waste_at(peeling, from_low ? peeling->high : peeling->low);
  if (both_waste) side.keep_rest = side.rest >= side.own;
  length_t kept = side.keep_rest ? side.rest : side.own;
  length_t other = side.keep_rest ? side.own : side.rest;
  if (beyond_fence(peeler, peeling, kept) && !beyond_fence(peeler, peeling, other) &&
      other >= peeler->shop->rip_min_width && other > 0)
    side.keep_rest = !side.keep_rest;
  return side;
}

/* Whether the end's cut depends on how far the other end has come. */
static bool needs_other_end(const struct peeler *peeler, const struct peeling *peeling,
                            bool from_low) {
  size_t child = from_low ? peeling->low : peeling->high;
  return waste_at(peeling, child) ||
         beyond_fence(peeler, peeling, extents_size(child_at(peeling, child), peeling->rip));
}

static bool misses_wood(const struct peeling *peeling, length_t position) {
  return position + peeling->kerf <= low_edge(peeling) || position >= high_edge(peeling);
}

/* Peels one child off; a cut that would not touch the wood is left out. */
static void peel_end(struct peeler *peeler, struct peeling *peeling, bool from_low) {
  struct side_choice side = choose_side(peeler, peeling, from_low);
  if (misses_wood(peeling, side.position)) return;
  size_t *last = from_low ? &peeling->last_low : &peeling->last_high;
  size_t other = from_low ? peeling->last_high : peeling->last_low;
  bool waits = needs_other_end(peeler, peeling, from_low);
  struct needs needs = needs_of(peeling, *last, waits ? other : PEEL_NONE);
  struct peels *peels = peeler->peels;
  struct peel *peel = ARENA_PUSH(peeler->arena, peels->items, peels->count, peels->room);
  *peel = (struct peel){.node = peeling->node,
                        .node_index = peeling->node_index,
                        .behind = from_low ? peeling->low : peeling->high - 1,
                        .from_low = from_low,
                        .keep_high = side.keep_rest == from_low,
                        .keep = side.keep_rest ? side.rest : side.own,
                        .setting = PEEL_NONE,
                        .first_edge = PEEL_NONE};
  *last = peels->count - 1;
  wait_for(peeler, *last, &needs);
}

static void push_task(struct peeler *peeler, const struct node *node, struct needs needs) {
  if (node->kind != NODE_CROSSCUT && node->kind != NODE_RIP) return;
  if (node->child_count == 0) return;
  struct task *task =
      ARENA_PUSH(peeler->arena, peeler->tasks, peeler->task_count, peeler->task_room);
  *task = (struct task){node, needs};
}

/* The low end goes first unless it waits for the other end and the other does not wait. */
static bool take_low_end(const struct peeler *peeler, const struct peeling *peeling) {
  if (peeling->low == peeling->core) return false;
  if (peeling->high == peeling->core) return true;
  return !needs_other_end(peeler, peeling, true) || needs_other_end(peeler, peeling, false);
}

static void peel_node(struct peeler *peeler, const struct task *task) {
  bool rip = task->node->kind == NODE_RIP;
  struct peeling peeling = {
      .node = task->node,
      .rip = rip,
      .kerf = rip ? peeler->shop->kerf_rip : peeler->shop->kerf_crosscut,
      .node_index = peeler->peels->node_count++,
      .high = task->node->child_count - 1,
      .freed_by = &task->needs,
      .last_low = PEEL_NONE,
      .last_high = PEEL_NONE,
  };
  peeling.core = choose_core(peeler, &peeling);
  while (peeling.low < peeling.high) {
    bool from_low = take_low_end(peeler, &peeling);
    peel_end(peeler, &peeling, from_low);
    size_t last = from_low ? peeling.last_low : peeling.last_high;
    const struct node *freed = child_at(&peeling, from_low ? peeling.low++ : peeling.high--);
    push_task(peeler, freed, needs_of(&peeling, last, PEEL_NONE));
  }
  push_task(peeler, child_at(&peeling, peeling.core),
            needs_of(&peeling, peeling.last_low, peeling.last_high));
}

void peel_layout(struct arena *arena, const struct shop *shop, const struct stock *stock,
                 const struct extents *extents, const struct node *root, struct peels *peels) {
  struct peeler peeler = {
      .arena = arena, .shop = shop, .stock = stock, .extents = extents, .peels = peels};
  *peels = (struct peels){0};
  push_task(&peeler, root, (struct needs){.count = 0});
  while (peeler.task_count > 0) {
    struct task task = peeler.tasks[--peeler.task_count];
    peel_node(&peeler, &task);
  }
}
