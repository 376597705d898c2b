/* Text from the input, made fit to be shown: what follows lives in the arena. */
#ifndef BLANKWRIGHT_WRITE_SAFE_TEXT_H
#define BLANKWRIGHT_WRITE_SAFE_TEXT_H

#include <stdint.h>

#include "base/arena.h"

/* Valid UTF-8 on one line, fit for XML, a terminal and a table cell: line ends and tabs
 * become blanks; every other control character, invalid byte, direction override and
 * non-character becomes U+FFFD. NULL gives the empty text. */
const char *safe_line(struct arena *arena, const char *text);

/* Valid UTF-8 and otherwise unchanged (JSON escapes the rest itself). */
const char *safe_utf8(struct arena *arena, const char *text);

/* Characters (code points) of valid UTF-8. */
size_t text_characters(const char *text);

/* The text, or its beginning with an ellipsis, in at most `most` (>= 1) characters. */
const char *text_shortened(struct arena *arena, const char *text, size_t most);

/* Only [A-Za-z0-9._-], at most 80 characters, never empty: fit for a file name or an
 * id behind a prefix. Different texts may give the same. */
const char *safe_name(struct arena *arena, const char *text);

/* "a", "b" .. "z", "aa" ..: the number (from 0) as letters, `first` being 'a' or 'A'. */
const char *number_letters(struct arena *arena, size_t number, char first);

/* A number of 10^-digits units as a decimal ("12.34"), whatever the locale. */
const char *decimal_text(struct arena *arena, int64_t scaled, int digits);

/* The same without idle zeros behind the point: "0.5", "12". */
const char *decimal_trimmed(struct arena *arena, int64_t scaled, int digits);

#endif
