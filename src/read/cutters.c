#include "read/cell.h"

enum {
  COLUMN_CUTTER,
  COLUMN_DIAMETER,
  COLUMN_FLUTE_LENGTH,
  COLUMN_FLUTES,
  COLUMN_RPM,
  COLUMN_FEED,
  COLUMN_PLUNGE,
  COLUMN_STEPDOWN,
  COLUMN_STEPOVER,
  COLUMN_STICKOUT,
  COLUMN_SHANK,
  COLUMN_NECK_REACH,
  COLUMN_NUT_DIAMETER,
  COLUMN_SLOT,
  COLUMN_SHAPE,
  COLUMN_ANGLE,
  COLUMN_NOTE,
  COLUMN_TOTAL
};

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_CUTTER] = {"cutter", true},
    [COLUMN_DIAMETER] = {"diameter", true},
    [COLUMN_FLUTE_LENGTH] = {"flute_length", true},
    [COLUMN_FLUTES] = {"flutes", false},
    [COLUMN_RPM] = {"rpm", false},
    [COLUMN_FEED] = {"feed", true},
    [COLUMN_PLUNGE] = {"plunge", false},
    [COLUMN_STEPDOWN] = {"stepdown", true},
    [COLUMN_STEPOVER] = {"stepover", false},
    [COLUMN_STICKOUT] = {"stickout", false},
    [COLUMN_SHANK] = {"shank", false},
    [COLUMN_NECK_REACH] = {"neck_reach", false},
    [COLUMN_NUT_DIAMETER] = {"nut_diameter", false},
    [COLUMN_SLOT] = {"slot", false},
    [COLUMN_SHAPE] = {"shape", false},
    [COLUMN_ANGLE] = {"angle", false},
    [COLUMN_NOTE] = {"note", false},
};

#define FLUTES_MOST 100
#define RPM_MOST 1000000
#define SLOT_MOST 1000
#define ANGLE_MOST 180000 /* thousandths of a degree */

static void read_speeds(struct reader *reader, struct table *table, struct cutter *cutter) {
  (void)cell_count(table, COLUMN_FLUTES, OPTIONAL, 1, FLUTES_MOST, &cutter->flutes);
  (void)cell_count(table, COLUMN_RPM, OPTIONAL, 0, RPM_MOST, &cutter->rpm);
  (void)cell_length(reader, table, COLUMN_FEED, REQUIRED, SPAN_SIZE, &cutter->feed);
  cutter->plunge = cutter->feed / 3;
  (void)cell_length(reader, table, COLUMN_PLUNGE, OPTIONAL, SPAN_SIZE, &cutter->plunge);
  (void)cell_length(reader, table, COLUMN_STEPDOWN, REQUIRED, SPAN_SIZE, &cutter->stepdown);
}

static void read_sizes(struct reader *reader, struct table *table, struct cutter *cutter) {
  bool wide = cell_length(reader, table, COLUMN_DIAMETER, REQUIRED, SPAN_SIZE, &cutter->diameter);
  cutter->stepover = cutter->diameter * 2 / 5;
  bool over = cell_length(reader, table, COLUMN_STEPOVER, OPTIONAL, SPAN_SIZE, &cutter->stepover);
  if (wide && over && cutter->stepover > cutter->diameter)
    table_fault(table, COLUMN_STEPOVER, "'%s' leaves ridges, expected at most the diameter '%s'",
                table_cell(table, COLUMN_STEPOVER), table_cell(table, COLUMN_DIAMETER));
  (void)cell_length(reader, table, COLUMN_FLUTE_LENGTH, REQUIRED, SPAN_SIZE, &cutter->flute_length);
  (void)cell_length(reader, table, COLUMN_STICKOUT, OPTIONAL, SPAN_DISTANCE, &cutter->stickout);
  (void)cell_length(reader, table, COLUMN_SHANK, OPTIONAL, SPAN_DISTANCE, &cutter->shank);
  (void)cell_length(reader, table, COLUMN_NECK_REACH, OPTIONAL, SPAN_DISTANCE, &cutter->neck_reach);
  (void)cell_length(reader, table, COLUMN_NUT_DIAMETER, OPTIONAL, SPAN_DISTANCE,
                    &cutter->nut_diameter);
}

static void read_cutter(struct reader *reader, struct table *table) {
  struct project *project = reader->project;
  struct cutter cutter = {.flutes = 1};
  bool named = cell_new_name(reader, table, COLUMN_CUTTER, "cutter", reader->cutters, &cutter.name);
  read_sizes(reader, table, &cutter);
  read_speeds(reader, table, &cutter);
  (void)cell_count(table, COLUMN_SLOT, OPTIONAL, 0, SLOT_MOST, &cutter.slot);
  (void)cell_number(table, COLUMN_ANGLE, OPTIONAL, 0, ANGLE_MOST, &cutter.angle);
  cutter.shape = cell_note(reader, table, COLUMN_SHAPE);
  if (named)
    *ARENA_PUSH(reader->arena, project->cutters, project->cutter_count, project->cutter_room) =
        cutter;
}

void read_cutters(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder,
                                   "cutters.csv", columns, COLUMN_TOTAL);
  if (table == NULL) return;
  table_set_most_rows(table, LIMIT_TOOLS);
  while (table_next(table)) read_cutter(reader, table);
}
