#include "read/faults.h"

#include <string.h>

#include "base/text.h"

enum { ROW_LONGEST = 2000, CELL_LONGEST = 80 };

/* The beginning of a text, not ending inside a character. */
static size_t cut_length(const char *text, size_t longest) {
  size_t length = longest;
  while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80) length--;
  return length;
}

const char *row_shown(struct arena *arena, const char *row) {
  if (strnlen(row, ROW_LONGEST + 1) <= ROW_LONGEST) return row;
  return arena_copy_bytes(arena, row, cut_length(row, ROW_LONGEST));
}

const char *text_shown(struct arena *arena, const char *text) {
  bool cut = strnlen(text, CELL_LONGEST + 1) > CELL_LONGEST;
  size_t length = cut ? cut_length(text, CELL_LONGEST) : strlen(text);
  char *copy = arena_copy_bytes(arena, text, length);
  for (char *at = copy; *at != '\0'; at++)
    if ((unsigned char)*at < ' ' || *at == 0x7F) *at = ' ';
  return cut ? arena_format(arena, "%s...", copy) : copy;
}

void faults_add_list(struct faults *faults, const struct place *place, const char *format,
                     va_list list) {
  if (faults->full) return;
  struct place shown = *place;
  shown.file = faults->file;
  if (shown.row != NULL) shown.row = row_shown(faults->arena, shown.row);
  if (++faults->count > FAULTS_MOST) {
    faults->full = true;
    diagnostics_add(faults->diagnostics, SEVERITY_ERROR, &shown,
                    "more than %d faults, the rest of the file is not looked at", FAULTS_MOST);
    return;
  }
  const char *text = arena_format_list(faults->arena, format, list);
  diagnostics_add(faults->diagnostics, SEVERITY_ERROR, &shown, "%s", text);
}

void faults_add(struct faults *faults, const struct place *place, const char *format, ...) {
  va_list list;
  va_start(list, format);
  faults_add_list(faults, place, format, list);
  va_end(list);
}
