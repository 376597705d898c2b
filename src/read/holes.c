#include "read/holes.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "read/faults.h"

static const char place_form[] =
    "such as 20x15: along the part, x, across it, from its lower left corner";
static const char row_form[] = "such as 20x15 to 260x15 by 24, or by 24x12 for rows side by side";

struct hole_cell {
  struct reader *reader;
  struct table *table;
  size_t column;
  struct hole *holes;
  size_t count, room;
  int64_t left;
};

static const char *quoted(const struct hole_cell *cell, const char *text) {
  return text_shown(table_arena(cell->table), text);
}

/* ---- one item ---- */

static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/* Where a word of two letters stands by itself, NULL for nowhere. */
static char *find_word(char *text, const char word[2]) {
  for (char *at = text; at[0] != '\0' && at[1] != '\0'; at++) {
    bool same = (at[0] | 0x20) == word[0] && (at[1] | 0x20) == word[1];
    if (same && !is_letter(at[2]) && (at == text || !is_letter(at[-1]))) return at;
  }
  return NULL;
}

/* The sign between two lengths, NULL for none; *size is its bytes. */
static char *find_times(char *text, size_t *size) {
  char *sign = strpbrk(text, "xX");
  char *typeset = strstr(text, "\xC3\x97");
  *size = 1;
  if (typeset == NULL || (sign != NULL && sign < typeset)) return sign;
  *size = 2;
  return typeset;
}

static bool read_length(const struct hole_cell *cell, const char *text, length_t *value) {
  text = text_trimmed(cell->reader->arena, text);
  enum length_fault fault =
      length_parse(text, cell->reader->unit, table_decimal_comma(cell->table), value);
  if (fault == LENGTH_FINE) return true;
  const char *why = fault == LENGTH_NOT_A_LENGTH ? "no length"
                    : fault == LENGTH_TOO_LARGE  ? "too long"
                                                 : "too fine a length";
  table_fault(cell->table, cell->column, "'%s' is %s, expected places of holes %s",
              quoted(cell, text), why, place_form);
  return false;
}

/* Two lengths; without a sign between them a fault, or where `one` one length for both. */
static bool read_pair(const struct hole_cell *cell, const char *text, bool *one,
                      struct hole *pair) {
  char *first = arena_copy_text(cell->reader->arena, text);
  size_t size = 0;
  char *sign = find_times(first, &size);
  if (sign == NULL && one != NULL) {
    *one = true;
    bool read = read_length(cell, first, &pair->x);
    pair->y = pair->x;
    return read;
  }
  if (sign == NULL) {
    table_fault(cell->table, cell->column, "'%s' is no place of a hole, expected %s",
                quoted(cell, text_trimmed(cell->reader->arena, text)), place_form);
    return false;
  }
  *sign = '\0';
  return read_length(cell, first, &pair->x) && read_length(cell, sign + size, &pair->y);
}

static bool add_hole(struct hole_cell *cell, length_t x, length_t y) {
  if (cell->left == 0) {
    table_fault(cell->table, cell->column, "too many holes, expected at most %d in the whole file",
                LIMIT_HOLES);
    return false;
  }
  cell->left--;
  *ARENA_PUSH(cell->reader->arena, cell->holes, cell->count, cell->room) = (struct hole){x, y};
  return true;
}

/* How many steps lead over a distance, -1 where it is no whole number of them (with a fault). */
static int64_t steps_over(const struct hole_cell *cell, const char *item, length_t distance,
                          length_t step) {
  if (distance < 0) distance = -distance;
  if (distance % step == 0) return distance / step;
  struct arena *arena = table_arena(cell->table);
  table_fault(cell->table, cell->column,
              "'%s' goes over %s, no whole number of steps of %s, expected to end on a hole",
              quoted(cell, item),
              length_text_unit(arena, distance, cell->reader->unit, ROUND_NEAREST),
              length_text_unit(arena, step, cell->reader->unit, ROUND_NEAREST));
  return -1;
}

static bool add_field(struct hole_cell *cell, const char *item, struct hole from, struct hole to,
                      struct hole step) {
  int64_t along = steps_over(cell, item, to.x - from.x, step.x);
  int64_t across = along < 0 ? -1 : steps_over(cell, item, to.y - from.y, step.y);
  if (across < 0) return false;
  if (to.x < from.x) step.x = -step.x;
  if (to.y < from.y) step.y = -step.y;
  for (int64_t row = 0; row <= across; row++)
    for (int64_t i = 0; i <= along; i++)
      if (!add_hole(cell, from.x + i * step.x, from.y + row * step.y)) return false;
  return true;
}

/* PLACE to PLACE by STEP; `to` is where its first word stands. */
static bool read_row(struct hole_cell *cell, const char *item, char *first, char *to) {
  char *by = find_word(to + 2, "by");
  if (by == NULL) {
    table_fault(cell->table, cell->column, "'%s' does not say how far apart, expected %s",
                quoted(cell, item), row_form);
    return false;
  }
  *to = *by = '\0';
  struct hole start, end, step = {0};
  bool one = false;
  if (!read_pair(cell, first, NULL, &start) || !read_pair(cell, to + 2, NULL, &end) ||
      !read_pair(cell, by + 2, &one, &step))
    return false;
  if (step.x <= 0 || step.y <= 0) {
    table_fault(cell->table, cell->column, "'%s' has a step of 0 or less, expected %s",
                quoted(cell, item), row_form);
    return false;
  }
  if (one && start.x != end.x && start.y != end.y) {
    table_fault(cell->table, cell->column,
                "'%s' goes along and across the part, expected a step for both, such as by 24x12",
                quoted(cell, item));
    return false;
  }
  return add_field(cell, item, start, end, step);
}

static bool read_item(struct hole_cell *cell, const char *item) {
  char *text = arena_copy_text(cell->reader->arena, item);
  char *to = find_word(text, "to");
  if (to != NULL) return read_row(cell, item, text, to);
  struct hole place;
  return read_pair(cell, text, NULL, &place) && add_hole(cell, place.x, place.y);
}

bool cell_holes(struct reader *reader, struct table *table, size_t column, struct step *step,
                int64_t *left) {
  struct hole_cell cell = {.reader = reader, .table = table, .column = column, .left = *left};
  const char *text = table_cell(table, column);
  while (*text != '\0') {
    size_t size = strcspn(text, ";|");
    const char *item = text_trimmed(reader->arena, arena_copy_bytes(reader->arena, text, size));
    if (*item != '\0' && !read_item(&cell, item)) return false;
    text += size;
    if (*text != '\0') text++;
  }
  if (cell.count == 0) {
    if (!cell_empty(table, column))
      table_fault(table, column, "no place of a hole, expected %s", place_form);
    return false;
  }
  *left = cell.left;
  step->holes = cell.holes;
  step->hole_count = cell.count;
  return true;
}

/* ---- in the part ---- */

static const char *place_text(struct reader *reader, struct hole hole) {
  return arena_format(reader->arena, "%sx%s",
                      length_text(reader->arena, hole.x, reader->unit, ROUND_NEAREST, NULL),
                      length_text(reader->arena, hole.y, reader->unit, ROUND_NEAREST, NULL));
}

/* Twice as large as they are, so that halves are whole. */
static bool lies_within(const struct part *part, struct hole hole, length_t diameter) {
  length_t x = 2 * hole.x, y = 2 * hole.y;
  if (x < diameter || y < diameter || x > 2 * part->length - diameter ||
      y > 2 * part->width - diameter)
    return false;
  if (part->shape != SHAPE_ROUND) return true;
  length_t away_x = x - part->length, away_y = y - part->width, most = part->length - diameter;
  return away_x * away_x + away_y * away_y <= most * most;
}

static bool check_within(struct reader *reader, struct table *table, size_t column,
                         const struct part *part, const struct step *step, length_t diameter) {
  for (size_t i = 0; i < step->hole_count; i++) {
    if (lies_within(part, step->holes[i], diameter)) continue;
    table_fault(table, column,
                "hole %zu at %s breaks out of '%s', expected all of its %s within %s %s", i + 1,
                place_text(reader, step->holes[i]), text_shown(reader->arena, part->name),
                length_text_unit(reader->arena, diameter, reader->unit, ROUND_NEAREST),
                part->shape == SHAPE_ROUND ? "the round of" : "the part's",
                place_text(reader, (struct hole){part->length, part->width}));
    return false;
  }
  return true;
}

static int compare_holes(const void *a, const void *b) {
  const struct hole *left = a, *right = b;
  if (left->x != right->x) return left->x < right->x ? -1 : 1;
  return left->y == right->y ? 0 : left->y < right->y ? -1 : 1;
}

/* The first two, from left to right, that are nearer than a diameter. */
static bool find_overlap(const struct hole *sorted, size_t count, length_t diameter, size_t *one,
                         size_t *other) {
  for (size_t i = 0; i < count; i++)
    for (size_t j = i + 1; j < count && sorted[j].x - sorted[i].x < diameter; j++) {
      length_t x = sorted[j].x - sorted[i].x, y = sorted[j].y - sorted[i].y;
      if (x * x + y * y >= diameter * diameter) continue;
      *one = i;
      *other = j;
      return true;
    }
  return false;
}

void check_places_of_holes(struct reader *reader, struct table *table, size_t column,
                           const struct part *part, const struct step *step, length_t diameter) {
  if (!check_within(reader, table, column, part, step, diameter)) return;
  struct hole *sorted = ARENA_ARRAY(reader->arena, step->hole_count, struct hole);
  memcpy(sorted, step->holes, step->hole_count * sizeof *sorted);
  qsort(sorted, step->hole_count, sizeof *sorted, compare_holes);
  for (size_t i = 1; i < step->hole_count; i++) {
    if (compare_holes(&sorted[i - 1], &sorted[i]) != 0) continue;
    table_fault(table, column, "two holes at %s, expected each place once",
                place_text(reader, sorted[i]));
    return;
  }
  size_t one = 0, other = 0;
  if (!find_overlap(sorted, step->hole_count, diameter, &one, &other)) return;
  struct place place = table_place(table, column);
  diagnostics_add(reader->diagnostics, SEVERITY_CAUTION, &place,
                  "holes at %s and %s overlap, expected %s or more between their middles",
                  place_text(reader, sorted[one]), place_text(reader, sorted[other]),
                  length_text_unit(reader->arena, diameter, reader->unit, ROUND_NEAREST));
}
