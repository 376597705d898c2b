#include "project_shapes.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"

/* A row of the file has the word in the column (any text for "*"), and the second word in the
 * second column where there is one. */
struct shape {
  const char *file, *column, *word, *second_column, *second_word;
};

#define SETTING(name, value) \
  { "shop.csv", "setting", name, "value", value }
#define ITEM(name) \
  { "money.csv", "item", name, NULL, NULL }
#define CELL(file, column, word) \
  { file ".csv", column, word, NULL, NULL }

static const struct shape shapes[] = {SETTING("units", "inch"),
                                      SETTING("units", "mm"),
                                      SETTING("sets", "*"),
                                      SETTING("saw_stages", "1"),
                                      SETTING("saw_stages", "2"),
                                      SETTING("saw_stages", "any"),
                                      SETTING("first_cut", "rip"),
                                      SETTING("first_cut", "crosscut"),
                                      SETTING("kerf_rip", "0"),
                                      SETTING("mark_step", "*"),
                                      SETTING("glue_up", "yes"),
                                      SETTING("resaw", "yes"),
                                      SETTING("stops", "none"),
                                      SETTING("origin", "centre"),
                                      SETTING("spoilage", "*"),
                                      SETTING("labour_rate", "*"),
                                      SETTING("setup_min", "*"),
                                      SETTING("bed_length", "*"),
                                      SETTING("bed_width", "*"),
                                      SETTING("travel_x", "*"),
                                      SETTING("travel_z", "*"),
                                      SETTING("daylight", "*"),
                                      SETTING("bed_pitch", "*"),
                                      SETTING("part_gap", "*"),
                                      SETTING("web", "*"),
                                      SETTING("clamp_span", "*"),
                                      SETTING("tab_spacing", "*"),
                                      SETTING("friction", "*"),
                                      SETTING("hold_safety", "*"),
                                      SETTING("cut_force_min", "*"),
                                      SETTING("rip_min_length", "*"),
                                      SETTING("crosscut_capacity", "*"),
                                      SETTING("paper", "Letter"),
                                      CELL("parts", "way", "saw"),
                                      CELL("parts", "way", "blank"),
                                      CELL("parts", "way", "gang"),
                                      CELL("parts", "shape", "round"),
                                      CELL("parts", "faced", "one"),
                                      CELL("parts", "faced", "two"),
                                      CELL("parts", "hold", "ends"),
                                      CELL("parts", "hold", "sides"),
                                      CELL("parts", "hold", "all"),
                                      CELL("parts", "hold", "tape"),
                                      CELL("parts", "hold", "auto"),
                                      CELL("parts", "grain", "across"),
                                      CELL("parts", "grain", "any"),
                                      CELL("parts", "wood", "any"),
                                      CELL("parts", "match", "A"),
                                      CELL("parts", "match", "B"),
                                      CELL("parts", "spares", "*"),
                                      CELL("parts", "tabs", "*"),
                                      CELL("parts", "fit", "*"),
                                      CELL("parts", "hand_minutes", "*"),
                                      CELL("rack", "count", "*"),
                                      CELL("rack", "count", "0"),
                                      CELL("rack", "value", "*"),
                                      CELL("rack", "kind", "sheet"),
                                      CELL("rack", "kind", "plank"),
                                      CELL("rack", "surface", "planed"),
                                      CELL("rack", "face_grain", "width"),
                                      CELL("rack", "face_grain", "none"),
                                      CELL("rack", "crook", "*"),
                                      CELL("rack", "trim_ends", "*"),
                                      CELL("rack", "trim_edges", "*"),
                                      CELL("flaws", "copy", "*"),
                                      CELL("flaws", "what", "split"),
                                      CELL("flaws", "rim_ok", "yes"),
                                      CELL("flaws", "rim_ok", "no"),
                                      CELL("yard", "kind", "sheet"),
                                      CELL("yard", "count", "*"),
                                      CELL("yard", "pack", "*"),
                                      CELL("yard", "tally_thickness", "*"),
                                      CELL("yard", "per", "each"),
                                      CELL("yard", "per", "m"),
                                      CELL("yard", "per", "ft2"),
                                      CELL("yard", "per", "m3"),
                                      CELL("yard", "per", "bf"),
                                      CELL("clamps", "kind", "side"),
                                      CELL("clamps", "kind", "hold-down"),
                                      CELL("clamps", "height_from", "bed"),
                                      CELL("clamps", "min_stock", "*"),
                                      CELL("clamps", "force", "*"),
                                      CELL("cutters", "nut_diameter", "*"),
                                      CELL("cutters", "angle", "*"),
                                      CELL("cutters", "slot", "*"),
                                      CELL("cutters", "shank", "*"),
                                      CELL("cutters", "neck_reach", "*"),
                                      CELL("cutters", "stepover", "*"),
                                      CELL("cutters", "rpm", "*"),
                                      CELL("steps", "step", "face"),
                                      CELL("steps", "step", "pocket"),
                                      CELL("steps", "step", "drill"),
                                      CELL("steps", "step", "profile"),
                                      CELL("steps", "step", "chamfer"),
                                      CELL("steps", "side", "under"),
                                      CELL("steps", "stand", "edge"),
                                      CELL("steps", "stand", "end"),
                                      CELL("steps", "place", "drill press"),
                                      CELL("steps", "place", "saw"),
                                      CELL("steps", "peck", "*"),
                                      CELL("steps", "holes", "*"),
                                      CELL("bought", "pack", "*"),
                                      ITEM("sales"),
                                      ITEM("demand_likely"),
                                      ITEM("price"),
                                      ITEM("tax_percent"),
                                      ITEM("hourly_rate"),
                                      ITEM("unsold_value")};

const size_t shape_count = sizeof shapes / sizeof *shapes;
_Static_assert(sizeof shapes / sizeof *shapes <= SHAPES_MOST, "room for each shape");

const char *shape_name(size_t shape) {
  static char name[120];
  const struct shape *found = &shapes[shape];
  snprintf(name, sizeof name, "have %s with %s %s %s", found->file, found->column, found->word,
           found->second_word == NULL ? "" : found->second_word);
  return name;
}

static bool fits(const struct text_table *table, const struct text_row *row, const char *column,
                 const char *word) {
  const char *cell = row->cells[text_table_column(table, column)];
  return strcmp(word, "*") == 0 ? cell[0] != '\0' : text_equal_fold(cell, word);
}

static bool has_row(const struct text_table *table, const struct shape *shape) {
  for (size_t r = 1; r < table->row_count; r++)
    if (fits(table, &table->rows[r], shape->column, shape->word) &&
        (shape->second_column == NULL ||
         fits(table, &table->rows[r], shape->second_column, shape->second_word)))
      return true;
  return false;
}

void shapes_count(const struct random_project *project, uint64_t met[SHAPES_MOST]) {
  for (size_t s = 0; s < shape_count; s++)
    for (size_t f = 0; f < project->file_count; f++)
      if (strcmp(project->files[f].name, shapes[s].file) == 0 &&
          has_row(&project->files[f], &shapes[s]))
        met[s]++;
}
