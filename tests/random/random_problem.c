#include "random_problem.h"

#include <inttypes.h>

/* The parts of one problem, before they are spread over the stocks that can yield them. */
#define OPTIONS_MAX 40

struct recipe {
  struct arena *arena;
  struct random_source *source;
  struct nest_option options[OPTIONS_MAX];
  size_t option_count;
};

/* Steele, Lea, Flood: Fast splittable pseudorandom number generators (2014), SplitMix64. */
uint64_t random_next(struct random_source *source) {
  source->state += UINT64_C(0x9e3779b97f4a7c15);
  uint64_t z = source->state;
  z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
  z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
  return z ^ (z >> 31);
}

int64_t random_between(struct random_source *source, int64_t low, int64_t high) {
  return low + (int64_t)(random_next(source) % (uint64_t)(high - low + 1));
}

bool random_chance(struct random_source *source, int parts, int whole) {
  return random_between(source, 1, whole) <= parts;
}

static cost_t cents(int64_t amount) { return amount * COST_PER_CENT; }

/* Appends an option, and with `turning` the same turned where that is another shape. */
static void add_option(struct recipe *recipe, struct nest_option option, bool turning) {
  if (recipe->option_count + 2 > OPTIONS_MAX) return;
  recipe->options[recipe->option_count++] = option;
  if (!turning || option.length == option.width) return;
  struct nest_option turned = option;
  turned.length = option.width;
  turned.width = option.length;
  turned.core_x = option.core_y;
  turned.core_y = option.core_x;
  turned.turned = true;
  recipe->options[recipe->option_count++] = turned;
}

/* Gives the stock those options that fit in it; with `some`, a few are left out. */
static void offer(struct recipe *recipe, struct nest_stock *stock, bool some) {
  stock->options = ARENA_ARRAY(recipe->arena, recipe->option_count, struct nest_option);
  for (size_t i = 0; i < recipe->option_count; i++) {
    const struct nest_option *option = &recipe->options[i];
    if (option->length > stock->length || option->width > stock->width) continue;
    if (some && random_chance(recipe->source, 1, 3)) continue;
    stock->options[stock->option_count++] = *option;
  }
}

/* Raw stock is trimmed by whole cuts: none, two or four. */
static void trim_stocks(struct random_source *source, struct nest_problem *problem) {
  for (size_t s = 0; s < problem->stock_count; s++) {
    struct nest_stock *stock = &problem->stocks[s];
    if (stock->given != NULL) continue;
    stock->trim_cost = 2 * random_between(source, 0, 2) * problem->cut_cost;
    stock->cost += stock->trim_cost;
  }
}

static void random_turns(struct random_source *source, struct nest_rules *rules) {
  rules->stages = (int)random_between(source, 0, 3);
  int64_t first = random_between(source, 0, 3);
  rules->crosscut_first = first != 1;
  rules->rip_first = first != 2;
}

/* --- tiny ---------------------------------------------------------------------------- */

static length_t tiny_length(struct random_source *source, int64_t low, int64_t high) {
  return random_between(source, low, high) * RANDOM_TINY_UNIT;
}

static void tiny_rules(struct random_source *source, struct nest_rules *rules) {
  random_turns(source, rules);
  if (random_chance(source, 1, 5)) rules->rip_min_length = tiny_length(source, 2, 6);
  if (random_chance(source, 1, 5)) rules->rip_no_wider_than_long = true;
  if (random_chance(source, 1, 5)) rules->rip_capacity = tiny_length(source, 1, 3);
  if (random_chance(source, 1, 5)) rules->crosscut_capacity = tiny_length(source, 3, 6);
}

static void tiny_flaws(struct random_source *source, struct arena *arena,
                       struct nest_stock *stock) {
  stock->flaw_count = (size_t)random_between(source, 1, 2);
  stock->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct nest_flaw);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    struct nest_flaw *flaw = &stock->flaws[i];
    flaw->x = tiny_length(source, -1, stock->length / RANDOM_TINY_UNIT - 1);
    flaw->y = tiny_length(source, -1, stock->width / RANDOM_TINY_UNIT - 1);
    flaw->length = tiny_length(source, 1, 2);
    flaw->width = tiny_length(source, 1, 2);
    flaw->rim_ok = random_chance(source, 1, 3);
  }
  stock->count = 1;
}

static void tiny_stock(struct recipe *recipe, struct nest_stock *stock) {
  struct random_source *source = recipe->source;
  stock->length = tiny_length(source, 5, 12);
  stock->width = tiny_length(source, 2, 6);
  stock->kerf_crosscut = RANDOM_TINY_UNIT * (random_chance(source, 1, 4) ? 2 : 1);
  stock->kerf_rip = RANDOM_TINY_UNIT * (random_chance(source, 1, 4) ? 2 : 1);
  stock->count = random_chance(source, 1, 2) ? -1 : random_between(source, 1, 3);
  stock->pack = stock->count < 0 && random_chance(source, 1, 5) ? random_between(source, 2, 3) : 1;
  stock->cost = cents(random_between(source, 0, 9) * 100);
  tiny_rules(source, &stock->rules);
  if (random_chance(source, 1, 3)) tiny_flaws(source, recipe->arena, stock);
  if (stock->flaw_count > 0) stock->pack = 1;
  offer(recipe, stock, random_chance(source, 1, 6));
}

/* Pieces that lie ready, one of a demand to the unit. */
static void tiny_ready(struct recipe *recipe, const struct nest_problem *problem,
                       struct nest_stock *stock) {
  struct random_source *source = recipe->source;
  int64_t *given = ARENA_ARRAY(recipe->arena, problem->demand_count, int64_t);
  given[random_between(source, 0, (int64_t)problem->demand_count - 1)] = 1;
  stock->given = given;
  stock->count = random_between(source, 1, 2);
  stock->pack = 1;
  stock->cost = cents(random_between(source, 0, 9) * 50);
}

static void tiny(struct recipe *recipe, struct nest_problem *problem) {
  struct random_source *source = recipe->source;
  problem->demand_count = (size_t)random_between(source, 1, 3);
  problem->demand = ARENA_ARRAY(recipe->arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) {
    problem->demand[d] = random_between(source, 1, problem->demand_count == 1 ? 6 : 3);
    struct nest_option option = {.demand = d, .blank = 10 * d};
    option.length = tiny_length(source, 1, 5);
    option.width = tiny_length(source, 1, 3);
    if (option.length > 2 * RANDOM_TINY_UNIT) option.core_x = tiny_length(source, 0, 1);
    if (option.width > 2 * RANDOM_TINY_UNIT) option.core_y = tiny_length(source, 0, 1);
    add_option(recipe, option, random_chance(source, 1, 3));
    if (!random_chance(source, 1, 4)) continue;
    option.blank++;
    option.length += RANDOM_TINY_UNIT;
    option.width = option.width > RANDOM_TINY_UNIT ? option.width - RANDOM_TINY_UNIT
                                                   : option.width + RANDOM_TINY_UNIT;
    option.core_y = 0;
    add_option(recipe, option, false);
  }
  problem->stock_count = (size_t)random_between(source, 1, 3);
  problem->stocks = ARENA_ARRAY(recipe->arena, problem->stock_count, struct nest_stock);
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (s > 0 && random_chance(source, 1, 8))
      tiny_ready(recipe, problem, &problem->stocks[s]);
    else
      tiny_stock(recipe, &problem->stocks[s]);
  }
  problem->cut_cost = random_chance(source, 1, 2) ? 0 : cents(random_between(source, 1, 80));
}

/* --- small --------------------------------------------------------------------------- */

static void small_flaw(struct random_source *source, struct arena *arena,
                       struct nest_stock *stock) {
  struct nest_flaw *flaw = ARENA_NEW(arena, struct nest_flaw);
  flaw->length = MM(random_between(source, 10, 60));
  flaw->width = MM(random_between(source, 8, 40));
  flaw->x = MM(random_between(source, 0, stock->length / MM(1) - 40));
  flaw->y = MM(random_between(source, -5, stock->width / MM(1) - 10));
  flaw->rim_ok = random_chance(source, 1, 3);
  stock->flaws = flaw;
  stock->flaw_count = 1;
  stock->count = 1;
  stock->pack = 1;
}

static void small_rules(struct random_source *source, struct nest_rules *rules) {
  if (random_chance(source, 1, 2)) rules->rip_min_length = MM(10 * random_between(source, 15, 35));
  if (random_chance(source, 1, 3)) rules->rip_no_wider_than_long = true;
  if (random_chance(source, 1, 3)) rules->rip_capacity = MM(10 * random_between(source, 3, 9));
  if (random_chance(source, 1, 3))
    rules->crosscut_capacity = MM(10 * random_between(source, 9, 18));
}

static void small_stock(struct recipe *recipe, enum random_kind kind, struct nest_stock *stock,
                        bool last) {
  struct random_source *source = recipe->source;
  stock->length = MM(10 * random_between(source, 40, 90));
  stock->width = MM(10 * random_between(source, 10, 20));
  stock->kerf_crosscut = MM(3);
  stock->kerf_rip = random_chance(source, 1, 4) ? MM(4) : MM(3);
  stock->count = last || random_chance(source, 1, 3) ? -1 : random_between(source, 1, 4);
  stock->pack = random_chance(source, 1, 6) ? 2 : 1;
  if (stock->pack > 1 && stock->count > 0) stock->count *= 2;
  int64_t area = stock->length / MM(10) * (stock->width / MM(10));
  stock->cost = cents(area * random_between(source, 8, 13) / 10);
  random_turns(source, &stock->rules);
  if (kind == RANDOM_SMALL_RULES) small_rules(source, &stock->rules);
  if (kind == RANDOM_SMALL_FLAW && !last) small_flaw(source, recipe->arena, stock);
  offer(recipe, stock, false);
}

/* The stock of which there is no end can yield every part, but for its rules. */
static void small(struct recipe *recipe, enum random_kind kind, struct nest_problem *problem) {
  struct random_source *source = recipe->source;
  problem->demand_count = (size_t)random_between(source, 1, 3);
  problem->demand = ARENA_ARRAY(recipe->arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) {
    problem->demand[d] = random_between(source, 1, 12);
    struct nest_option option = {.demand = d, .blank = 10 * d};
    option.length = MM(5 * random_between(source, 20, 70));
    option.width = MM(5 * random_between(source, 8, 19));
    option.core_x = MM(random_between(source, 0, 14));
    option.core_y = MM(random_between(source, 0, 14));
    add_option(recipe, option, random_chance(source, 1, 5));
    if (!random_chance(source, 1, 4)) continue;
    option.blank++;
    option.length += MM(30);
    option.width -= MM(15);
    option.core_y = 0;
    add_option(recipe, option, false);
  }
  bool flaw = kind == RANDOM_SMALL_FLAW;
  problem->stock_count = (size_t)(flaw ? 2 : random_between(source, 1, 3));
  problem->stocks = ARENA_ARRAY(recipe->arena, problem->stock_count, struct nest_stock);
  for (size_t s = 0; s < problem->stock_count; s++)
    small_stock(recipe, kind, &problem->stocks[s], s + 1 == problem->stock_count);
  if (!flaw && random_chance(source, 1, 2))
    problem->cut_cost = cents(random_between(source, 1, 60));
}

/* --- craft --------------------------------------------------------------------------- */

/* Sizes in steps of 5 mm, or of half a millimetre with `fine`. */
static length_t craft_size(struct random_source *source, bool fine, int64_t low, int64_t high) {
  return fine ? MM(1) / 2 * random_between(source, 2 * low, 2 * high)
              : MM(5) * random_between(source, low / 5, high / 5);
}

static void craft_parts(struct recipe *recipe, struct nest_problem *problem) {
  struct random_source *source = recipe->source;
  bool fine = random_chance(source, 1, 5);
  int64_t sets = random_between(source, 1, 60);
  problem->demand_count = (size_t)random_between(source, 3, 8);
  problem->demand = ARENA_ARRAY(recipe->arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) {
    problem->demand[d] = sets * random_between(source, 1, 6);
    struct nest_option option = {.demand = d, .blank = 10 * d};
    option.length = craft_size(source, fine, 60, 420);
    option.width = craft_size(source, fine, 25, 110);
    bool blank = random_chance(source, 1, 2);
    option.core_x = blank ? MM(8) : 0;
    option.core_y = option.core_x;
    add_option(recipe, option, random_chance(source, 1, 4));
    if (!blank || !random_chance(source, 1, 2)) continue;
    option.blank++; /* clamped on its sides instead of its ends */
    option.length -= MM(25);
    option.width += MM(25);
    add_option(recipe, option, random_chance(source, 1, 8));
  }
}

static void craft_rules(struct random_source *source, struct nest_rules *rules) {
  random_turns(source, rules);
  if (random_chance(source, 2, 3)) rules->stages = 3;
  if (!random_chance(source, 2, 5)) return;
  rules->rip_min_length = MM(300);
  rules->rip_no_wider_than_long = random_chance(source, 1, 2);
  if (random_chance(source, 1, 2)) rules->rip_capacity = MM(random_between(source, 90, 600));
  if (random_chance(source, 1, 3)) rules->crosscut_capacity = MM(300);
}

static void craft_flaws(struct random_source *source, struct arena *arena,
                        struct nest_stock *stock) {
  stock->flaw_count = (size_t)random_between(source, 1, 4);
  stock->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct nest_flaw);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    struct nest_flaw *flaw = &stock->flaws[i];
    flaw->x = MM(random_between(source, -20, stock->length / MM(1) - 10));
    flaw->y = MM(random_between(source, -20, stock->width / MM(1) - 10));
    flaw->length = MM(random_between(source, 10, 90));
    flaw->width = MM(random_between(source, 8, 50));
    flaw->rim_ok = random_chance(source, 1, 4);
  }
}

static void craft_stock(struct recipe *recipe, const struct nest_rules *rules,
                        struct nest_stock *stock, bool rack) {
  struct random_source *source = recipe->source;
  stock->length = MM(random_between(source, rack ? 500 : 900, 2500));
  stock->width = MM(random_between(source, 90, 250));
  stock->kerf_crosscut = MM(3);
  stock->kerf_rip = random_chance(source, 1, 5) ? MM(16) / 5 : MM(3);
  stock->count = rack ? 1 : random_chance(source, 1, 5) ? random_between(source, 2, 12) : -1;
  stock->pack =
      !rack && stock->count < 0 && random_chance(source, 1, 6) ? random_between(source, 2, 5) : 1;
  int64_t area = stock->length / MM(10) * (stock->width / MM(10));
  stock->cost = cents(area * random_between(source, 60, 140) / 100);
  stock->rules = *rules;
  offer(recipe, stock, random_chance(source, 1, 6));
}

static void craft(struct recipe *recipe, struct nest_problem *problem) {
  struct random_source *source = recipe->source;
  craft_parts(recipe, problem);
  struct nest_rules rules = {0};
  craft_rules(source, &rules);
  size_t yard = (size_t)random_between(source, 1, 4);
  size_t rack = (size_t)random_between(source, 0, 6);
  bool flawed = random_chance(source, 1, 3);
  problem->stock_count = yard + rack;
  problem->stocks = ARENA_ARRAY(recipe->arena, yard + rack, struct nest_stock);
  for (size_t s = 0; s < yard + rack; s++) {
    struct nest_stock *stock = &problem->stocks[s];
    craft_stock(recipe, &rules, stock, s < rack);
    stock->stock = s;
    if (s < rack && flawed) craft_flaws(source, recipe->arena, stock);
  }
  if (random_chance(source, 1, 2))
    problem->cut_cost = random_between(source, 1, 40) * COST_PER_CENT;
  if (random_chance(source, 1, 8)) problem->cut_cost = COST_PER_CENT * 7 / 3 + 1;
}

/* ------------------------------------------------------------------------------------- */

struct nest_problem *random_problem(struct arena *arena, enum random_kind kind, uint64_t seed) {
  struct random_source source = {.state = seed * 8 + (uint64_t)kind};
  struct recipe recipe = {.arena = arena, .source = &source};
  struct nest_problem *problem = ARENA_NEW(arena, struct nest_problem);
  switch (kind) {
    case RANDOM_TINY:
      tiny(&recipe, problem);
      break;
    case RANDOM_CRAFT:
      craft(&recipe, problem);
      break;
    case RANDOM_SMALL:
    case RANDOM_SMALL_RULES:
    case RANDOM_SMALL_FLAW:
      small(&recipe, kind, problem);
      break;
  }
  trim_stocks(&source, problem);
  return problem;
}

static void print_stock(FILE *file, const struct nest_stock *stock) {
  const struct nest_rules *rules = &stock->rules;
  fprintf(file, "stock %" PRId64 " x %" PRId64 " kerf %" PRId64 " %" PRId64, stock->length,
          stock->width, stock->kerf_crosscut, stock->kerf_rip);
  fprintf(file, " count %" PRId64 " pack %" PRId64 " cost %" PRId64 " trim_cost %" PRId64 "\n",
          stock->count, stock->pack, stock->cost, stock->trim_cost);
  fprintf(file, "  rules stages %d first %s%s rip_min_length %" PRId64, rules->stages,
          rules->crosscut_first ? "crosscut " : "", rules->rip_first ? "rip" : "",
          rules->rip_min_length);
  fprintf(file, " no_wider %d rip_capacity %" PRId64 " crosscut_capacity %" PRId64 "\n",
          rules->rip_no_wider_than_long, rules->rip_capacity, rules->crosscut_capacity);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &stock->flaws[i];
    fprintf(file, "  flaw %" PRId64 " %" PRId64 " %" PRId64 " x %" PRId64 "%s\n", flaw->x, flaw->y,
            flaw->length, flaw->width, flaw->rim_ok ? " rim_ok" : "");
  }
  for (size_t i = 0; i < stock->option_count; i++) {
    const struct nest_option *option = &stock->options[i];
    fprintf(file, "  option demand %zu %" PRId64 " x %" PRId64 " core %" PRId64 " %" PRId64,
            option->demand, option->length, option->width, option->core_x, option->core_y);
    fprintf(file, " blank %zu%s\n", option->blank, option->turned ? " turned" : "");
  }
}

void random_problem_print(FILE *file, const struct nest_problem *problem) {
  fprintf(file, "cut_cost %" PRId64 " demand", problem->cut_cost);
  for (size_t d = 0; d < problem->demand_count; d++) fprintf(file, " %" PRId64, problem->demand[d]);
  fprintf(file, "\n");
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    print_stock(file, stock);
    if (stock->given == NULL) continue;
    fprintf(file, "  given");
    for (size_t d = 0; d < problem->demand_count; d++) fprintf(file, " %" PRId64, stock->given[d]);
    fprintf(file, "\n");
  }
}
