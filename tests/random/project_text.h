/* The files of a project as tables of cells, and their bytes: any delimiter, line end and
 * quoting that may be read, with notes and empty lines in between. Everything lives in
 * the arena given. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_TEXT_H
#define BLANKWRIGHT_TESTS_PROJECT_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/buffer.h"
#include "base/length.h"
#include "random_problem.h"

enum { TABLE_COLUMNS_MOST = 20 };

struct text_row {
  const char *cells[TABLE_COLUMNS_MOST]; /* never NULL */
};

/* Of a cell's first byte: line and column (in bytes) from 1, offset in the file's bytes. */
struct cell_start {
  long line, column;
  size_t offset;
};

struct text_table {
  const char *name; /* such as "parts.csv" */
  char delimiter;
  bool crlf;
  bool byte_order_mark;
  uint64_t manner; /* decides quotes, notes and empty lines: the same gives the same bytes */
  size_t column_count;
  struct text_row *rows; /* the header is the first */
  size_t row_count, row_room;
  size_t bare_row, bare_column; /* this cell is written as it is; SIZE_MAX for none */
};

/* A table with this header row, its names parted by blanks. */
void text_table_start(struct arena *arena, struct text_table *table, const char *name,
                      const char *header);

/* A new row of empty cells. */
struct text_row *text_table_row(struct arena *arena, struct text_table *table);

/* Where a column stands; it must be one of the header's. */
size_t text_table_column(const struct text_table *table, const char *column);

void text_table_set(struct text_table *table, struct text_row *row, const char *column,
                    const char *text);

/* The bytes of the file; starts (or NULL) is set for row * column_count + column. */
struct buffer *text_table_bytes(struct arena *arena, const struct text_table *table,
                                struct cell_start *starts);

/* The number / 10^decimals as text, with a decimal comma where `comma` says so. */
const char *text_of_decimal(struct arena *arena, int64_t number, int decimals, bool comma);

/* A length in one of the many forms that may be read. It is a whole number of 0.001 mm or
 * of 1/64 in; a bare number is in `unit`. */
const char *text_of_length(struct arena *arena, struct random_source *source, length_t value,
                           enum unit unit, bool comma);

#endif
