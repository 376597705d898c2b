#include "published/instance.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PATH_ROOM = 4096, LINE_ROOM = 1024 };

static const char *chosen_folder;

void instance_set_folder(const char *folder) { chosen_folder = folder; }

const char *instance_folder(void) {
  if (chosen_folder != NULL) return chosen_folder;
  const char *named = getenv("BLANKWRIGHT_DATA");
  return named != NULL ? named : SOURCE_ROOT "/../shared/data";
}

const char *instance_path(const char *name) {
  static char path[PATH_ROOM];
  snprintf(path, sizeof path, "%s/%s", instance_folder(), name);
  return path;
}

enum section { SECTION_NONE, SECTION_SHEETS, SECTION_ITEMS, SECTION_DEFECTS };

/* The next comma-separated number, or `empty` where the cell is empty. */
static int64_t next_number(char **at, int64_t empty) {
  char *end = NULL;
  long long value = strtoll(*at, &end, 10);
  bool found = end != *at;
  *at = end;
  if (**at == '.')
    while (**at != '\0' && **at != ',') ++*at;
  if (**at == ',') ++*at;
  return found ? value : empty;
}

static bool read_sheet(struct instance *instance, char *line) {
  if (instance->sheet_count == INSTANCE_SHEETS) return false;
  struct instance_sheet *sheet = &instance->sheets[instance->sheet_count++];
  sheet->width = next_number(&line, 0);
  sheet->height = next_number(&line, 0);
  sheet->count = next_number(&line, -1);
  sheet->cost = next_number(&line, sheet->width * sheet->height);
  return sheet->width > 0 && sheet->height > 0;
}

static bool read_item(struct instance *instance, char *line) {
  if (instance->item_count == INSTANCE_ITEMS) return false;
  struct instance_item *item = &instance->items[instance->item_count++];
  item->width = next_number(&line, 0);
  item->height = next_number(&line, 0);
  item->demand = next_number(&line, -1);
  item->value = next_number(&line, item->width * item->height);
  return item->width > 0 && item->height > 0;
}

static bool read_defect(struct instance *instance, char *line) {
  if (instance->defect_count == INSTANCE_DEFECTS) return false;
  struct instance_defect *defect = &instance->defects[instance->defect_count++];
  defect->copy = next_number(&line, 0);
  defect->x = next_number(&line, 0);
  defect->y = next_number(&line, 0);
  defect->width = next_number(&line, 0);
  defect->height = next_number(&line, 0);
  return defect->copy > 0 && defect->width > 0 && defect->height > 0;
}

static bool read_row(struct instance *instance, enum section section, char *line) {
  switch (section) {
    case SECTION_SHEETS:
      return read_sheet(instance, line);
    case SECTION_ITEMS:
      return read_item(instance, line);
    case SECTION_DEFECTS:
      return read_defect(instance, line);
    case SECTION_NONE:
      break;
  }
  return false;
}

bool instance_read(const char *name, struct instance *instance) {
  FILE *file = fopen(instance_path(name), "r");
  memset(instance, 0, sizeof *instance);
  if (file == NULL) return false;
  enum section section = SECTION_NONE;
  bool fits = true;
  char line[LINE_ROOM];
  while (fits && fgets(line, sizeof line, file) != NULL) {
    if (line[0] == '#' || line[0] == '\n' || line[0] == '\r') continue;
    if (strncmp(line, "W,H", 3) == 0)
      section = SECTION_SHEETS;
    else if (strncmp(line, "w,h", 3) == 0)
      section = SECTION_ITEMS;
    else if (strncmp(line, "bin", 3) == 0)
      section = SECTION_DEFECTS;
    else
      fits = read_row(instance, section, line);
  }
  fclose(file);
  return fits && instance->sheet_count > 0 && instance->item_count > 0;
}

/* Copies the cell into `cell` of `room` bytes. */
static bool find_cell(const char *table, const char *key, int column, char *cell, size_t room) {
  FILE *file = fopen(instance_path(table), "r");
  if (file == NULL) return false;
  char line[LINE_ROOM];
  size_t length = strlen(key);
  bool found = false;
  while (!found && fgets(line, sizeof line, file) != NULL) {
    if (strncmp(line, key, length) != 0 || line[length] != ',') continue;
    const char *at = line;
    for (int c = 0; c < column && at != NULL; c++) {
      at = strchr(at, ',');
      if (at != NULL) at++;
    }
    if (at == NULL) break;
    snprintf(cell, room, "%.*s", (int)strcspn(at, ",\r\n"), at);
    found = true;
  }
  fclose(file);
  return found;
}

bool instance_best(const char *table, const char *key, int column, int64_t *value) {
  char cell[64];
  char *end = NULL;
  if (!find_cell(table, key, column, cell, sizeof cell)) return false;
  *value = strtoll(cell, &end, 10);
  return end != cell;
}

bool instance_best_decimal(const char *table, const char *key, int column, double *value) {
  char cell[64];
  char *end = NULL;
  if (!find_cell(table, key, column, cell, sizeof cell)) return false;
  *value = strtod(cell, &end);
  return end != cell;
}
