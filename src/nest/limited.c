#include "nest/limited.h"

#include <string.h>

#include "nest/raster.h"

/* Counts of copies stand one to a byte, eight to a word; the top bit stays clear. A cell's own work
 * counts as so many steps, besides one for each first part tried. */
enum { COUNTS_IN_WORD = 8, MOST_COPIES = 127, CELL_STEPS = 4, NO_LAYOUT = 0 };

static const uint64_t TOP_BITS = UINT64_C(0x8080808080808080);

enum origin { FROM_OPTION, FROM_CROSSCUT, FROM_RIP };

/* A layout of a rectangle that ends at raster points, and the option or the two parts it is of. */
struct block {
  uint32_t x, y;
  uint32_t first, rest; /* parts, NO_LAYOUT: none; first may be an option */
  unsigned char origin;
};

/* A first part of one direction: see unstaged.c. */
struct prime {
  double loss;
  cost_t worth;
  uint32_t point, part;
};

struct line {
  struct prime *primes;
  size_t count, room;
  double density; /* most worth per grown length */
};

struct cell {
  cost_t worth;
  uint32_t part;
};

/* A direction: its points, and of each line along it the first parts and the cells. */
struct direction {
  struct raster *raster;
  struct line *lines;
  struct cell *cells; /* [line * raster->count + point] */
};

struct limited {
  struct arena *arena;
  const struct nest_stock *stock;
  size_t demand_count;
  struct direction along[2]; /* DIVIDE_LENGTH: crosscuts, a line per y; DIVIDE_WIDTH: rips */
  struct block *blocks;      /* blocks[NO_LAYOUT] is none */
  size_t block_count, block_room;
  size_t words;     /* of the counts of one part */
  uint64_t *counts; /* [part * words] */
  size_t count_room;
  uint64_t *limit; /* with the top bits set */
  size_t *slot;    /* per demand: its byte */
  int64_t steps;
};

/* What a cell may hold. */
struct choice {
  cost_t worth;
  struct block part;
  bool any;
};

static struct raster *make_raster(struct arena *arena, const struct nest_stock *stock,
                                  enum division division, size_t most) {
  bool lengthwise = division == DIVIDE_LENGTH;
  length_t *size = ARENA_ARRAY(arena, stock->option_count + 1, length_t);
  size_t count = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    size[count++] = lengthwise ? stock->options[o].length : stock->options[o].width;
  count = length_sort_unique(size, count);
  struct raster *raster =
      raster_create(arena, size, count, lengthwise ? stock->length : stock->width,
                    lengthwise ? stock->kerf_crosscut : stock->kerf_rip, true);
  raster_thin(arena, raster, size, count, most);
  return raster;
}

struct limited *limited_create(struct arena *arena, const struct nest_stock *stock,
                               size_t demand_count, size_t most_points) {
  struct limited *limited = ARENA_NEW(arena, struct limited);
  limited->arena = arena;
  limited->stock = stock;
  limited->demand_count = demand_count;
  limited->slot = ARENA_ARRAY(arena, demand_count, size_t);
  limited->limit = ARENA_ARRAY(arena, demand_count / COUNTS_IN_WORD + 1, uint64_t);
  for (int d = 0; d < 2; d++)
    limited->along[d].raster = make_raster(arena, stock, (enum division)d, most_points);
  size_t xs = limited->along[DIVIDE_LENGTH].raster->count;
  size_t ys = limited->along[DIVIDE_WIDTH].raster->count;
  limited->along[DIVIDE_LENGTH].lines = ARENA_ARRAY(arena, ys, struct line);
  limited->along[DIVIDE_WIDTH].lines = ARENA_ARRAY(arena, xs, struct line);
  for (int d = 0; d < 2; d++) limited->along[d].cells = ARENA_ARRAY(arena, xs * ys, struct cell);
  return limited;
}

int64_t limited_steps(const struct limited *limited) { return limited->steps; }

/* ---- limits ---- */

static void set_limits(struct limited *limited, const cost_t *option_worth, const int64_t *limit) {
  const struct nest_stock *stock = limited->stock;
  size_t slots = 0;
  for (size_t d = 0; d < limited->demand_count; d++) limited->slot[d] = SIZE_MAX;
  memset(limited->limit, 0, (limited->demand_count / COUNTS_IN_WORD + 1) * sizeof *limited->limit);
  for (size_t o = 0; o < stock->option_count; o++) {
    size_t d = stock->options[o].demand;
    if (option_worth[o] <= 0 || limit[d] <= 0 || limited->slot[d] != SIZE_MAX) continue;
    uint64_t copies = (uint64_t)(limit[d] < MOST_COPIES ? limit[d] : MOST_COPIES);
    limited->slot[d] = slots++;
    limited->limit[limited->slot[d] / COUNTS_IN_WORD] |= copies
                                                         << (limited->slot[d] % COUNTS_IN_WORD * 8);
  }
  limited->words = (slots + COUNTS_IN_WORD - 1) / COUNTS_IN_WORD;
  for (size_t w = 0; w < limited->words; w++) limited->limit[w] |= TOP_BITS;
}

/* A byte's top bit stays set where two counts together keep within the limit; neither passes it
 * alone, so that nothing is borrowed from the next byte. */
static bool go_together(const struct limited *limited, uint32_t a, uint32_t b) {
  const uint64_t *left = limited->counts + a * limited->words;
  const uint64_t *right = limited->counts + b * limited->words;
  for (size_t w = 0; w < limited->words; w++)
    if (((limited->limit[w] - (left[w] + right[w])) & TOP_BITS) != TOP_BITS) return false;
  return true;
}

static uint64_t *new_block(struct limited *limited, const struct block *part, uint32_t *number) {
  *number = (uint32_t)limited->block_count;
  if (limited->block_count == limited->block_room) {
    limited->block_room = 2 * limited->block_room + 1024;
    limited->blocks = arena_grow(limited->arena, limited->blocks, limited->block_count,
                                 limited->block_room, sizeof *limited->blocks);
  }
  size_t used = limited->block_count * limited->words;
  if (limited->counts == NULL || used + limited->words > limited->count_room) {
    size_t room = 2 * limited->count_room + 1024 + limited->words;
    limited->counts =
        arena_grow(limited->arena, limited->counts, used, room, sizeof *limited->counts);
    limited->count_room = room;
  }
  limited->blocks[limited->block_count++] = *part;
  memset(limited->counts + used, 0, limited->words * sizeof *limited->counts);
  return limited->counts + used;
}

static uint32_t add_block(struct limited *limited, const struct block *part) {
  uint32_t number = 0;
  uint64_t *counts = new_block(limited, part, &number);
  if (part->origin == FROM_OPTION) {
    size_t slot = limited->slot[limited->stock->options[part->first].demand];
    counts[slot / COUNTS_IN_WORD] = UINT64_C(1) << (slot % COUNTS_IN_WORD * 8);
    return number;
  }
  for (size_t w = 0; w < limited->words; w++)
    counts[w] = limited->counts[part->first * limited->words + w] +
                limited->counts[part->rest * limited->words + w];
  return number;
}

/* ---- filling ---- */

static struct cell *cell_in(const struct limited *limited, enum division division, size_t line,
                            size_t point) {
  const struct direction *along = &limited->along[division];
  return &along->cells[line * along->raster->count + point];
}

static void set_cell(struct limited *limited, size_t x, size_t y, struct cell cell) {
  *cell_in(limited, DIVIDE_LENGTH, y, x) = cell;
  *cell_in(limited, DIVIDE_WIDTH, x, y) = cell;
}

static bool ceiling(const struct raster *raster, length_t grown, size_t *index) {
  if (grown > raster->point[raster->count - 1]) return false;
  *index = raster_floor(raster, grown);
  if (raster->point[*index] < grown) ++*index;
  return true;
}

static void place_options(struct limited *limited, const cost_t *option_worth) {
  const struct nest_stock *stock = limited->stock;
  const struct raster *xs = limited->along[DIVIDE_LENGTH].raster;
  const struct raster *ys = limited->along[DIVIDE_WIDTH].raster;
  for (size_t o = 0; o < stock->option_count; o++) {
    size_t x = 0;
    size_t y = 0;
    if (option_worth[o] <= 0 || limited->slot[stock->options[o].demand] == SIZE_MAX) continue;
    if (!ceiling(xs, stock->options[o].length + xs->kerf, &x)) continue;
    if (!ceiling(ys, stock->options[o].width + ys->kerf, &y)) continue;
    if (cell_in(limited, DIVIDE_LENGTH, y, x)->worth >= option_worth[o]) continue;
    struct block part = {(uint32_t)x, (uint32_t)y, (uint32_t)o, NO_LAYOUT, FROM_OPTION};
    set_cell(limited, x, y, (struct cell){option_worth[o], add_block(limited, &part)});
  }
}

static void clear(struct limited *limited) {
  size_t xs = limited->along[DIVIDE_LENGTH].raster->count;
  size_t ys = limited->along[DIVIDE_WIDTH].raster->count;
  uint32_t none = 0;
  limited->block_count = 0;
  for (int d = 0; d < 2; d++)
    memset(limited->along[d].cells, 0, xs * ys * sizeof *limited->along[d].cells);
  for (size_t y = 0; y < ys; y++) limited->along[DIVIDE_LENGTH].lines[y].count = 0;
  for (size_t x = 0; x < xs; x++) limited->along[DIVIDE_WIDTH].lines[x].count = 0;
  new_block(limited, &(struct block){.origin = FROM_OPTION}, &none);
}

static double loss_of(const struct line *line, const struct raster *raster,
                      const struct prime *prime) {
  return line->density * (double)raster->point[prime->point] - (double)prime->worth;
}

static void sink(struct line *line, size_t at) {
  struct prime moved = line->primes[at];
  for (; at > 0 && line->primes[at - 1].loss > moved.loss; at--)
    line->primes[at] = line->primes[at - 1];
  line->primes[at] = moved;
}

static void add_prime(struct limited *limited, enum division division, size_t at, size_t point,
                      const struct cell *cell) {
  const struct raster *raster = limited->along[division].raster;
  struct line *line = &limited->along[division].lines[at];
  double density = (double)cell->worth / (double)raster->point[point];
  if (line->count == 0 || density > line->density) {
    line->density = density;
    for (size_t i = 0; i < line->count; i++) {
      line->primes[i].loss = loss_of(line, raster, &line->primes[i]);
      sink(line, i);
    }
  }
  struct prime prime = {0, cell->worth, (uint32_t)point, cell->part};
  prime.loss = loss_of(line, raster, &prime);
  *ARENA_PUSH(limited->arena, line->primes, line->count, line->room) = prime;
  sink(line, line->count - 1);
}

/* The best first part and rest along a line that beat the choice so far and go together. As in
 * unstaged.c the first part is the one that loses least. */
static void divide(struct limited *limited, enum division division, size_t at, size_t whole,
                   struct choice *choice) {
  const struct raster *raster = limited->along[division].raster;
  const struct line *line = &limited->along[division].lines[at];
  const struct cell *cells = cell_in(limited, division, at, 0);
  double most = line->density * (double)raster->point[whole] * (1 + 1e-9);
  size_t p = 0;
  for (; p < line->count; p++) {
    const struct prime *prime = &line->primes[p];
    if (2 * prime->loss > most - (double)choice->worth) break;
    const struct cell *rest = &cells[raster_rest(raster, whole, prime->point)];
    if (prime->worth + rest->worth <= choice->worth) continue;
    if (!go_together(limited, prime->part, rest->part)) continue;
    choice->worth = prime->worth + rest->worth;
    choice->part.first = prime->part;
    choice->part.rest = rest->part;
    choice->part.origin = division == DIVIDE_LENGTH ? FROM_CROSSCUT : FROM_RIP;
    choice->any = true;
  }
  limited->steps += (int64_t)p;
}

static bool may_crosscut(const struct limited *limited, size_t y) {
  const struct raster *ys = limited->along[DIVIDE_WIDTH].raster;
  length_t capacity = limited->stock->rules.crosscut_capacity;
  return capacity <= 0 || ys->point[y] - ys->kerf <= capacity;
}

static bool may_rip(const struct limited *limited, size_t x) {
  const struct raster *xs = limited->along[DIVIDE_LENGTH].raster;
  length_t least = limited->stock->rules.rip_min_length;
  return least <= 0 || xs->point[x] - xs->kerf >= least;
}

static void fill_cell(struct limited *limited, size_t x, size_t y) {
  bool crosscut = may_crosscut(limited, y);
  bool rip = may_rip(limited, x);
  struct cell cell = *cell_in(limited, DIVIDE_LENGTH, y, x);
  cost_t shorter = crosscut ? cell_in(limited, DIVIDE_LENGTH, y, x - 1)->worth : 0;
  cost_t narrower = rip ? cell_in(limited, DIVIDE_WIDTH, x, y - 1)->worth : 0;
  if (shorter > cell.worth) cell = *cell_in(limited, DIVIDE_LENGTH, y, x - 1);
  if (narrower > cell.worth) cell = *cell_in(limited, DIVIDE_WIDTH, x, y - 1);
  struct choice choice = {cell.worth, {.x = (uint32_t)x, .y = (uint32_t)y}, false};
  if (crosscut) divide(limited, DIVIDE_LENGTH, y, x, &choice);
  if (rip) divide(limited, DIVIDE_WIDTH, x, y, &choice);
  if (choice.any) cell = (struct cell){choice.worth, add_block(limited, &choice.part)};
  set_cell(limited, x, y, cell);
  bool crossed = choice.any && choice.part.origin == FROM_CROSSCUT;
  bool ripped = choice.any && choice.part.origin == FROM_RIP;
  if (crosscut && cell.worth > shorter && !crossed) add_prime(limited, DIVIDE_LENGTH, y, x, &cell);
  if (rip && cell.worth > narrower && !ripped) add_prime(limited, DIVIDE_WIDTH, x, y, &cell);
}

static void fill(struct limited *limited) {
  size_t xs = limited->along[DIVIDE_LENGTH].raster->count;
  size_t ys = limited->along[DIVIDE_WIDTH].raster->count;
  for (size_t x = 1; x < xs; x++)
    for (size_t y = 1; y < ys; y++) fill_cell(limited, x, y);
  limited->steps += CELL_STEPS * (int64_t)(xs * ys);
}

/* ---- building ---- */

static void build(struct arena *arena, const struct limited *limited, uint32_t number,
                  struct node *node) {
  const struct block *part = &limited->blocks[number];
  if (number == NO_LAYOUT) return;
  if (part->origin == FROM_OPTION) {
    cutting_place(arena, node, limited->stock, &limited->stock->options[part->first],
                  node->length >= limited->stock->rules.rip_min_length);
    return;
  }
  enum division division = part->origin == FROM_CROSSCUT ? DIVIDE_LENGTH : DIVIDE_WIDTH;
  const struct raster *raster = limited->along[division].raster;
  const uint32_t parts[2] = {part->first, part->rest};
  length_t extents[2];
  size_t count = part->rest == NO_LAYOUT ? 1 : 2;
  for (size_t i = 0; i < count; i++) {
    const struct block *of = &limited->blocks[parts[i]];
    extents[i] = raster->point[division == DIVIDE_LENGTH ? of->x : of->y] - raster->kerf;
  }
  struct node *children = cutting_divide(arena, node, division, raster->kerf, extents, count);
  if (children == NULL) children = node;
  for (size_t i = 0; i < count; i++) build(arena, limited, parts[i], &children[i]);
}

void limited_layout(struct arena *arena, struct limited *limited, const cost_t *option_worth,
                    const int64_t *limit, struct node *root) {
  const struct nest_stock *stock = limited->stock;
  set_limits(limited, option_worth, limit);
  clear(limited);
  place_options(limited, option_worth);
  fill(limited);
  *root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  size_t last = limited->along[DIVIDE_LENGTH].raster->count - 1;
  size_t line = limited->along[DIVIDE_WIDTH].raster->count - 1;
  build(arena, limited, cell_in(limited, DIVIDE_LENGTH, line, last)->part, root);
}
