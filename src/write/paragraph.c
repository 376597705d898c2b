#include "write/paragraph.h"

#include <stdarg.h>
#include <string.h>

#include "write/plan_words.h"
#include "write/safe_text.h"

static void add_blanks(struct buffer *buffer, size_t count) {
  while (count-- > 0) buffer_add(buffer, " ");
}

/* Bytes of the first `characters` characters. */
static size_t bytes_of(const char *text, size_t characters) {
  size_t at = 0;
  while (text[at] != '\0') {
    if (((unsigned char)text[at] & 0xC0) != 0x80 && characters-- == 0) break;
    at++;
  }
  return at;
}

/* Adds one word at `column`, on a new line where it does not fit. */
static size_t add_word(struct buffer *buffer, const char *word, size_t column, size_t indent) {
  size_t width = text_characters(word);
  size_t gap = column > indent ? 1 : 0;
  if (column > indent && column + gap + width > TERMINAL_COLUMNS) {
    buffer_add(buffer, "\n");
    add_blanks(buffer, indent);
    column = indent;
    gap = 0;
  }
  add_blanks(buffer, gap);
  column += gap;
  while (column + width > TERMINAL_COLUMNS) {
    size_t part = bytes_of(word, TERMINAL_COLUMNS - column);
    buffer_add_bytes(buffer, word, part);
    buffer_add(buffer, "\n");
    add_blanks(buffer, indent);
    word += part;
    width -= TERMINAL_COLUMNS - column;
    column = indent;
  }
  buffer_add(buffer, word);
  return column + width;
}

void paragraph(struct buffer *buffer, const char *first, size_t indent, const char *text) {
  struct arena *arena = buffer->arena;
  const char *plain = safe_line(arena, text);
  buffer_add(buffer, first);
  size_t column = text_characters(first);
  if (column < indent) {
    add_blanks(buffer, indent - column);
    column = indent;
  }
  while (*plain != '\0') {
    size_t length = strcspn(plain, " ");
    if (length > 0)
      column = add_word(buffer, arena_copy_bytes(arena, plain, length), column, indent);
    plain += length + strspn(plain + length, " ");
  }
  buffer_add(buffer, "\n");
}

void paragraph_format(struct buffer *buffer, const char *first, size_t indent, const char *format,
                      ...) {
  va_list list;
  va_start(list, format);
  const char *text = arena_format_list(buffer->arena, format, list);
  va_end(list);
  paragraph(buffer, first, indent, text);
}

void paragraphs(struct buffer *buffer, size_t indent, const struct text_list *list) {
  for (size_t i = 0; i < list->count; i++) paragraph(buffer, "  ", indent, list->items[i]);
}

void column_left(struct buffer *buffer, const char *text, size_t columns) {
  const char *plain = text_shortened(buffer->arena, safe_line(buffer->arena, text), columns);
  buffer_add(buffer, plain);
  add_blanks(buffer, columns - text_characters(plain));
}

void column_right(struct buffer *buffer, const char *text, size_t columns) {
  const char *plain = text_shortened(buffer->arena, safe_line(buffer->arena, text), columns);
  add_blanks(buffer, columns - text_characters(plain));
  buffer_add(buffer, plain);
}
