#include "nest/unstaged.h"

#include <string.h>

/* Where a cell's worth comes from. */
enum origin { FROM_NOTHING, FROM_OPTION, FROM_SHORTER, FROM_NARROWER, FROM_CROSSCUT, FROM_RIP };

enum { TILE = 32 };

struct cell {
  uint32_t from; /* option, or raster point of the first part */
  unsigned char origin;
};

/* A first part of one direction: what it is worth, and how much less that is than its extent
 * at the worth per length of the line's best first part. */
struct prime {
  double loss;
  cost_t worth;
  uint32_t point;
};

/* The first parts of one line, the least loss first. */
struct line {
  struct prime *primes;
  uint32_t count, room;
  double density; /* most worth per grown length */
};

struct unstaged {
  struct arena *arena;
  const struct nest_stock *stock;
  struct raster *x;
  struct raster *y;
  struct cell *cells; /* [x * y->count + y] */
  cost_t *worth_by_x; /* [x * y->count + y] */
  cost_t
      *worth_by_y; /* the same, [y * x->count + x]: both directions run through memory in order */
  struct line *crosscuts; /* per y: first parts along x */
  struct line *rips;      /* per x: first parts along y */
  int64_t steps;
};

static struct raster *make_raster(struct arena *arena, const struct nest_stock *stock,
                                  enum division division, bool reduced) {
  length_t *size = ARENA_ARRAY(arena, stock->option_count + 1, length_t);
  size_t count = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    size[count++] = division == DIVIDE_LENGTH ? stock->options[o].length : stock->options[o].width;
  if (division == DIVIDE_LENGTH && stock->rules.rip_min_length > 0)
    size[count++] = stock->rules.rip_min_length;
  count = length_sort_unique(size, count);
  return division == DIVIDE_LENGTH
             ? raster_create(arena, size, count, stock->length, stock->kerf_crosscut, reduced)
             : raster_create(arena, size, count, stock->width, stock->kerf_rip, reduced);
}

static struct unstaged *create(struct arena *arena, const struct nest_stock *stock, bool reduced,
                               size_t *cells) {
  struct unstaged *table = ARENA_NEW(arena, struct unstaged);
  table->arena = arena;
  table->stock = stock;
  table->x = make_raster(arena, stock, DIVIDE_LENGTH, reduced);
  table->y = make_raster(arena, stock, DIVIDE_WIDTH, reduced);
  if (table->x->count > *cells / table->y->count) return NULL;
  *cells -= table->x->count * table->y->count;
  table->cells = ARENA_ARRAY(arena, table->x->count * table->y->count, struct cell);
  table->worth_by_x = ARENA_ARRAY(arena, table->x->count * table->y->count, cost_t);
  table->worth_by_y = ARENA_ARRAY(arena, table->x->count * table->y->count, cost_t);
  table->crosscuts = ARENA_ARRAY(arena, table->y->count, struct line);
  table->rips = ARENA_ARRAY(arena, table->x->count, struct line);
  return table;
}

struct unstaged *unstaged_create(struct arena *arena, const struct nest_stock *stock,
                                 size_t *cells) {
  bool reduced = stock->rules.rip_min_length <= 0 && stock->rules.crosscut_capacity <= 0;
  return create(arena, stock, reduced, cells);
}

struct unstaged *unstaged_create_inside(struct arena *arena, const struct nest_stock *stock,
                                        size_t *cells) {
  return create(arena, stock, false, cells);
}

int64_t unstaged_steps(const struct unstaged *table) { return table->steps; }

static struct cell *cell_at(const struct unstaged *table, size_t x, size_t y) {
  return &table->cells[x * table->y->count + y];
}

static bool may_crosscut(const struct unstaged *table, size_t y) {
  length_t capacity = table->stock->rules.crosscut_capacity;
  return capacity <= 0 || table->y->point[y] - table->y->kerf <= capacity;
}

static bool may_rip(const struct unstaged *table, size_t x) {
  length_t least = table->stock->rules.rip_min_length;
  return least <= 0 || table->x->point[x] - table->x->kerf >= least;
}

static bool ceiling(const struct raster *raster, length_t grown, size_t *index) {
  if (grown > raster->point[raster->count - 1]) return false;
  *index = raster_floor(raster, grown);
  if (raster->point[*index] < grown) ++*index;
  return true;
}

static cost_t worth_at(const struct unstaged *table, size_t x, size_t y) {
  return table->worth_by_x[x * table->y->count + y];
}

static void offer(struct unstaged *table, size_t x, size_t y, cost_t worth, enum origin origin,
                  size_t from) {
  if (worth <= worth_at(table, x, y)) return;
  *cell_at(table, x, y) = (struct cell){(uint32_t)from, (unsigned char)origin};
  table->worth_by_x[x * table->y->count + y] = worth;
  table->worth_by_y[y * table->x->count + x] = worth;
}

static void place_options(struct unstaged *table, const cost_t *option_worth) {
  const struct nest_stock *stock = table->stock;
  size_t cells = table->x->count * table->y->count;
  memset(table->cells, 0, cells * sizeof *table->cells);
  memset(table->worth_by_x, 0, cells * sizeof *table->worth_by_x);
  memset(table->worth_by_y, 0, cells * sizeof *table->worth_by_y);
  for (size_t y = 0; y < table->y->count; y++) table->crosscuts[y].count = 0;
  for (size_t x = 0; x < table->x->count; x++) table->rips[x].count = 0;
  for (size_t o = 0; o < stock->option_count; o++) {
    size_t x = 0;
    size_t y = 0;
    if (option_worth[o] <= 0) continue;
    if (!ceiling(table->x, stock->options[o].length + table->x->kerf, &x)) continue;
    if (!ceiling(table->y, stock->options[o].width + table->y->kerf, &y)) continue;
    offer(table, x, y, option_worth[o], FROM_OPTION, o);
  }
}

static double loss_of(const struct line *line, const struct raster *raster, size_t point,
                      cost_t worth) {
  return line->density * (double)raster->point[point] - (double)worth;
}

/* A denser first part changes what the others lose. */
static void set_density(struct line *line, const struct raster *raster, double density) {
  line->density = density;
  for (uint32_t i = 0; i < line->count; i++) {
    struct prime moved = line->primes[i];
    moved.loss = loss_of(line, raster, moved.point, moved.worth);
    uint32_t at = i;
    for (; at > 0 && line->primes[at - 1].loss > moved.loss; at--)
      line->primes[at] = line->primes[at - 1];
    line->primes[at] = moved;
  }
}

static void add_prime(struct unstaged *table, struct line *line, const struct raster *raster,
                      size_t point, cost_t worth) {
  double density = (double)worth / (double)raster->point[point];
  if (line->count == 0 || density > line->density) set_density(line, raster, density);
  struct prime prime = {loss_of(line, raster, point, worth), worth, (uint32_t)point};
  (void)ARENA_PUSH(table->arena, line->primes, line->count, line->room);
  uint32_t at = line->count - 1;
  for (; at > 0 && line->primes[at - 1].loss > prime.loss; at--)
    line->primes[at] = line->primes[at - 1];
  line->primes[at] = prime;
}

/* The best first part and rest of a row of worths along one raster, if worth at least `least`,
 * else least - 1. The parts of a row lose together what it is worth less than its length at
 * the line's density; the one that loses least is tried as the first, and it loses at most half
 * of that. A billionth covers what doubles round away. */
static cost_t best_division(struct unstaged *table, const struct raster *raster,
                            const struct line *line, const cost_t *worth, size_t whole,
                            cost_t least, size_t *first) {
  cost_t best = least - 1;
  double most = line->density * (double)raster->point[whole] * (1 + 1e-9);
  uint32_t p = 0;
  for (; p < line->count; p++) {
    const struct prime *prime = &line->primes[p];
    if (2 * prime->loss > most - (double)best) break;
    cost_t sum = prime->worth + worth[raster_rest(raster, whole, prime->point)];
    if (sum > best) {
      best = sum;
      *first = prime->point;
    }
  }
  table->steps += p;
  return best;
}

static void fill_cell(struct unstaged *table, size_t x, size_t y) {
  bool crosscut = may_crosscut(table, y);
  bool rip = may_rip(table, x);
  cost_t shorter = crosscut ? worth_at(table, x - 1, y) : 0;
  cost_t narrower = rip ? worth_at(table, x, y - 1) : 0;
  cost_t by_crosscut = -1;
  cost_t by_rip = -1;
  size_t first = 0;
  offer(table, x, y, shorter, FROM_SHORTER, x - 1);
  offer(table, x, y, narrower, FROM_NARROWER, y - 1);
  if (crosscut)
    by_crosscut =
        best_division(table, table->x, &table->crosscuts[y],
                      table->worth_by_y + y * table->x->count, x, worth_at(table, x, y), &first);
  offer(table, x, y, by_crosscut, FROM_CROSSCUT, first);
  if (rip)
    by_rip =
        best_division(table, table->y, &table->rips[x], table->worth_by_x + x * table->y->count, y,
                      worth_at(table, x, y), &first);
  offer(table, x, y, by_rip, FROM_RIP, first);
  cost_t worth = worth_at(table, x, y);
  if (crosscut && worth > shorter && worth > by_crosscut)
    add_prime(table, &table->crosscuts[y], table->x, x, worth);
  if (rip && worth > narrower && worth > by_rip)
    add_prime(table, &table->rips[x], table->y, y, worth);
}

/* The lines of a few neighbours are read again and again: cell by cell along one direction
 * they would leave the processor's cache in between. */
static void fill_tile(struct unstaged *table, size_t x, size_t y) {
  for (size_t i = x; i < x + TILE && i < table->x->count; i++)
    for (size_t j = y; j < y + TILE && j < table->y->count; j++) fill_cell(table, i, j);
}

void unstaged_price(struct unstaged *table, const cost_t *option_worth) {
  place_options(table, option_worth);
  for (size_t x = 1; x < table->x->count; x += TILE)
    for (size_t y = 1; y < table->y->count; y += TILE) fill_tile(table, x, y);
}

cost_t unstaged_worth(const struct unstaged *table, length_t length, length_t width) {
  if (length <= 0 || width <= 0) return 0;
  return worth_at(table, raster_floor(table->x, length + table->x->kerf),
                  raster_floor(table->y, width + table->y->kerf));
}

cost_t unstaged_best(const struct unstaged *table) {
  return worth_at(table, table->x->count - 1, table->y->count - 1);
}

static void build_cell(struct arena *arena, const struct unstaged *table, size_t x, size_t y,
                       struct node *node);

static void build_division(struct arena *arena, const struct unstaged *table, size_t x, size_t y,
                           enum division division, struct node *node) {
  const struct raster *raster = division == DIVIDE_LENGTH ? table->x : table->y;
  size_t first = cell_at(table, x, y)->from;
  size_t whole = division == DIVIDE_LENGTH ? x : y;
  size_t rest = raster_floor(raster, raster->point[whole] - raster->point[first]);
  length_t extents[2] = {raster->point[first] - raster->kerf, raster->point[rest] - raster->kerf};
  struct node *children =
      cutting_divide(arena, node, division, raster->kerf, extents, rest > 0 ? 2 : 1);
  if (children == NULL) children = node;
  for (size_t i = 0; i < (rest > 0 ? 2U : 1U); i++) {
    size_t part = i == 0 ? first : rest;
    build_cell(arena, table, division == DIVIDE_LENGTH ? part : x,
               division == DIVIDE_LENGTH ? y : part, &children[i]);
  }
}

static void build_cell(struct arena *arena, const struct unstaged *table, size_t x, size_t y,
                       struct node *node) {
  const struct cell *cell = cell_at(table, x, y);
  while (cell->origin == FROM_SHORTER || cell->origin == FROM_NARROWER) {
    *(cell->origin == FROM_SHORTER ? &x : &y) = cell->from;
    cell = cell_at(table, x, y);
  }
  if (cell->origin == FROM_OPTION)
    cutting_place(arena, node, table->stock, &table->stock->options[cell->from],
                  node->length >= table->stock->rules.rip_min_length);
  else if (cell->origin == FROM_CROSSCUT)
    build_division(arena, table, x, y, DIVIDE_LENGTH, node);
  else if (cell->origin == FROM_RIP)
    build_division(arena, table, x, y, DIVIDE_WIDTH, node);
}

void unstaged_build_inside(struct arena *arena, const struct unstaged *table, struct node *node) {
  if (node->length <= 0 || node->width <= 0) return;
  size_t x = raster_floor(table->x, node->length + table->x->kerf);
  size_t y = raster_floor(table->y, node->width + table->y->kerf);
  build_cell(arena, table, x, y, node);
}

void unstaged_build(struct arena *arena, const struct unstaged *table, struct node *root) {
  *root = (struct node){
      .kind = NODE_WASTE, .length = table->stock->length, .width = table->stock->width};
  unstaged_build_inside(arena, table, root);
}
