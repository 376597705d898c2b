#include "project_demo.h"

#include "project_disk.h"

/* Where reading stands. */
struct reading {
  struct arena *arena;
  const char *at;
};

/* One cell, without its quotes; `at` is left at what ends it. */
static const char *read_cell(struct reading *reading) {
  struct buffer *text = buffer_create(reading->arena);
  bool quoted = *reading->at == '"';
  if (quoted) reading->at++;
  for (; *reading->at != '\0'; reading->at++) {
    if (quoted && *reading->at == '"' && *++reading->at != '"') break;
    if (!quoted && (*reading->at == ',' || *reading->at == '\n')) break;
    buffer_add_bytes(text, reading->at, 1);
  }
  return text->text;
}

static void read_row(struct reading *reading, struct text_row *row, size_t *count) {
  for (size_t c = 0; c < TABLE_COLUMNS_MOST; c++) {
    row->cells[c] = read_cell(reading);
    *count = c + 1;
    if (*reading->at != ',') break;
    reading->at++;
  }
  if (*reading->at == '\n') reading->at++;
}

static void pass_notes(struct reading *reading) {
  while (*reading->at == '#' || *reading->at == '\n') {
    while (*reading->at != '\n' && *reading->at != '\0') reading->at++;
    if (*reading->at == '\n') reading->at++;
  }
}

static void read_table(struct arena *arena, struct text_table *table, const char *bytes) {
  struct reading reading = {arena, bytes};
  size_t count = 0;
  pass_notes(&reading);
  read_row(&reading, &table->rows[0], &table->column_count);
  for (pass_notes(&reading); *reading.at != '\0'; pass_notes(&reading))
    read_row(&reading, text_table_row(arena, table), &count);
}

struct random_project *demo_project(struct arena *arena, size_t demo, uint64_t manner) {
  static const char *const demos[DEMOS] = {"cribbage", "trays", "serving", "coasters"};
  static const char *const files[] = {"parts.csv",  "rack.csv",   "yard.csv",    "flaws.csv",
                                      "shop.csv",   "clamps.csv", "cutters.csv", "steps.csv",
                                      "bought.csv", "money.csv"};
  const char *folder = disk_path(arena, SOURCE_ROOT "/boards", demos[demo]);
  struct random_project *project = ARENA_NEW(arena, struct random_project);
  project->effort = 1;
  for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
    const char *path = disk_path(arena, folder, files[f]);
    if (!disk_has(path)) continue;
    struct text_table *table = &project->files[project->file_count++];
    text_table_start(arena, table, files[f], "");
    table->manner = manner + f;
    read_table(arena, table, disk_read(arena, path)->text);
  }
  return project;
}
