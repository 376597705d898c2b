/* What stands on each sheet of a template below its window: lines to check the scale by, words,
 * and a map of the sheets. */
#include <inttypes.h>

#include "write/marking.h"

#define PEN (MM(1) / 5)
#define WORDS_FROM MM(107)
#define MAP_LENGTH MM(30)
#define MAP_WIDTH MM(24)

/* From outer edge to outer edge of its ends it is as long as it says. */
static void draw_check(struct marking *marking, length_t x, length_t y, length_t length,
                       const char *text) {
  struct pdf_type type = {.size = MM(5) / 2, .anchor = PDF_MIDDLE};
  pdf_pen(marking->pdf, PDF_INK, PEN, 0, 0);
  pdf_line(marking->pdf, x, y, x + length, y);
  pdf_line(marking->pdf, x + PEN / 2, y - MM(2), x + PEN / 2, y + MM(2));
  pdf_line(marking->pdf, x + length - PEN / 2, y - MM(2), x + length - PEN / 2, y + MM(2));
  pdf_text(marking->pdf, x + length / 2, y - MM(1), type, text);
}

static void draw_key(struct marking *marking, length_t x, length_t y) {
  static const char *const of_load[] = {
      "small cross: prick through; dashed ring: from under, paper face down; large: router's zero",
      "thick edge: stop; dashed: furthest any cutter goes; hatched: clamp, no cutter; black: tab"};
  static const char *const of_part[] = {
      "small cross: prick through; the ring is as large as the hole",
      "dashed ring: drilled from under; prick the paper and lay it face down for these"};
  const char *const *rows = marking->held != NULL ? of_load : of_part;
  struct pdf_type type = {.size = MM(5) / 2, .room = MM(102)};
  for (size_t i = 0; i < sizeof of_load / sizeof *of_load; i++)
    pdf_text(marking->pdf, x, y + (length_t)i * MM(7) / 2, type, rows[i]);
}

static const char *grain_words(enum marking_grain grain) {
  if (grain == MARKING_ANY) return "grain either way";
  return grain == MARKING_ALONG ? "grain from left to right" : "grain from front to back";
}

/* Of the load, or of the part by itself. */
static const char *size_text(const struct marking *marking) {
  const struct view *view = marking->view;
  if (marking->part != NULL)
    return view_part_size(marking->arena, view->unit, &view->project->parts[marking->part->part],
                          false, "\xC3\x97");
  return view_size(marking->arena, view->unit, marking->length, marking->width, "\xC3\x97",
                   ROUND_UP, NULL);
}

static void draw_words(struct marking *marking, length_t x, length_t y, length_t room) {
  struct arena *arena = marking->arena;
  const struct view *view = marking->view;
  const struct marking_tiles *tiles = &marking->tiles;
  struct pdf_type type = {.size = MM(5), .room = room, .bold = true};
  int64_t sheet = marking->row * tiles->columns + marking->column + 1;
  pdf_text(marking->pdf, x, y + MM(5), type,
           arena_format(arena, "%s: sheet %" PRId64 " of %" PRId64,
                        marking_name(arena, marking->row, marking->column), sheet,
                        tiles->columns * tiles->rows));
  const char *rows[] = {view->project->name, marking->title,
                        arena_format(arena, "%s %s", size_text(marking), marking->wood),
                        grain_words(marking->grain), "Print at 100 %"};
  type.bold = false;
  type.size = MM(3);
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    pdf_text(marking->pdf, x, y + MM(10) + (length_t)i * MM(17) / 4, type, rows[i]);
}

/* The whole template, its sheets, and this one shaded. */
static void draw_map(struct marking *marking, length_t right, length_t y) {
  const struct marking_tiles *tiles = &marking->tiles;
  double fit_x = (double)MAP_LENGTH / (double)tiles->length;
  double fit_y = (double)MAP_WIDTH / (double)tiles->width;
  double scale = fit_x < fit_y ? fit_x : fit_y;
  length_t x = right - (length_t)((double)tiles->length * scale);
  for (int pass = 0; pass < 2; pass++) /* the shade lies below all lines */
    for (int64_t r = 0; r < tiles->rows; r++)
      for (int64_t c = 0; c < tiles->columns; c++) {
        length_t from_x = c * tiles->step_length, from_y = r * tiles->step_width;
        length_t to_x = c + 1 < tiles->columns ? from_x + tiles->step_length : tiles->length;
        length_t to_y = r + 1 < tiles->rows ? from_y + tiles->step_width : tiles->width;
        struct view_place cell = {x + (length_t)((double)from_x * scale),
                                  y + (length_t)((double)from_y * scale),
                                  (length_t)((double)(to_x - from_x) * scale),
                                  (length_t)((double)(to_y - from_y) * scale)};
        bool here = r == marking->row && c == marking->column;
        if (pass == 0 && here) pdf_fill(marking->pdf, &cell, PDF_PALE);
        if (pass == 0) continue;
        pdf_pen(marking->pdf, PDF_INK, here ? 2 * PEN : PEN, 0, 0);
        pdf_rect(marking->pdf, &cell, 0);
        length_t size = cell.width * 6 / 10 < MM(3) ? cell.width * 6 / 10 : MM(3);
        struct pdf_type type = {size, cell.length, PDF_MIDDLE, here, false};
        if (size >= MM(1))
          pdf_text(marking->pdf, cell.x + cell.length / 2, cell.y + cell.width / 2 + size / 3, type,
                   marking_name(marking->arena, r, c));
      }
}

void marking_draw_foot(struct marking *marking) {
  const struct pdf_paper *paper = &marking->tiles.paper;
  length_t x = paper->margin, right = paper->width - paper->margin;
  length_t y = paper->height - paper->margin - MARKING_FOOT;
  draw_check(marking, x, y + MM(8), MM(100), "measure: 100 mm");
  draw_check(marking, x, y + MM(17), 4 * LENGTH_PER_INCH, "measure: 4 in");
  draw_key(marking, x, y + MM(25));
  draw_words(marking, x + WORDS_FROM, y + MM(3), right - MAP_LENGTH - MM(3) - x - WORDS_FROM);
  draw_map(marking, right, y + MM(4));
}
