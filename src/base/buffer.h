/* A growing text. Its memory belongs to the arena it was made in (freed with it);
 * running out of memory raises on that arena. Always terminated. */
#ifndef BLANKWRIGHT_BASE_BUFFER_H
#define BLANKWRIGHT_BASE_BUFFER_H

#include <stddef.h>

#include "base/arena.h"

struct buffer {
  struct arena *arena;
  char *text; /* never NULL */
  size_t length;
  size_t room;
};

/* An empty text; it lives in the arena. */
struct buffer *buffer_create(struct arena *arena);
/* Add behind what is there: bytes, a text, a formatted text. */
void buffer_add_bytes(struct buffer *buffer, const char *bytes, size_t count);
void buffer_add(struct buffer *buffer, const char *text);
void buffer_format(struct buffer *buffer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Empties it and keeps the memory. */
void buffer_clear(struct buffer *buffer);
/* Keeps the first `length` bytes, of so many at least. */
void buffer_cut(struct buffer *buffer, size_t length);

#endif
