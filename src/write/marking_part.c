/* What a template shows of a part: its holes and name; and of a part that lies on no load, or is
 * drilled by hand when it is finished, all of it. */
#include "write/drawing.h"
#include "write/marking.h"

#define HAIRLINE (MM(1) / 5)
#define ARROW MM(24)
#define WORD MM(10) /* behind the arrow: "grain" */

/* ---- holes ---- */

/* A ring as large as the hole, dashed where it is drilled from under, and a cross to prick. */
void marking_draw_holes(struct marking *marking, const struct load_hole *holes, size_t count) {
  for (size_t i = 0; i < count; i++) {
    length_t x = marking_x(marking, holes[i].middle.x), y = marking_y(marking, holes[i].middle.y);
    length_t dash = holes[i].from_under ? MM(1) / 2 : 0;
    pdf_pen(marking->pdf, PDF_INK, HAIRLINE, dash, dash);
    pdf_ring(marking->pdf, x, y, holes[i].diameter / 2);
    pdf_pen(marking->pdf, PDF_INK, HAIRLINE, 0, 0);
    pdf_cross(marking->pdf, x, y, MM(3) / 2);
  }
}

/* ---- name ---- */

/* Below the middle of a part; beside it where that is too narrow. */
void marking_draw_name(struct marking *marking, const struct held_part *part,
                       const struct load_hole *holes, size_t count, const char *name) {
  struct pdf_type type = {.size = MM(7) / 2, .room = part->length - MM(2), .anchor = PDF_MIDDLE};
  length_t x = marking_x(marking, part->x + part->length / 2);
  length_t y = marking_y(marking, part->y + part->width / 2);
  if (part->width < MM(16) && count == 0) {
    type.anchor = PDF_START;
    type.room = part->length / 2 - MM(4);
    if (type.room >= MM(4)) pdf_text(marking->pdf, x + MM(3), y + MM(5) / 4, type, name);
    return;
  }
  struct view_place room = {part->x, part->y, part->length, part->width};
  length_t wide = type_width(type.size, name), below = 0;
  if (wide > type.room) wide = type.room;
  length_t wanted = count == 0 ? MM(19) / 4 : 0; /* the middle is marked where there is no hole */
  if (!load_clear_of_holes(&room, holes, count, wide, type.size, wanted, &below)) below = wanted;
  pdf_text(marking->pdf, x, y + below + MM(5) / 4, type, name);
}

/* ---- grain ---- */

static bool meets_clamp(const struct marking *marking, const struct view_place *box) {
  const struct load *load = marking->held == NULL ? NULL : marking->held->load;
  for (size_t i = 0; load != NULL && i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    length_t out = clamp->keep_out;
    if (clamp->x - out < box->x + box->length && box->x < clamp->x + clamp->length + out &&
        clamp->y - out < box->y + box->width && box->y < clamp->y + clamp->width + out)
      return true;
  }
  return false;
}

/* With a head at both ends: the grain runs either way. */
static void draw_arrow(struct marking *marking, length_t x, length_t y, bool upright) {
  length_t half = ARROW / 2 - MM(1), barb = MM(3) / 2;
  pdf_pen(marking->pdf, PDF_INK, 2 * HAIRLINE, 0, 0);
  for (int sign = -1; sign <= 1; sign += 2) {
    length_t tip = sign * half, back = sign * (half - 2 * barb);
    for (int side = -1; side <= 1; side++) { /* the shaft between two barbs */
      length_t from = side == 0 ? 0 : back, off = side * barb;
      if (upright)
        pdf_line(marking->pdf, x + off, y + from, x, y + tip);
      else
        pdf_line(marking->pdf, x + from, y + off, x + tip, y);
    }
  }
}

static void draw_arrow_in(struct marking *marking, const struct view_place *box, bool upright) {
  struct pdf_type type = {.size = MM(5) / 2, .room = WORD, .upright = upright};
  length_t x = marking_x(marking, box->x), y = marking_y(marking, box->y);
  length_t middle = MARKING_BORDER / 2, down = MM(9) / 10; /* from the middle of type to its base */
  if (upright) {
    draw_arrow(marking, x + middle, y - ARROW / 2, true);
    pdf_text(marking->pdf, x + middle + down, y - ARROW, type, "grain");
  } else {
    draw_arrow(marking, x + ARROW / 2, y - middle, false);
    pdf_text(marking->pdf, x + ARROW, y - middle + down, type, "grain");
  }
}

/* In the border, a quarter from an end or nearer to its middle, on whichever side is free; the
 * sides' names stand in the middle. Where all is taken the foot's words must do. */
void marking_draw_grain(struct marking *marking) {
  if (marking->grain == MARKING_ANY) return;
  bool upright = marking->grain == MARKING_ACROSS;
  length_t extent = upright ? marking->width : marking->length;
  length_t beyond = upright ? marking->length : marking->width, takes = ARROW + WORD;
  for (int64_t eighth = 2; eighth <= 8; eighth++)
    for (int high = 1; high >= 0; high--) {
      length_t start = extent * (eighth % 8) / 8, aside = high == 1 ? beyond : -MARKING_BORDER;
      struct view_place box = {upright ? aside : start, upright ? start : aside,
                               upright ? MARKING_BORDER : takes, upright ? takes : MARKING_BORDER};
      bool at_name =
          marking->held != NULL && start < extent / 2 + MM(8) && start + takes > extent / 2 - MM(8);
      if (at_name || start + takes > extent || meets_clamp(marking, &box)) continue;
      draw_arrow_in(marking, &box, upright);
      return;
    }
}

/* ---- a part by itself ---- */

void marking_draw_part(struct marking *marking) {
  const struct part *part = &marking->view->project->parts[marking->part->part];
  struct view_place outline = {marking_x(marking, 0), marking_y(marking, marking->width),
                               marking->length, marking->width};
  struct load_hole *holes = NULL;
  size_t count = load_holes(marking->arena, marking->view, marking->part, &holes);
  pdf_pen(marking->pdf, PDF_INK, 3 * HAIRLINE / 2, 0, 0);
  pdf_rect(marking->pdf, &outline, part->shape == SHAPE_ROUND ? marking->length / 2 : 0);
  marking_draw_grain(marking);
  marking_draw_name(marking, marking->part, holes, count, part->name);
  marking_draw_holes(marking, holes, count);
}
