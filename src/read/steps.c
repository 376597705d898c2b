#include "model/machining.h"
#include "read/faults.h"
#include "read/holes.h"

enum {
  COLUMN_PART,
  COLUMN_STEP,
  COLUMN_CUTTER,
  COLUMN_DEPTH,
  COLUMN_AREA,
  COLUMN_PATH,
  COLUMN_COUNT,
  COLUMN_HOLES,
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
    [COLUMN_COUNT] = {"count", false},  [COLUMN_HOLES] = {"holes", false},
    [COLUMN_PECK] = {"peck", false},    [COLUMN_SIDE] = {"side", false},
    [COLUMN_STAND] = {"stand", false},  [COLUMN_PLACE] = {"place", false},
    [COLUMN_NOTE] = {"note", false},
};

#define STEP_COUNT_MOST 1000000
#define AREA_MOST INT64_C(1000000000000) /* thousandths of the square unit */

/* An area is a bare number in the square of the project's unit; 1 in2 is 645.16 mm2. */
static void read_area(struct reader *reader, struct table *table, int64_t *area) {
  (void)cell_number(table, COLUMN_AREA, OPTIONAL, 0, AREA_MOST, area);
  if (reader->unit == UNIT_INCH) *area = (*area * 64516 + 50) / 100;
}

/* False when what the step is, or how the part stands, could not be read. */
static bool read_words(struct reader *reader, struct table *table, struct step *step) {
  int kind = STEP_FACE, side = SIDE_TOP, stand = STAND_FLAT, place = PLACE_BED;
  bool read =
      cell_word(reader, table, COLUMN_STEP, REQUIRED, "face|pocket|drill|profile|chamfer", &kind);
  (void)cell_word(reader, table, COLUMN_SIDE, OPTIONAL, "top|under", &side);
  read = cell_word(reader, table, COLUMN_STAND, OPTIONAL, "flat|edge|end", &stand) && read;
  (void)cell_word(reader, table, COLUMN_PLACE, OPTIONAL, "bed|drill press|saw", &place);
  step->kind = (enum step_kind)kind;
  step->side = (enum side)side;
  step->stand = (enum stand)stand;
  step->place = (enum work_place)place;
  return read;
}

static void check_hole_count(struct reader *reader, struct table *table, const struct step *step,
                             bool counted) {
  if (!counted || cell_empty(table, COLUMN_COUNT) || step->count == (int64_t)step->hole_count)
    return;
  table_fault(table, COLUMN_COUNT, "'%s' is not how many holes are placed, expected %zu",
              text_shown(reader->arena, table_cell(table, COLUMN_COUNT)), step->hole_count);
}

/* Which words of a step are known: its part and cutter, what it is and how the part stands. */
struct known {
  bool names, words;
};

/* Count and places; `left` is how many places of holes the file may still have. */
static void read_holes(struct reader *reader, struct table *table, struct step *step,
                       struct known known, int64_t *left) {
  bool counted = cell_count(table, COLUMN_COUNT, OPTIONAL, 1, STEP_COUNT_MOST, &step->count);
  if (!known.words || cell_empty(table, COLUMN_HOLES)) return;
  if (step->kind != STEP_DRILL || step->stand != STAND_FLAT) {
    table_fault(table, COLUMN_HOLES, "'%s' places no holes here, expected them for %s",
                text_shown(reader->arena, table_cell(table, COLUMN_HOLES)),
                step->kind != STEP_DRILL ? "a step drill" : "a part that lies flat");
    return;
  }
  if (!cell_holes(reader, table, COLUMN_HOLES, step, left)) return;
  check_hole_count(reader, table, step, counted);
  step->count = (int64_t)step->hole_count;
  if (!known.names) return;
  const struct part *part = &reader->project->parts[step->part];
  length_t diameter = reader->project->cutters[step->cutter].diameter;
  if (part->length > 0 && part->width > 0 && diameter > 0)
    check_places_of_holes(reader, table, COLUMN_HOLES, part, step, diameter);
}

/* A depth beyond the part is planned as one right through it: what is written may be a slip. */
static void check_depth(struct reader *reader, struct table *table, const struct step *step) {
  const struct part *part = &reader->project->parts[step->part];
  length_t most = machining_standing(part, step->stand, part->thickness),
           overcut = reader->project->shop.overcut;
  if (step->kind != STEP_POCKET && step->kind != STEP_DRILL) return;
  if (most <= 0 || step->depth <= most + overcut) return;
  struct place place = table_place(table, COLUMN_DEPTH);
  diagnostics_add(reader->diagnostics, SEVERITY_CAUTION, &place,
                  "'%s' is deeper than there is of '%s', %s: planned as right through it and %s "
                  "beyond, expected no more, or no depth for what goes through",
                  text_shown(reader->arena, table_cell(table, COLUMN_DEPTH)), part->name,
                  length_text_unit(reader->arena, most, reader->unit, ROUND_NEAREST),
                  length_text_unit(reader->arena, overcut, reader->unit, ROUND_NEAREST));
}

static void read_step(struct reader *reader, struct table *table, int64_t *left) {
  struct project *project = reader->project;
  struct step step = {.count = 1};
  struct known known;
  known.names =
      cell_reference(reader, table, COLUMN_PART, "part", "parts.csv", reader->parts, &step.part);
  known.words = read_words(reader, table, &step);
  known.names = cell_reference(reader, table, COLUMN_CUTTER, "cutter", "cutters.csv",
                               reader->cutters, &step.cutter) &&
                known.names;
  if (cell_length(reader, table, COLUMN_DEPTH, OPTIONAL, SPAN_SIZE, &step.depth) && known.names &&
      known.words)
    check_depth(reader, table, &step);
  read_area(reader, table, &step.area);
  (void)cell_length(reader, table, COLUMN_PATH, OPTIONAL, SPAN_DISTANCE, &step.path);
  read_holes(reader, table, &step, known, left);
  (void)cell_length(reader, table, COLUMN_PECK, OPTIONAL, SPAN_DISTANCE, &step.peck);
  step.note = cell_note(reader, table, COLUMN_NOTE);
  *ARENA_PUSH(reader->arena, project->steps, project->step_count, project->step_room) = step;
}

void read_steps(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "steps.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  table_set_most_rows(table, LIMIT_STEPS);
  int64_t left = LIMIT_HOLES;
  while (table_next(table)) read_step(reader, table, &left);
}
