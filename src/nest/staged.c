#include "nest/staged_tables.h"

/* Sizes finer than that would take seconds and gigabytes for each filling. */
enum { POINTS_MOST = 10000 };

static struct series_sizes *make_sizes(struct arena *arena, struct staged *staged,
                                       enum division division) {
  const struct nest_stock *stock = staged->stock;
  length_t *size = ARENA_ARRAY(arena, stock->option_count + 1, length_t);
  size_t count = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    if (stock->options[o].length <= stock->length && stock->options[o].width <= stock->width)
      size[count++] = option_extent(&stock->options[o], division);
  if (division == DIVIDE_LENGTH && stock->rules.rip_min_length > 0 &&
      stock->rules.rip_min_length <= stock->length)
    size[count++] = stock->rules.rip_min_length;
  count = length_sort_unique(size, count);
  struct raster *raster = raster_create(arena, size, count, whole_of(staged, division),
                                        kerf_of(staged, division), false);
  if (raster->count > POINTS_MOST) staged->thinned = true;
  raster_thin(arena, raster, size, count, POINTS_MOST);
  staged->direction[division].raster = raster;
  return series_sizes_create(arena, staged->direction[division].raster, size, count);
}

struct staged *staged_create(struct arena *arena, const struct nest_stock *stock, cost_t cut_cost) {
  struct staged *staged = ARENA_NEW(arena, struct staged);
  staged->stock = stock;
  staged->cut_cost = cut_cost;
  for (int d = 0; d < 2; d++)
    staged->direction[d].sizes = make_sizes(arena, staged, (enum division)d);
  for (int d = 0; d < 2; d++) {
    struct direction *direction = &staged->direction[d];
    const struct direction *other = &staged->direction[1 - d];
    size_t classes = 2 * other->sizes->count;
    direction->leaves = ARENA_ARRAY(arena, direction->sizes->count * classes, struct leaf);
    direction->rows = ARENA_ARRAY(arena, classes, struct series);
    direction->row_part = ARENA_ARRAY(arena, direction->sizes->count, cost_t);
    for (size_t c = 0; c < classes; c++)
      direction->rows[c] = series_create(arena, direction->raster);
    staged->scratch[d] = series_create(arena, direction->raster);
  }
  staged->scratch_arena = arena_create_child(arena);
  size_t points = staged->direction[0].raster->count;
  if (staged->direction[1].raster->count > points) points = staged->direction[1].raster->count;
  staged->third_part = ARENA_ARRAY(arena, points, uint32_t);
  staged->third_net = ARENA_ARRAY(arena, points, cost_t);
  staged->columns = ARENA_ARRAY(arena, 2 * staged->direction[0].raster->count, cost_t);
  staged->strips = ARENA_ARRAY(arena, 2 * staged->direction[1].raster->count, cost_t);
  return staged;
}

const struct series_sizes *staged_sizes(const struct staged *staged, enum division division) {
  return staged->direction[division].sizes;
}

bool staged_is_thinned(const struct staged *staged) { return staged->thinned; }

int64_t staged_steps(const struct staged *staged) { return staged->steps; }

/* One piece of exactly its own extent along, trimmed across where it is smaller. */
static void offer_leaf(struct staged *staged, enum division along, uint32_t option, cost_t worth) {
  struct direction *direction = &staged->direction[along];
  const struct series_sizes *other = staged->direction[across(along)].sizes;
  const struct nest_option *o = &staged->stock->options[option];
  size_t size = 0;
  size_t first = 0;
  size_index(direction->sizes, option_extent(o, along), &size);
  size_index(other, option_extent(o, across(along)), &first);
  bool trims = may_divide(staged, across(along), option_extent(o, along));
  for (size_t class = 2 * first; class < 2 * other->count; class ++) {
    bool exact = class == 2 * first;
    if (!exact && !trims) break;
    struct leaf *leaf = &direction->leaves[size * 2 * other->count + class];
    cost_t net = exact ? worth : worth - staged->cut_cost;
    if (net > leaf->worth) {
      leaf->worth = net;
      leaf->option = option;
    }
  }
}

static void fill_leaves(struct staged *staged, const cost_t *option_worth) {
  for (int d = 0; d < 2; d++) {
    struct direction *direction = &staged->direction[d];
    size_t cells = direction->sizes->count * 2 * staged->direction[1 - d].sizes->count;
    for (size_t i = 0; i < cells; i++) {
      direction->leaves[i].worth = COST_NEVER;
      direction->leaves[i].option = NO_OPTION;
    }
  }
  for (size_t o = 0; o < staged->stock->option_count; o++) {
    const struct nest_option *option = &staged->stock->options[o];
    bool fits = option->length <= staged->stock->length && option->width <= staged->stock->width;
    if (!fits || option_worth[o] <= 0) continue;
    offer_leaf(staged, DIVIDE_LENGTH, (uint32_t)o, option_worth[o]);
    offer_leaf(staged, DIVIDE_WIDTH, (uint32_t)o, option_worth[o]);
  }
}

void staged_price(struct staged *staged, const cost_t *option_worth) {
  staged->option_worth = option_worth;
  fill_leaves(staged, option_worth);
  for (int d = 0; d < 2; d++) staged_fill_rows(staged, (enum division)d);
  staged->first_done = false;
  staged->columns_done = false;
  staged->strips_done = false;
}

/* Level 1: how a row is worth most. Without a cut: one piece that fits exactly along. */
struct row_end {
  cost_t worth;
  bool divided;
  size_t end;      /* raster point, when divided */
  size_t class;    /* across */
  uint32_t option; /* when not divided; NO_OPTION for nothing */
};

static struct row_end row_best(const struct staged *staged, enum division along, length_t extent,
                               length_t extent_across) {
  const struct direction *direction = &staged->direction[along];
  struct row_end best = {0, false, 0, 0, NO_OPTION};
  size_t size = 0;
  if (!class_of(staged->direction[across(along)].sizes, extent_across, &best.class)) return best;
  if (!size_index(direction->sizes, extent, &size)) return best;
  if (direction->sizes->size[size] == extent) {
    const struct leaf *leaf = leaf_at(staged, along, size, best.class);
    if (leaf->worth > 0) {
      best.worth = leaf->worth;
      best.option = leaf->option;
    }
  }
  if (!may_divide(staged, along, extent_across)) return best;
  if (!may_divide(staged, along, staged->direction[across(along)].sizes->size[best.class / 2]))
    return best;
  cost_t worth = 0;
  size_t end = series_end(&direction->rows[best.class], direction->raster,
                          extent + direction->raster->kerf, staged->cut_cost, &worth);
  if (worth > best.worth) {
    best.worth = worth;
    best.divided = true;
    best.end = end;
  }
  return best;
}

static cost_t row_worth(const struct staged *staged, enum division along, length_t extent,
                        length_t extent_across) {
  return row_best(staged, along, extent, extent_across).worth;
}

/* Level 2, dividing `along`, of a rectangle with the full extent along it: a row of level
 * 1 rectangles that divide across it. The last one may take in what is left over. */
struct deep_end {
  cost_t worth;
  size_t end;    /* raster point the exact parts fill */
  length_t rest; /* extent of the part that takes in the rest; 0 for none */
};

/* Whether a part that fills the whole stock along a direction is left out. */
static bool is_left_out(const struct staged *staged, enum division along, length_t extent,
                        bool must_divide) {
  return must_divide && extent == whole_of(staged, along);
}

static void fill_rows_of_rows(struct staged *staged, enum division along, length_t extent_across,
                              bool must_divide) {
  struct direction *direction = &staged->direction[along];
  for (size_t s = 0; s < direction->sizes->count; s++) {
    length_t size = direction->sizes->size[s];
    cost_t worth = row_worth(staged, across(along), extent_across, size);
    if (worth <= 0 || is_left_out(staged, along, size, must_divide)) worth = COST_NEVER;
    direction->row_part[s] = worth;
  }
  staged->steps += series_fill(&staged->scratch[along], direction->sizes, direction->row_part,
                               staged->cut_cost, direction->raster->count - 1);
}

static cost_t part_worth(struct staged *staged, int level, enum division along, length_t extent,
                         length_t extent_across);

/* The end of a row of level - 1 parts in scratch[along] that divides the full extent. With
 * must_divide one part may not take all of it. */
static struct deep_end deep_best(struct staged *staged, int level, enum division along,
                                 length_t extent_across, bool must_divide) {
  const struct raster *raster = staged->direction[along].raster;
  const struct series *row = &staged->scratch[along];
  struct deep_end best = {0, 0, 0};
  bool divides = may_divide(staged, along, extent_across);
  if (divides) best.end = series_end(row, raster, raster->whole, staged->cut_cost, &best.worth);
  for (size_t i = must_divide ? 1 : 0; i < (divides ? raster->count : 1); i++) {
    length_t rest = raster->whole - raster->point[i] - raster->kerf;
    if (row->worth[i] <= COST_NEVER || rest <= 0) continue;
    cost_t worth =
        row->worth[i] + part_worth(staged, level - 1, across(along), extent_across, rest);
    if (worth > best.worth) {
      best.worth = worth;
      best.end = i;
      best.rest = rest;
    }
  }
  staged->steps += (int64_t)raster->count;
  return best;
}

static void need_level_two(struct staged *staged, enum division along) {
  bool *done = along == DIVIDE_LENGTH ? &staged->strips_done : &staged->columns_done;
  if (!*done)
    staged_fill_level_two(staged, along, along == DIVIDE_LENGTH ? staged->strips : staged->columns);
  *done = true;
}

static cost_t level_two_worth(struct staged *staged, enum division along, length_t extent_across) {
  const struct raster *other = staged->direction[across(along)].raster;
  const cost_t *table = along == DIVIDE_LENGTH ? staged->strips : staged->columns;
  need_level_two(staged, along);
  size_t i = raster_floor(other, extent_across + other->kerf);
  return table[2 * i + (other->point[i] == extent_across + other->kerf ? 0 : 1)];
}

static cost_t part_worth(struct staged *staged, int level, enum division along, length_t extent,
                         length_t extent_across) {
  if (level == 1) return row_worth(staged, along, extent, extent_across);
  return level_two_worth(staged, along, extent_across);
}

/* Level 3: a row of level 2 rectangles, whose extents may be any raster point. */
static void fill_level_three(struct staged *staged, enum division along, bool must_divide) {
  const struct raster *raster = staged->direction[along].raster;
  struct arena_mark mark = arena_mark(staged->scratch_arena);
  cost_t *worth = ARENA_ARRAY(staged->scratch_arena, raster->count, cost_t);
  for (size_t i = 1; i < raster->count; i++) {
    length_t extent = raster->point[i] - raster->kerf;
    worth[i] = is_left_out(staged, along, extent, must_divide)
                   ? COST_NEVER
                   : level_two_worth(staged, across(along), extent);
  }
  staged_fill_level_three(staged, along, worth);
  arena_release(staged->scratch_arena, mark);
}

static void fill_deep(struct staged *staged, int level, enum division along, length_t extent_across,
                      bool must_divide) {
  if (level == 3) {
    need_level_two(staged, across(along));
    fill_level_three(staged, along, must_divide);
  } else {
    fill_rows_of_rows(staged, along, extent_across, must_divide);
  }
}

cost_t staged_worth(struct staged *staged, int stages, enum division next, length_t length,
                    length_t width) {
  length_t along = next == DIVIDE_LENGTH ? length : width;
  length_t extent_across = next == DIVIDE_LENGTH ? width : length;
  if (stages == 0) {
    /* one piece of exactly the extent across, trimmed along: a leaf of the other direction */
    size_t size = 0;
    size_t class = 0;
    const struct series_sizes *sizes = staged->direction[across(next)].sizes;
    if (!size_index(sizes, extent_across, &size) || sizes->size[size] != extent_across) return 0;
    if (!class_of(staged->direction[next].sizes, along, &class)) return 0;
    cost_t worth = leaf_at(staged, across(next), size, class)->worth;
    return worth > 0 ? worth : 0;
  }
  if (stages == 1) return row_worth(staged, next, along, extent_across);
  if (stages == 2) return level_two_worth(staged, next, extent_across);
  fill_deep(staged, 3, next, extent_across, false);
  return deep_best(staged, 3, next, extent_across, false).worth;
}

static void build_leaf(struct arena *arena, struct staged *staged, enum division along,
                       uint32_t option, struct node *node) {
  cutting_place(arena, node, staged->stock, &staged->stock->options[option],
                along == DIVIDE_LENGTH);
}

/* The single pieces of a row up to a raster point. */
static void build_pieces(struct arena *arena, struct staged *staged, enum division along,
                         const struct series *row, size_t end, size_t class, struct node *node) {
  const struct direction *direction = &staged->direction[along];
  length_t *extents = ARENA_ARRAY(arena, direction->raster->count, length_t);
  uint32_t *options = ARENA_ARRAY(arena, direction->raster->count, uint32_t);
  size_t count = 0;
  for (size_t at = end; at != 0;) {
    uint32_t size =
        row == &staged->scratch[along] ? row->last[at] : staged_row_part(staged, along, class, at);
    extents[count] = direction->sizes->size[size];
    options[count++] = leaf_at(staged, along, size, class)->option;
    at = direction->sizes->back[size * direction->raster->count + at];
  }
  struct node *children =
      cutting_divide(arena, node, along, direction->raster->kerf, extents, count);
  if (children == NULL) {
    build_leaf(arena, staged, along, options[0], node);
    return;
  }
  for (size_t i = 0; i < count; i++) build_leaf(arena, staged, along, options[i], &children[i]);
}

static void build_row(struct arena *arena, struct staged *staged, enum division along,
                      struct node *node) {
  length_t extent = along == DIVIDE_LENGTH ? node->length : node->width;
  struct row_end best =
      row_best(staged, along, extent, along == DIVIDE_LENGTH ? node->width : node->length);
  if (best.divided)
    build_pieces(arena, staged, along, &staged->direction[along].rows[best.class], best.end,
                 best.class, node);
  else if (best.option != NO_OPTION)
    build_leaf(arena, staged, along, best.option, node);
}

/* Extent of the part that ends at a raster point of scratch[along], and the point before. */
static length_t part_before(const struct staged *staged, int level, enum division along,
                            size_t *at) {
  const struct direction *direction = &staged->direction[along];
  uint32_t last =
      level == 3 ? staged_third_part(staged, along, *at) : staged->scratch[along].last[*at];
  length_t extent = level == 3 ? direction->raster->point[last] - direction->raster->kerf
                               : direction->sizes->size[last];
  raster_find(direction->raster, direction->raster->point[*at] - extent - direction->raster->kerf,
              at);
  return extent;
}

static void build_deep(struct arena *arena, struct staged *staged, int level, enum division along,
                       bool must_divide, struct node *node) {
  const struct raster *raster = staged->direction[along].raster;
  length_t extent_across = along == DIVIDE_LENGTH ? node->width : node->length;
  fill_deep(staged, level, along, extent_across, must_divide);
  struct deep_end best = deep_best(staged, level, along, extent_across, must_divide);
  if (best.worth <= 0) return;
  length_t *extents = ARENA_ARRAY(arena, raster->count + 1, length_t);
  size_t count = 0;
  for (size_t at = best.end; at != 0;) extents[count++] = part_before(staged, level, along, &at);
  if (best.rest > 0) extents[count++] = best.rest;
  struct node *children = cutting_divide(arena, node, along, raster->kerf, extents, count);
  if (children == NULL) {
    staged_build(arena, staged, level - 1, across(along), node);
    return;
  }
  for (size_t i = 0; i < count; i++)
    staged_build(arena, staged, level - 1, across(along), &children[i]);
}

void staged_build(struct arena *arena, struct staged *staged, int stages, enum division next,
                  struct node *node) {
  if (stages == 0) {
    size_t size = 0;
    size_t class = 0;
    length_t extent_across = next == DIVIDE_LENGTH ? node->width : node->length;
    if (!size_index(staged->direction[across(next)].sizes, extent_across, &size)) return;
    if (!class_of(staged->direction[next].sizes, next == DIVIDE_LENGTH ? node->length : node->width,
                  &class))
      return;
    const struct leaf *leaf = leaf_at(staged, across(next), size, class);
    if (leaf->worth > 0) build_leaf(arena, staged, across(next), leaf->option, node);
  } else if (stages == 1) {
    build_row(arena, staged, next, node);
  } else {
    build_deep(arena, staged, stages, next, false, node);
  }
}

static int stages_used(const struct staged *staged) {
  int stages = staged->stock->rules.stages;
  return stages == 0 || stages > 3 ? 3 : stages;
}

/* One stage, into scratch[along]: where a row of single pieces of the whole stock ends. */
static size_t first_row_of_pieces(struct staged *staged, enum division along, bool must_divide,
                                  size_t *class, cost_t *worth) {
  struct direction *direction = &staged->direction[along];
  *worth = 0;
  length_t extent_across = whole_of(staged, across(along));
  if (!class_of(staged->direction[across(along)].sizes, extent_across, class)) return 0;
  if (!may_divide(staged, along, extent_across)) return 0;
  for (size_t s = 0; s < direction->sizes->count; s++) {
    bool out = is_left_out(staged, along, direction->sizes->size[s], must_divide);
    direction->row_part[s] = out ? COST_NEVER : leaf_at(staged, along, s, *class)->worth;
  }
  staged->steps += series_fill(&staged->scratch[along], direction->sizes, direction->row_part,
                               staged->cut_cost, direction->raster->count - 1);
  return series_end(&staged->scratch[along], direction->raster, direction->raster->whole,
                    staged->cut_cost, worth);
}

static cost_t first_row_worth(struct staged *staged, enum division division, bool must_divide) {
  length_t extent_across = whole_of(staged, across(division));
  int stages = stages_used(staged);
  cost_t worth = 0;
  size_t class = 0;
  if (stages == 1) {
    if (!must_divide) return row_worth(staged, division, whole_of(staged, division), extent_across);
    first_row_of_pieces(staged, division, true, &class, &worth);
    return worth;
  }
  fill_deep(staged, stages, division, extent_across, must_divide);
  return deep_best(staged, stages, division, extent_across, must_divide).worth;
}

static struct first_row best_first_row(struct staged *staged) {
  const struct nest_stock *stock = staged->stock;
  struct first_row best = {0, DIVIDE_LENGTH, false, NO_OPTION};
  best.must_divide = !stock->rules.crosscut_first || !stock->rules.rip_first;
  for (int d = 0; d < 2; d++) {
    bool allowed = d == DIVIDE_LENGTH ? stock->rules.crosscut_first : stock->rules.rip_first;
    cost_t worth = allowed ? first_row_worth(staged, (enum division)d, best.must_divide) : 0;
    if (worth <= best.worth) continue;
    best.worth = worth;
    best.division = (enum division)d;
  }
  for (size_t o = 0; o < stock->option_count; o++) {
    bool whole =
        stock->options[o].length == stock->length && stock->options[o].width == stock->width;
    if (!whole || staged->option_worth[o] <= best.worth) continue;
    best.worth = staged->option_worth[o];
    best.option = (uint32_t)o;
  }
  return best;
}

static const struct first_row *first_row_of(struct staged *staged) {
  if (!staged->first_done) staged->first = best_first_row(staged);
  staged->first_done = true;
  return &staged->first;
}

cost_t staged_best(struct staged *staged) { return first_row_of(staged)->worth; }

static void build_first_row(struct arena *arena, struct staged *staged,
                            const struct first_row *first, struct node *root) {
  if (!first->must_divide) {
    build_row(arena, staged, first->division, root);
    return;
  }
  size_t class = 0;
  cost_t worth = 0;
  size_t end = first_row_of_pieces(staged, first->division, true, &class, &worth);
  build_pieces(arena, staged, first->division, &staged->scratch[first->division], end, class, root);
}

void staged_build_best(struct arena *arena, struct staged *staged, struct node *root) {
  struct first_row best = *first_row_of(staged);
  *root = (struct node){
      .kind = NODE_WASTE, .length = staged->stock->length, .width = staged->stock->width};
  if (best.worth <= 0) return;
  if (best.option != NO_OPTION)
    build_leaf(arena, staged, DIVIDE_LENGTH, best.option, root);
  else if (stages_used(staged) == 1)
    build_first_row(arena, staged, &best, root);
  else
    build_deep(arena, staged, stages_used(staged), best.division, best.must_divide, root);
}
