#include "base/text.h"

#include <stdint.h>
#include <string.h>

/* Longer names are never taken for near: edit distance is worked out on the stack. */
enum { NEAREST_LONGEST = 96 };

static unsigned char folded(char c) {
  unsigned char byte = (unsigned char)c;
  return byte >= 'A' && byte <= 'Z' ? (unsigned char)(byte - 'A' + 'a') : byte;
}

int text_compare_fold(const char *a, const char *b) {
  while (*a != '\0' && folded(*a) == folded(*b)) {
    a++;
    b++;
  }
  return folded(*a) - folded(*b);
}

bool text_equal_fold(const char *a, const char *b) { return text_compare_fold(a, b) == 0; }

size_t text_white(const char *text) {
  unsigned char byte = (unsigned char)text[0];
  if (byte == ' ' || (byte >= '\t' && byte <= '\r')) return 1;
  if (byte == 0xC2 && (unsigned char)text[1] == 0xA0) return 2;
  if (byte != 0xE2 || (unsigned char)text[1] != 0x80) return 0;
  unsigned char last = (unsigned char)text[2];
  return last == 0xAF || last == 0x89 || last == 0x87 ? 3 : 0;
}

const char *text_trim_span(const char *text, size_t *length) {
  size_t white = 0;
  while ((white = text_white(text)) > 0) text += white;
  size_t end = 0;
  for (size_t at = 0; text[at] != '\0';) {
    white = text_white(text + at);
    at += white > 0 ? white : 1;
    if (white == 0) end = at;
  }
  *length = end;
  return text;
}

char *text_trimmed(struct arena *arena, const char *text) {
  size_t length = 0;
  const char *start = text_trim_span(text, &length);
  return arena_copy_bytes(arena, start, length);
}

char *text_path(struct arena *arena, const char *folder, const char *name) {
  size_t length = strlen(folder);
  const char *joint = length > 0 && folder[length - 1] == '/' ? "" : "/";
  return arena_format(arena, "%s%s%s", folder, joint, name);
}

static size_t least(size_t a, size_t b) { return a < b ? a : b; }

/* Edit distance with a swap of two neighbours counted as one slip, over the
 * texts with their cases folded; `limit` + 1 stands for anything over limit. */
static size_t distance_within(const char *a, size_t a_length, const char *b, size_t b_length,
                              size_t limit) {
  size_t rows[3][NEAREST_LONGEST + 1];
  size_t *before = rows[0], *above = rows[1], *row = rows[2];
  for (size_t j = 0; j <= b_length; j++) above[j] = j;
  for (size_t i = 1; i <= a_length; i++) {
    row[0] = i;
    size_t smallest = i;
    for (size_t j = 1; j <= b_length; j++) {
      bool same = folded(a[i - 1]) == folded(b[j - 1]);
      row[j] = least(least(above[j], row[j - 1]) + 1, above[j - 1] + (same ? 0 : 1));
      if (i > 1 && j > 1 && folded(a[i - 1]) == folded(b[j - 2]) &&
          folded(a[i - 2]) == folded(b[j - 1]))
        row[j] = least(row[j], before[j - 2] + 1);
      smallest = least(smallest, row[j]);
    }
    if (smallest > limit) return limit + 1;
    size_t *oldest = before;
    before = above;
    above = row;
    row = oldest;
  }
  return above[b_length];
}

const char *text_nearest(const char *text, const char *const *names, size_t count) {
  size_t length = strlen(text);
  if (length == 0 || length > NEAREST_LONGEST) return NULL;
  const char *nearest = NULL;
  size_t best = SIZE_MAX;
  for (size_t i = 0; i < count && best > 0; i++) {
    size_t other = strlen(names[i]);
    if (other > NEAREST_LONGEST) continue;
    size_t limit = (length > other ? length : other) / 3;
    if (limit == 0) limit = 1;
    if (best != SIZE_MAX) limit = least(limit, best - 1);
    size_t apart = length > other ? length - other : other - length;
    if (apart > limit) continue;
    size_t distance = distance_within(text, length, names[i], other, limit);
    if (distance > limit || distance >= length + other) continue;
    best = distance;
    nearest = names[i];
  }
  return nearest;
}

/* Bytes of the well-formed character at the start of text, 0 when there is none
 * (over-long forms, surrogates and values past U+10FFFF are not well-formed). */
static size_t utf8_character(const unsigned char *text, size_t length) {
  unsigned char first = text[0];
  if (first < 0x80) return 1;
  if (first < 0xC2 || first > 0xF4) return 0;
  size_t size = first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
  if (length < size) return 0;
  unsigned char lowest = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
  unsigned char highest = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
  if (text[1] < lowest || text[1] > highest) return 0;
  for (size_t i = 2; i < size; i++)
    if (text[i] < 0x80 || text[i] > 0xBF) return 0;
  return size;
}

size_t text_valid_utf8(const char *text, size_t length) {
  const unsigned char *bytes = (const unsigned char *)text;
  size_t at = 0;
  while (at < length) {
    size_t size = utf8_character(bytes + at, length - at);
    if (size == 0) break;
    at += size;
  }
  return at;
}
