/* Plain text for a terminal, at most 80 columns wide. */
#ifndef BLANKWRIGHT_WRITE_PARAGRAPH_H
#define BLANKWRIGHT_WRITE_PARAGRAPH_H

#include "base/buffer.h"

struct text_list;

enum { TERMINAL_COLUMNS = 80 };

/* A text broken between words: the first line after `first` (which may be empty), the
 * others `indent` columns in. Made fit to be shown on the way; a word longer than a
 * line is broken within. Ends with a line end. */
void paragraph(struct buffer *buffer, const char *first, size_t indent, const char *text);

/* A formatted paragraph of the kind. */
void paragraph_format(struct buffer *buffer, const char *first, size_t indent, const char *format,
                      ...) __attribute__((format(printf, 4, 5)));

/* A paragraph of each item, two columns in, the lines after its first `indent` columns in. */
void paragraphs(struct buffer *buffer, size_t indent, const struct text_list *list);

/* Text made fit to be shown, cut to `columns` and filled up to them with blanks. */
void column_left(struct buffer *buffer, const char *text, size_t columns);
void column_right(struct buffer *buffer, const char *text, size_t columns);

#endif
