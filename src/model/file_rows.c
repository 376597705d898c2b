#include "model/file_rows.h"

#include <string.h>

size_t file_column(const struct file_rows *file, const char *name) {
  size_t column = 0;
  while (strcmp(file->columns[column], name) != 0) column++;
  return column;
}
