#include "base/buffer.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_ROOM = 256 };

static void release_buffer(void *resource) {
  struct buffer *buffer = resource;
  free(buffer->text);
  buffer->text = NULL;
}

static void make_room(struct buffer *buffer, size_t more) {
  if (more > SIZE_MAX / 4 - buffer->length) arena_raise(buffer->arena, STATUS_NO_MEMORY);
  size_t needed = buffer->length + more + 1;
  if (needed <= buffer->room) return;
  size_t room = buffer->room == 0 ? (size_t)FIRST_ROOM : buffer->room * 2;
  if (room < needed) room = needed;
  char *text = realloc(buffer->text, room);
  if (text == NULL) arena_raise(buffer->arena, STATUS_NO_MEMORY);
  buffer->text = text;
  buffer->room = room;
}

struct buffer *buffer_create(struct arena *arena) {
  struct buffer *buffer = ARENA_NEW(arena, struct buffer);
  buffer->arena = arena;
  arena_defer(arena, release_buffer, buffer);
  make_room(buffer, 0);
  buffer->text[0] = '\0';
  return buffer;
}

void buffer_add_bytes(struct buffer *buffer, const char *bytes, size_t count) {
  make_room(buffer, count);
  if (count > 0) memcpy(buffer->text + buffer->length, bytes, count);
  buffer->length += count;
  buffer->text[buffer->length] = '\0';
}

void buffer_add(struct buffer *buffer, const char *text) {
  buffer_add_bytes(buffer, text, strlen(text));
}

void buffer_format(struct buffer *buffer, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  va_list measured;
  va_copy(measured, arguments);
  char probe[1];
  int length = vsnprintf(probe, sizeof probe, format, measured);
  va_end(measured);
  if (length < 0) arena_raise(buffer->arena, STATUS_NO_MEMORY);
  make_room(buffer, (size_t)length);
  vsnprintf(buffer->text + buffer->length, (size_t)length + 1, format, arguments);
  buffer->length += (size_t)length;
  va_end(arguments);
}

void buffer_clear(struct buffer *buffer) { buffer_cut(buffer, 0); }

void buffer_cut(struct buffer *buffer, size_t length) {
  buffer->length = length;
  buffer->text[length] = '\0';
}
