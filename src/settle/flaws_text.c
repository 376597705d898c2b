#include <stdlib.h>

#include "base/text.h"
#include "settle/new_row.h"
#include "settle/texts.h"

static const char *const lengths[] = {"x", "y", "length", "width", NULL};

static void add_flaw(struct row_form *form, const struct stock *piece, const struct flaw *flaw,
                     struct buffer *buffer) {
  row_text(form, "stock", piece->name);
  row_length(form, "x", flaw->x);
  row_length(form, "y", flaw->y);
  row_length(form, "length", flaw->length);
  row_length(form, "width", flaw->width);
  row_text(form, "what", flaw->what);
  if (flaw->rim_ok) row_text(form, "rim_ok", "yes");
  row_end(form, buffer);
}

/* The number of the stock in left->used, or used_count. Names of stocks are told apart whatever
 * their case. */
static size_t used_number(const struct left_over *left, const char *name) {
  size_t number = 0;
  while (number < left->used_count && !text_equal_fold(left->used[number].name, name)) number++;
  return number;
}

/* A flaw of every copy stays for as long as there is a copy. */
static void copy_row(struct buffer *buffer, const struct left_over *left, const int64_t *stocks,
                     const struct file_rows *file, const struct file_row *row, size_t *from) {
  size_t number = used_number(left, row->cells[file_column(file, "stock")]);
  if (number == left->used_count) return;
  const struct used_stock *used = &left->used[number];
  size_t column = file_column(file, "copy");
  const char *cell = row->cells[column];
  bool leaves = (int64_t)used->count >= stocks[number];
  int64_t copy = cell[0] == '\0' ? 0 : strtoll(cell, NULL, 10);
  int64_t gone = copy == 0 || leaves ? 0 : copies_gone(used, copy, &leaves);
  if (!leaves && gone == 0) return;
  copy_to(buffer, file, from, row->start);
  if (leaves)
    *from = row->end;
  else
    copy_changed(buffer, file, from, row, column, copy - gone);
}

struct buffer *flaws_text(struct arena *arena, const struct project *project,
                          const struct left_over *left, const struct file_rows *file,
                          const struct settled *settled, const int64_t *stocks) {
  struct buffer *buffer = buffer_create(arena);
  struct row_form *form = row_form_create(arena, file, shop_unit(&project->shop), lengths, lengths);
  size_t from = 0;
  for (size_t r = 0; r < file->row_count; r++)
    copy_row(buffer, left, stocks, file, &file->rows[r], &from);
  bool joins = false;
  for (size_t i = 0; i < settled->piece_count; i++)
    joins = joins || settled->pieces[i].flaw_count > 0;
  if (joins)
    copy_rest(buffer, file, from);
  else
    copy_to(buffer, file, &from, file->length);
  for (size_t i = 0; i < settled->piece_count; i++) {
    const struct stock *piece = &settled->pieces[i];
    for (size_t f = 0; f < piece->flaw_count; f++) add_flaw(form, piece, &piece->flaws[f], buffer);
  }
  return buffer;
}
