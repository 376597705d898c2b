#include "plate_model.h"

#include <inttypes.h>
#include <string.h>

#include "cut_places.h"

#define NO_PLATE SIZE_MAX

/* `stage` counts the changes of direction, the first cut included; 0 is the whole stock.
 * Where stages have no limit it is 1 after the first cut. x and y are 0 where the stock has
 * no flaws, since all places are alike then. */
struct plate {
  size_t stock;
  length_t x, y, length, width;
  int stage;
  enum cut_axis last;
};

struct column {
  cost_t cost;
  int64_t upper;
};

struct entry {
  size_t row, column;
  int64_t coefficient;
};

/* Rows: plates first come in order of discovery, then demands, then stocks (packs). They are
 * numbered as `plate row` 0.., `demand row`, `pack row` in three separate lists. */
enum row_kind { ROW_PLATE, ROW_DEMAND, ROW_PACK, ROW_KINDS };

struct entries {
  struct entry *items;
  size_t count, room;
};

struct plate_model {
  struct arena *arena;
  const struct nest_problem *problem;
  struct cut_places *places; /* per stock */
  struct plate *plates;
  size_t plate_count, plate_room;
  int64_t pieces; /* wanted in all: no cut that is needed is made more often */
  size_t *slots;  /* hash table of plate numbers, NO_PLATE where free */
  size_t slot_count;
  struct column *columns;
  size_t column_count, column_room;
  struct entries rows[ROW_KINDS];
};

static size_t add_column(struct plate_model *model, cost_t cost, int64_t upper) {
  struct column *column =
      ARENA_PUSH(model->arena, model->columns, model->column_count, model->column_room);
  *column = (struct column){cost, upper};
  return model->column_count - 1;
}

/* Columns are made one after the other, so a repeat can only be among the last entries. */
static void add_entry(struct plate_model *model, enum row_kind kind, size_t row, size_t column,
                      int64_t coefficient) {
  struct entries *entries = &model->rows[kind];
  for (size_t i = entries->count; i > 0 && entries->items[i - 1].column == column; i--)
    if (entries->items[i - 1].row == row) {
      entries->items[i - 1].coefficient += coefficient;
      return;
    }
  struct entry *entry = ARENA_PUSH(model->arena, entries->items, entries->count, entries->room);
  *entry = (struct entry){row, column, coefficient};
}

static bool same_plate(const struct plate *a, const struct plate *b) {
  return a->stock == b->stock && a->x == b->x && a->y == b->y && a->length == b->length &&
         a->width == b->width && a->stage == b->stage && a->last == b->last;
}

static size_t hash_plate(const struct plate *plate) {
  int64_t fields[] = {(int64_t)plate->stock, plate->x,     plate->y,
                      plate->length,         plate->width, plate->stage,
                      (int64_t)plate->last};
  uint64_t hash = UINT64_C(14695981039346656037);
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
    hash ^= (uint64_t)fields[i];
    hash *= UINT64_C(1099511628211);
    hash ^= hash >> 29;
  }
  return (size_t)hash;
}

/* Some piece fits, be it a waste of cuts. */
static bool holds_a_piece(const struct nest_stock *stock, const struct plate *plate) {
  for (size_t i = 0; i < stock->option_count; i++) {
    const struct nest_option *option = &stock->options[i];
    if (option->length <= plate->length && option->width <= plate->width &&
        (stock->flaw_count == 0 ||
         cut_places_spot(stock, option, plate->x, plate->y, plate->length, plate->width)))
      return true;
  }
  return false;
}

/* The number of a plate, new or known; NO_PLATE when it can only be waste. */
static size_t plate_number(struct plate_model *model, struct plate plate) {
  const struct nest_stock *stock = &model->problem->stocks[plate.stock];
  if (plate.length <= 0 || plate.width <= 0) return NO_PLATE;
  if (stock->flaw_count == 0) plate.x = plate.y = 0;
  size_t slot = hash_plate(&plate) % model->slot_count;
  while (model->slots[slot] != NO_PLATE) {
    if (same_plate(&model->plates[model->slots[slot]], &plate)) return model->slots[slot];
    slot = (slot + 1) % model->slot_count;
  }
  if (!holds_a_piece(stock, &plate)) return NO_PLATE;
  model->slots[slot] = model->plate_count;
  *ARENA_PUSH(model->arena, model->plates, model->plate_count, model->plate_room) = plate;
  return model->plate_count - 1;
}

/* A column that makes a piece of a plate with so many cuts. */
static void add_piece(struct plate_model *model, size_t number, const struct nest_option *option,
                      int64_t cuts) {
  size_t column = add_column(model, cuts * model->problem->cut_cost, model->pieces);
  add_entry(model, ROW_PLATE, number, column, -1);
  add_entry(model, ROW_DEMAND, option->demand, column, 1);
}

static void take_pieces(struct plate_model *model, size_t number) {
  const struct plate plate = model->plates[number];
  const struct nest_stock *stock = &model->problem->stocks[plate.stock];
  for (size_t i = 0; i < stock->option_count; i++) {
    const struct nest_option *option = &stock->options[i];
    if (option->length == plate.length && option->width == plate.width &&
        cut_places_clear(stock, option, plate.x, plate.y))
      add_piece(model, number, option, 0);
  }
}

/* The widest strip a rip of the plate may leave on its narrower side; INT64_MAX is any. */
static length_t narrower_limit(const struct nest_rules *rules, const struct plate *plate,
                               enum cut_axis axis) {
  length_t limit = INT64_MAX;
  if (axis == CUT_X) return limit;
  if (rules->rip_no_wider_than_long) limit = plate->length;
  if (rules->rip_capacity > 0 && rules->rip_capacity < limit) limit = rules->rip_capacity;
  return limit;
}

/* Cuts that free the low `keep` of an extent when the waste behind it may have to be taken
 * off strip by strip. */
static int64_t cuts_to_free(length_t extent, length_t keep, length_t kerf, length_t limit) {
  length_t waste = extent - keep - kerf;
  if (extent == keep) return 0;
  if (keep <= limit || waste <= limit) return 1;
  return 1 + (waste - limit + limit + kerf - 1) / (limit + kerf);
}

/* The last cuts, which no stage counts: one piece and waste. */
static void trim_pieces(struct plate_model *model, size_t number, enum cut_axis axis) {
  const struct plate plate = model->plates[number];
  const struct nest_stock *stock = &model->problem->stocks[plate.stock];
  length_t kerf = axis == CUT_X ? stock->kerf_crosscut : stock->kerf_rip;
  length_t limit = narrower_limit(&stock->rules, &plate, axis);
  for (size_t i = 0; i < stock->option_count; i++) {
    const struct nest_option *option = &stock->options[i];
    if ((axis == CUT_X ? option->width : option->length) !=
        (axis == CUT_X ? plate.width : plate.length))
      continue;
    if (!cut_places_spot(stock, option, plate.x, plate.y, plate.length, plate.width)) continue;
    int64_t cuts = axis == CUT_X ? cuts_to_free(plate.length, option->length, kerf, limit)
                                 : cuts_to_free(plate.width, option->width, kerf, limit);
    if (cuts > 0) add_piece(model, number, option, cuts);
  }
}

/* One cut at `low` from the plate's low side. */
static void cut_at(struct plate_model *model, size_t number, enum cut_axis axis, int stage,
                   length_t low) {
  const struct plate plate = model->plates[number];
  const struct nest_stock *stock = &model->problem->stocks[plate.stock];
  length_t kerf = axis == CUT_X ? stock->kerf_crosscut : stock->kerf_rip;
  length_t extent = axis == CUT_X ? plate.length : plate.width;
  length_t limit = narrower_limit(&stock->rules, &plate, axis);
  length_t high = extent - low - kerf;
  struct plate one = plate;
  struct plate other = plate;
  one.stage = other.stage = stage;
  one.last = other.last = axis;
  *(axis == CUT_X ? &one.length : &one.width) = low;
  *(axis == CUT_X ? &other.length : &other.width) = high;
  *(axis == CUT_X ? &other.x : &other.y) += low + kerf;
  int64_t cuts = cuts_to_free(extent, low, kerf, limit);
  size_t low_number = plate_number(model, one);
  size_t high_number = cuts == 1 ? plate_number(model, other) : NO_PLATE;
  if (low_number == NO_PLATE && high_number == NO_PLATE) return;
  size_t column = add_column(model, cuts * model->problem->cut_cost, model->pieces);
  add_entry(model, ROW_PLATE, number, column, -1);
  if (low_number != NO_PLATE) add_entry(model, ROW_PLATE, low_number, column, 1);
  if (high_number != NO_PLATE) add_entry(model, ROW_PLATE, high_number, column, 1);
}

static void cut_along(struct plate_model *model, size_t number, enum cut_axis axis, int stage) {
  const struct plate plate = model->plates[number];
  const struct cut_places *places = &model->places[plate.stock];
  bool flawed = model->problem->stocks[plate.stock].flaw_count > 0;
  length_t extent = axis == CUT_X ? plate.length : plate.width;
  length_t start = !flawed ? 0 : axis == CUT_X ? plate.x : plate.y;
  for (size_t i = 0; i < places->count[axis]; i++) {
    length_t low = places->place[axis][i] - start;
    if (low < extent && (flawed ? low >= 0 : low > 0)) cut_at(model, number, axis, stage, low);
  }
}

static void expand(struct plate_model *model, size_t number) {
  const struct plate plate = model->plates[number];
  const struct nest_rules *rules = &model->problem->stocks[plate.stock].rules;
  take_pieces(model, number);
  for (enum cut_axis axis = CUT_X; axis <= CUT_Y; axis++) {
    if (axis == CUT_X && rules->crosscut_capacity > 0 && plate.width > rules->crosscut_capacity)
      continue;
    if (axis == CUT_Y && plate.length < rules->rip_min_length) continue;
    if (plate.stage == 0 && !(axis == CUT_X ? rules->crosscut_first : rules->rip_first)) continue;
    bool turns = plate.stage == 0 || plate.last != axis;
    if (rules->stages == 0)
      cut_along(model, number, axis, 1);
    else if (turns && plate.stage == rules->stages)
      trim_pieces(model, number, axis);
    else
      cut_along(model, number, axis, plate.stage + (turns ? 1 : 0));
  }
}

static void add_stock(struct plate_model *model, size_t s) {
  const struct nest_stock *stock = &model->problem->stocks[s];
  struct plate whole = {.stock = s, .length = stock->length, .width = stock->width};
  size_t number = plate_number(model, whole);
  if (number == NO_PLATE && stock->given == NULL) return;
  bool scarce = stock->count >= 0 && stock->count < model->pieces;
  size_t used = add_column(model, stock->pack == 1 ? stock->cost : stock->trim_cost,
                           scarce ? stock->count : model->pieces);
  if (number != NO_PLATE) add_entry(model, ROW_PLATE, number, used, 1);
  for (size_t d = 0; stock->given != NULL && d < model->problem->demand_count; d++)
    if (stock->given[d] > 0) add_entry(model, ROW_DEMAND, d, used, stock->given[d]);
  if (stock->pack == 1) return;
  cost_t price = stock->cost - stock->trim_cost;
  size_t packs = add_column(model, stock->pack * price, model->pieces);
  add_entry(model, ROW_PACK, s, packs, stock->pack);
  add_entry(model, ROW_PACK, s, used, -1);
}

struct plate_model *plate_model_create(struct arena *arena, const struct nest_problem *problem,
                                       size_t limit) {
  struct plate_model *model = ARENA_NEW(arena, struct plate_model);
  model->arena = arena;
  model->problem = problem;
  for (size_t d = 0; d < problem->demand_count; d++) model->pieces += problem->demand[d];
  model->slot_count = 8 * limit + 1000;
  model->slots = ARENA_ARRAY(arena, model->slot_count, size_t);
  for (size_t i = 0; i < model->slot_count; i++) model->slots[i] = NO_PLATE;
  model->places = ARENA_ARRAY(arena, problem->stock_count, struct cut_places);
  for (size_t s = 0; s < problem->stock_count; s++) {
    cut_places_find(arena, &problem->stocks[s], &model->places[s]);
    add_stock(model, s);
  }
  for (size_t i = 0; i < model->plate_count; i++) {
    expand(model, i);
    if (model->column_count > limit || model->plate_count > 2 * limit) return NULL;
  }
  return model;
}

size_t plate_model_columns(const struct plate_model *model) { return model->column_count; }

/* --- writing ------------------------------------------------------------------------- */

/* The entries of each row in a list of their own. */
static void write_rows(const struct plate_model *model, FILE *file, enum row_kind kind,
                       size_t row_count, const int64_t *least) {
  const struct entries *entries = &model->rows[kind];
  size_t *first = ARENA_ARRAY(model->arena, row_count + 2, size_t);
  const struct entry **sorted = ARENA_ARRAY(model->arena, entries->count, const struct entry *);
  for (size_t i = 0; i < entries->count; i++) first[entries->items[i].row + 2]++;
  for (size_t r = 2; r < row_count + 2; r++) first[r] += first[r - 1];
  for (size_t i = 0; i < entries->count; i++)
    sorted[first[entries->items[i].row + 1]++] = &entries->items[i];
  static const char letters[ROW_KINDS] = {'p', 'd', 'k'};
  for (size_t r = 0; r < row_count; r++) {
    if (first[r] == first[r + 1] && (least == NULL || least[r] == 0)) continue;
    fprintf(file, " %c%zu:", letters[kind], r);
    if (first[r] == first[r + 1]) fprintf(file, " 0 c0"); /* cannot be met */
    for (size_t i = first[r]; i < first[r + 1]; i++)
      fprintf(file, "%s %+" PRId64 " c%zu", (i - first[r]) % 8 == 7 ? "\n" : "",
              sorted[i]->coefficient, sorted[i]->column);
    fprintf(file, "\n >= %" PRId64 "\n", least == NULL ? 0 : least[r]);
  }
}

void plate_model_write(const struct plate_model *model, FILE *file) {
  fprintf(file, "Minimize\n cost:");
  for (size_t c = 0, terms = 0; c < model->column_count; c++)
    if (model->columns[c].cost != 0)
      fprintf(file, "%s +%" PRId64 " c%zu", terms++ % 8 == 7 ? "\n" : "",
              model->columns[c].cost / COST_PER_CENT, c);
  fprintf(file, "\nSubject To\n");
  write_rows(model, file, ROW_PLATE, model->plate_count, NULL);
  write_rows(model, file, ROW_DEMAND, model->problem->demand_count, model->problem->demand);
  write_rows(model, file, ROW_PACK, model->problem->stock_count, NULL);
  fprintf(file, "Bounds\n");
  for (size_t c = 0; c < model->column_count; c++)
    fprintf(file, " c%zu <= %" PRId64 "\n", c, model->columns[c].upper);
  fprintf(file, "Generals\n");
  for (size_t c = 0; c < model->column_count; c++) fprintf(file, " c%zu\n", c);
  fprintf(file, "End\n");
}
