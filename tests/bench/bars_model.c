#include "bars_model.h"

#include <inttypes.h>

/* One direction of a size of sheet: 0 along its width, 1 along its height. */
struct line {
  const struct instance *instance;
  size_t sheet;
  int axis;
  int64_t length, lines;
  bool reached[BARS_LONGEST + 1]; /* by ends of pieces */
};

static int64_t along(const struct instance_item *item, int axis) {
  return axis == 0 ? item->width : item->height;
}

static bool fits(const struct instance *instance, size_t item, size_t sheet) {
  return instance->items[item].width <= instance->sheets[sheet].width &&
         instance->items[item].height <= instance->sheets[sheet].height;
}

/* The first item of the sheet with this size along the axis stands for all of them. */
static bool stands_first(const struct line *line, size_t item) {
  int64_t size = along(&line->instance->items[item], line->axis);
  for (size_t i = 0; i < item; i++)
    if (fits(line->instance, i, line->sheet) &&
        along(&line->instance->items[i], line->axis) == size)
      return false;
  return fits(line->instance, item, line->sheet);
}

static struct line open_line(const struct instance *instance, size_t sheet, int axis) {
  const struct instance_sheet *own = &instance->sheets[sheet];
  struct line line = {.instance = instance, .sheet = sheet, .axis = axis};
  line.length = axis == 0 ? own->width : own->height;
  line.lines = axis == 0 ? own->height : own->width;
  line.reached[0] = true;
  for (int64_t at = 0; at < line.length; at++)
    for (size_t i = 0; i < instance->item_count && line.reached[at]; i++) {
      int64_t end = at + along(&instance->items[i], axis);
      if (fits(instance, i, sheet) && end <= line.length) line.reached[end] = true;
    }
  return line;
}

static void write_flow(const struct line *line, const char *sign, int64_t size, int64_t at,
                       FILE *file) {
  fprintf(file, " %s f_%zu_%d_%" PRId64 "_%" PRId64 "\n", sign, line->sheet, line->axis, size, at);
}

/* Nothing is cut from here to the next point. */
static void write_gap(const struct line *line, const char *sign, int64_t at, FILE *file) {
  fprintf(file, " %s g_%zu_%d_%" PRId64 "\n", sign, line->sheet, line->axis, at);
}

/* As many lines meet pieces of a size as these are wide together. */
static void write_pieces(const struct line *line, size_t first, FILE *file) {
  const struct instance *instance = line->instance;
  int64_t size = along(&instance->items[first], line->axis);
  for (int64_t at = 0; at + size <= line->length; at++)
    if (line->reached[at]) write_flow(line, "+", size, at, file);
  for (size_t i = first; i < instance->item_count; i++)
    if (fits(instance, i, line->sheet) && along(&instance->items[i], line->axis) == size)
      fprintf(file, " - %" PRId64 " x_%zu_%zu\n", along(&instance->items[i], 1 - line->axis), i,
              line->sheet);
  fprintf(file, " = 0\n");
}

/* What comes to a point goes on from it; all lines start at 0. */
static void write_point(const struct line *line, int64_t at, int64_t before, FILE *file) {
  const struct instance *instance = line->instance;
  for (size_t i = 0; i < instance->item_count; i++) {
    if (!stands_first(line, i)) continue;
    int64_t size = along(&instance->items[i], line->axis);
    if (at + size <= line->length) write_flow(line, "+", size, at, file);
    if (at >= size && line->reached[at - size]) write_flow(line, "-", size, at - size, file);
  }
  write_gap(line, "+", at, file);
  if (at > 0) write_gap(line, "-", before, file);
  if (at == 0) fprintf(file, " - %" PRId64 " n_%zu\n", line->lines, line->sheet);
  fprintf(file, " = 0\n");
}

static void write_line(const struct line *line, FILE *file) {
  int64_t before = 0;
  for (size_t i = 0; i < line->instance->item_count; i++)
    if (stands_first(line, i)) write_pieces(line, i, file);
  for (int64_t at = 0; at < line->length; at++) {
    if (!line->reached[at]) continue;
    write_point(line, at, before, file);
    before = at;
  }
}

static void write_demands(const struct instance *instance, FILE *file) {
  for (size_t i = 0; i < instance->item_count; i++) {
    for (size_t s = 0; s < instance->sheet_count; s++)
      if (fits(instance, i, s)) fprintf(file, " + x_%zu_%zu\n", i, s);
    fprintf(file, " = %" PRId64 "\n", instance->items[i].demand);
  }
}

static bool is_made_for(const struct instance *instance) {
  for (size_t s = 0; s < instance->sheet_count; s++)
    if (instance->sheets[s].width > BARS_LONGEST || instance->sheets[s].height > BARS_LONGEST)
      return false;
  for (size_t i = 0; i < instance->item_count; i++) {
    bool any = false;
    for (size_t s = 0; s < instance->sheet_count; s++) any = any || fits(instance, i, s);
    if (!any || instance->items[i].demand < 0) return false;
  }
  return instance->defect_count == 0;
}

bool bars_model_write(const struct instance *instance, FILE *file) {
  if (!is_made_for(instance)) return false;
  fprintf(file, "Minimize\n obj:\n");
  for (size_t s = 0; s < instance->sheet_count; s++)
    fprintf(file, " + %" PRId64 " n_%zu\n", instance->sheets[s].cost, s);
  fprintf(file, "Subject To\n");
  write_demands(instance, file);
  for (size_t s = 0; s < instance->sheet_count; s++)
    for (int axis = 0; axis < 2; axis++) {
      struct line line = open_line(instance, s, axis);
      write_line(&line, file);
    }
  fprintf(file, "Bounds\n");
  for (size_t s = 0; s < instance->sheet_count; s++)
    if (instance->sheets[s].count >= 0)
      fprintf(file, " n_%zu <= %" PRId64 "\n", s, instance->sheets[s].count);
  fprintf(file, "General\n");
  for (size_t s = 0; s < instance->sheet_count; s++) fprintf(file, " n_%zu\n", s);
  fprintf(file, "End\n");
  return true;
}
