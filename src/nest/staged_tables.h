/* What the parts of staged.c share: tables of one to three levels. */
#ifndef BLANKWRIGHT_NEST_STAGED_TABLES_H
#define BLANKWRIGHT_NEST_STAGED_TABLES_H

#include "nest/staged.h"

/* Directions are named by what a cut divides: index 0 the length, 1 the width. A class of
 * an extent is the largest option extent that fits it, and whether it fits exactly:
 * 2 * index + (exact ? 0 : 1). Level 1 is a row of single pieces, each perhaps trimmed
 * across; level 2 a row of level 1 rectangles; level 3 a row of level 2 rectangles. */

#define NO_OPTION UINT32_MAX

struct leaf {
  cost_t worth;
  uint32_t option;
};

struct direction {
  struct raster *raster;
  struct series_sizes *sizes;
  struct leaf *leaves; /* [size along * classes across + class]: one piece of exactly that size */
  struct series *rows; /* per class across: level 1 */
  cost_t *row_part;    /* scratch: worth per size */
};

/* Where only one direction may come first, the first row must divide the stock. */
struct first_row {
  cost_t worth;
  enum division division;
  bool must_divide;
  uint32_t option; /* the whole stock is this piece, uncut; else NO_OPTION */
};

struct staged {
  bool thinned; /* see staged_is_thinned */
  const struct nest_stock *stock;
  cost_t cut_cost;
  struct direction direction[2];
  cost_t *columns; /* level 2 dividing the width: [2 * raster point of length + (exact ? 0 : 1)],
                      full width */
  cost_t *strips;  /* level 2 dividing the length: [2 * raster point of width + ..], full length */
  bool columns_done, strips_done;
  struct series scratch[2];
  struct arena *scratch_arena;
  uint32_t *third_part;       /* parts in the row of level 3 in scratch: raster points, */
  cost_t *third_net;          /* what each is worth less its cut, */
  size_t third_count;         /* and how many */
  const cost_t *option_worth; /* as priced */
  struct first_row first;     /* of the whole stock, when first_done */
  bool first_done;
  int64_t steps;
};

static inline length_t kerf_of(const struct staged *staged, enum division division) {
  return division == DIVIDE_LENGTH ? staged->stock->kerf_crosscut : staged->stock->kerf_rip;
}

static inline length_t whole_of(const struct staged *staged, enum division division) {
  return division == DIVIDE_LENGTH ? staged->stock->length : staged->stock->width;
}

static inline enum division across(enum division division) {
  return division == DIVIDE_LENGTH ? DIVIDE_WIDTH : DIVIDE_LENGTH;
}

static inline length_t option_extent(const struct nest_option *option, enum division division) {
  return division == DIVIDE_LENGTH ? option->length : option->width;
}

/* Whether a piece of this extent across may be divided so. */
static inline bool may_divide(const struct staged *staged, enum division division,
                              length_t extent_across) {
  const struct nest_rules *rules = &staged->stock->rules;
  if (division == DIVIDE_WIDTH)
    return rules->rip_min_length <= 0 || extent_across >= rules->rip_min_length;
  return rules->crosscut_capacity <= 0 || extent_across <= rules->crosscut_capacity;
}

/* The largest size that fits an extent; false when none does. */
static inline bool size_index(const struct series_sizes *sizes, length_t extent, size_t *index) {
  size_t low = 0;
  size_t high = sizes->count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (sizes->size[middle] <= extent)
      low = middle + 1;
    else
      high = middle;
  }
  if (low == 0) return false;
  *index = low - 1;
  return true;
}

/* False when no option fits the extent at all. */
static inline bool class_of(const struct series_sizes *sizes, length_t extent, size_t *class) {
  size_t index = 0;
  if (!size_index(sizes, extent, &index)) return false;
  *class = 2 * index + (sizes->size[index] == extent ? 0 : 1);
  return true;
}

/* The leaf of a size along `along` in a rectangle of a class across it. */
static inline const struct leaf *leaf_at(const struct staged *staged, enum division along,
                                         size_t size, size_t class) {
  const struct direction *direction = &staged->direction[along];
  return &direction->leaves[size * 2 * staged->direction[across(along)].sizes->count + class];
}

/* Fills the rows of level 1 along a direction from its leaves. */
void staged_fill_rows(struct staged *staged, enum division along);

/* The size of the piece that ends at a raster point of a row of level 1. */
uint32_t staged_row_part(const struct staged *staged, enum division along, size_t class, size_t at);

/* Fills `table` (as `columns` or `strips`) with level 2 dividing `along`, many extents across at
 * a time. Rows of level 1 must be filled. */
void staged_fill_level_two(struct staged *staged, enum division along, cost_t *table);

/* Level 3: a row of level 2 rectangles that divides `along` into scratch[along]; part_worth[i] is
 * what a part of raster point i is worth, COST_NEVER where none may be. */
void staged_fill_level_three(struct staged *staged, enum division along, const cost_t *part_worth);

/* The part that ends at a raster point of that row: a raster point. */
uint32_t staged_third_part(const struct staged *staged, enum division along, size_t at);

#endif
