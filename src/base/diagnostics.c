#include "base/diagnostics.h"

struct diagnostics *diagnostics_create(struct arena *arena) {
  struct diagnostics *list = ARENA_NEW(arena, struct diagnostics);
  list->arena = arena;
  return list;
}

static const char *copy_or_null(struct arena *arena, const char *text) {
  return text == NULL ? NULL : arena_copy_text(arena, text);
}

void diagnostics_add(struct diagnostics *list, enum severity severity, const struct place *place,
                     const char *format, ...) {
  struct diagnostic *item = ARENA_PUSH(list->arena, list->items, list->count, list->room);
  item->severity = severity;
  if (place != NULL) {
    item->place = *place;
    item->place.file = copy_or_null(list->arena, place->file);
    item->place.row = copy_or_null(list->arena, place->row);
  }
  va_list arguments;
  va_start(arguments, format);
  item->text = arena_format_list(list->arena, format, arguments);
  va_end(arguments);
  if (severity == SEVERITY_ERROR) list->errors++;
}
