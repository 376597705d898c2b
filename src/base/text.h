/* Small helpers on text. None allocates unless it takes an arena. */
#ifndef BLANKWRIGHT_BASE_TEXT_H
#define BLANKWRIGHT_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Equal but for the case of ASCII letters. */
bool text_equal_fold(const char *a, const char *b);

/* Below 0, 0 or above it as a comes before, with or after b, the case of ASCII letters aside. */
int text_compare_fold(const char *a, const char *b);

/* Points behind leading white space, and cuts trailing white space off a copy. */
char *text_trimmed(struct arena *arena, const char *text);

/* Bytes of the white-space character at the start of text, 0 when there is none. Besides
 * ASCII's it knows the unbreakable and thin spaces that spreadsheets leave behind. */
size_t text_white(const char *text);

/* Where the trimmed text starts inside `text`, and its length in bytes. */
const char *text_trim_span(const char *text, size_t *length);

/* folder/name, with one slash between them. */
char *text_path(struct arena *arena, const char *folder, const char *name);

/* The name of `names` nearest to `text` by edit distance (case folded, at most a
 * third of the longer name's length, at least 1), or NULL when none is near. */
const char *text_nearest(const char *text, const char *const *names, size_t count);

/* Length of the valid UTF-8 prefix; equal to `length` when all of it is valid. */
size_t text_valid_utf8(const char *text, size_t length);

#endif
