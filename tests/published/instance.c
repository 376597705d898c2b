#include "published/instance.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *instance_path(const char *name) {
  static char path[1024];
  const char *folder = getenv("BLANKWRIGHT_DATA");
  if (folder == NULL)
    snprintf(path, sizeof path, "%s/../shared/data/%s", SOURCE_ROOT, name);
  else
    snprintf(path, sizeof path, "%s/%s", folder, name);
  return path;
}

enum section { SECTION_NONE, SECTION_SHEETS, SECTION_ITEMS, SECTION_OTHER };

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

static bool read_row(struct instance *instance, enum section section, char *line) {
  int64_t width = next_number(&line, 0);
  int64_t height = next_number(&line, 0);
  int64_t count = next_number(&line, -1);
  if (section == SECTION_SHEETS) {
    if (instance->sheet_count == INSTANCE_SHEETS) return false;
    instance->sheets[instance->sheet_count++] =
        (struct instance_sheet){width, height, count, next_number(&line, width * height)};
  } else if (section == SECTION_ITEMS) {
    if (instance->item_count == INSTANCE_ITEMS) return false;
    instance->items[instance->item_count++] =
        (struct instance_item){width, height, count, next_number(&line, width * height)};
  }
  return true;
}

bool instance_read(const char *name, struct instance *instance) {
  FILE *file = fopen(instance_path(name), "r");
  memset(instance, 0, sizeof *instance);
  if (file == NULL) return false;
  enum section section = SECTION_NONE;
  bool fits = true;
  char line[512];
  while (fits && fgets(line, sizeof line, file) != NULL) {
    if (line[0] == '#' || line[0] == '\n') continue;
    if (strncmp(line, "W,H", 3) == 0)
      section = SECTION_SHEETS;
    else if (strncmp(line, "w,h", 3) == 0)
      section = SECTION_ITEMS;
    else if (strncmp(line, "bin", 3) == 0)
      section = SECTION_OTHER;
    else
      fits = read_row(instance, section, line);
  }
  fclose(file);
  return fits && instance->sheet_count > 0 && instance->item_count > 0;
}

bool instance_best(const char *table, const char *key, int column, int64_t *value) {
  FILE *file = fopen(instance_path(table), "r");
  if (file == NULL) return false;
  char line[512];
  size_t length = strlen(key);
  bool found = false;
  while (!found && fgets(line, sizeof line, file) != NULL) {
    if (strncmp(line, key, length) != 0 || line[length] != ',') continue;
    char *at = line;
    for (int c = 0; c < column && at != NULL; c++)
      at = strchr(at, ',') == NULL ? NULL : strchr(at, ',') + 1;
    if (at == NULL) break;
    *value = strtoll(at, NULL, 10);
    found = true;
  }
  fclose(file);
  return found;
}
