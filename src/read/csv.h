/* CSV files with a header row, read row by row (the only user of libcsv). A table knows
 * file, line and column of every cell. Rows that are blank or whose first cell starts
 * with '#' are passed over. `,` `;` or tab part the cells, whichever the header row has
 * most of; `;` and tab allow decimal commas. Quotes inside an unquoted cell are plain
 * characters, so that 5-1/2" may stand as it is.
 *
 * A table and its faults live in the arena; texts of cells last until the next row. */
#ifndef BLANKWRIGHT_READ_CSV_H
#define BLANKWRIGHT_READ_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/diagnostics.h"

enum { TABLE_ROWS_MOST = 1000000 };

struct column {
  const char *name;
  bool required; /* must stand in the header */
};

struct table;

/* Opens folder/name and reads its header row. NULL when there is no such file. Unknown,
 * doubled and missing columns are faults. The columns must outlive the table. */
struct table *table_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder,
                         const char *name, const struct column *columns, size_t column_count);

/* A row beyond so many is a fault, and the last that is looked at; TABLE_ROWS_MOST unless set. */
void table_set_most_rows(struct table *table, size_t most);

/* Goes on to the next row; false behind the last one. */
bool table_next(struct table *table);

/* The trimmed text of the present row's cell; "" when it is empty or has no column. */
const char *table_cell(const struct table *table, size_t column);

/* True when the header names the column. */
bool table_has(const struct table *table, size_t column);

/* Where the cell stands; TABLE_ROW is the row itself, TABLE_FILE the file alone. An
 * absent cell is placed behind the row's end. */
#define TABLE_ROW ((size_t)-1)
#define TABLE_FILE ((size_t)-2)
struct place table_place(const struct table *table, size_t column);

/* Adds a fault of the cell, or of the row. */
void table_fault(struct table *table, size_t column, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The same at a place remembered from an earlier row of this table. */
void table_fault_at(struct table *table, const struct place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Whether a comma may be the decimal sign. */
bool table_decimal_comma(const struct table *table);

/* How the file is laid out, for those who write rows of it. */
char table_delimiter(const struct table *table);
uint64_t table_fingerprint(const struct table *table); /* of all bytes of the file */
size_t table_width(const struct table *table);         /* cells of the header row; 0: none */
const struct column *table_columns(const struct table *table, size_t *count);

/* The column's place in the header row from 0, SIZE_MAX where it has none. */
size_t table_position(const struct table *table, size_t column);

/* The last line of the present row; before the first table_next, of the header row. */
long table_last_line(const struct table *table);

/* No fewer than the rows the table has, at most TABLE_ROWS_MOST: room to set aside. */
size_t table_rows_at_most(const struct table *table);

/* The arena the table was opened in. */
struct arena *table_arena(const struct table *table);

#endif
