/* Faults of single cells: by the README's columns, no cell of which may hold these. */
#include <inttypes.h>
#include <string.h>

#include "base/text.h"
#include "project_spoiling.h"

/* Columns of a file that hold what, by the README. */
struct columns_of_file {
  const char *file, *required, *sizes, *distances, *counts, *moneys, *words;
};

static const struct columns_of_file known[] = {
    {"parts.csv", "part per_set length width thickness wood", "length width thickness", "fit",
     "per_set tabs spares", "", "grain way shape faced hold"},
    {"rack.csv", "stock kind wood length width thickness", "length width thickness",
     "crook trim_ends trim_edges", "count", "value", "kind surface face_grain"},
    {"yard.csv", "stock kind wood length width thickness price per",
     "length width thickness tally_thickness", "crook trim_ends trim_edges", "count pack", "price",
     "kind surface face_grain per"},
    {"flaws.csv", "stock x y length width", "length width", "", "copy", "", "rim_ok"},
    {"shop.csv", "setting", "", "", "", "", ""},
    {"clamps.csv", "clamp kind count width over beside height", "width height max_stock",
     "over beside min_stock", "count", "", "kind height_from"},
    {"cutters.csv", "cutter diameter flute_length feed stepdown",
     "diameter flute_length feed stepdown plunge stepover",
     "stickout shank neck_reach nut_diameter", "flutes slot rpm", "", ""},
    {"steps.csv", "part step cutter", "depth", "path peck", "count", "", "step side stand place"},
    {"bought.csv", "item per_set price", "", "", "pack", "price", ""},
    {"money.csv", "item value", "", "", "", "", ""}};

static const struct columns_of_file *columns_of(const struct spoiling *spoiling) {
  for (size_t i = 0; i < sizeof known / sizeof *known; i++)
    if (strcmp(known[i].file, spoiling->table->name) == 0) return &known[i];
  return NULL;
}

/* A column of those named, and a row; false where the table has neither. */
static bool choose_cell(struct spoiling *spoiling, const char *columns, size_t *row,
                        size_t *column) {
  const struct text_table *table = spoiling->table;
  if (table->row_count < 2) return false;
  *row = spoil_pick(spoiling, 1, table->row_count - 1);
  size_t first = spoil_pick(spoiling, 0, table->column_count);
  for (size_t i = 0; i < table->column_count; i++) {
    *column = (first + i) % table->column_count;
    if (spoil_is_one_of(spoil_header(spoiling, *column), columns)) return true;
  }
  return false;
}

static bool spoil_one_of(struct spoiling *spoiling, const char *columns, const char *const *texts,
                         size_t count) {
  size_t row = 0, column = 0;
  if (!choose_cell(spoiling, columns, &row, &column)) return false;
  return spoil_cell(spoiling, row, column, texts[spoil_pick(spoiling, 0, count)]);
}

#define SPOIL_ONE_OF(spoiling, columns, texts) \
  spoil_one_of((spoiling), (columns), (texts), sizeof(texts) / sizeof *(texts))

bool spoil_number_out_of_range(struct spoiling *spoiling) {
  static const char *const sizes[] = {"0",       "-5",       "-1/2\"",    "0 mm",
                                      "101 m",   "5000000",  "0.0001 mm", "1/3\"",
                                      "0.00001", "99999 cm", "-0.5 in",   "400'"};
  static const char *const distances[] = {"-1", "-0.001 mm", "101 m", "1/7 in", "-1/64\""};
  static const char *const counts[] = {"-1", "1.5", "2000000000", "1/2", "-0.5", "2 mm"};
  static const char *const moneys[] = {"-1", "1.234", "1000000000000", "5 EUR", "-0.01"};
  const struct columns_of_file *columns = columns_of(spoiling);
  switch (random_between(spoiling->source, 0, 3)) {
    case 0:
      return SPOIL_ONE_OF(spoiling, columns->sizes, sizes);
    case 1:
      return SPOIL_ONE_OF(spoiling, columns->distances, distances);
    case 2:
      return SPOIL_ONE_OF(spoiling, columns->counts, counts);
    default:
      return SPOIL_ONE_OF(spoiling, columns->moneys, moneys);
  }
}

bool spoil_required_cell(struct spoiling *spoiling) {
  static const char *const nothing[] = {""};
  return SPOIL_ONE_OF(spoiling, columns_of(spoiling)->required, nothing);
}

bool spoil_word(struct spoiling *spoiling) {
  static const char *const words[] = {"alongg", "no thing", "1", "plank|sheet", "-", "bord feet"};
  return SPOIL_ONE_OF(spoiling, columns_of(spoiling)->words, words);
}

/* Steps and flaws refer to rows of other files by name. */
bool spoil_reference(struct spoiling *spoiling) {
  static const char *const names[] = {"nowhere", "W-9999", "board,lid", "a name of none"};
  if (strcmp(spoiling->table->name, "steps.csv") == 0)
    return SPOIL_ONE_OF(spoiling, "part cutter", names);
  if (strcmp(spoiling->table->name, "flaws.csv") == 0)
    return SPOIL_ONE_OF(spoiling, "stock", names);
  if (strcmp(spoiling->table->name, "shop.csv") == 0)
    return SPOIL_ONE_OF(spoiling, "setting", names);
  if (strcmp(spoiling->table->name, "money.csv") == 0) return SPOIL_ONE_OF(spoiling, "item", names);
  return false;
}

/* A comma is no decimal point where commas part the cells, and nowhere beside a point. */
bool spoil_decimal_comma(struct spoiling *spoiling) {
  static const char *const texts[] = {"12,5", "0,75", "1,000"};
  static const char *const twice[] = {"1.234,5", "1,2,3", "1,234.5"};
  const struct columns_of_file *columns = columns_of(spoiling);
  const char *where = random_chance(spoiling->source, 1, 2) ? columns->sizes : columns->moneys;
  if (spoiling->table->delimiter != ',') return SPOIL_ONE_OF(spoiling, where, twice);
  return SPOIL_ONE_OF(spoiling, where, texts);
}

/* Every other letter in the other case: names are told apart whatever the case. */
static const char *in_other_case(struct spoiling *spoiling, const char *name) {
  char *copy = arena_copy_text(spoiling->arena, name);
  size_t length = strlen(copy);
  for (size_t i = 0; i < length; i += 2) {
    if (copy[i] >= 'a' && copy[i] <= 'z')
      copy[i] = (char)(copy[i] - 'a' + 'A');
    else if (copy[i] >= 'A' && copy[i] <= 'Z')
      copy[i] = (char)(copy[i] - 'A' + 'a');
  }
  return copy;
}

/* A row once more, behind the last one. Sales alone may stand in several. */
bool spoil_name_twice(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  const struct columns_of_file *columns = columns_of(spoiling);
  bool named = spoil_is_one_of(table->name,
                               "parts.csv rack.csv yard.csv clamps.csv cutters.csv bought.csv "
                               "money.csv shop.csv");
  if (!named || table->row_count < 2) return false;
  size_t length = strcspn(columns->required, " ");
  size_t column =
      text_table_column(table, arena_copy_bytes(spoiling->arena, columns->required, length));
  size_t row = spoil_pick(spoiling, 1, table->row_count - 1);
  const char *name = table->rows[row].cells[column];
  if (text_equal_fold(name, "sales")) return false;
  struct text_row *again = text_table_row(spoiling->arena, table);
  *again = table->rows[row];
  if (random_chance(spoiling->source, 1, 2)) name = in_other_case(spoiling, name);
  return spoil_cell(spoiling, table->row_count - 1, column, name);
}

static size_t column_named(const struct spoiling *spoiling, const char *name) {
  for (size_t c = 0; c < spoiling->table->column_count; c++)
    if (strcmp(spoil_header(spoiling, c), name) == 0) return c;
  return SIZE_MAX;
}

/* The row whose column holds the word, from a random one on; 0 for none. */
static size_t row_with(struct spoiling *spoiling, const char *column, const char *word) {
  const struct text_table *table = spoiling->table;
  size_t at = column_named(spoiling, column);
  if (table->row_count < 2 || at == SIZE_MAX) return 0;
  size_t first = spoil_pick(spoiling, 0, table->row_count - 1);
  for (size_t i = 0; i < table->row_count - 1; i++) {
    size_t row = 1 + (first + i) % (table->row_count - 1);
    if (text_equal_fold(table->rows[row].cells[at], word)) return row;
  }
  return 0;
}

static bool spoil_row_with(struct spoiling *spoiling, const char *column, const char *word,
                           const char *spoilt, const char *text) {
  size_t at = column_named(spoiling, spoilt);
  size_t row = row_with(spoiling, column, word);
  return at != SIZE_MAX && row > 0 && spoil_cell(spoiling, row, at, text);
}

/* Right by itself, wrong beside another cell of the row or the stock it is of. */
bool spoil_against_other_cell(struct spoiling *spoiling) {
  static const char *const far[] = {"90 m", "99 m"};
  const char *file = spoiling->table->name;
  bool other = random_chance(spoiling->source, 1, 2);
  if (strcmp(file, "parts.csv") == 0)
    return spoil_row_with(spoiling, "shape", "round", "width", "7 m");
  if (strcmp(file, "flaws.csv") == 0) return SPOIL_ONE_OF(spoiling, other ? "x" : "y", far);
  if (strcmp(file, "clamps.csv") == 0)
    return spoil_row_with(spoiling, "kind", other ? "side" : "hold-down", "over",
                          other ? "5 mm" : "0");
  if (strcmp(file, "rack.csv") == 0 || strcmp(file, "yard.csv") == 0)
    return spoil_row_with(spoiling, "kind", "plank", "face_grain", other ? "width" : "none");
  if (strcmp(file, "cutters.csv") == 0) {
    static const char *const wide[] = {"2 m"};
    return SPOIL_ONE_OF(spoiling, "stepover", wide);
  }
  if (strcmp(file, "steps.csv") == 0)
    return spoil_row_with(spoiling, "step", other ? "profile" : "drill", "holes",
                          other ? "5 mm x 5 mm" : "99 m x 5 mm");
  return false;
}
