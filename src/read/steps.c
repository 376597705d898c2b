#include "read/cell.h"

enum {
  COLUMN_PART,
  COLUMN_STEP,
  COLUMN_CUTTER,
  COLUMN_DEPTH,
  COLUMN_AREA,
  COLUMN_PATH,
  COLUMN_COUNT,
  COLUMN_PECK,
  COLUMN_SIDE,
  COLUMN_STAND,
  COLUMN_PLACE,
  COLUMN_NOTE,
  COLUMN_TOTAL
};

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_PART] = {"part", true},     [COLUMN_STEP] = {"step", true},
    [COLUMN_CUTTER] = {"cutter", true}, [COLUMN_DEPTH] = {"depth", false},
    [COLUMN_AREA] = {"area", false},    [COLUMN_PATH] = {"path", false},
    [COLUMN_COUNT] = {"count", false},  [COLUMN_PECK] = {"peck", false},
    [COLUMN_SIDE] = {"side", false},    [COLUMN_STAND] = {"stand", false},
    [COLUMN_PLACE] = {"place", false},  [COLUMN_NOTE] = {"note", false},
};

#define STEP_COUNT_MOST 1000000
#define AREA_MOST INT64_C(1000000000000) /* thousandths of the square unit */

/* An area is a bare number in the square of the project's unit; 1 in2 is 645.16 mm2. */
static void read_area(struct reader *reader, struct table *table, int64_t *area) {
  (void)cell_number(table, COLUMN_AREA, OPTIONAL, 0, AREA_MOST, area);
  if (reader->unit == UNIT_INCH) *area = (*area * 64516 + 50) / 100;
}

static void read_words(struct reader *reader, struct table *table, struct step *step) {
  int kind = STEP_FACE, side = SIDE_TOP, stand = STAND_FLAT, place = PLACE_BED;
  (void)cell_word(reader, table, COLUMN_STEP, REQUIRED, "face|pocket|drill|profile|chamfer", &kind);
  (void)cell_word(reader, table, COLUMN_SIDE, OPTIONAL, "top|under", &side);
  (void)cell_word(reader, table, COLUMN_STAND, OPTIONAL, "flat|edge|end", &stand);
  (void)cell_word(reader, table, COLUMN_PLACE, OPTIONAL, "bed|drill press|saw", &place);
  step->kind = (enum step_kind)kind;
  step->side = (enum side)side;
  step->stand = (enum stand)stand;
  step->place = (enum work_place)place;
}

static void read_step(struct reader *reader, struct table *table) {
  struct project *project = reader->project;
  struct step step = {.count = 1};
  (void)cell_reference(reader, table, COLUMN_PART, "part", "parts.csv", reader->parts, &step.part);
  read_words(reader, table, &step);
  (void)cell_reference(reader, table, COLUMN_CUTTER, "cutter", "cutters.csv", reader->cutters,
                       &step.cutter);
  (void)cell_length(reader, table, COLUMN_DEPTH, OPTIONAL, SPAN_SIZE, &step.depth);
  read_area(reader, table, &step.area);
  (void)cell_length(reader, table, COLUMN_PATH, OPTIONAL, SPAN_DISTANCE, &step.path);
  (void)cell_count(table, COLUMN_COUNT, OPTIONAL, 1, STEP_COUNT_MOST, &step.count);
  (void)cell_length(reader, table, COLUMN_PECK, OPTIONAL, SPAN_DISTANCE, &step.peck);
  step.note = cell_note(reader, table, COLUMN_NOTE);
  *ARENA_PUSH(reader->arena, project->steps, project->step_count, project->step_room) = step;
}

void read_steps(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "steps.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  table_set_most_rows(table, LIMIT_STEPS);
  while (table_next(table)) read_step(reader, table);
}
