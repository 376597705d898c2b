/* Where sheets are joined again: lines to cut and lay by, words, and marks that two sheets share.
 * Marks and words keep clear of what is drawn of the load, where there is room. */
#include "write/drawing.h"
#include "write/load_drawing.h"
#include "write/marking.h"

#define STEP MM(2)  /* between places that are tried */
#define MATCH MM(9) /* a mark, and air around it */
#define CLEAR MM(1) /* around words */

/* ---- what is free ---- */

static bool meets(const struct view_place *a, const struct view_place *b) {
  return a->x < b->x + b->length && b->x < a->x + a->length && a->y < b->y + b->width &&
         b->y < a->y + a->width;
}

static bool lies_in(const struct view_place *inner, const struct view_place *outer) {
  return inner->x > outer->x && inner->x + inner->length < outer->x + outer->length &&
         inner->y > outer->y && inner->y + inner->width < outer->y + outer->width;
}

/* On paper: a box of the load, grown on all sides. */
static struct view_place on_paper(const struct marking *marking, const struct view_place *place,
                                  length_t grown) {
  return (struct view_place){marking_x(marking, place->x - grown),
                             marking_y(marking, place->y + place->width + grown),
                             place->length + 2 * grown, place->width + 2 * grown};
}

/* True where the line around a place runs through a box. */
static bool line_meets(const struct marking *marking, const struct view_place *box,
                       const struct view_place *place, length_t grown) {
  struct view_place around = on_paper(marking, place, grown);
  return meets(box, &around) && !lies_in(box, &around);
}

/* From a value to the nearest, or the furthest, of a stretch. */
static length_t nearest(length_t value, length_t from, length_t extent) {
  return value < from ? from - value : value > from + extent ? value - from - extent : 0;
}

static length_t furthest(length_t value, length_t from, length_t extent) {
  length_t low = value > from ? value - from : from - value;
  length_t high = value > from + extent ? value - from - extent : from + extent - value;
  return larger(low, high);
}

/* The same of the circle in the place. */
static bool circle_meets(const struct marking *marking, const struct view_place *box,
                         const struct view_place *place, length_t grown) {
  struct view_place around = on_paper(marking, place, grown);
  length_t radius = around.length / 2, x = around.x + radius, y = around.y + radius;
  length_t near_x = nearest(x, box->x, box->length), near_y = nearest(y, box->y, box->width);
  length_t far_x = furthest(x, box->x, box->length), far_y = furthest(y, box->y, box->width);
  return near_x * near_x + near_y * near_y <= radius * radius &&
         radius * radius <= far_x * far_x + far_y * far_y;
}

/* The mark in the middle of a part and its name, below or beside it. */
static bool middle_meets(const struct marking *marking, const struct view_place *box,
                         const struct held_part *part, size_t index) {
  const char *name = arena_format(marking->arena, "%s %s", load_part_number(marking->arena, index),
                                  marking->view->project->parts[part->part].name);
  length_t wide = type_width(MM(7) / 2, name);
  length_t x = marking_x(marking, part->x + part->length / 2);
  length_t y = marking_y(marking, part->y + part->width / 2);
  struct view_place point = {x - MM(3), y - MM(3), MM(6), MM(6)};
  struct view_place words = {x - wide / 2, y, wide, MM(8)};
  if (part->width < MM(16)) words = (struct view_place){x, y - MM(3), MM(3) + wide, MM(6)};
  return meets(box, &point) || meets(box, &words);
}

static bool part_meets(const struct marking *marking, const struct view_place *box,
                       const struct held_part *part, length_t reach) {
  struct view_place outline = {part->x, part->y, part->length, part->width};
  bool round = marking->view->project->parts[part->part].shape == SHAPE_ROUND;
  bool (*outline_meets)(const struct marking *, const struct view_place *,
                        const struct view_place *, length_t) = round ? circle_meets : line_meets;
  if (outline_meets(marking, box, &outline, 0) || outline_meets(marking, box, &outline, reach))
    return true;
  for (size_t t = 0; t < part->tab_count; t++) {
    struct view_place strip = view_tab_place(marking->view, marking->held->load, &part->tabs[t]);
    strip = on_paper(marking, &strip, 0);
    if (meets(box, &strip)) return true;
  }
  return false;
}

/* Of a part by itself its outline alone: its holes are close and small. */
static bool is_clear(const struct marking *marking, const struct view_place *box) {
  struct view_place whole = {0, 0, marking->length, marking->width};
  if (line_meets(marking, box, &whole, 0)) return false;
  if (marking->held == NULL) return true;
  const struct load *load = marking->held->load;
  for (size_t i = 0; i < marking->held->made_count; i++)
    if (part_meets(marking, box, marking->held->made[i].held, load->reach) ||
        middle_meets(marking, box, marking->held->made[i].held, i))
      return false;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    struct view_place body = {clamp->x, clamp->y, clamp->length, clamp->width};
    body = on_paper(marking, &body, 0);
    if (meets(box, &body)) return false;
  }
  return true;
}

/* ---- where things go along a seam ---- */

/* A stretch across a seam, on paper, and the seam's own from `start` over `extent`. */
struct seam {
  bool upright;
  length_t start, extent, low, high;
  length_t marks[2]; /* the middles of its marks */
  bool at_marks;     /* they lie in the stretch */
  bool over_lines;   /* lines may be written over */
};

static bool marks_meet(const struct seam *seam, length_t middle, length_t takes) {
  for (size_t i = 0; i < 2; i++) {
    length_t apart = middle > seam->marks[i] ? middle - seam->marks[i] : seam->marks[i] - middle;
    if (2 * apart < takes + MATCH) return true;
  }
  return false;
}

static bool place_is_clear(const struct marking *marking, const struct seam *seam, length_t middle,
                           length_t takes) {
  length_t from = middle - takes / 2, across = seam->high - seam->low;
  struct view_place box = seam->upright ? (struct view_place){seam->low, from, across, takes}
                                        : (struct view_place){from, seam->low, takes, across};
  if (seam->at_marks && marks_meet(seam, middle, takes)) return false;
  return seam->over_lines || is_clear(marking, &box);
}

/* Sets the clear middle nearest to the wanted one and no further off than `off`; false where there
 * is none. Both sheets find the same, since they try the same places of the load. */
static bool find_middle(const struct marking *marking, const struct seam *seam, length_t takes,
                        length_t off, length_t *wanted) {
  for (length_t away = 0; away <= off; away += STEP)
    for (int sign = -1; sign <= 1; sign += 2) {
      length_t middle = *wanted + sign * away;
      bool within =
          middle - takes / 2 >= seam->start && middle + takes / 2 <= seam->start + seam->extent;
      if (!within || !place_is_clear(marking, seam, middle, takes)) continue;
      *wanted = middle;
      return true;
    }
  return false;
}

/* ---- joints ---- */

/* A ring and a cross that two sheets share, where they are to be brought together. */
static void draw_match(struct marking *marking, length_t x, length_t y) {
  pdf_pen(marking->pdf, PDF_INK, MM(1) / 5, 0, 0);
  pdf_ring(marking->pdf, x, y, MM(2));
  pdf_cross(marking->pdf, x, y, MM(4));
}

static void draw_matches(struct marking *marking, struct seam *whole, length_t across) {
  struct seam seam = *whole;
  seam.low = across - MATCH / 2;
  seam.high = across + MATCH / 2;
  for (int64_t i = 0; i < 2; i++) {
    length_t middle = seam.start + seam.extent * (2 * i + 1) / 4;
    (void)find_middle(marking, &seam, MATCH, seam.extent / 5, &middle);
    whole->marks[i] = middle;
    if (seam.upright)
      draw_match(marking, across, middle);
    else
      draw_match(marking, middle, across);
  }
}

/* Beside the line, before it (`base` is that of the type) or, where nothing is clear there, behind
 * it among the marks; at last over lines, but never over marks. */
static void draw_words(struct marking *marking, const struct seam *whole, length_t before,
                       length_t behind, const char *text) {
  struct pdf_type type = {.size = MM(5) / 2, .anchor = PDF_MIDDLE, .upright = whole->upright};
  /* reckoned broad elsewhere: nothing hangs on it here but lines written over */
  length_t takes = type_width(type.size, text) * 8 / 10 + CLEAR, base = before;
  length_t middle = whole->start + whole->extent / 2;
  for (int tried = 0; tried < 3; tried++) {
    struct seam seam = *whole;
    base = tried == 1 ? behind : before;
    seam.low = base - type.size - CLEAR / 2;
    seam.high = base + CLEAR;
    seam.at_marks = base == behind;
    seam.over_lines = tried == 2;
    if (find_middle(marking, &seam, takes, seam.extent / 2, &middle)) break;
  }
  if (whole->upright)
    pdf_text(marking->pdf, base, middle, type, text);
  else
    pdf_text(marking->pdf, middle, base, type, text);
}

/* One end of the window along x (`upright`) or y. On the sheet that lies above the paper is cut
 * off at its edge; on the one below, the other's edge comes to lie an overlap further in. */
static void draw_joint(struct marking *marking, bool upright, bool first) {
  length_t x = marking->seen_x, y = marking->seen_y;
  length_t length = marking->seen_length, width = marking->seen_width;
  length_t overlap = marking->tiles.paper.overlap;
  struct seam seam = {
      .upright = upright, .start = upright ? y : x, .extent = upright ? width : length};
  length_t edge = upright ? x : y, extent = upright ? length : width;
  length_t line = first ? edge : edge + extent - overlap;
  pdf_pen(marking->pdf, first ? PDF_INK : PDF_GREY, MM(1) / 5, first ? MM(4) : MM(1), MM(1));
  if (upright)
    pdf_line(marking->pdf, line, y, line, y + width);
  else
    pdf_line(marking->pdf, x, line, x + length, line);
  int64_t step = first ? -1 : 1;
  const char *other = marking_name(marking->arena, marking->row + (upright ? 0 : step),
                                   marking->column + (upright ? step : 0));
  draw_matches(marking, &seam, line + overlap / 2);
  length_t behind = line + MM(5) / 2 + MM(1);
  draw_words(marking, &seam, first ? behind : line - MM(1), behind,
             arena_format(marking->arena, first ? "cut, lay over %s" : "edge of %s here", other));
}

void marking_draw_joints(struct marking *marking) {
  const struct marking_tiles *tiles = &marking->tiles;
  if (marking->column > 0) draw_joint(marking, true, true);
  if (marking->column + 1 < tiles->columns) draw_joint(marking, true, false);
  if (marking->row > 0) draw_joint(marking, false, true);
  if (marking->row + 1 < tiles->rows) draw_joint(marking, false, false);
}
