#include "write/safe_text.h"

#include <inttypes.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"

static const char replacement[] = "\xEF\xBF\xBD"; /* U+FFFD */

enum { NAME_MAX_LENGTH = 80, LETTERS = 26 };

/* Bytes of the character that starts with `lead`; the text is known to be valid. */
static size_t character_length(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead < 0xE0) return 2;
  return lead < 0xF0 ? 3 : 4;
}

static uint32_t character_value(const char *text, size_t length) {
  static const unsigned char lead_mask[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
  uint32_t value = (unsigned char)text[0] & lead_mask[length];
  for (size_t i = 1; i < length; i++) value = value << 6 | ((unsigned char)text[i] & 0x3F);
  return value;
}

/* Controls, direction marks and overrides, non-characters. */
static bool must_be_replaced(uint32_t c) {
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return true;
  if (c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x2028 && c <= 0x202E)) return true;
  if (c >= 0x2066 && c <= 0x2069) return true;
  return (c & 0xFFFE) == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF);
}

static bool is_blank_control(char c) { return c == '\t' || c == '\n' || c == '\r'; }

/* Copies one step of `from` (of `left` bytes) to `to`; returns the bytes read. */
static size_t copy_safely(char *to, size_t *used, const char *from, size_t valid, bool one_line) {
  size_t length = valid == 0 ? 1 : character_length((unsigned char)*from);
  const char *source = from;
  size_t count = length;
  if (valid == 0 || (one_line && must_be_replaced(character_value(from, length)))) {
    bool blank = valid != 0 && is_blank_control(*from);
    source = blank ? " " : replacement;
    count = blank ? 1 : sizeof replacement - 1;
  }
  memcpy(to + *used, source, count);
  *used += count;
  return length;
}

static const char *made_safe(struct arena *arena, const char *text, bool one_line) {
  if (text == NULL) return "";
  size_t length = strlen(text);
  size_t valid = text_valid_utf8(text, length);
  if (valid == length && !one_line) return text;
  char *result = arena_alloc(arena, length * 3 + 1, 1);
  size_t used = 0;
  size_t at = 0;
  while (at < length) {
    size_t stop = at + valid;
    while (at < stop) at += copy_safely(result, &used, text + at, stop - at, one_line);
    if (at < length) at += copy_safely(result, &used, text + at, 0, one_line);
    valid = text_valid_utf8(text + at, length - at);
  }
  return result;
}

const char *safe_line(struct arena *arena, const char *text) {
  return made_safe(arena, text, true);
}

const char *safe_utf8(struct arena *arena, const char *text) {
  return made_safe(arena, text, false);
}

size_t text_characters(const char *text) {
  size_t count = 0;
  for (; *text != '\0'; text++) count += ((unsigned char)*text & 0xC0) != 0x80;
  return count;
}

const char *text_shortened(struct arena *arena, const char *text, size_t most) {
  if (text_characters(text) <= most) return text;
  size_t end = 0;
  for (size_t i = 0; i + 1 < most; i++) end += character_length((unsigned char)text[end]);
  return arena_format(arena, "%.*s\xE2\x80\xA6", (int)end, text);
}

static bool is_plain(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' ||
         c == '_' || c == '-';
}

const char *safe_name(struct arena *arena, const char *text) {
  if (*text == '\0') return "_";
  size_t length = strlen(text);
  if (length > NAME_MAX_LENGTH) length = NAME_MAX_LENGTH;
  char *name = arena_copy_bytes(arena, text, length);
  for (char *c = name; *c != '\0'; c++)
    if (!is_plain(*c)) *c = '_';
  return name;
}

const char *number_letters(struct arena *arena, size_t number, char first) {
  char letters[24];
  size_t at = sizeof letters - 1;
  letters[at] = '\0';
  for (;;) {
    letters[--at] = (char)(first + (char)(number % LETTERS));
    if (number < LETTERS) return arena_copy_text(arena, letters + at);
    number = number / LETTERS - 1;
  }
}

const char *decimal_text(struct arena *arena, int64_t scaled, int digits) {
  int64_t unit = 1;
  for (int i = 0; i < digits; i++) unit *= 10;
  int64_t whole = scaled / unit;
  int64_t rest = scaled % unit;
  const char *sign = scaled < 0 ? "-" : "";
  if (whole < 0) whole = -whole;
  if (rest < 0) rest = -rest;
  if (digits == 0) return arena_format(arena, "%s%" PRId64, sign, whole);
  return arena_format(arena, "%s%" PRId64 ".%0*" PRId64, sign, whole, digits, rest);
}

const char *decimal_trimmed(struct arena *arena, int64_t scaled, int digits) {
  while (digits > 0 && scaled % 10 == 0) {
    scaled /= 10;
    digits--;
  }
  return decimal_text(arena, scaled, digits);
}
