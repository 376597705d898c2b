/* Rows as the file that they join has them: its columns, its delimiter, its decimal sign, its unit
 * and its line ends. */
#ifndef BLANKWRIGHT_SETTLE_NEW_ROW_H
#define BLANKWRIGHT_SETTLE_NEW_ROW_H

#include "base/buffer.h"
#include "base/length.h"
#include "model/file_rows.h"

struct row_form {
  struct arena *arena;
  enum unit unit;    /* of bare numbers */
  bool unit_written; /* the file's lengths carry their unit */
  bool decimal_comma;
  bool quoted; /* every cell is */
  char delimiter;
  const char *line_end;
  const char **names; /* by place in the row: the column there, NULL for none */
  const char **cells; /* of the row being made; NULL: empty */
  size_t width, room;
};

/* `lengths` and `numbers` are columns of the file, each list ended by NULL: how their cells are
 * written is looked at. */
struct row_form *row_form_create(struct arena *arena, const struct file_rows *file, enum unit unit,
                                 const char *const *lengths, const char *const *numbers);

/* Adds a column behind the others unless the form has it. */
void row_form_need(struct row_form *form, const char *name);

/* Fill a cell of the row being made; nothing where the form has no such column. */
void row_text(struct row_form *form, const char *name, const char *text);
void row_whole(struct row_form *form, const char *name, int64_t value);
void row_cents(struct row_form *form, const char *name, cents_t value);
void row_length(struct row_form *form, const char *name, length_t value); /* exact */

/* Writes the row made, with its line end, and starts the next. */
void row_end(struct row_form *form, struct buffer *buffer);

/* Names of columns from place `first` on as cells of the header row: all of a new row with its line
 * end where `first` is 0, else those that were added to it. */
void row_header(const struct row_form *form, size_t first, struct buffer *buffer);

#endif
