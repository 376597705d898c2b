#include "published_problem.h"

static int64_t common_divisor(int64_t a, int64_t b) {
  while (b != 0) {
    int64_t rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

static void add_options(struct arena *arena, const struct instance *instance, bool turning,
                        struct nest_stock *stock) {
  stock->options = ARENA_ARRAY(arena, 2 * instance->item_count, struct nest_option);
  for (size_t i = 0; i < instance->item_count; i++) {
    const struct instance_item *item = &instance->items[i];
    struct nest_option option = {
        .demand = i, .length = item->width, .width = item->height, .blank = i};
    for (int turn = 0; turn < (turning && item->width != item->height ? 2 : 1); turn++) {
      if (option.length <= stock->length && option.width <= stock->width)
        stock->options[stock->option_count++] = option;
      option = (struct nest_option){
          .demand = i, .length = item->height, .width = item->width, .blank = i, .turned = true};
    }
  }
}

static void add_flaws(struct arena *arena, const struct instance *instance, int64_t copy,
                      struct nest_stock *stock) {
  stock->flaws = ARENA_ARRAY(arena, instance->defect_count, struct nest_flaw);
  for (size_t i = 0; i < instance->defect_count; i++) {
    const struct instance_defect *defect = &instance->defects[i];
    if (defect->copy != copy) continue;
    stock->flaws[stock->flaw_count++] = (struct nest_flaw){
        .x = defect->x, .y = defect->y, .length = defect->width, .width = defect->height};
  }
}

static bool is_flawed(const struct instance *instance, int64_t copy) {
  for (size_t i = 0; i < instance->defect_count; i++)
    if (instance->defects[i].copy == copy) return true;
  return false;
}

static struct nest_stock *add_stock(struct arena *arena, const struct instance *instance,
                                    const struct instance_sheet *sheet, bool turning,
                                    struct nest_problem *problem) {
  struct nest_stock *stock = &problem->stocks[problem->stock_count];
  *stock = (struct nest_stock){.length = sheet->width,
                               .width = sheet->height,
                               .count = sheet->count,
                               .pack = 1,
                               .cost = sheet->cost,
                               .rules = {.crosscut_first = true, .rip_first = true},
                               .stock = problem->stock_count};
  problem->stock_count++;
  add_options(arena, instance, turning, stock);
  return stock;
}

/* Flawed copies are stocks of their own, one piece of each. `copy` is the sheet's first. */
static void add_sheet(struct arena *arena, const struct instance *instance,
                      const struct instance_sheet *sheet, int64_t copy, bool turning,
                      struct nest_problem *problem) {
  struct instance_sheet clear = *sheet;
  int64_t last = instance->defect_count == 0 ? copy - 1 : copy;
  for (size_t i = 0; i < instance->defect_count; i++)
    if (instance->defects[i].copy > last) last = instance->defects[i].copy;
  if (sheet->count >= 0 && last > copy + sheet->count - 1) last = copy + sheet->count - 1;
  for (int64_t c = copy; c <= last; c++) {
    if (!is_flawed(instance, c)) continue;
    struct nest_stock *stock = add_stock(arena, instance, sheet, turning, problem);
    stock->count = 1;
    add_flaws(arena, instance, c, stock);
    if (clear.count > 0) clear.count--;
  }
  if (clear.count != 0) add_stock(arena, instance, &clear, turning, problem);
}

/* More pieces than the sheet's area holds are of no use. */
static int64_t most_of_use(const struct instance *instance, const struct instance_item *item) {
  const struct instance_sheet *sheet = &instance->sheets[0];
  int64_t room = sheet->width * sheet->height / (item->width * item->height);
  return item->demand < 0 || item->demand > room ? room : item->demand;
}

static void set_knapsack(struct arena *arena, const struct instance *instance, bool turning,
                         struct nest_problem *problem) {
  struct instance_sheet sheet = instance->sheets[0];
  sheet.count = 1;
  sheet.cost = 0;
  add_sheet(arena, instance, &sheet, 1, turning, problem);
  for (size_t i = 0; i < instance->item_count; i++)
    problem->demand[i] = most_of_use(instance, &instance->items[i]);
}

/* One size of which the data name but one piece (a knapsack's) is taken to have no end. */
static void set_packing(struct arena *arena, const struct instance *instance, bool turning,
                        struct nest_problem *problem, int64_t *unit) {
  bool single = instance->sheet_count == 1 && instance->sheets[0].count <= 1;
  int64_t copy = 1;
  for (size_t s = 0; s < instance->sheet_count; s++) {
    struct instance_sheet sheet = instance->sheets[s];
    if (single) {
      sheet.count = -1;
      sheet.cost = 1;
    }
    *unit = s == 0 ? sheet.cost : common_divisor(*unit, sheet.cost);
    add_sheet(arena, instance, &sheet, copy, turning, problem);
    copy += sheet.count < 0 ? 0 : sheet.count;
  }
  if (*unit == 0) *unit = 1;
  for (size_t s = 0; s < problem->stock_count; s++)
    problem->stocks[s].cost = problem->stocks[s].cost / *unit * COST_PER_CENT;
  for (size_t i = 0; i < instance->item_count; i++) problem->demand[i] = instance->items[i].demand;
}

struct nest_problem *published_problem(struct arena *arena, const struct instance *instance,
                                       enum question question, int64_t *unit) {
  struct nest_problem *problem = ARENA_NEW(arena, struct nest_problem);
  problem->demand_count = instance->item_count;
  problem->demand = ARENA_ARRAY(arena, instance->item_count, int64_t);
  problem->stocks =
      ARENA_ARRAY(arena, instance->sheet_count + instance->defect_count, struct nest_stock);
  *unit = 1;
  if (question_is_knapsack(question))
    set_knapsack(arena, instance, question_turns(question), problem);
  else
    set_packing(arena, instance, question_turns(question), problem, unit);
  return problem;
}
