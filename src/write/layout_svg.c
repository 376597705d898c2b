/* One piece of stock at true scale: what is wood, what is cut, what is left. */
#include <inttypes.h>

#include "write/drawing.h"
#include "write/safe_text.h"
#include "write/work_words.h"
#include "write/writers.h"

/* Tints of the colour-blind-safe palette published by Okabe and Ito (Color Universal
 * Design, 2008), 40 % colour on white so that black type stands on them; its vermillion
 * is left to flaws. Every meaning is also told by a hatch, a line style or words. */
static const char *const tints[] = {"#BBE1F6", "#F5D999", "#99D8C7",
                                    "#EBC9DC", "#F9F4B3", "#99C7E0"};

enum { TINTS = sizeof tints / sizeof *tints, LONGEST_SIDE_IN_TYPE = 80, SMALLEST_TYPE_MM = 4 };

const char *part_tint(size_t part) { return part == SIZE_MAX ? "#FFFFFF" : tints[part % TINTS]; }

/* ---- definitions ---- */

static void add_pattern_ground(struct drawing *drawing, length_t pitch, const char *fill) {
  svg_start_rect(drawing->svg, 0, 0, pitch, pitch);
  svg_attribute(drawing->svg, "fill", fill);
  svg_end(drawing->svg);
}

static void define_patterns(struct drawing *drawing) {
  length_t type = drawing->type;
  length_t thin = tenths(type, 1) / 2;
  length_t waste = tenths(type, 6);
  length_t offcut = tenths(type, 11);
  length_t flaw = tenths(type, 4);
  svg_start(drawing->svg, "defs");
  svg_start_pattern(drawing->svg, "hatch-waste", waste, "rotate(45)");
  add_pattern_ground(drawing, waste, "#F4F4F4");
  svg_pattern_line(drawing->svg, 0, waste / 2, waste, waste / 2, thin, "#8A8A8A");
  svg_end(drawing->svg);
  svg_start_pattern(drawing->svg, "hatch-offcut", offcut, "rotate(-45)");
  add_pattern_ground(drawing, offcut, "#FFFFFF");
  svg_pattern_line(drawing->svg, 0, offcut / 2, offcut, offcut / 2, thin, "#009E73");
  svg_end(drawing->svg);
  svg_start_pattern(drawing->svg, "hatch-flaw", flaw, "rotate(30)");
  svg_pattern_line(drawing->svg, 0, flaw / 2, flaw, flaw / 2, thin, COLOUR_FLAW);
  svg_pattern_line(drawing->svg, flaw / 2, 0, flaw / 2, flaw, thin, COLOUR_FLAW);
  svg_end(drawing->svg);
  svg_end(drawing->svg);
}

/* ---- wood ---- */

static void start_place(struct drawing *drawing, const struct view_place *place) {
  svg_start_rect(drawing->svg, paper_x(drawing, place->x), paper_top(drawing, place), place->length,
                 place->width);
}

static void draw_outline(struct drawing *drawing) {
  const struct stock *stock = drawing->entry->stock;
  struct view_place whole = {0, 0, stock->length, stock->width};
  svg_layer(drawing->svg, "outline", "outline of the raw stock");
  start_place(drawing, &whole);
  svg_attribute(drawing->svg, "id", "stock");
  svg_attribute(drawing->svg, "fill", "#FFFFFF");
  svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 2));
  svg_end(drawing->svg);
  svg_end(drawing->svg);
}

static void draw_waste(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "waste", "waste");
  for (size_t i = 0; i < entry->waste_count; i++) {
    start_place(drawing, &entry->waste[i]);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "waste-%zu", i + 1));
    svg_attribute(drawing->svg, "fill", FILL_WASTE);
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

static const char *size_in_words(struct drawing *drawing, const struct view_place *place,
                                 enum rounding rounding) {
  enum unit unit = drawing->view->unit;
  return arena_format(drawing->arena, "%s long, %s wide",
                      length_text_unit(drawing->arena, place->length, unit, rounding),
                      length_text_unit(drawing->arena, place->width, unit, rounding));
}

static const char *piece_in_words(struct drawing *drawing, const struct view_piece *piece) {
  struct arena *arena = drawing->arena;
  enum unit unit = drawing->view->unit;
  const char *where = arena_format(arena, "from the lower left corner %s along and %s up",
                                   length_text_unit(arena, piece->place.x, unit, ROUND_NEAREST),
                                   length_text_unit(arena, piece->place.y, unit, ROUND_NEAREST));
  if (piece->role == ROLE_OFFCUT)
    return arena_format(arena, "offcut to keep, %s, %s",
                        size_in_words(drawing, &piece->place, ROUND_DOWN), where);
  if (piece->role == ROLE_RESAW)
    return arena_format(arena, "to resaw into %" PRId64 " leaves %s thick, %s, %s",
                        piece->leaf->leaves,
                        length_text_unit(arena, piece->leaf->thickness, unit, ROUND_NEAREST),
                        size_in_words(drawing, &piece->place, ROUND_NEAREST), where);
  if (piece->strip > 0)
    return arena_format(arena, "strip %" PRId64 " of %" PRId64 " to glue up to %s, %s, %s%s",
                        piece->strip, piece->blank->strips, piece->glued,
                        size_in_words(drawing, &piece->place, ROUND_UP), where,
                        piece->turned ? ", turned" : "");
  if (piece->role == ROLE_LOAD)
    return arena_format(
        arena, "load of %zu parts, %s, %s%s", drawing->view->loads[piece->load].made_count,
        size_in_words(drawing, &piece->place, ROUND_UP), where, piece->turned ? ", turned" : "");
  const char *kind = piece->role == ROLE_BLANK ? "blank" : "sawn part";
  bool round = drawing->view->project->parts[piece->part].shape == SHAPE_ROUND;
  const char *finished =
      round ? arena_format(arena, "%s across",
                           length_text_unit(arena, piece->finished.length, unit, ROUND_NEAREST))
            : size_in_words(drawing, &piece->finished, ROUND_NEAREST);
  return arena_format(arena, "%s, %s, %s; finished part %s%s", kind,
                      size_in_words(drawing, &piece->place, ROUND_UP), where, finished,
                      piece->turned && !round ? ", turned" : "");
}

static void draw_piece(struct drawing *drawing, size_t index) {
  const struct view_piece *piece = &drawing->entry->pieces[index];
  bool offcut = piece->role == ROLE_OFFCUT;
  start_place(drawing, &piece->place);
  /* The number keeps the id unique whatever becomes of the name. */
  svg_attribute(drawing->svg, "id",
                arena_format(drawing->arena, "piece-%zu-%s", index + 1,
                             safe_name(drawing->arena, piece->name)));
  const char *fill = piece->role == ROLE_RESAW ? "#FFFFFF" : part_tint(piece->part);
  svg_attribute(drawing->svg, "fill", offcut ? FILL_OFFCUT : fill);
  svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 1) / 2);
  svg_note(drawing->svg, "title", piece->name);
  svg_note(drawing->svg, "desc", piece_in_words(drawing, piece));
  svg_end(drawing->svg);
}

static void draw_pieces(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "pieces", "pieces as sawn");
  for (size_t i = 0; i < entry->piece_count; i++)
    if (entry->pieces[i].role != ROLE_OFFCUT) draw_piece(drawing, i);
  svg_end(drawing->svg);
  svg_layer(drawing->svg, "offcuts", "offcuts to keep");
  for (size_t i = 0; i < entry->piece_count; i++)
    if (entry->pieces[i].role == ROLE_OFFCUT) draw_piece(drawing, i);
  svg_end(drawing->svg);
}

static void start_finished(struct drawing *drawing, const struct view_piece *piece) {
  const struct view_place *place = &piece->finished;
  if (drawing->view->project->parts[piece->part].shape == SHAPE_RECTANGLE) {
    start_place(drawing, place);
    return;
  }
  svg_start(drawing->svg, "ellipse");
  svg_length(drawing->svg, "cx", paper_x(drawing, place->x) + place->length / 2);
  svg_length(drawing->svg, "cy", paper_top(drawing, place) + place->width / 2);
  svg_length(drawing->svg, "rx", place->length / 2);
  svg_length(drawing->svg, "ry", place->width / 2);
}

/* The line of a finished outline, and what it is where that is not said by its piece. */
static void end_finished(struct drawing *drawing, const char *title) {
  svg_attribute(drawing->svg, "fill", "none");
  svg_stroke(drawing->svg, COLOUR_FINISHED, tenths(drawing->type, 1) * 8 / 10);
  svg_dashes(drawing->svg, tenths(drawing->type, 4), tenths(drawing->type, 2));
  if (title != NULL) svg_note(drawing->svg, "title", title);
  svg_end(drawing->svg);
}

static bool is_sawn_to_size(const struct drawing *drawing, const struct view_piece *piece) {
  return piece->place.length == piece->finished.length &&
         piece->place.width == piece->finished.width &&
         drawing->view->project->parts[piece->part].shape == SHAPE_RECTANGLE;
}

/* The parts of a load, and of all finished parts the next number. */
static void draw_made(struct drawing *drawing, const struct view_piece *piece, size_t index) {
  const struct view_load *load = &drawing->view->loads[piece->load];
  for (size_t m = 0; m < load->made_count; m++) {
    struct view_piece part = {.part = load->made[m].held->part,
                              .finished = view_made_place(drawing->view, piece, &load->made[m])};
    start_finished(drawing, &part);
    svg_attribute(drawing->svg, "id",
                  arena_format(drawing->arena, "finished-%zu-%zu", index + 1, m + 1));
    end_finished(drawing, load->made[m].name);
  }
}

static void draw_finished(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "finished", "finished parts inside");
  for (size_t i = 0; i < entry->piece_count; i++) {
    const struct view_piece *piece = &entry->pieces[i];
    if (piece->role == ROLE_LOAD) draw_made(drawing, piece, i);
    if (!view_has_finished(piece) || is_sawn_to_size(drawing, piece)) continue;
    start_finished(drawing, piece);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "finished-%zu", i + 1));
    end_finished(drawing, NULL);
  }
  svg_end(drawing->svg);
}

static void draw_flaws(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "flaws", "flaws");
  for (size_t i = 0; i < entry->flaw_count; i++) {
    const struct flaw *flaw = entry->flaws[i];
    struct view_place place = {flaw->x, flaw->y, flaw->length, flaw->width};
    start_place(drawing, &place);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "flaw-%zu", i + 1));
    svg_attribute(drawing->svg, "fill", FILL_FLAW);
    svg_stroke(drawing->svg, COLOUR_FLAW, tenths(drawing->type, 1));
    svg_note(drawing->svg, "title", drawing->flaws[i].name);
    svg_note(drawing->svg, "desc", size_in_words(drawing, &place, ROUND_UP));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

/* What is left of the stock once its ends and edges are trimmed. */
static void draw_trim(struct drawing *drawing) {
  const struct stock *stock = drawing->entry->stock;
  struct view_place usable = {stock->trim_ends, stock->trim_edges, stock_room_length(stock),
                              stock_room_width(stock)};
  svg_layer(drawing->svg, "trim", "usable within the trimmed ends and edges");
  if ((stock->trim_ends > 0 || stock->trim_edges > 0) && usable.length > 0 && usable.width > 0) {
    start_place(drawing, &usable);
    svg_attribute(drawing->svg, "fill", "none");
    svg_stroke(drawing->svg, COLOUR_INK, tenths(drawing->type, 1) / 2);
    svg_dashes(drawing->svg, tenths(drawing->type, 10), tenths(drawing->type, 3));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

static const char *cut_in_words(struct drawing *drawing, const struct cut *cut) {
  enum unit unit = drawing->view->unit;
  if (cut_is_end_trim(cut))
    return arena_format(drawing->arena, "%s off the %s",
                        length_text_unit(drawing->arena, cut_takes_off(cut), unit, ROUND_DOWN),
                        cut_loses_side_text(cut));
  const char *side =
      cut->rip ? (cut->keep_high ? "upper" : "lower") : (cut->keep_high ? "right" : "left");
  return arena_format(drawing->arena,
                      "%s between %s and blade on the %s side, fence setting %" PRId64,
                      length_text_unit(drawing->arena, cut->keep, unit, ROUND_UP),
                      cut->rip ? "fence" : "stop", side, cut->fence_setting);
}

static void draw_cuts(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "cuts", "saw cuts");
  for (size_t i = 0; i < entry->cut_count; i++) {
    const struct cut *cut = entry->cuts[i].cut;
    struct view_place strip = {cut->x, cut->y, cut->rip ? cut->span : cut->kerf,
                               cut->rip ? cut->kerf : cut->span};
    start_place(drawing, &strip);
    svg_attribute(drawing->svg, "id", arena_format(drawing->arena, "cut-%" PRId64, cut->step));
    svg_attribute(drawing->svg, "fill", COLOUR_INK);
    svg_note(drawing->svg, "title",
             arena_format(drawing->arena, "step %" PRId64 ": %s%s of %s", cut->step,
                          cut->trim ? "trimming " : "", cut->rip ? "rip" : "crosscut",
                          entry->cuts[i].of));
    svg_note(drawing->svg, "desc", cut_in_words(drawing, cut));
    svg_end(drawing->svg);
  }
  svg_end(drawing->svg);
}

/* ---- the drawing ---- */

static void draw_heading(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  struct view_place whole = {0, 0, entry->stock->length, entry->stock->width};
  svg_heading(drawing->svg, entry->title,
              arena_format(drawing->arena, "layout of a %s %s, %s%s",
                           safe_line(drawing->arena, entry->stock->wood),
                           stock_kind_text(entry->stock->kind),
                           size_in_words(drawing, &whole, ROUND_NEAREST),
                           drawing->to_fit ? "" : ", at true scale"));
  define_patterns(drawing);
  svg_paper(drawing->svg, drawing->width, drawing->height);
}

/* Type that can be read when the whole drawing fills a screen or a sheet of paper. */
static length_t type_size(const struct stock *stock) {
  return larger(larger(stock->length, stock->width) / LONGEST_SIDE_IN_TYPE, MM(SMALLEST_TYPE_MM));
}

void write_layout_svg(struct buffer *buffer, const struct view *view,
                      const struct view_stock *entry, enum drawn drawn) {
  struct drawing *drawing = ARENA_NEW(buffer->arena, struct drawing);
  *drawing = (struct drawing){
      .arena = buffer->arena, .view = view, .entry = entry, .to_fit = drawn == TO_FIT};
  drawing->type = type_size(entry->stock);
  labels_choose(drawing);
  frame_measure(drawing);
  labels_place(drawing);
  drawing->svg = svg_open(buffer->arena, drawing->width, drawing->height);
  draw_heading(drawing);
  draw_outline(drawing);
  draw_waste(drawing);
  draw_pieces(drawing);
  draw_finished(drawing);
  draw_flaws(drawing);
  draw_trim(drawing);
  draw_cuts(drawing);
  frame_draw(drawing);
  labels_draw(drawing);
  svg_close(drawing->svg, buffer);
}
