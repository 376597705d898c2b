#include "settle/texts.h"

#include <inttypes.h>
#include <string.h>

int64_t copies_gone(const struct used_stock *used, int64_t copy, bool *leaves) {
  size_t gone = 0;
  while (gone < used->count && used->copies[gone] < copy) gone++;
  *leaves = gone < used->count && used->copies[gone] == copy;
  return (int64_t)gone;
}

void copy_to(struct buffer *buffer, const struct file_rows *file, size_t *from, size_t to) {
  buffer_add_bytes(buffer, file->bytes + *from, to - *from);
  *from = to;
}

void copy_changed(struct buffer *buffer, const struct file_rows *file, size_t *from,
                  const struct file_row *row, size_t column, int64_t value) {
  copy_to(buffer, file, from, row->at[column]);
  buffer_format(buffer, "%" PRId64, value);
  *from += strlen(row->cells[column]);
}

void copy_rest(struct buffer *buffer, const struct file_rows *file, size_t from) {
  copy_to(buffer, file, &from, file->length);
  bool ended = buffer->length == 0 || strchr("\r\n", buffer->text[buffer->length - 1]) != NULL;
  if (!ended) buffer_add(buffer, file->line_end);
}
