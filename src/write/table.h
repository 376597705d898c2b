/* A CSV table (RFC 4180) that a spreadsheet opens safely: text that it would take for
 * a formula gets an apostrophe in front, text that the project's reader would take for a
 * comment is quoted. Inches carry their unit in every cell, since a spreadsheet takes
 * a bare 11-7/16 for a date. */
#ifndef BLANKWRIGHT_WRITE_TABLE_H
#define BLANKWRIGHT_WRITE_TABLE_H

#include "base/buffer.h"
#include "base/length.h"

struct table {
  struct arena *arena;
  struct buffer *buffer; /* the rows so far, the comment lines apart */
  enum unit unit;
  bool row_started;
  bool rounded; /* some printed length is not exact */
};

/* An empty table; it lives in the buffer's arena. `header` holds the column names. */
struct table *table_create(struct buffer *buffer, enum unit unit, const char *header);

/* Each but table_end_row writes one cell; a length with its unit where that is inches. */
void table_text(struct table *table, const char *text);
void table_whole(struct table *table, int64_t value);
void table_length(struct table *table, length_t value, enum rounding rounding);
void table_cents(struct table *table, cents_t value);
void table_decimal(struct table *table, int64_t scaled, int digits);
void table_end_row(struct table *table);

/* Puts the comment lines and the rows into `to`: what the table is, its unit, and, where
 * it is so, that lengths were rounded and how. */
void table_finish(struct table *table, struct buffer *to, const char *project, const char *what,
                  const char *how_rounded);

#endif
