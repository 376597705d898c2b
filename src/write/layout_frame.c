/* What stands around the stock on a drawing: title, dimensions of the whole, scale bar,
 * grain arrow and key. */
#include <inttypes.h>
#include <string.h>

#include "write/dimension.h"
#include "write/drawing.h"
#include "write/safe_text.h"

enum {
  SMALL = 8,
  MARGIN = 20,
  TITLE = 62,
  LEADER_ROW = 12,
  DIMENSION = 34,
  SCALE = 34,
  KEY_ROW = 16,
  KEY_SIZES = 3
};

/* ---- texts ---- */

static const char *unit_text(const struct drawing *drawing) {
  return drawing->view->unit == UNIT_MM ? "mm" : "in";
}

static const char *stock_text(const struct drawing *drawing) {
  const struct stock *stock = drawing->entry->stock;
  struct arena *arena = drawing->arena;
  enum unit unit = drawing->view->unit;
  return arena_format(
      arena, "%s %s, %s \xC3\x97 %s %s, from the %s", safe_line(arena, stock->wood),
      stock_kind_text(stock->kind),
      view_size(arena, unit, stock->length, stock->width, "\xC3\x97", ROUND_NEAREST, NULL),
      length_text(arena, stock->thickness, unit, ROUND_NEAREST, NULL), unit_text(drawing),
      source_text(stock->source));
}

static void draw_title_line(struct drawing *drawing, length_t down, length_t size,
                            const char *text) {
  length_t margin = tenths(drawing->type, MARGIN);
  length_t per_character = characters_width(size, 1);
  size_t most = (size_t)((drawing->width - 2 * margin) / per_character);
  svg_text(drawing->svg, margin, margin + down, size, "start", false,
           text_shortened(drawing->arena, text, most));
}

static void draw_title(struct drawing *drawing) {
  struct arena *arena = drawing->arena;
  const struct view_stock *entry = drawing->entry;
  length_t type = drawing->type;
  svg_layer(drawing->svg, "title", "title block");
  svg_start(drawing->svg, "g");
  svg_attribute(drawing->svg, "font-weight", "bold");
  draw_title_line(drawing, tenths(type, 12), tenths(type, 15), safe_line(arena, entry->title));
  svg_end(drawing->svg);
  draw_title_line(drawing, tenths(type, 30), type, stock_text(drawing));
  draw_title_line(drawing, tenths(type, 44), type,
                  arena_format(arena, "project %s%s, sizes in %s",
                               safe_line(arena, drawing->view->project->name),
                               drawing->to_fit ? "" : ", true scale",
                               drawing->view->unit == UNIT_MM ? "mm" : "inches"));
  svg_end(drawing->svg);
}

/* ---- dimensions ---- */

static void draw_stock_dimensions(struct drawing *drawing) {
  const struct stock *stock = drawing->entry->stock;
  enum unit unit = drawing->view->unit;
  const struct dimensioned_box box = {
      .left = drawing->left,
      .top = drawing->top,
      .length = stock->length,
      .width = stock->width,
      .down = tenths(drawing->type, 24),
      .aside = tenths(drawing->type, 16),
      .length_text = length_text_unit(drawing->arena, stock->length, unit, ROUND_NEAREST),
      .width_text = length_text(drawing->arena, stock->width, unit, ROUND_NEAREST, NULL)};
  dimension_box(drawing->svg, drawing->type, &box);
}

/* A number in a gap of its line, on the colour of the piece. */
static void draw_inner_number(struct drawing *drawing, size_t part, length_t x, length_t y,
                              bool turned, const char *text) {
  length_t size = dimension_size(drawing);
  length_t along = type_width(size, text) + tenths(size, 4);
  length_t across = turned ? along : size;
  length_t wide = turned ? size : along;
  svg_start_rect(drawing->svg, x - wide / 2, y - across / 2, wide, across);
  svg_attribute(drawing->svg, "fill", part_tint(part));
  svg_attribute(drawing->svg, "stroke", "none");
  svg_end(drawing->svg);
  length_t middle = tenths(size, 3) + tenths(size, 1) / 2;
  svg_text(drawing->svg, turned ? x + middle : x, turned ? y : y + middle, size, "middle", turned,
           text);
}

static void draw_piece_dimensions(struct drawing *drawing, size_t index) {
  const struct view_piece *piece = &drawing->entry->pieces[index];
  const struct view_place *place = &piece->place;
  enum unit unit = drawing->view->unit;
  length_t inset = dimension_inset(drawing);
  length_t left = paper_x(drawing, place->x);
  length_t top = paper_top(drawing, place);
  length_t y = top + place->width - inset;
  length_t x = left + inset;
  dimension_level(drawing->svg, drawing->type, left, left + place->length, y);
  dimension_upright(drawing->svg, drawing->type, x, top, top + place->width);
  const struct label *label = &drawing->pieces[index];
  draw_inner_number(drawing, piece->part, left + place->length * label->level_at / 16, y, false,
                    length_text(drawing->arena, place->length, unit, ROUND_UP, NULL));
  draw_inner_number(drawing, piece->part, x, top + place->width * label->upright_at / 16, true,
                    length_text(drawing->arena, place->width, unit, ROUND_UP, NULL));
}

static void draw_dimensions(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer_of_lines(drawing->svg, "dimensions", "dimensions", tenths(drawing->type, 1) / 2);
  draw_stock_dimensions(drawing);
  for (size_t i = 0; i < entry->piece_count; i++)
    if (drawing->pieces[i].dimensioned) draw_piece_dimensions(drawing, i);
  svg_end(drawing->svg);
}

/* ---- scale bar and grain ---- */

static length_t scale_length(const struct drawing *drawing) {
  static const int64_t mm[] = {500, 200, 100, 50, 20};
  static const int64_t inches[] = {24, 12, 4, 2, 1};
  length_t longest = drawing->entry->stock->length;
  bool metric = drawing->view->unit == UNIT_MM;
  for (size_t i = 0; i < sizeof mm / sizeof *mm; i++) {
    length_t length = metric ? MM(mm[i]) : inches[i] * LENGTH_PER_INCH;
    if (3 * length <= longest) return length;
  }
  return metric ? MM(10) : LENGTH_PER_INCH / 2;
}

static void draw_scale(struct drawing *drawing, length_t y) {
  struct svg *svg = drawing->svg;
  length_t length = scale_length(drawing);
  length_t high = tenths(drawing->type, 5);
  svg_layer(svg, "scale", "scale bar");
  scale_bar(svg, drawing->type, drawing->left, y, length, high);
  svg_text(
      svg, drawing->left, y + high + tenths(drawing->type, 11), tenths(drawing->type, SMALL),
      "start", false,
      arena_format(drawing->arena, "%s on paper: measure it before measuring on a print",
                   length_text_unit(drawing->arena, length, drawing->view->unit, ROUND_NEAREST)));
  svg_end(svg);
}

static bool grain_runs_along(const struct stock *stock) {
  return stock->kind == STOCK_PLANK || stock->face_grain == FACE_GRAIN_LENGTH;
}

static void draw_grain(struct drawing *drawing, length_t y) {
  const struct stock *stock = drawing->entry->stock;
  length_t type = drawing->type;
  length_t right = drawing->width - tenths(type, MARGIN);
  bool none = stock->kind == STOCK_SHEET && stock->face_grain == FACE_GRAIN_NONE;
  bool along = grain_runs_along(stock);
  svg_layer(drawing->svg, "grain", "direction of the grain");
  if (none) {
    svg_text(drawing->svg, right, y + type, type, "end", false, "no grain");
  } else {
    const char *text = along ? "grain along the length" : "grain across the length";
    length_t left = right - type_width(type, text);
    svg_text(drawing->svg, left, y + type, type, "start", false, text);
    grain_arrow(drawing->svg, type, left - tenths(type, along ? 46 : 16), y + tenths(type, 6),
                along);
  }
  svg_end(drawing->svg);
}

/* ---- key ---- */

enum swatch {
  SWATCH_PART,
  SWATCH_FINISHED,
  SWATCH_OFFCUT,
  SWATCH_WASTE,
  SWATCH_FLAW,
  SWATCH_CUT,
  SWATCH_RESAW
};

struct key {
  struct drawing *drawing;
  bool draws; /* else only measures */
  length_t top, x;
  int64_t row;
};

static void draw_swatch(struct key *key, enum swatch swatch, size_t part) {
  struct svg *svg = key->drawing->svg;
  length_t type = key->drawing->type;
  length_t y = key->top + key->row * tenths(type, KEY_ROW);
  length_t high = swatch == SWATCH_CUT ? tenths(type, 2) : type;
  svg_start_rect(svg, key->x, y + (type - high) / 2, tenths(type, 20), high);
  const char *fill = "none";
  if (swatch == SWATCH_PART) fill = part_tint(part);
  if (swatch == SWATCH_OFFCUT) fill = FILL_OFFCUT;
  if (swatch == SWATCH_WASTE) fill = FILL_WASTE;
  if (swatch == SWATCH_FLAW) fill = FILL_FLAW;
  if (swatch == SWATCH_CUT) fill = COLOUR_INK;
  svg_attribute(svg, "fill", fill);
  const char *stroke = COLOUR_INK;
  if (swatch == SWATCH_FINISHED) stroke = COLOUR_FINISHED;
  if (swatch == SWATCH_FLAW) stroke = COLOUR_FLAW;
  svg_stroke(svg, stroke, tenths(type, 1));
  if (swatch == SWATCH_FINISHED) svg_dashes(svg, tenths(type, 4), tenths(type, 2));
  svg_end(svg);
}

static void add_key(struct key *key, enum swatch swatch, size_t part, const char *text) {
  struct drawing *drawing = key->drawing;
  length_t type = drawing->type;
  length_t size = tenths(type, SMALL);
  length_t margin = tenths(type, MARGIN);
  const char *plain = text_shortened(drawing->arena, safe_line(drawing->arena, text), 90);
  length_t width = tenths(type, 26) + type_width(size, plain) + tenths(type, 10);
  if (key->x > margin && key->x + width > drawing->width - margin) {
    key->x = margin;
    key->row++;
  }
  if (key->draws) {
    draw_swatch(key, swatch, part);
    svg_text(drawing->svg, key->x + tenths(type, 25),
             key->top + key->row * tenths(type, KEY_ROW) + tenths(type, 8), size, "start", false,
             plain);
  }
  key->x += width;
}

static bool has_role(const struct view_stock *entry, enum role role) {
  for (size_t i = 0; i < entry->piece_count; i++)
    if (entry->pieces[i].role == role) return true;
  return false;
}

static bool has_finished(const struct view_stock *entry) {
  for (size_t i = 0; i < entry->piece_count; i++) {
    const struct view_piece *piece = &entry->pieces[i];
    if (piece->role == ROLE_LOAD) return true;
    if (view_has_finished(piece) && (piece->finished.length != piece->place.length ||
                                     piece->finished.width != piece->place.width))
      return true;
  }
  return false;
}

static bool makes(const struct view_load *load, size_t part) {
  for (size_t i = 0; i < load->made_count; i++)
    if (load->made[i].held->part == part) return true;
  return false;
}

/* "board", or of a load all that it makes: "load of lid, spacer". The same for like pieces alone.
 */
static const char *kind_text(const struct drawing *drawing, const struct view_piece *piece) {
  struct arena *arena = drawing->arena;
  const struct project *project = drawing->view->project;
  if (piece->role != ROLE_LOAD) return project->parts[piece->part].name;
  const char *text = "";
  for (size_t p = 0; p < project->part_count; p++)
    if (makes(&drawing->view->loads[piece->load], p))
      text = arena_format(arena, "%s%s%s", text, *text == '\0' ? "load of " : ", ",
                          project->parts[p].name);
  return *text == '\0' ? "load" : text;
}

static bool is_first_of(const struct drawing *drawing, size_t index, const char *kind) {
  const struct view_piece *pieces = drawing->entry->pieces;
  for (size_t i = 0; i < index; i++)
    if (pieces[i].part == pieces[index].part && strcmp(kind_text(drawing, &pieces[i]), kind) == 0)
      return false;
  return true;
}

/* "board, sawn 292 x 100": every size of a kind of piece in this drawing, up to three. */
static const char *kind_key(const struct drawing *drawing, size_t part, const char *kind) {
  const struct view_stock *entry = drawing->entry;
  const char *text = text_shortened(drawing->arena, safe_line(drawing->arena, kind), 40);
  const char *seen[KEY_SIZES] = {0};
  size_t count = 0;
  for (size_t i = 0; i < entry->piece_count; i++) {
    if (entry->pieces[i].part != part || strcmp(kind_text(drawing, &entry->pieces[i]), kind) != 0)
      continue;
    const char *measure = drawing->pieces[i].measure;
    size_t at = 0;
    while (at < count && strcmp(seen[at], measure) != 0) at++;
    if (at < count) continue;
    if (count == KEY_SIZES) return arena_format(drawing->arena, "%s and others", text);
    seen[count++] = measure;
    text = arena_format(drawing->arena, "%s%s%s", text, count == 1 ? ", sawn " : " or ", measure);
  }
  return text;
}

/* A swatch for each kind of the pieces that stand for a part. */
static void add_kinds(struct key *key, size_t part) {
  const struct drawing *drawing = key->drawing;
  const struct view_stock *entry = drawing->entry;
  for (size_t i = 0; i < entry->piece_count; i++) {
    if (entry->pieces[i].part != part) continue;
    const char *kind = kind_text(drawing, &entry->pieces[i]);
    if (is_first_of(drawing, i, kind))
      add_key(key, SWATCH_PART, part, kind_key(drawing, part, kind));
  }
}

/* The rows the swatches take. */
static int64_t flow_swatches(struct drawing *drawing, length_t top, bool draws) {
  const struct view_stock *entry = drawing->entry;
  const struct project *project = drawing->view->project;
  struct key key = {drawing, draws, top, tenths(drawing->type, MARGIN), 0};
  for (size_t i = 0; i < project->part_count; i++) add_kinds(&key, i);
  if (has_finished(entry)) add_key(&key, SWATCH_FINISHED, 0, "finished part inside");
  if (has_role(entry, ROLE_RESAW)) add_key(&key, SWATCH_RESAW, 0, "to resaw into leaves");
  if (has_role(entry, ROLE_OFFCUT)) add_key(&key, SWATCH_OFFCUT, 0, "offcut to keep");
  if (entry->waste_count > 0) add_key(&key, SWATCH_WASTE, 0, "waste");
  if (entry->flaw_count > 0) add_key(&key, SWATCH_FLAW, 0, "flaw");
  if (entry->cut_count > 0) add_key(&key, SWATCH_CUT, 0, "saw cut, numbered by step");
  return key.row + 1;
}

static const char *numbered_text(const struct drawing *drawing, const struct label *label) {
  return arena_format(drawing->arena, "%s:  %s, %s%s", label->number,
                      text_shortened(drawing->arena, label->name, 40), label->measure,
                      label->where);
}

/* The rows the numbered labels take, in columns of one width. */
static int64_t flow_numbers(struct drawing *drawing, length_t top, bool draws) {
  length_t size = tenths(drawing->type, SMALL);
  length_t margin = tenths(drawing->type, MARGIN);
  length_t column = 1;
  for (size_t i = 0; i < drawing->numbered_count; i++) {
    length_t width =
        type_width(size, numbered_text(drawing, drawing->numbered[i])) + tenths(drawing->type, 10);
    if (width > column) column = width;
  }
  int64_t columns = (drawing->width - 2 * margin) / column;
  if (columns < 1) columns = 1;
  for (size_t i = 0; draws && i < drawing->numbered_count; i++) {
    length_t x = margin + (int64_t)i % columns * column;
    length_t y = top + (int64_t)i / columns * tenths(drawing->type, KEY_ROW);
    svg_text(drawing->svg, x, y + tenths(drawing->type, 8), size, "start", false,
             numbered_text(drawing, drawing->numbered[i]));
  }
  return ((int64_t)drawing->numbered_count + columns - 1) / columns;
}

/* ---- the whole ---- */

static length_t key_top(const struct drawing *drawing) {
  return drawing->top + drawing->entry->stock->width + tenths(drawing->type, DIMENSION + SCALE);
}

void frame_measure(struct drawing *drawing) {
  const struct stock *stock = drawing->entry->stock;
  length_t type = drawing->type;
  length_t margin = tenths(type, MARGIN);
  drawing->left = margin + tenths(type, 32);
  drawing->top = margin + tenths(type, TITLE) + drawing->leader_rows * tenths(type, LEADER_ROW);
  length_t narrowest = tenths(type, 640);
  drawing->width = drawing->left + stock->length + margin;
  if (drawing->width < narrowest) drawing->width = narrowest;
  int64_t rows = flow_swatches(drawing, 0, false) + flow_numbers(drawing, 0, false);
  drawing->height = key_top(drawing) + rows * tenths(type, KEY_ROW) + margin;
}

void frame_draw(struct drawing *drawing) {
  length_t scale_top =
      drawing->top + drawing->entry->stock->width + tenths(drawing->type, DIMENSION);
  draw_title(drawing);
  draw_dimensions(drawing);
  if (!drawing->to_fit) draw_scale(drawing, scale_top);
  draw_grain(drawing, scale_top);
  svg_layer(drawing->svg, "key", "key");
  length_t top = key_top(drawing);
  int64_t rows = flow_swatches(drawing, top, true);
  flow_numbers(drawing, top + rows * tenths(drawing->type, KEY_ROW), true);
  svg_end(drawing->svg);
}
