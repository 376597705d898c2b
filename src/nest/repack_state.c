#include "nest/repack_state.h"

#include <math.h>
#include <string.h>

#include "nest/random.h"

enum { AREA_BITS = 24, MOST_PLATES = 4096 };

size_t packing_below(struct packing *packing, size_t limit) {
  return (size_t)(((random_draw(&packing->random) >> 32) * (uint64_t)limit) >> 32);
}

/* ---- making ---- */

static bool is_ruled(const struct nest_rules *rules) {
  return rules->stages > 0 || !rules->crosscut_first || !rules->rip_first ||
         rules->rip_min_length > 0 || rules->rip_no_wider_than_long || rules->rip_capacity > 0 ||
         rules->crosscut_capacity > 0;
}

static double largest_area(const struct nest_problem *problem) {
  double largest = 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    double area = (double)stock->length * (double)stock->width;
    if (stock->given == NULL && area > largest) largest = area;
  }
  return largest;
}

static void make_kind(const struct packing *packing, size_t s, double scale) {
  const struct nest_stock *stock = &packing->problem->stocks[s];
  struct plate_kind *kind = &packing->kinds[s];
  *kind = (struct plate_kind){
      .stock = stock,
      .kerf = {stock->kerf_crosscut, stock->kerf_rip},
      .extent = {stock->length + stock->kerf_crosscut, stock->width + stock->kerf_rip},
      .least = {INT64_MAX, INT64_MAX},
      .scale = scale,
      .ruled = is_ruled(&stock->rules),
      .flawed = stock->flaw_count > 0};
  const size_t *first = &packing->size_first[s * (packing->problem->demand_count + 1)];
  for (size_t i = first[0]; i < first[packing->problem->demand_count]; i++)
    for (int axis = 0; axis < 2; axis++)
      if (packing->sizes[i].size[axis] < kind->least[axis])
        kind->least[axis] = packing->sizes[i].size[axis];
  kind->value = plate_value(kind, kind->extent[0], kind->extent[1]);
}

/* The options of each demand in each stock; those of the same size but once. */
static void list_sizes(struct arena *arena, struct packing *packing, double scale) {
  const struct nest_problem *problem = packing->problem;
  size_t demands = problem->demand_count;
  size_t total = 0;
  for (size_t s = 0; s < problem->stock_count; s++) total += problem->stocks[s].option_count;
  packing->sizes = ARENA_ARRAY(arena, total, struct wanted_size);
  packing->size_first = ARENA_ARRAY(arena, problem->stock_count * (demands + 1), size_t);
  size_t count = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    size_t *first = &packing->size_first[s * (demands + 1)];
    for (size_t d = 0; d < demands; d++) {
      first[d] = count;
      for (size_t o = 0; o < stock->option_count && stock->given == NULL; o++) {
        const struct nest_option *option = &stock->options[o];
        if (option->demand != d || packing->open[d] <= 0) continue;
        if (option->length > stock->length || option->width > stock->width) continue;
        struct wanted_size size = {
            {option->length + stock->kerf_crosscut, option->width + stock->kerf_rip},
            (double)(option->length * option->width) * scale,
            (uint32_t)o};
        bool known = false;
        for (size_t i = first[d]; i < count && !known && stock->flaw_count == 0; i++)
          known = memcmp(packing->sizes[i].size, size.size, sizeof size.size) == 0;
        if (!known) packing->sizes[count++] = size;
      }
    }
    first[demands] = count;
  }
}

static void set_areas(struct packing *packing, double scale) {
  const struct nest_problem *problem = packing->problem;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    for (size_t o = 0; o < stock->option_count && stock->given == NULL; o++) {
      const struct nest_option *option = &stock->options[o];
      int64_t area = (int64_t)((double)(option->length * option->width) * scale) + 1;
      int64_t *known = &packing->area[option->demand];
      if (*known == 0 || area < *known) *known = area;
    }
  }
}

static void set_open(struct packing *packing, size_t d, int64_t count) {
  packing->standing.open_area += (count - packing->open[d]) * packing->area[d];
  if (packing->open[d] == 0 && count > 0) {
    packing->wanted_at[d] = packing->wanted_count;
    packing->wanted[packing->wanted_count++] = d;
  } else if (packing->open[d] > 0 && count == 0) {
    size_t last = packing->wanted[--packing->wanted_count];
    packing->wanted[packing->wanted_at[d]] = last;
    packing->wanted_at[last] = packing->wanted_at[d];
  }
  packing->open[d] = count;
}

/* The most pieces a stock can hold, by area. */
static int64_t pieces_in(const struct packing *packing, size_t s, int64_t pieces) {
  const struct plate_kind *kind = &packing->kinds[s];
  const size_t *first = &packing->size_first[s * (packing->problem->demand_count + 1)];
  double least = 0;
  for (size_t i = first[0]; i < first[packing->problem->demand_count]; i++) {
    double area = (double)packing->sizes[i].size[0] * (double)packing->sizes[i].size[1];
    if (least <= 0 || area < least) least = area;
  }
  if (least <= 0) return 0;
  double most = (double)kind->extent[0] * (double)kind->extent[1] / least;
  return most < (double)pieces ? (int64_t)most : pieces;
}

/* As many plates as could be used at once. Few ever are: room is made for those alone. */
static void make_plates(struct arena *arena, struct packing *packing, int64_t pieces) {
  const struct nest_problem *problem = packing->problem;
  int64_t plates = 0;
  int64_t most = 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t held = packing->available[s] > 0 ? pieces_in(packing, s, pieces) : 0;
    if (held == 0) packing->available[s] = 0;
    if (packing->available[s] > pieces) packing->available[s] = pieces;
    if (held > most) most = held;
    plates += packing->available[s];
  }
  if (plates > pieces) plates = pieces;
  if (plates > MOST_PLATES) plates = MOST_PLATES;
  packing->room = (size_t)(most < 1000 ? most : 1000) * 6 + 4 * PLATE_INSERT_CELLS;
  packing->plate_count = (size_t)plates;
  packing->plates = ARENA_ARRAY(arena, plates, struct plate);
  packing->before = ARENA_ARRAY(arena, plates, struct plate);
  packing->touched = ARENA_ARRAY(arena, plates, uint64_t);
  packing->touched_list = ARENA_ARRAY(arena, plates, size_t);
  packing->reach = (length_t(*)[2])arena_alloc(arena, (size_t)plates, sizeof *packing->reach);
  packing->live = ARENA_ARRAY(arena, plates, size_t);
  packing->store = arena_create_child(arena);
  packing->out = ARENA_ARRAY(arena, packing->room, uint32_t);
}

static void find_hopeless(struct packing *packing) {
  size_t demands = packing->problem->demand_count;
  for (size_t d = 0; d < demands; d++) {
    bool any = packing->open[d] <= 0;
    for (size_t s = 0; s < packing->problem->stock_count && !any; s++) {
      const size_t *first = &packing->size_first[s * (demands + 1) + d];
      any = packing->available[s] > 0 && first[0] < first[1];
    }
    if (!any) packing->hopeless_area += packing->open[d] * packing->area[d];
  }
}

void packing_set_worths(struct packing *packing, const cost_t *worth) {
  for (size_t d = 0; d < packing->problem->demand_count; d++) {
    packing->standing.open_area += packing->open[d] * (worth[d] - packing->area[d]);
    packing->area[d] = worth[d];
  }
  packing->hopeless_area = 0;
  find_hopeless(packing);
}

struct packing *packing_create(struct arena *arena, const struct nest_problem *problem,
                               const int64_t *demand, const int64_t *available) {
  struct packing *packing = ARENA_NEW(arena, struct packing);
  size_t demands = problem->demand_count;
  size_t stocks = problem->stock_count;
  double scale = (double)(1 << AREA_BITS) / largest_area(problem);
  int64_t pieces = 0;
  packing->problem = problem;
  packing->open = ARENA_ARRAY(arena, demands, int64_t);
  packing->area = ARENA_ARRAY(arena, demands, int64_t);
  packing->wanted = ARENA_ARRAY(arena, demands, size_t);
  packing->wanted_at = ARENA_ARRAY(arena, demands, size_t);
  packing->offers = ARENA_ARRAY(arena, demands, struct offer_place);
  packing->available = ARENA_ARRAY(arena, stocks, int64_t);
  packing->used = ARENA_ARRAY(arena, stocks, int64_t);
  packing->kinds = ARENA_ARRAY(arena, stocks, struct plate_kind);
  packing->blanks = ARENA_ARRAY(arena, stocks, struct plate);
  set_areas(packing, scale);
  for (size_t d = 0; d < demands; d++) {
    if (nest_is_match(problem, d)) continue;
    if (packing->area[d] == 0) packing->area[d] = 1; /* no option: it stays open */
    set_open(packing, d, demand[d]);
    pieces += demand[d];
  }
  list_sizes(arena, packing, scale);
  for (size_t s = 0; s < stocks; s++) {
    if (problem->stocks[s].given != NULL) continue;
    packing->available[s] = available[s];
    make_kind(packing, s, scale);
    packing->blanks[s] = plate_create(arena, PLATE_INSERT_CELLS);
    plate_clear(&packing->blanks[s], &packing->kinds[s], s);
  }
  make_plates(arena, packing, pieces);
  find_hopeless(packing);
  for (size_t s = 0; s < stocks; s++)
    packing->standing.value += packing->available[s] * packing->kinds[s].value;
  /* in a round each piece is taken out and placed but once, surplus of a layout beside */
  packing->moved = ARENA_ARRAY(arena, 2 * ((size_t)pieces + PLATE_CELLS_MOST), size_t);
  packing->round = 1;
  return packing;
}

/* ---- plates ---- */

bool packing_may_open(const struct packing *packing, size_t s) {
  return packing->used[s] < packing->available[s] && packing->live_count < packing->plate_count;
}

static void list_live(struct packing *packing) {
  packing->live_count = 0;
  for (size_t p = 0; p < packing->plate_count; p++)
    if (packing->plates[p].open) packing->live[packing->live_count++] = p;
}

void packing_touch(struct packing *packing, size_t p) {
  if (packing->touched[p] == packing->round) return;
  packing->touched[p] = packing->round;
  packing->touched_list[packing->touched_count++] = p;
  if (packing->plates[p].cells == NULL) {
    packing->plates[p] = plate_create(packing->store, packing->room);
    packing->before[p] = plate_create(packing->store, packing->room);
  }
  plate_copy(&packing->before[p], &packing->plates[p]);
}

void packing_measure(struct packing *packing, size_t p) {
  packing->reach[p][0] = packing->reach[p][1] = 0;
  if (packing->plates[p].open) plate_measure(&packing->plates[p], packing->reach[p]);
}

size_t packing_open_plate(struct packing *packing, size_t s) {
  if (!packing_may_open(packing, s)) return SIZE_MAX;
  size_t p = 0;
  while (packing->plates[p].open) p++;
  packing_touch(packing, p);
  plate_clear(&packing->plates[p], &packing->kinds[s], s);
  packing->plates[p].open = true;
  packing->used[s]++;
  packing_measure(packing, p);
  list_live(packing);
  return p;
}

static void give_back(struct packing *packing, size_t p) {
  size_t s = packing->plates[p].kind;
  packing->plates[p].open = false;
  packing->used[s]--;
  packing_measure(packing, p);
  list_live(packing);
}

static void note(struct packing *packing, size_t move) {
  packing->moved[packing->moved_count++] = move;
}

void packing_placed(struct packing *packing, size_t d) {
  set_open(packing, d, packing->open[d] - 1);
  note(packing, ~d);
}

void packing_take_out(struct packing *packing, size_t p, uint16_t cell) {
  struct plate *plate = &packing->plates[p];
  const struct plate_kind *kind = &packing->kinds[plate->kind];
  packing_touch(packing, p);
  packing->standing.value -= plate->value;
  size_t count = plate_remove(kind, plate, cell, packing->out);
  packing_measure(packing, p);
  packing->standing.value += plate->value;
  for (size_t i = 0; i < count; i++) {
    size_t d = kind->stock->options[packing->out[i]].demand;
    set_open(packing, d, packing->open[d] + 1);
    note(packing, d);
  }
  if (plate->piece_count == 0) give_back(packing, p);
}

void packing_tighten(struct packing *packing) {
  for (size_t i = 0; i < packing->touched_count; i++) {
    struct plate *plate = &packing->plates[packing->touched_list[i]];
    const struct plate_kind *kind = &packing->kinds[plate->kind];
    const struct nest_rules *rules = &kind->stock->rules;
    if (!plate->open || kind->flawed) continue;
    if (rules->rip_min_length > 0 || rules->rip_no_wider_than_long) continue;
    packing->standing.value -= plate->value;
    plate_tighten(kind, plate);
    packing_measure(packing, packing->touched_list[i]);
    packing->standing.value += plate->value;
  }
}

void packing_keep(struct packing *packing) {
  packing->round++;
  packing->touched_count = 0;
  packing->moved_count = 0;
}

/* A plate that is not open stands for no stock. */
static void account(struct packing *packing, const struct plate *plate, int sign) {
  if (!plate->open) return;
  packing->used[plate->kind] += sign;
  packing->standing.value += sign * (plate->value - packing->kinds[plate->kind].value);
}

void packing_restore(struct packing *packing) {
  bool changed = false;
  for (size_t i = 0; i < packing->touched_count; i++) {
    size_t p = packing->touched_list[i];
    struct plate *plate = &packing->plates[p];
    const struct plate *before = &packing->before[p];
    account(packing, plate, -1);
    changed = changed || plate->open != before->open;
    plate_copy(plate, before);
    account(packing, plate, 1);
    packing_measure(packing, p);
  }
  while (packing->moved_count > 0) {
    size_t move = packing->moved[--packing->moved_count];
    bool placed = move > SIZE_MAX / 2;
    size_t d = placed ? ~move : move;
    set_open(packing, d, packing->open[d] + (placed ? 1 : -1));
  }
  if (changed) list_live(packing);
  packing_keep(packing);
}

void packing_clear(struct packing *packing) {
  packing_keep(packing);
  while (packing->live_count > 0) {
    packing_take_out(packing, packing->live[0], 0);
    packing_keep(packing);
  }
}
