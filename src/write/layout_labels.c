/* Where the type of a drawing goes: labels that fit their piece, numbers with a key
 * for those that do not, and the numbers of the cuts beside them. */
#include <inttypes.h>

#include "write/drawing.h"
#include "write/safe_text.h"

enum {
  SIZE_STEPS = 3,
  LINE_PITCH = 12,  /* tenths of the type's size */
  NUMBER_WIDTH = 3, /* characters */
  LEADER_ROWS_MOST = 3,
  LEADER_ROW = 12 /* tenths */
};

static const int64_t size_tenths[SIZE_STEPS] = {10, 8, 6};

length_t characters_width(length_t size, size_t characters) {
  return size * 62 / 100 * (length_t)characters;
}

length_t type_width(length_t size, const char *text) {
  return characters_width(size, text_characters(text));
}

static size_t digits_of(int64_t value) {
  size_t digits = 1;
  while (value >= 10) {
    value /= 10;
    digits++;
  }
  return digits;
}

/* ---- form ---- */

struct room {
  length_t width, height;
  size_t name, measure; /* characters */
};

static bool fits(const struct room *room, length_t size, enum label_form form, bool turned) {
  length_t along = turned ? room->height : room->width;
  length_t across = turned ? room->width : room->height;
  size_t widest = room->name > room->measure ? room->name : room->measure;
  if (form == LABEL_ONE_LINE) widest = room->name + 2 + room->measure;
  if (form == LABEL_NAME) widest = room->name;
  if (form == LABEL_NUMBER) widest = NUMBER_WIDTH;
  int64_t lines = form == LABEL_TWO_LINES ? 2 : 1;
  return characters_width(size, widest) + tenths(size, 8) <= along &&
         tenths(size, LINE_PITCH * lines) + tenths(size, 2) <= across;
}

static bool choose_among(const struct drawing *drawing, const struct room *room,
                         struct label *label, const enum label_form *forms, size_t count) {
  for (size_t step = 0; step < SIZE_STEPS; step++) {
    length_t size = tenths(drawing->type, size_tenths[step]);
    for (size_t i = 0; i < 2 * count; i++) {
      bool turned = i % 2 == 1;
      if (!fits(room, size, forms[i / 2], turned)) continue;
      label->form = forms[i / 2];
      label->turned = turned;
      label->size = size;
      return true;
    }
  }
  return false;
}

static void grow_numbered(struct drawing *drawing) {
  size_t room = 2 * drawing->numbered_room + 8;
  struct label **grown = ARENA_ARRAY(drawing->arena, room, struct label *);
  for (size_t i = 0; i < drawing->numbered_count; i++) grown[i] = drawing->numbered[i];
  drawing->numbered = grown;
  drawing->numbered_room = room;
}

/* Words at any size go before the name alone, that before a number. */
static void choose_form(struct drawing *drawing, const struct room *room, bool may_lack_size,
                        const char *letter, struct label *label) {
  static const enum label_form words[] = {LABEL_TWO_LINES, LABEL_ONE_LINE};
  static const enum label_form name[] = {LABEL_NAME};
  static const enum label_form number[] = {LABEL_NUMBER};
  if (choose_among(drawing, room, label, words, 2)) return;
  if (may_lack_size && choose_among(drawing, room, label, name, 1)) return;
  if (!choose_among(drawing, room, label, number, 1)) {
    label->form = LABEL_LEADER;
    label->turned = false;
    label->size = tenths(drawing->type, 8);
    drawing->leader_count++;
  }
  if (drawing->numbered_count == drawing->numbered_room) grow_numbered(drawing);
  drawing->numbered[drawing->numbered_count++] = label;
  label->number = arena_format(drawing->arena, "%s%zu", letter, drawing->numbered_count);
}

static const char *measure_text(const struct drawing *drawing, const struct view_place *place,
                                enum rounding rounding) {
  return view_size(drawing->arena, drawing->view->unit, place->length, place->width, "\xC3\x97",
                   rounding, NULL);
}

/* Copies of one layout get the same form: names count with the digits of the last one. */
static size_t name_characters(const struct drawing *drawing, const struct view_piece *piece) {
  if (piece->role == ROLE_LOAD)
    return text_characters("load L") + digits_of((int64_t)drawing->view->load_count);
  if (piece->part == SIZE_MAX || piece->strip > 0 || drawing->view->plan->needed == NULL)
    return text_characters(piece->name);
  const struct part *part = &drawing->view->project->parts[piece->part];
  return text_characters(part->name) + 1 + digits_of(drawing->view->plan->needed[piece->part]);
}

/* Numbers of crosscuts stand in the middle of low pieces' ends and need their share. */
static length_t room_along(const struct drawing *drawing, const struct view_place *place) {
  if (place->width >= 3 * drawing->type) return place->length;
  return place->length - plate_width(drawing, tenths(drawing->type, 7));
}

static void choose_piece(struct drawing *drawing, const struct view_piece *piece,
                         struct label *label) {
  bool offcut = piece->role == ROLE_OFFCUT;
  label->name = safe_line(drawing->arena, piece->name);
  label->measure = measure_text(drawing, &piece->place, offcut ? ROUND_DOWN : ROUND_UP);
  label->where = "";
  label->characters = name_characters(drawing, piece);
  struct room room = {room_along(drawing, &piece->place), piece->place.width, label->characters,
                      text_characters(label->measure)};
  choose_form(drawing, &room, !offcut, "P", label);
  outlines_avoid(drawing, piece, label);
}

static void choose_flaw(struct drawing *drawing, const struct flaw *flaw, struct label *label) {
  const char *what = flaw->what != NULL && *flaw->what != '\0' ? flaw->what : "flaw";
  enum unit unit = drawing->view->unit;
  struct view_place place = {flaw->x, flaw->y, flaw->length, flaw->width};
  label->name = safe_line(drawing->arena, what);
  label->measure = measure_text(drawing, &place, ROUND_UP);
  label->where = arena_format(drawing->arena, " at %s, %s",
                              length_text(drawing->arena, flaw->x, unit, ROUND_NEAREST, NULL),
                              length_text(drawing->arena, flaw->y, unit, ROUND_NEAREST, NULL));
  label->characters = text_characters(label->name);
  struct room room = {place.length, place.width, label->characters,
                      text_characters(label->measure)};
  choose_form(drawing, &room, false, "F", label);
}

/* True when an earlier piece of the entry has the same part and the same size. */
static bool measured_before(const struct view_stock *entry, size_t index) {
  const struct view_piece *piece = &entry->pieces[index];
  for (size_t i = 0; i < index; i++) {
    const struct view_piece *other = &entry->pieces[i];
    if (other->part == piece->part && other->place.length == piece->place.length &&
        other->place.width == piece->place.width)
      return true;
  }
  return false;
}

struct box label_box(const struct label *label) {
  length_t width = characters_width(label->size, label->characters);
  length_t height = tenths(label->size, LINE_PITCH);
  if (label->form == LABEL_TWO_LINES) {
    length_t measure = type_width(label->size, label->measure);
    if (measure > width) width = measure;
    height *= 2;
  } else if (label->form == LABEL_ONE_LINE) {
    width += type_width(label->size, label->measure) + type_width(label->size, "  ");
  } else if (label->form != LABEL_NAME) {
    width = characters_width(label->size, NUMBER_WIDTH);
  }
  length_t across = label->turned ? height : width;
  length_t down = label->turned ? width : height;
  return (struct box){label->x - across / 2, label->y - down / 2, across, down};
}

static length_t dimension_along(const struct drawing *drawing, const struct label *label) {
  return characters_width(dimension_size(drawing), text_characters(label->measure) / 2 + 1);
}

struct box dimension_level_box(const struct drawing *drawing, const struct view_place *place,
                               const struct label *label) {
  length_t size = dimension_size(drawing), along = dimension_along(drawing, label);
  length_t x = paper_x(drawing, place->x) + place->length * label->level_at / 16;
  length_t y = paper_y(drawing, place->y) - dimension_inset(drawing);
  return (struct box){x - along / 2, y - size / 2, along, size};
}

struct box dimension_upright_box(const struct drawing *drawing, const struct view_place *place,
                                 const struct label *label) {
  length_t size = dimension_size(drawing), along = dimension_along(drawing, label);
  length_t x = paper_x(drawing, place->x) + dimension_inset(drawing);
  length_t y = paper_top(drawing, place) + place->width * label->upright_at / 16;
  return (struct box){x - size / 2, y - along / 2, size, along};
}

static bool boxes_meet(const struct box *a, const struct box *b) {
  return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height &&
         b->y < a->y + a->height;
}

/* The numbers go where no outline runs through them, clear of the label and each other. */
static bool place_dimensions(const struct drawing *drawing, size_t index) {
  static const int64_t places[] = {8, 6, 10, 4, 12, 3, 13};
  enum { PLACES = sizeof places / sizeof *places };
  const struct view_piece *piece = &drawing->entry->pieces[index];
  const struct view_place *place = &piece->place;
  struct label *label = &drawing->pieces[index];
  struct outlines outlines = outlines_of(drawing, piece);
  label->x = paper_x(drawing, place->x) + place->length / 2 + label->shift_x;
  label->y = paper_top(drawing, place) + place->width / 2 + label->shift_y;
  struct box type = label_box(label), box;
  size_t level = 0, upright = 0;
  for (; level < PLACES; level++) {
    label->level_at = places[level];
    box = dimension_level_box(drawing, place, label);
    if (!outlines_run_through(&outlines, &box, 0) && !boxes_meet(&box, &type)) break;
  }
  for (; upright < PLACES; upright++) {
    label->upright_at = places[upright];
    box = dimension_upright_box(drawing, place, label);
    if (!outlines_run_through(&outlines, &box, 0) && !boxes_meet(&box, &type)) break;
  }
  return level < PLACES && upright < PLACES;
}

/* The first piece of each size gets dimension lines where they find room. */
static bool takes_dimensions(const struct drawing *drawing, size_t index) {
  const struct label *label = &drawing->pieces[index];
  const struct view_piece *piece = &drawing->entry->pieces[index];
  bool words = label->form == LABEL_TWO_LINES || label->form == LABEL_ONE_LINE;
  if (piece->role == ROLE_OFFCUT || !words || label->turned) return false;
  struct box box = label_box(label);
  return piece->place.length >= box.width + tenths(drawing->type, 24) &&
         piece->place.width >= box.height + tenths(drawing->type, 17) &&
         !measured_before(drawing->entry, index) && place_dimensions(drawing, index);
}

/* What one number above the stock takes. */
static length_t leader_width(const struct drawing *drawing) {
  return characters_width(tenths(drawing->type, 8), NUMBER_WIDTH + 1);
}

static void choose_leader_rows(struct drawing *drawing) {
  if (drawing->leader_count == 0) return;
  length_t length = drawing->entry->stock->length;
  drawing->leader_rows = drawing->leader_count * leader_width(drawing) / length + 1;
  if (drawing->leader_rows > LEADER_ROWS_MOST) drawing->leader_rows = LEADER_ROWS_MOST;
}

void labels_choose(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  drawing->pieces = ARENA_ARRAY(drawing->arena, entry->piece_count, struct label);
  drawing->flaws = ARENA_ARRAY(drawing->arena, entry->flaw_count, struct label);
  for (size_t i = 0; i < entry->piece_count; i++)
    choose_piece(drawing, &entry->pieces[i], &drawing->pieces[i]);
  for (size_t i = 0; i < entry->piece_count; i++)
    drawing->pieces[i].dimensioned = takes_dimensions(drawing, i);
  for (size_t i = 0; i < entry->flaw_count; i++)
    choose_flaw(drawing, entry->flaws[i], &drawing->flaws[i]);
  choose_leader_rows(drawing);
}

/* ---- place ---- */

static void take_box(struct drawing *drawing, struct box box) {
  plates_take(drawing, box.x + box.width / 2, box.y + box.height / 2, box.width, box.height);
}

static void place_label(struct drawing *drawing, const struct view_place *place,
                        struct label *label) {
  label->x = paper_x(drawing, place->x) + place->length / 2 + label->shift_x;
  label->y = paper_top(drawing, place) + place->width / 2 + label->shift_y;
  if (label->form == LABEL_LEADER) return;
  take_box(drawing, label_box(label));
  if (!label->dimensioned) return;
  take_box(drawing, dimension_level_box(drawing, place, label));
  take_box(drawing, dimension_upright_box(drawing, place, label));
}

static struct label *leftmost_unplaced_leader(const struct drawing *drawing) {
  struct label *leftmost = NULL;
  for (size_t i = 0; i < drawing->numbered_count; i++) {
    struct label *label = drawing->numbered[i];
    if (label->form != LABEL_LEADER || label->leader_x != 0) continue;
    if (leftmost == NULL || label->x < leftmost->x) leftmost = label;
  }
  return leftmost;
}

/* From left to right, row by row in turn, each number as near above its piece as the one
 * before allows. */
static void place_leaders(struct drawing *drawing) {
  if (drawing->leader_count == 0) return;
  length_t pitch = leader_width(drawing) / drawing->leader_rows;
  length_t closest = drawing->entry->stock->length / drawing->leader_count;
  if (pitch > closest) pitch = closest;
  length_t next = drawing->left;
  int64_t row = 0;
  for (struct label *label = leftmost_unplaced_leader(drawing); label != NULL;
       label = leftmost_unplaced_leader(drawing)) {
    label->leader_x = label->x > next ? label->x : next;
    label->leader_row = row;
    next = label->leader_x + pitch;
    row = (row + 1) % drawing->leader_rows;
  }
}

void labels_place(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  for (size_t i = 0; i < entry->piece_count; i++)
    place_label(drawing, &entry->pieces[i].place, &drawing->pieces[i]);
  for (size_t i = 0; i < entry->flaw_count; i++) {
    const struct flaw *flaw = entry->flaws[i];
    struct view_place place = {flaw->x, flaw->y, flaw->length, flaw->width};
    place_label(drawing, &place, &drawing->flaws[i]);
  }
  place_leaders(drawing);
  plates_place(drawing);
}

/* ---- drawing ---- */

/* A ground under type that stands on a pattern or on a line. */
static void draw_ground(struct drawing *drawing, const struct box *box, const char *fill) {
  length_t rim = tenths(drawing->type, 1);
  svg_start_rect(drawing->svg, box->x - rim, box->y - rim, box->width + 2 * rim,
                 box->height + 2 * rim);
  svg_attribute(drawing->svg, "fill", fill);
  svg_attribute(drawing->svg, "fill-opacity", "0.85");
  svg_end(drawing->svg);
}

static void draw_line_of_type(struct drawing *drawing, const struct label *label, length_t shift,
                              const char *text) {
  /* The shift runs down the page for upright type, to the right for turned type. */
  length_t x = label->turned ? label->x + shift : label->x;
  length_t y = label->turned ? label->y : label->y + shift;
  svg_text(drawing->svg, x, y, label->size, "middle", label->turned, text);
}

static void draw_leader(struct drawing *drawing, const struct label *label) {
  struct svg *svg = drawing->svg;
  length_t foot = drawing->top - tenths(drawing->type, 8) -
                  label->leader_row * tenths(drawing->type, LEADER_ROW);
  svg_start(svg, "g");
  svg_stroke(svg, COLOUR_INK, tenths(drawing->type, 1) / 2);
  svg_line(svg, label->x, label->y, label->leader_x, foot);
  svg_end(svg);
  svg_start(svg, "circle");
  svg_length(svg, "cx", label->x);
  svg_length(svg, "cy", label->y);
  svg_length(svg, "r", tenths(drawing->type, 2));
  svg_end(svg);
  svg_text(svg, label->leader_x, foot - tenths(label->size, 2), label->size, "middle", false,
           label->number);
}

static void draw_label(struct drawing *drawing, const struct label *label, const char *ground) {
  struct box box = label_box(label);
  if (ground != NULL && label->form != LABEL_LEADER) draw_ground(drawing, &box, ground);
  length_t middle = tenths(label->size, 3) + tenths(label->size, 1) / 2;
  switch (label->form) {
    case LABEL_TWO_LINES:
      draw_line_of_type(drawing, label, -tenths(label->size, 2), label->name);
      draw_line_of_type(drawing, label, tenths(label->size, 10), label->measure);
      break;
    case LABEL_ONE_LINE:
      draw_line_of_type(drawing, label, middle,
                        arena_format(drawing->arena, "%s\xC2\xA0 %s", label->name, label->measure));
      break;
    case LABEL_NAME:
      draw_line_of_type(drawing, label, middle, label->name);
      break;
    case LABEL_NUMBER:
      draw_line_of_type(drawing, label, middle, label->number);
      break;
    case LABEL_LEADER:
      draw_leader(drawing, label);
      break;
  }
}

/* What a piece's label needs under it: on an offcut's hatch white, where the outline of
 * a finished part runs through it the piece's own colour, else nothing. */
static const char *label_ground(const struct drawing *drawing, size_t index) {
  const struct view_piece *piece = &drawing->entry->pieces[index];
  if (piece->part == SIZE_MAX) return "#FFFFFF";
  return drawing->pieces[index].overprints ? part_tint(piece->part) : NULL;
}

void labels_draw(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  svg_layer(drawing->svg, "labels", "names and sizes");
  for (size_t i = 0; i < entry->piece_count; i++)
    draw_label(drawing, &drawing->pieces[i], label_ground(drawing, i));
  for (size_t i = 0; i < entry->flaw_count; i++) draw_label(drawing, &drawing->flaws[i], "#FFFFFF");
  svg_end(drawing->svg);
  plates_draw(drawing);
}
