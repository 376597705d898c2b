/* One clamping at true scale: wood, parts, cutter paths, tabs, clamps and where nothing may go. */
#include <inttypes.h>

#include "write/dimension.h"
#include "write/drawing.h"
#include "write/load_drawing.h"
#include "write/load_holes.h"
#include "write/safe_text.h"
#include "write/work_words.h"
#include "write/writers.h"

enum { TITLE_ROWS = 5, LONGEST_IN_TYPE = 65, SMALLEST_TYPE = 3, DIMENSION = 24 };

#define COLOUR_PATH "#0072B2"
#define COLOUR_CLAMP "#56585A"

/* ---- definitions ---- */

static void add_hatch(struct load_drawing *drawing, const char *id, const char *turn,
                      const char *colour, length_t pitch) {
  svg_start_pattern(drawing->svg, id, pitch, turn);
  svg_pattern_line(drawing->svg, 0, pitch / 2, pitch, pitch / 2, pitch / 8, colour);
  svg_end(drawing->svg);
}

static void define_hatches(struct load_drawing *drawing) {
  svg_start(drawing->svg, "defs");
  add_hatch(drawing, "hatch-keep-out", "rotate(45)", COLOUR_FLAW, tenths(drawing->type, 7));
  add_hatch(drawing, "hatch-clamp", "rotate(-45)", COLOUR_CLAMP, tenths(drawing->type, 3));
  svg_end(drawing->svg);
}

/* ---- shapes ---- */

static void start_box(struct load_drawing *drawing, length_t x, length_t y, length_t length,
                      length_t width) {
  svg_start_rect(drawing->svg, load_paper_x(drawing, x), load_paper_y(drawing, y + width), length,
                 width);
}

static bool is_round(const struct load_drawing *drawing, const struct view_made *made) {
  return drawing->view->project->parts[made->held->part].shape == SHAPE_ROUND;
}

/* The outline of a part grown on all sides; corners as the cutter leaves them. */
static void start_outline(struct load_drawing *drawing, const struct view_made *made,
                          length_t grown) {
  const struct held_part *held = made->held;
  if (!is_round(drawing, made)) {
    start_box(drawing, held->x - grown, held->y - grown, held->length + 2 * grown,
              held->width + 2 * grown);
    if (grown > 0) svg_length(drawing->svg, "rx", grown);
    return;
  }
  svg_start(drawing->svg, "circle");
  svg_length(drawing->svg, "cx", load_paper_x(drawing, held->x + held->length / 2));
  svg_length(drawing->svg, "cy", load_paper_y(drawing, held->y + held->width / 2));
  svg_length(drawing->svg, "r", held->length / 2 + grown);
}

static void draw_wood(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  svg_layer(drawing->svg, "outline", "outline of the load");
  start_box(drawing, 0, 0, load->length, load->width);
  svg_attribute(drawing->svg, "id", "load");
  svg_attribute(drawing->svg, "fill", "#FFFFFF");
  svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 2));
  svg_end(drawing->svg);
  svg_end(drawing->svg);
}

static void draw_parts(struct load_drawing *drawing) {
  const struct view_load *held = drawing->held;
  enum unit unit = drawing->view->unit;
  svg_layer(drawing->svg, "parts", "finished parts");
  for (size_t i = 0; i < held->made_count; i++) {
    const struct view_made *made = &held->made[i];
    start_outline(drawing, made, 0);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "part-%zu", i + 1));
    svg_attribute(drawing->svg, "fill", part_tint(made->held->part));
    svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 1) / 2);
    svg_note(drawing->svg, "title", made->name);
    const char *length = length_text_unit(drawing->arena, made->held->length, unit, ROUND_NEAREST);
    svg_note(drawing->svg, "desc",
             is_round(drawing, made)
                 ? arena_format(drawing->arena, "finished part, %s across", length)
                 : arena_format(
                       drawing->arena, "finished part, %s along the bed, %s across it", length,
                       length_text_unit(drawing->arena, made->held->width, unit, ROUND_NEAREST)));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

/* A circle as large as the cutter and a cross through it; dashed where it is made from under. */
static void draw_hole(struct load_drawing *drawing, const struct load_hole *hole) {
  length_t x = load_paper_x(drawing, hole->middle.x), y = load_paper_y(drawing, hole->middle.y);
  length_t arm = hole->diameter / 2 + tenths(drawing->type, 2);
  svg_start(drawing->svg, "circle");
  svg_length(drawing->svg, "cx", x);
  svg_length(drawing->svg, "cy", y);
  svg_length(drawing->svg, "r", hole->diameter / 2);
  svg_attribute(drawing->svg, "fill", hole->from_under ? "none" : "#FFFFFF");
  if (hole->from_under)
    svg_dashes(drawing->svg, tenths(drawing->type, 2), tenths(drawing->type, 1));
  svg_end(drawing->svg);
  svg_line(drawing->svg, x - arm, y, x + arm, y);
  svg_line(drawing->svg, x, y - arm, x, y + arm);
}

static void draw_holes_of(struct load_drawing *drawing, size_t index) {
  const struct view_made *made = &drawing->held->made[index];
  struct load_hole *holes = NULL;
  size_t count = load_holes(drawing->arena, drawing->view, made->held, &holes);
  if (count == 0) return;
  svg_start(drawing->svg, "g");
  svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "holes-%zu", index + 1));
  svg_note(
      drawing->svg, "title",
      arena_format(drawing->arena, "%s: %zu hole%s", made->name, count, count == 1 ? "" : "s"));
  for (size_t i = 0; i < count; i++) draw_hole(drawing, &holes[i]);
  svg_end(drawing->svg);
}

static void draw_holes(struct load_drawing *drawing) {
  svg_layer_of_lines(drawing->svg, "holes", "holes, where their places were told",
                     tenths(drawing->type, 1) / 3);
  for (size_t i = 0; i < drawing->held->made_count; i++) {
    struct arena_mark mark = arena_mark(drawing->arena);
    draw_holes_of(drawing, i);
    arena_release(drawing->arena, mark);
  }
  svg_end(drawing->svg);
}

static void draw_paths(struct load_drawing *drawing) {
  const struct view_load *held = drawing->held;
  svg_layer(drawing->svg, "cutter-paths", "furthest any cutter goes");
  for (size_t i = 0; i < held->made_count; i++) {
    start_outline(drawing, &held->made[i], held->load->reach);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "path-%zu", i + 1));
    svg_attribute(drawing->svg, "fill", "none");
    svg_stroke(drawing->svg, COLOUR_PATH, tenths(drawing->type, 1) * 7 / 10);
    svg_dashes(drawing->svg, tenths(drawing->type, 5), tenths(drawing->type, 2));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

static void draw_tab(struct load_drawing *drawing, const struct tab *tab, const char *id) {
  struct view_place strip = view_tab_place(drawing->view, drawing->held->load, tab);
  start_box(drawing, strip.x, strip.y, strip.length, strip.width);
  svg_attribute(drawing->svg, "id", id);
  svg_attribute(drawing->svg, "fill", COLOUR_INK);
  svg_note(drawing->svg, "title", "tab");
  svg_end(drawing->svg);
}

static void draw_tabs(struct load_drawing *drawing) {
  const struct view_load *held = drawing->held;
  size_t number = 0;
  svg_layer(drawing->svg, "tabs", "tabs");
  for (size_t i = 0; i < held->made_count; i++)
    for (size_t t = 0; t < held->made[i].held->tab_count; t++)
      draw_tab(drawing, &held->made[i].held->tabs[t],
               arena_format(drawing->arena, "tab-%zu", ++number));
  svg_end(drawing->svg);
}

static void draw_keep_outs(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  svg_layer(drawing->svg, "keep-outs", "keep-outs: no cutter, collet or nut here");
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    start_box(drawing, clamp->x - clamp->keep_out, clamp->y - clamp->keep_out,
              clamp->length + 2 * clamp->keep_out, clamp->width + 2 * clamp->keep_out);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "keep-out-%zu", i + 1));
    svg_attribute(drawing->svg, "fill", "url(#hatch-keep-out)");
    svg_stroke(drawing->svg, COLOUR_FLAW, tenths(drawing->type, 1) * 6 / 10);
    svg_dashes(drawing->svg, tenths(drawing->type, 2), tenths(drawing->type, 2));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

static void draw_clamps(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  svg_layer(drawing->svg, "clamps", "clamps");
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    for (int layer = 0; layer < 2; layer++) { /* white below the hatch */
      start_box(drawing, clamp->x, clamp->y, clamp->length, clamp->width);
      svg_attribute(drawing->svg, "fill", layer == 0 ? "#FFFFFF" : "url(#hatch-clamp)");
      if (layer == 1) {
        svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "clamp-%zu", i + 1));
        svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 1));
        svg_note(drawing->svg, "title",
                 arena_format(
                     drawing->arena, "%s: %s, on the %s side", load_clamp_number(drawing->arena, i),
                     safe_line(drawing->arena, clamp_name(drawing->view->project, clamp->clamp)),
                     bed_side_text(clamp->side)));
      }
      svg_end(drawing->svg);
    }
  }
  svg_end(drawing->svg);
}

/* ---- stops, origin ---- */

static void draw_stop(struct load_drawing *drawing, enum bed_side side) {
  const struct load *load = drawing->held->load;
  length_t thick = tenths(drawing->type, 4);
  if (side == BED_LEFT) start_box(drawing, -thick, 0, thick, load->width);
  if (side == BED_RIGHT) start_box(drawing, load->length, 0, thick, load->width);
  if (side == BED_FRONT) start_box(drawing, 0, -thick, load->length, thick);
  if (side == BED_BACK) start_box(drawing, 0, load->width, load->length, thick);
  svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "stop-%s", bed_side_text(side)));
  svg_attribute(drawing->svg, "fill", COLOUR_INK);
  svg_note(drawing->svg, "title", arena_format(drawing->arena, "stop, %s", bed_side_text(side)));
  svg_end(drawing->svg);
}

static void draw_stops(struct load_drawing *drawing) {
  const struct shop *shop = &drawing->view->project->shop;
  svg_layer(drawing->svg, "stops", "stops the load is pushed against");
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++)
    if (bed_has_stop(shop, side)) draw_stop(drawing, side);
  svg_end(drawing->svg);
}

/* A ring with a cross on the corner, or the middle, where the router's zero is. */
static void draw_origin(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  length_t x = 0, y = 0, arm = tenths(drawing->type, 9);
  bed_origin(&drawing->view->project->shop, load, &x, &y);
  x = load_paper_x(drawing, x);
  y = load_paper_y(drawing, y);
  svg_layer_of_lines(drawing->svg, "origin", "where the router's zero is",
                     tenths(drawing->type, 1));
  svg_line(drawing->svg, x - arm, y, x + arm, y);
  svg_line(drawing->svg, x, y - arm, x, y + arm);
  svg_start(drawing->svg, "circle");
  svg_length(drawing->svg, "cx", x);
  svg_length(drawing->svg, "cy", y);
  svg_length(drawing->svg, "r", tenths(drawing->type, 5));
  svg_attribute(drawing->svg, "fill", "none");
  svg_note(drawing->svg, "title", "zero of the router");
  svg_end(drawing->svg);
  svg_end(drawing->svg);
}

/* ---- numbers in the drawing ---- */

static void draw_number(struct load_drawing *drawing, length_t x, length_t y, length_t room,
                        const char *text) {
  length_t size = drawing->type;
  while (size > tenths(drawing->type, 5) && type_width(size, text) > room) size = size * 8 / 10;
  svg_text(drawing->svg, load_paper_x(drawing, x), load_paper_y(drawing, y) + tenths(size, 3), size,
           "middle", false, text);
}

/* Where type may stand on a part: of a round the square within it. */
static struct view_place room_on(const struct load_drawing *drawing, const struct view_made *made) {
  const struct held_part *part = made->held;
  struct view_place room = {part->x, part->y, part->length, part->width};
  if (!is_round(drawing, made)) return room;
  length_t inset = part->length * 15 / 100;
  return (struct view_place){room.x + inset, room.y + inset, room.length - 2 * inset,
                             room.width - 2 * inset};
}

/* Rows of type that a part's own face has room for, clear of its holes: number and name, its size
 * below. */
static bool draw_name(struct load_drawing *drawing, size_t index, const struct load_hole *holes,
                      size_t hole_count) {
  const struct view_made *made = &drawing->held->made[index];
  const struct held_part *part = made->held;
  const char *name =
      arena_format(drawing->arena, "%s %s", load_part_number(drawing->arena, index),
                   safe_line(drawing->arena, drawing->view->project->parts[part->part].name));
  const char *measure =
      view_part_size(drawing->arena, drawing->view->unit,
                     &drawing->view->project->parts[part->part], part->turned, "\xC3\x97");
  struct view_place room = room_on(drawing, made);
  length_t x = load_paper_x(drawing, part->x + part->length / 2);
  length_t y = load_paper_y(drawing, part->y + part->width / 2);
  for (length_t size = tenths(drawing->type, 14); size >= tenths(drawing->type, 8);
       size = size * 9 / 10) {
    length_t wide = larger(type_width(size, name), type_width(size, measure)) + size, below = 0;
    if (wide > room.length || tenths(size, 30) > part->width) continue;
    if (!load_clear_of_holes(&room, holes, hole_count, wide, tenths(size, 25), 0, &below)) continue;
    svg_text(drawing->svg, x, y + below - tenths(size, 2), size, "middle", false, name);
    svg_text(drawing->svg, x, y + below + tenths(size, 10), size, "middle", false, measure);
    return true;
  }
  return false;
}

static void draw_part_number(struct load_drawing *drawing, size_t index) {
  const struct view_made *made = &drawing->held->made[index];
  const struct held_part *part = made->held;
  struct load_hole *holes = NULL;
  size_t count = load_holes(drawing->arena, drawing->view, part, &holes);
  if (draw_name(drawing, index, holes, count)) return;
  const char *number = load_part_number(drawing->arena, index);
  struct view_place room = room_on(drawing, made);
  length_t below = 0, wide = type_width(drawing->type, number);
  if (!load_clear_of_holes(&room, holes, count, wide, drawing->type, 0, &below)) below = 0;
  draw_number(drawing, part->x + part->length / 2, part->y + part->width / 2 - below, part->length,
              number);
}

static void draw_numbers(struct load_drawing *drawing) {
  const struct view_load *held = drawing->held;
  svg_layer(drawing->svg, "numbers", "numbers of parts and clamps, explained below");
  for (size_t i = 0; i < held->made_count; i++) {
    struct arena_mark mark = arena_mark(drawing->arena);
    draw_part_number(drawing, i);
    arena_release(drawing->arena, mark);
  }
  for (size_t i = 0; i < held->load->clamp_count; i++) {
    const struct held_clamp *clamp = &held->load->clamps[i];
    length_t x = clamp->x + clamp->length / 2, y = clamp->y + clamp->width / 2;
    const char *number = load_clamp_number(drawing->arena, i);
    length_t wide = type_width(drawing->type, number) + tenths(drawing->type, 4);
    start_box(drawing, x - wide / 2, y - tenths(drawing->type, 7), wide, tenths(drawing->type, 14));
    svg_attribute(drawing->svg, "fill", "#FFFFFF");
    svg_end(drawing->svg);
    draw_number(drawing, x, y, clamp->length, number);
  }
  svg_end(drawing->svg);
}

/* ---- around the load ---- */

static const char *handed_text(const struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  return load->across ? "grain from front to back" : "grain from left to right";
}

/* Upright beside its word where the grain runs from front to back. */
static void draw_grain(struct load_drawing *drawing) {
  bool level = !drawing->held->load->across;
  length_t type = drawing->type, x = tenths(type, level ? 60 : 30), y = tenths(type, 78);
  svg_layer(drawing->svg, "grain", "direction of the grain");
  grain_arrow(drawing->svg, type, x, y, level);
  svg_text(drawing->svg, x + tenths(type, level ? 48 : 12), y + tenths(type, 3), type, "start",
           false, "grain");
  svg_end(drawing->svg);
}

static void draw_dimensions(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  enum unit unit = drawing->view->unit;
  const struct dimensioned_box box = {
      .left = drawing->left,
      .top = drawing->top,
      .length = load->length,
      .width = load->width,
      .down = drawing->beside[BED_FRONT] + tenths(drawing->type, DIMENSION - 6),
      .aside = drawing->beside[BED_LEFT] + tenths(drawing->type, 6),
      .length_text = length_text_unit(drawing->arena, load->length, unit, ROUND_UP),
      .width_text = length_text(drawing->arena, load->width, unit, ROUND_UP, NULL)};
  svg_layer_of_lines(drawing->svg, "dimensions", "dimensions", tenths(drawing->type, 1) / 2);
  dimension_box(drawing->svg, drawing->type, &box);
  svg_end(drawing->svg);
}

static void draw_title_row(struct load_drawing *drawing, int64_t row, length_t size,
                           const char *text) {
  length_t margin = tenths(drawing->type, 20);
  size_t most = (size_t)((drawing->width - 2 * margin) / characters_width(size, 1));
  svg_text(drawing->svg, margin, margin + tenths(drawing->type, 14 * row), size, "start", false,
           text_shortened(drawing->arena, text, most));
}

static void draw_title(struct load_drawing *drawing) {
  struct arena *arena = drawing->arena;
  const struct view_load *held = drawing->held;
  const struct load *load = held->load;
  enum unit unit = drawing->view->unit;
  svg_layer(drawing->svg, "title", "title block");
  svg_start(drawing->svg, "g");
  svg_attribute(drawing->svg, "font-weight", "bold");
  const char *fixing = drawn_fixing_text(arena, load);
  draw_title_row(
      drawing, 1, tenths(drawing->type, 14),
      fixing == NULL ? drawing->title : arena_format(arena, "%s: %s", drawing->title, fixing));
  svg_end(drawing->svg);
  draw_title_row(
      drawing, 2, drawing->type,
      arena_format(arena, "%s %s, %s thick, %s", safe_line(arena, held->stock->wood),
                   view_size(arena, unit, load->length, load->width, "\xC3\x97", ROUND_UP, NULL),
                   length_text_unit(arena, load->thickness, unit, ROUND_NEAREST),
                   handed_text(drawing)));
  draw_title_row(drawing, 3, drawing->type,
                 arena_format(arena, "project %s%s, seen from above, front edge below",
                              safe_line(arena, drawing->view->project->name),
                              drawing->to_fit ? "" : ", true scale"));
  svg_end(drawing->svg);
}

static length_t scale_height(const struct load_drawing *drawing) {
  return drawing->to_fit ? tenths(drawing->type, 8) : tenths(drawing->type, 22);
}

static void draw_scale(struct load_drawing *drawing, length_t y) {
  bool metric = drawing->view->unit == UNIT_MM;
  length_t length = metric ? MM(100) : 4 * LENGTH_PER_INCH;
  length_t high = tenths(drawing->type, 4);
  svg_layer(drawing->svg, "scale", "scale bar");
  scale_bar(drawing->svg, drawing->type, drawing->left, y, length, high);
  svg_text(drawing->svg, drawing->left + length + tenths(drawing->type, 6), y + high,
           tenths(drawing->type, 8), "start", false,
           arena_format(drawing->arena, "%s on paper: measure it both ways before using a print",
                        metric ? "100 mm" : "4 in"));
  svg_end(drawing->svg);
}

/* ---- the drawing ---- */

/* Where clamps stand, their distances need room beyond them. */
static void measure_beside(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  bool clamped[BED_SIDES] = {false};
  for (size_t i = 0; i < load->clamp_count; i++) clamped[load->clamps[i].side] = true;
  for (size_t s = 0; s < BED_SIDES; s++) drawing->beside[s] = tenths(drawing->type, 8);
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    length_t out[BED_SIDES] = {-clamp->x, clamp->x + clamp->length - load->length, -clamp->y,
                               clamp->y + clamp->width - load->width};
    for (size_t s = 0; s < BED_SIDES; s++)
      if (out[s] > 0) drawing->beside[s] = larger(drawing->beside[s], out[s] + clamp->keep_out);
  }
  for (size_t s = 0; s < BED_SIDES; s++)
    if (clamped[s]) drawing->beside[s] += tenths(drawing->type, 50);
}

static void measure(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  length_t longest = larger(load->length, load->width);
  drawing->type = larger(longest / LONGEST_IN_TYPE, MM(SMALLEST_TYPE));
  length_t margin = tenths(drawing->type, 20);
  measure_beside(drawing);
  drawing->left = margin + drawing->beside[BED_LEFT] + tenths(drawing->type, DIMENSION);
  drawing->top = margin + tenths(drawing->type, 14 * TITLE_ROWS) + drawing->beside[BED_BACK];
  drawing->width = larger(drawing->left + load->length + drawing->beside[BED_RIGHT] + margin,
                          drawing->left + MM(100) + characters_width(tenths(drawing->type, 8), 56));
  drawing->height = drawing->top + load->width + drawing->beside[BED_FRONT] +
                    tenths(drawing->type, DIMENSION + 4) + scale_height(drawing) +
                    marks_height(drawing) + margin;
}

static void open_heading(struct load_drawing *drawing) {
  struct svg *svg = drawing->svg;
  size_t parts = drawing->held->made_count, clamps = drawing->held->load->clamp_count;
  svg_heading(
      svg, drawing->title,
      arena_format(drawing->arena, "%zu part%s held by %zu clamp%s%s", parts, parts == 1 ? "" : "s",
                   clamps, clamps == 1 ? "" : "s", drawing->to_fit ? "" : ", at true scale"));
  define_hatches(drawing);
  svg_paper(svg, drawing->width, drawing->height);
}

void write_load_svg(struct buffer *buffer, const struct view *view, size_t index,
                    enum drawn drawn) {
  struct load_drawing *drawing = ARENA_NEW(buffer->arena, struct load_drawing);
  *drawing = (struct load_drawing){
      .arena = buffer->arena, .view = view, .held = &view->loads[index], .to_fit = drawn == TO_FIT};
  drawing->title = view_load_title(buffer->arena, view, index);
  measure(drawing);
  drawing->svg = svg_open(buffer->arena, drawing->width, drawing->height);
  open_heading(drawing);
  draw_title(drawing);
  draw_wood(drawing);
  draw_parts(drawing);
  draw_holes(drawing);
  draw_paths(drawing);
  draw_tabs(drawing);
  draw_keep_outs(drawing);
  draw_stops(drawing);
  draw_clamps(drawing);
  draw_origin(drawing);
  draw_numbers(drawing);
  marks_draw_distances(drawing);
  draw_dimensions(drawing);
  draw_grain(drawing);
  length_t below = drawing->top + drawing->held->load->width + drawing->beside[BED_FRONT] +
                   tenths(drawing->type, DIMENSION + 4);
  if (!drawing->to_fit) draw_scale(drawing, below);
  marks_draw(drawing, below + scale_height(drawing));
  svg_close(drawing->svg, buffer);
}
