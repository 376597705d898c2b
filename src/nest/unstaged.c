#include "nest/unstaged.h"

#include <string.h>

/* Where a cell's worth comes from. */
enum origin { FROM_NOTHING, FROM_OPTION, FROM_SHORTER, FROM_NARROWER, FROM_CROSSCUT, FROM_RIP };

enum { MOST_CELLS = 20000000 };

struct cell {
  uint32_t from; /* option, or raster point of the first part */
  unsigned char origin;
};

/* First parts of one direction, a growing list per raster point of the other. A layout's
 * smallest part in a direction is at most half of it, so only those are tried first. */
struct primes {
  uint32_t **point;
  uint32_t *count;
  uint32_t *room;
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
  struct primes crosscuts; /* per y: raster points of x */
  struct primes rips;      /* per x: raster points of y */
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

static struct primes make_primes(struct arena *arena, size_t count) {
  struct primes primes = {ARENA_ARRAY(arena, count, uint32_t *),
                          ARENA_ARRAY(arena, count, uint32_t), ARENA_ARRAY(arena, count, uint32_t)};
  return primes;
}

struct unstaged *unstaged_create(struct arena *arena, const struct nest_stock *stock) {
  struct unstaged *table = ARENA_NEW(arena, struct unstaged);
  table->arena = arena;
  table->stock = stock;
  bool reduced = stock->rules.rip_min_length <= 0 && stock->rules.crosscut_capacity <= 0;
  table->x = make_raster(arena, stock, DIVIDE_LENGTH, reduced);
  table->y = make_raster(arena, stock, DIVIDE_WIDTH, reduced);
  if (table->x->count > MOST_CELLS / table->y->count) return NULL;
  table->cells = ARENA_ARRAY(arena, table->x->count * table->y->count, struct cell);
  table->worth_by_x = ARENA_ARRAY(arena, table->x->count * table->y->count, cost_t);
  table->worth_by_y = ARENA_ARRAY(arena, table->x->count * table->y->count, cost_t);
  table->crosscuts = make_primes(arena, table->y->count);
  table->rips = make_primes(arena, table->x->count);
  return table;
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
  for (size_t y = 0; y < table->y->count; y++) table->crosscuts.count[y] = 0;
  for (size_t x = 0; x < table->x->count; x++) table->rips.count[x] = 0;
  for (size_t o = 0; o < stock->option_count; o++) {
    size_t x = 0;
    size_t y = 0;
    if (option_worth[o] <= 0) continue;
    if (!ceiling(table->x, stock->options[o].length + table->x->kerf, &x)) continue;
    if (!ceiling(table->y, stock->options[o].width + table->y->kerf, &y)) continue;
    offer(table, x, y, option_worth[o], FROM_OPTION, o);
  }
}

static void add_prime(struct unstaged *table, struct primes *primes, size_t list, size_t point) {
  if (primes->count[list] == primes->room[list]) {
    uint32_t room = primes->room[list] == 0 ? 8 : 2 * primes->room[list];
    primes->point[list] =
        arena_grow(table->arena, primes->point[list], primes->count[list], room, sizeof(uint32_t));
    primes->room[list] = room;
  }
  primes->point[list][primes->count[list]++] = (uint32_t)point;
}

/* The best first part and rest in a row of worths along one raster. */
static cost_t best_division(struct unstaged *table, const struct raster *raster,
                            const cost_t *worth, const uint32_t *primes, uint32_t prime_count,
                            size_t whole, size_t *first) {
  cost_t best = 0;
  length_t half = raster->point[whole] / 2;
  uint32_t p = 0;
  for (; p < prime_count && raster->point[primes[p]] <= half; p++) {
    cost_t sum = worth[primes[p]] + worth[raster_rest(raster, whole, primes[p])];
    if (sum > best) {
      best = sum;
      *first = primes[p];
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
  size_t first_x = 0;
  size_t first_y = 0;
  cost_t by_crosscut =
      crosscut ? best_division(table, table->x, table->worth_by_y + y * table->x->count,
                               table->crosscuts.point[y], table->crosscuts.count[y], x, &first_x)
               : 0;
  cost_t by_rip = rip ? best_division(table, table->y, table->worth_by_x + x * table->y->count,
                                      table->rips.point[x], table->rips.count[x], y, &first_y)
                      : 0;
  offer(table, x, y, shorter, FROM_SHORTER, x - 1);
  offer(table, x, y, narrower, FROM_NARROWER, y - 1);
  offer(table, x, y, by_crosscut, FROM_CROSSCUT, first_x);
  offer(table, x, y, by_rip, FROM_RIP, first_y);
  cost_t worth = worth_at(table, x, y);
  if (crosscut && worth > shorter && worth > by_crosscut) add_prime(table, &table->crosscuts, y, x);
  if (rip && worth > narrower && worth > by_rip) add_prime(table, &table->rips, x, y);
}

void unstaged_price(struct unstaged *table, const cost_t *option_worth) {
  place_options(table, option_worth);
  for (size_t x = 1; x < table->x->count; x++)
    for (size_t y = 1; y < table->y->count; y++) fill_cell(table, x, y);
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

void unstaged_build(struct arena *arena, const struct unstaged *table, struct node *root) {
  *root = (struct node){
      .kind = NODE_WASTE, .length = table->stock->length, .width = table->stock->width};
  size_t x = raster_floor(table->x, root->length + table->x->kerf);
  size_t y = raster_floor(table->y, root->width + table->y->kerf);
  build_cell(arena, table, x, y, root);
}
