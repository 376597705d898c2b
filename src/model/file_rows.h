/* A CSV file of a project as it stands on the disk, with its rows found, so that single rows and
 * cells can be changed and all else kept byte for byte. */
#ifndef BLANKWRIGHT_MODEL_FILE_ROWS_H
#define BLANKWRIGHT_MODEL_FILE_ROWS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct file_row {
  size_t start, end;  /* bytes of the file, its line end among them */
  const char **cells; /* by column: the trimmed text, "" where there is none */
  size_t *at;         /* by column: where that text starts; SIZE_MAX where it does not stand in the
                         file as it is read (it is empty, or has doubled quotes in it) */
};

struct file_rows {
  const char *path;
  bool present;
  const char *bytes; /* all of the file, its byte order mark among them */
  size_t length;
  uint64_t fingerprint;
  const char *line_end; /* of its first line: "\n", "\r\n" or "\r" */
  char delimiter;
  const char **columns; /* the names of those the file may have */
  size_t column_count;
  size_t *position;  /* by column: its place in the header row from 0, SIZE_MAX for none */
  size_t width;      /* cells of the header row; 0: there is none, and no row */
  size_t header_end; /* of that row, before its line end */
  bool quoted;       /* the header row starts with a quote */
  struct file_row *rows;
  size_t row_count, row_room;
};

/* The number of a column by its name, which is one the file may have. */
size_t file_column(const struct file_rows *file, const char *name);

#endif
