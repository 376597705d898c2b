#include <string.h>

#include "base/text.h"
#include "read/cell.h"

enum {
  COLUMN_PART,
  COLUMN_PER_SET,
  COLUMN_LENGTH,
  COLUMN_WIDTH,
  COLUMN_THICKNESS,
  COLUMN_WOOD,
  COLUMN_GRAIN,
  COLUMN_WAY,
  COLUMN_SHAPE,
  COLUMN_FACED,
  COLUMN_HOLD,
  COLUMN_TABS,
  COLUMN_SPARES,
  COLUMN_MATCH,
  COLUMN_FIT,
  COLUMN_HAND_MINUTES,
  COLUMN_NOTE,
  COLUMN_TOTAL
};

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_PART] = {"part", true},
    [COLUMN_PER_SET] = {"per_set", true},
    [COLUMN_LENGTH] = {"length", true},
    [COLUMN_WIDTH] = {"width", true},
    [COLUMN_THICKNESS] = {"thickness", true},
    [COLUMN_WOOD] = {"wood", true},
    [COLUMN_GRAIN] = {"grain", false},
    [COLUMN_WAY] = {"way", false},
    [COLUMN_SHAPE] = {"shape", false},
    [COLUMN_FACED] = {"faced", false},
    [COLUMN_HOLD] = {"hold", false},
    [COLUMN_TABS] = {"tabs", false},
    [COLUMN_SPARES] = {"spares", false},
    [COLUMN_MATCH] = {"match", false},
    [COLUMN_FIT] = {"fit", false},
    [COLUMN_HAND_MINUTES] = {"hand_minutes", false},
    [COLUMN_NOTE] = {"note", false},
};

#define PER_SET_MOST 1000000
#define SPARES_MOST 1000000
#define TABS_MOST 1000
#define MINUTES_MOST INT64_C(1000000000) /* thousandths */

static size_t count_bars(const char *text) {
  size_t count = 0;
  for (; *text != '\0'; text++)
    if (*text == '|') count++;
  return count;
}

/* "walnut|cherry" as a list; `any` anywhere in it is any wood, kept as an empty list. */
static void read_woods(struct reader *reader, struct table *table, struct part *part) {
  const char *text = NULL;
  if (!cell_name(reader, table, COLUMN_WOOD, REQUIRED, &text)) return;
  part->woods = ARENA_ARRAY(reader->arena, count_bars(text) + 1, const char *);
  for (;;) {
    size_t size = strcspn(text, "|");
    const char *wood = text_trimmed(reader->arena, arena_copy_bytes(reader->arena, text, size));
    if (wood[0] == '\0') {
      table_fault(table, COLUMN_WOOD,
                  "'%s' has an empty wood in it, expected such as walnut|cherry",
                  table_cell(table, COLUMN_WOOD));
      return;
    }
    part->woods[part->wood_count++] = wood;
    if (text[size] == '\0') break;
    text += size + 1;
  }
  for (size_t i = 0; i < part->wood_count; i++) {
    if (!text_equal_fold(part->woods[i], "any")) continue;
    part->wood_count = 0;
    part->woods = NULL;
  }
}

static void read_sizes(struct reader *reader, struct table *table, struct part *part) {
  bool length = cell_length(reader, table, COLUMN_LENGTH, REQUIRED, SPAN_SIZE, &part->length);
  bool width = cell_length(reader, table, COLUMN_WIDTH, REQUIRED, SPAN_SIZE, &part->width);
  (void)cell_length(reader, table, COLUMN_THICKNESS, REQUIRED, SPAN_SIZE, &part->thickness);
  if (part->shape == SHAPE_ROUND && length && width && part->length != part->width)
    table_fault(table, COLUMN_WIDTH, "'%s' is not the length of a round part, expected '%s'",
                table_cell(table, COLUMN_WIDTH), table_cell(table, COLUMN_LENGTH));
}

static void read_words(struct reader *reader, struct table *table, struct part *part) {
  int grain = GRAIN_ALONG, way = WAY_SAW, shape = SHAPE_RECTANGLE, faced = FACED_NONE;
  int hold = HOLD_AUTO;
  (void)cell_word(reader, table, COLUMN_GRAIN, OPTIONAL, "along|across|any", &grain);
  (void)cell_word(reader, table, COLUMN_WAY, OPTIONAL, "saw|blank|gang", &way);
  (void)cell_word(reader, table, COLUMN_SHAPE, OPTIONAL, "rectangle|round", &shape);
  (void)cell_word(reader, table, COLUMN_FACED, OPTIONAL, "none|one|two", &faced);
  (void)cell_word(reader, table, COLUMN_HOLD, OPTIONAL, "auto|ends|sides|all|tape", &hold);
  part->grain = (enum grain)grain;
  part->way = (enum way)way;
  part->shape = (enum shape)shape;
  part->faced = (enum faced)faced;
  part->hold = (enum hold)hold;
}

static void read_part(struct reader *reader, struct table *table) {
  struct project *project = reader->project;
  struct part part = {.tabs = -1, .fit = -1};
  bool named = cell_new_name(reader, table, COLUMN_PART, "part", reader->parts, &part.name);
  part.place = table_place(table, COLUMN_PART);
  (void)cell_count(table, COLUMN_PER_SET, REQUIRED, 1, PER_SET_MOST, &part.per_set);
  read_words(reader, table, &part);
  read_sizes(reader, table, &part);
  read_woods(reader, table, &part);
  (void)cell_count(table, COLUMN_TABS, OPTIONAL, 0, TABS_MOST, &part.tabs);
  (void)cell_count(table, COLUMN_SPARES, OPTIONAL, 0, SPARES_MOST, &part.spares);
  (void)cell_name(reader, table, COLUMN_MATCH, OPTIONAL, &part.match);
  (void)cell_length(reader, table, COLUMN_FIT, OPTIONAL, SPAN_DISTANCE, &part.fit);
  (void)cell_number(table, COLUMN_HAND_MINUTES, OPTIONAL, 0, MINUTES_MOST, &part.hand_minutes);
  part.note = cell_note(reader, table, COLUMN_NOTE);
  if (named)
    *ARENA_PUSH(reader->arena, project->parts, project->part_count, project->part_room) = part;
}

bool read_parts(struct reader *reader) {
  size_t faults = reader->diagnostics->errors;
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "parts.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return false;
  struct project *project = reader->project;
  project->part_room = table_rows_at_most(table);
  project->parts = ARENA_ARRAY(reader->arena, project->part_room, struct part);
  table_set_most_rows(table, LIMIT_PARTS);
  while (table_next(table)) read_part(reader, table);
  if (project->part_count == 0 && reader->diagnostics->errors == faults)
    table_fault(table, TABLE_FILE, "no parts, expected a header row and at least one part");
  return true;
}
