#include "nest_fixture.h"

#include <inttypes.h>

void run_arena_body(void **state) {
  const struct arena_body *body = *state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) body->body(arena);
  arena_destroy(arena);
  assert_int_equal(status, STATUS_OK);
}

/* ---- random numbers ---- */

static uint64_t random_state;

void random_start(uint64_t seed) {
  random_state = seed * UINT64_C(0x9E3779B97F4A7C15) + 1;
  for (int i = 0; i < 4; i++) random_between(0, 1);
}

/* Source of the multiplier: Knuth's MMIX generator. */
int64_t random_between(int64_t low, int64_t high) {
  random_state = random_state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return low + (int64_t)((random_state >> 33) % (uint64_t)(high - low + 1));
}

bool random_chance(int parts, int whole) { return random_between(1, whole) <= parts; }

/* ---- cases ---- */

struct nest_stock plain_stock(length_t length, length_t width, length_t kerf) {
  return (struct nest_stock){
      .length = length,
      .width = width,
      .kerf_crosscut = kerf,
      .kerf_rip = kerf,
      .count = 1,
      .pack = 1,
      .rules = {.stages = 3, .crosscut_first = true, .rip_first = true},
  };
}

struct nest_option plain_option(size_t demand, size_t blank, length_t length, length_t width) {
  return (struct nest_option){.demand = demand, .length = length, .width = width, .blank = blank};
}

/* The parts of a case point to each other, so it is made whole where it lies. */
static void tie(struct random_case *random) {
  random->stock.options = random->options;
  random->stock.flaws = random->flaws;
  random->problem.demand = random->demand;
  random->problem.demand_count = random->stock.option_count;
  random->problem.stocks = &random->stock;
  random->problem.stock_count = 1;
}

void random_case(struct random_case *random, length_t length, length_t width, int stages) {
  *random = (struct random_case){0};
  random->stock = plain_stock(random_between(length / 2, length), random_between(width / 2, width),
                              random_between(0, 2));
  random->stock.kerf_rip = random_between(0, 2);
  random->stock.rules.stages = stages;
  random->stock.option_count = (size_t)random_between(1, 4);
  for (size_t o = 0; o < random->stock.option_count; o++) {
    random->options[o] = plain_option(o, o, random_between(1, random->stock.length),
                                      random_between(1, random->stock.width));
    random->demand[o] = 1;
    random->worth[o] =
        random->options[o].length * random->options[o].width * 4 + random_between(-3, 12);
    if (random->worth[o] < 0) random->worth[o] = 0;
  }
  random->problem.cut_cost = random_chance(1, 2) ? 0 : random_between(1, 6);
  tie(random);
}

void random_rules(struct random_case *random) {
  struct nest_rules *rules = &random->stock.rules;
  if (random_chance(1, 2)) rules->rip_min_length = random_between(1, random->stock.length + 1);
  if (random_chance(1, 3)) rules->crosscut_capacity = random_between(1, random->stock.width);
}

void random_first_cut(struct random_case *random) {
  random->stock.rules.crosscut_first = random_chance(1, 2);
  random->stock.rules.rip_first = !random->stock.rules.crosscut_first;
}

void random_flaws(struct random_case *random) {
  struct nest_stock *stock = &random->stock;
  stock->flaw_count = (size_t)random_between(1, MOST_FLAWS);
  for (size_t f = 0; f < stock->flaw_count; f++)
    random->flaws[f] = (struct nest_flaw){
        random_between(-1, stock->length - 1), random_between(-1, stock->width - 1),
        random_between(1, 3), random_between(1, 2), random_chance(1, 2)};
  for (size_t o = 0; o < stock->option_count; o++) {
    struct nest_option *option = &random->options[o];
    if (option->length > 2 && random_chance(1, 2)) option->core_x = 1;
    if (option->width > 2 && random_chance(1, 2)) option->core_y = 1;
  }
}

void random_case_print(const struct random_case *random) {
  const struct nest_stock *stock = &random->stock;
  fprintf(stderr,
          "stock %" PRId64 " x %" PRId64 ", kerfs %" PRId64 " %" PRId64 ", cut %" PRId64
          ", stages %d, first %d %d, rip_min %" PRId64 ", no wider %d, rip cap %" PRId64
          ", crosscut cap %" PRId64 "\n",
          stock->length, stock->width, stock->kerf_crosscut, stock->kerf_rip,
          random->problem.cut_cost, stock->rules.stages, stock->rules.crosscut_first,
          stock->rules.rip_first, stock->rules.rip_min_length, stock->rules.rip_no_wider_than_long,
          stock->rules.rip_capacity, stock->rules.crosscut_capacity);
  for (size_t o = 0; o < stock->option_count; o++)
    fprintf(stderr,
            "option %zu: %" PRId64 " x %" PRId64 ", core %" PRId64 " %" PRId64 ", worth %" PRId64
            "\n",
            stock->options[o].demand, stock->options[o].length, stock->options[o].width,
            stock->options[o].core_x, stock->options[o].core_y, random->worth[o]);
  for (size_t f = 0; f < stock->flaw_count; f++)
    fprintf(stderr, "flaw at %" PRId64 " %" PRId64 ", %" PRId64 " x %" PRId64 "%s\n",
            stock->flaws[f].x, stock->flaws[f].y, stock->flaws[f].length, stock->flaws[f].width,
            stock->flaws[f].rim_ok ? " may lie in a rim" : "");
}
