#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "settle/new_row.h"
#include "settle/texts.h"

static const char *const lengths[] = {"length", "width", "thickness", NULL};
static const char *const numbers[] = {"length", "width",     "thickness",  "value",
                                      "crook",  "trim_ends", "trim_edges", NULL};

/* Of a rack that has no header row yet. */
static const char *const usual_columns[] = {
    "stock", "kind",    "wood",       "length", "width",     "thickness",  "count",
    "value", "surface", "face_grain", "crook",  "trim_ends", "trim_edges", "note"};

/* ---- what a column that is missing would say wrongly ---- */

static void need_columns(struct row_form *form, const struct shop *shop,
                         const struct stock *piece) {
  if (piece->count != 1) row_form_need(form, "count");
  if (piece->value != 0) row_form_need(form, "value");
  if (piece->surface != SURFACE_ROUGH) row_form_need(form, "surface");
  if (piece->face_grain != FACE_GRAIN_LENGTH) row_form_need(form, "face_grain");
  if (piece->crook != 0) row_form_need(form, "crook");
  if (piece->trim_ends != stock_usual_trim(shop, piece->kind, piece->surface, true))
    row_form_need(form, "trim_ends");
  if (piece->trim_edges != stock_usual_trim(shop, piece->kind, piece->surface, false))
    row_form_need(form, "trim_edges");
}

static void add_piece(struct row_form *form, const struct stock *piece, struct buffer *buffer) {
  static const char *const grains[] = {"length", "width", "none"};
  row_text(form, "stock", piece->name);
  row_text(form, "kind", stock_kind_text(piece->kind));
  row_text(form, "wood", piece->wood);
  row_length(form, "length", piece->length);
  row_length(form, "width", piece->width);
  row_length(form, "thickness", piece->thickness);
  row_whole(form, "count", piece->count);
  row_cents(form, "value", piece->value);
  row_text(form, "surface", piece->surface == SURFACE_PLANED ? "planed" : "rough");
  if (piece->kind == STOCK_SHEET) row_text(form, "face_grain", grains[piece->face_grain]);
  if (piece->crook > 0) row_length(form, "crook", piece->crook);
  row_length(form, "trim_ends", piece->trim_ends);
  row_length(form, "trim_edges", piece->trim_edges);
  row_text(form, "note", piece->note);
  row_end(form, buffer);
}

/* ---- rows of before ---- */

static int compare_name(const void *name, const void *used) {
  return strcmp(name, ((const struct used_stock *)used)->name);
}

/* A count that is not written is 1: such a row goes with its only piece. */
static void copy_row(struct buffer *buffer, const struct left_over *left,
                     const struct file_rows *file, const struct file_row *row, size_t *from) {
  const char *name = row->cells[file_column(file, "stock")];
  const struct used_stock *used =
      left->used_count == 0
          ? NULL
          : bsearch(name, left->used, left->used_count, sizeof *left->used, compare_name);
  if (used == NULL) return;
  size_t column = file_column(file, "count");
  const char *cell = row->cells[column];
  int64_t rest = (cell[0] == '\0' ? 1 : strtoll(cell, NULL, 10)) - (int64_t)used->count;
  copy_to(buffer, file, from, row->start);
  if (rest <= 0)
    *from = row->end;
  else
    copy_changed(buffer, file, from, row, column, rest);
}

struct buffer *rack_text(struct arena *arena, const struct project *project,
                         const struct left_over *left, const struct file_rows *file,
                         const struct settled *settled) {
  struct buffer *buffer = buffer_create(arena);
  enum unit unit = shop_unit(&project->shop);
  struct row_form *form = row_form_create(arena, file, unit, lengths, numbers);
  for (size_t i = 0; file->width == 0 && i < sizeof usual_columns / sizeof *usual_columns; i++)
    row_form_need(form, usual_columns[i]);
  if (file->width == 0) form->unit_written = unit == UNIT_INCH;
  for (size_t i = 0; i < settled->piece_count; i++)
    need_columns(form, &project->shop, &settled->pieces[i]);

  size_t from = 0;
  if (file->width > 0) {
    copy_to(buffer, file, &from, file->header_end);
    row_header(form, file->width, buffer);
  }
  for (size_t r = 0; r < file->row_count; r++) copy_row(buffer, left, file, &file->rows[r], &from);
  copy_rest(buffer, file, from);
  if (file->width == 0) row_header(form, 0, buffer);
  for (size_t i = 0; i < settled->piece_count; i++) add_piece(form, &settled->pieces[i], buffer);
  /* settle_marked looks for the words before the colon. */
  buffer_format(buffer, "# settled plan %s: %" PRId64 " %s%s", left->plan, left->sets,
                left->sets == 1 ? "set" : "sets", file->line_end);
  return buffer;
}
