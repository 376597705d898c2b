#include "nest/coarse.h"

#include <math.h>
#include <string.h>

#include "nest/staged_tables.h"

/* Meshes tried above the least one, in parts of it. */
enum { TRIED_MESHES = 12, MESH_PARTS = 40 };

static length_t meshes_down(length_t length, length_t mesh) {
  length_t down = length / mesh;
  return length % mesh < 0 ? down - 1 : down;
}

static length_t meshes_up(length_t length, length_t mesh) { return -meshes_down(-length, mesh); }

static length_t kerf_along(const struct nest_stock *stock, enum division d) {
  return d == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
}

static length_t whole_along(const struct nest_stock *stock, enum division d) {
  return d == DIVIDE_LENGTH ? stock->length : stock->width;
}

/* What pieces lose together, each in proportion to its size. */
static double loss_of(const struct nest_stock *stock, enum division d, length_t mesh) {
  double loss = 0;
  for (size_t o = 0; o < stock->option_count; o++) {
    length_t grown = option_extent(&stock->options[o], d) + kerf_along(stock, d);
    loss += (double)(grown % mesh) / (double)grown;
  }
  return loss;
}

/* The mean of the pieces' sizes, kerf and all. */
static double mean_size(const struct nest_stock *stock, enum division d) {
  double sum = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    sum += (double)(option_extent(&stock->options[o], d) + kerf_along(stock, d));
  return stock->option_count == 0 ? 1 : sum / (double)stock->option_count;
}

/* The least meshes that make no more than so many cells, the same part of a piece's size each way.
 */
static void least_meshes(const struct nest_stock *stock, int64_t cells, length_t *least) {
  double part = 1;
  for (int d = 0; d < 2; d++)
    part *= (double)(whole_along(stock, (enum division)d) + kerf_along(stock, (enum division)d)) /
            mean_size(stock, (enum division)d);
  part = sqrt(part / (double)cells);
  for (int d = 0; d < 2; d++) least[d] = (length_t)ceil(part * mean_size(stock, (enum division)d));
}

/* Of meshes near the least the one that pieces lose the least on. */
static length_t choose_mesh(const struct nest_stock *stock, enum division d, length_t least) {
  length_t best = least;
  for (int i = 1; i <= TRIED_MESHES; i++) {
    length_t mesh = least + least * i / MESH_PARTS;
    if (loss_of(stock, d, mesh) < loss_of(stock, d, best)) best = mesh;
  }
  return best;
}

/* Options by meshes; false where the middle of one that a flaw may not touch has no mesh left. */
static bool coarsen_options(struct arena *arena, const struct nest_stock *stock,
                            const length_t *mesh, struct nest_stock *coarse) {
  bool cores = true;
  coarse->options = ARENA_ARRAY(arena, stock->option_count, struct nest_option);
  for (size_t o = 0; o < stock->option_count; o++) {
    struct nest_option option = stock->options[o];
    option.length = meshes_down(option.length + stock->kerf_crosscut, mesh[DIVIDE_LENGTH]);
    option.width = meshes_down(option.width + stock->kerf_rip, mesh[DIVIDE_WIDTH]);
    option.core_x = meshes_up(option.core_x, mesh[DIVIDE_LENGTH]);
    option.core_y = meshes_up(option.core_y, mesh[DIVIDE_WIDTH]);
    cores = cores && option.length > 2 * option.core_x && option.width > 2 * option.core_y;
    coarse->options[o] = option;
  }
  return cores;
}

/* A piece before a flaw ends, with its kerf, no later than a kerf behind the flaw's low edge. */
static void coarsen_flaws(struct arena *arena, const struct nest_stock *stock, bool cores,
                          const length_t *mesh, struct nest_stock *coarse) {
  coarse->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct nest_flaw);
  coarse->flaw_count = 0;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    struct nest_flaw flaw = stock->flaws[f];
    length_t high_x = meshes_down(flaw.x + flaw.length, mesh[DIVIDE_LENGTH]);
    length_t high_y = meshes_down(flaw.y + flaw.width, mesh[DIVIDE_WIDTH]);
    flaw.x = meshes_down(flaw.x + stock->kerf_crosscut, mesh[DIVIDE_LENGTH]);
    flaw.y = meshes_down(flaw.y + stock->kerf_rip, mesh[DIVIDE_WIDTH]);
    flaw.length = high_x - flaw.x;
    flaw.width = high_y - flaw.y;
    if (flaw.length <= 0 || flaw.width <= 0 || (flaw.rim_ok && !cores)) continue;
    coarse->flaws[coarse->flaw_count++] = flaw;
  }
}

static bool is_fit(const struct nest_stock *coarse) {
  for (size_t o = 0; o < coarse->option_count; o++)
    if (coarse->options[o].length <= 0 || coarse->options[o].width <= 0) return false;
  return true;
}

const struct nest_problem *coarse_problem(struct arena *arena, const struct nest_problem *problem,
                                          size_t stock, int64_t cells) {
  const struct nest_stock *fine = &problem->stocks[stock];
  length_t mesh[2];
  least_meshes(fine, cells, mesh);
  for (int d = 0; d < 2; d++) mesh[d] = choose_mesh(fine, (enum division)d, mesh[d]);
  if (mesh[0] <= 1 && mesh[1] <= 1) return NULL;
  struct nest_problem *copy = ARENA_NEW(arena, struct nest_problem);
  *copy = *problem;
  copy->cut_cost = 0;
  copy->stocks = ARENA_ARRAY(arena, problem->stock_count, struct nest_stock);
  memcpy(copy->stocks, problem->stocks, problem->stock_count * sizeof *copy->stocks);
  struct nest_stock *coarse = &copy->stocks[stock];
  coarse->kerf_crosscut = coarse->kerf_rip = 0;
  coarse->rules = (struct nest_rules){.stages = fine->rules.stages,
                                      .crosscut_first = fine->rules.crosscut_first,
                                      .rip_first = fine->rules.rip_first};
  /* where one direction must be cut first, thin waste may be all that it cuts off: a line more */
  coarse->length = meshes_down(fine->length + fine->kerf_crosscut, mesh[DIVIDE_LENGTH]) +
                   (fine->rules.rip_first ? 0 : 1);
  coarse->width = meshes_down(fine->width + fine->kerf_rip, mesh[DIVIDE_WIDTH]) +
                  (fine->rules.crosscut_first ? 0 : 1);
  bool cores = coarsen_options(arena, fine, mesh, coarse);
  for (size_t o = 0; o < coarse->option_count && !cores; o++)
    coarse->options[o].core_x = coarse->options[o].core_y = 0;
  coarsen_flaws(arena, fine, cores, mesh, coarse);
  return is_fit(coarse) ? copy : NULL;
}
