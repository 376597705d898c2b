#include "base/length.h"

#include <stdlib.h>
#include <string.h>

#include "base/divisor.h"
#include "base/text.h"

/* Digits beyond these are only counted as "too many": everything below stays in 64 bits. */
#define WHOLE_MAX INT64_C(1000000000000)
enum { DECIMALS_MAX = 15 };

/* A number as written: whole + numerator / denominator, none negative. */
struct number {
  int64_t whole;
  int64_t numerator;
  int64_t denominator; /* at least 1 */
  bool too_fine;       /* more decimals than any unit here can use */
};

static const char *skip_white(const char *at) {
  size_t white = 0;
  while ((white = text_white(at)) > 0) at += white;
  return at;
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

/* Reads digits, at least one; stops growing at WHOLE_MAX. */
static bool read_digits(const char **at, int64_t *value) {
  if (!is_digit(**at)) return false;
  *value = 0;
  for (; is_digit(**at); ++*at)
    if (*value < WHOLE_MAX) *value = *value * 10 + (**at - '0');
  return true;
}

/* Reads the digits behind a decimal sign; trailing noughts say nothing and are dropped. */
static void read_decimals(const char **at, struct number *number) {
  const char *end = *at;
  while (is_digit(*end)) end++;
  const char *last = end;
  while (last > *at && last[-1] == '0') last--;
  number->too_fine = last - *at > DECIMALS_MAX;
  for (const char *digit = *at; digit < last && !number->too_fine; digit++) {
    number->numerator = number->numerator * 10 + (*digit - '0');
    number->denominator *= 10;
  }
  *at = end;
}

static bool read_fraction(const char **at, struct number *number) {
  static const struct {
    const char *text;
    int64_t numerator, denominator;
  } signs[] = {{"\xC2\xBC", 1, 4},     {"\xC2\xBD", 1, 2},     {"\xC2\xBE", 3, 4},
               {"\xE2\x85\x9B", 1, 8}, {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8},
               {"\xE2\x85\x9E", 7, 8}};
  for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
    size_t length = strlen(signs[i].text);
    if (strncmp(*at, signs[i].text, length) != 0) continue;
    *at += length;
    number->numerator = signs[i].numerator;
    number->denominator = signs[i].denominator;
    return true;
  }
  const char *next = *at;
  int64_t above = 0, below = 0;
  if (!read_digits(&next, &above) || *next != '/') return false;
  next++;
  if (!read_digits(&next, &below) || below == 0) return false;
  number->numerator = above;
  number->denominator = below;
  *at = next;
  return true;
}

/* "5", "5.25", ".5", "3/4", "5 3/4", "5-3/4". */
static bool read_number(const char **at, bool decimal_comma, struct number *number) {
  *number = (struct number){0, 0, 1, false};
  if (read_fraction(at, number)) return true;
  const char *start = *at;
  bool digits = read_digits(at, &number->whole);
  if (**at == '.' || (decimal_comma && **at == ',')) {
    if (!digits && !is_digit((*at)[1])) return false;
    ++*at;
    read_decimals(at, number);
    return true;
  }
  if (!digits) {
    *at = start;
    return false;
  }
  const char *next = skip_white(*at);
  if (*next == '-') next = skip_white(next + 1);
  if (read_fraction(&next, number)) *at = next;
  return true;
}

/* The number times a unit, added to *sum (at most LENGTH_MAX + 1 thereafter). */
static enum length_fault add_quantity(const struct number *number, int64_t unit, length_t *sum) {
  if (number->too_fine) return LENGTH_NOT_WHOLE;
  int64_t divisor = common_divisor(number->numerator, number->denominator);
  int64_t numerator = number->numerator / divisor;
  int64_t denominator = number->denominator / divisor;
  if (unit % denominator != 0) return LENGTH_NOT_WHOLE;
  int64_t whole = 0, part = 0;
  if (__builtin_mul_overflow(number->whole, unit, &whole) ||
      __builtin_mul_overflow(numerator, unit / denominator, &part) || whole > LENGTH_MAX ||
      part > LENGTH_MAX || *sum + whole + part > LENGTH_MAX)
    return LENGTH_TOO_LARGE;
  *sum += whole + part;
  return LENGTH_FINE;
}

/* The unit at *at, stepped over; 0 when there is none. Longer names stand before their beginnings.
 */
static int64_t read_unit(const char **at) {
  static const struct {
    const char *text;
    int64_t size;
  } units[] = {{"mm", LENGTH_PER_MM},
               {"cm", 10 * LENGTH_PER_MM},
               {"m", LENGTH_PER_METRE},
               {"inches", LENGTH_PER_INCH},
               {"inch", LENGTH_PER_INCH},
               {"in", LENGTH_PER_INCH},
               {"\"", LENGTH_PER_INCH},
               {"''", LENGTH_PER_INCH},
               {"\xE2\x80\xB3", LENGTH_PER_INCH},
               {"\xE2\x80\x9D", LENGTH_PER_INCH},
               {"\xE2\x80\x9C", LENGTH_PER_INCH},
               {"\xE2\x80\xB2\xE2\x80\xB2", LENGTH_PER_INCH},
               {"\xE2\x80\x99\xE2\x80\x99", LENGTH_PER_INCH},
               {"feet", LENGTH_PER_FOOT},
               {"foot", LENGTH_PER_FOOT},
               {"ft", LENGTH_PER_FOOT},
               {"'", LENGTH_PER_FOOT},
               {"\xE2\x80\xB2", LENGTH_PER_FOOT},
               {"\xE2\x80\x99", LENGTH_PER_FOOT},
               {"\xE2\x80\x98", LENGTH_PER_FOOT}};
  for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
    size_t matched = 0;
    while (units[i].text[matched] != '\0') {
      char c = (*at)[matched];
      if (c >= 'A' && c <= 'Z') c = (char)(c - 'A' + 'a');
      if (c != units[i].text[matched]) break;
      matched++;
    }
    if (units[i].text[matched] != '\0') continue;
    *at += matched;
    return units[i].size;
  }
  return 0;
}

/* A leading minus, also the typographic one. */
static bool read_minus(const char **at) {
  static const char minus[] = "\xE2\x88\x92";
  size_t length = **at == '-'                                  ? 1
                  : strncmp(*at, minus, sizeof minus - 1) == 0 ? sizeof minus - 1
                                                               : 0;
  *at = skip_white(*at + length);
  return length > 0;
}

enum length_fault length_parse(const char *text, enum unit unit, bool decimal_comma,
                               length_t *value) {
  const char *at = skip_white(text);
  bool negative = read_minus(&at);
  struct number first, second = {0, 0, 1, false};
  if (!read_number(&at, decimal_comma, &first)) return LENGTH_NOT_A_LENGTH;
  at = skip_white(at);
  int64_t size = read_unit(&at);
  at = skip_white(at);
  if (size == LENGTH_PER_FOOT && *at != '\0') {
    if (*at == '-') at = skip_white(at + 1);
    if (!read_number(&at, decimal_comma, &second)) return LENGTH_NOT_A_LENGTH;
    at = skip_white(at);
    int64_t inch = read_unit(&at);
    if (inch != 0 && inch != LENGTH_PER_INCH) return LENGTH_NOT_A_LENGTH;
    at = skip_white(at);
  }
  if (*at != '\0') return LENGTH_NOT_A_LENGTH;
  if (size == 0) size = unit == UNIT_MM ? LENGTH_PER_MM : LENGTH_PER_INCH;
  length_t sum = 0;
  enum length_fault fault = add_quantity(&first, size, &sum);
  if (fault == LENGTH_FINE) fault = add_quantity(&second, LENGTH_PER_INCH, &sum);
  if (fault == LENGTH_FINE) *value = negative ? -sum : sum;
  return fault;
}

/* value / step as a whole number; step > 0, and twice the value fits. */
static int64_t divided(int64_t value, int64_t step, enum rounding rounding) {
  int64_t dividend = rounding == ROUND_NEAREST ? 2 * value + step : value;
  int64_t divisor = rounding == ROUND_NEAREST ? 2 * step : step;
  int64_t quotient = dividend / divisor;
  int64_t rest = dividend % divisor;
  if (rest > 0 && rounding == ROUND_UP) return quotient + 1;
  return rest < 0 && rounding != ROUND_UP ? quotient - 1 : quotient;
}

static char *mm_text(struct arena *arena, int64_t tenths) {
  const char *sign = tenths < 0 ? "-" : "";
  long long size = llabs(tenths);
  if (size % 10 == 0) return arena_format(arena, "%s%lld", sign, size / 10);
  return arena_format(arena, "%s%lld.%lld", sign, size / 10, size % 10);
}

static char *inch_text(struct arena *arena, int64_t parts) {
  const char *sign = parts < 0 ? "-" : "";
  long long size = llabs(parts);
  long long whole = size / 32, above = size % 32, below = 32;
  if (above == 0) return arena_format(arena, "%s%lld", sign, whole);
  for (; above % 2 == 0; above /= 2) below /= 2;
  if (whole == 0) return arena_format(arena, "%s%lld/%lld", sign, above, below);
  return arena_format(arena, "%s%lld-%lld/%lld", sign, whole, above, below);
}

char *length_text(struct arena *arena, length_t value, enum unit unit, enum rounding rounding,
                  bool *rounded) {
  int64_t step = unit == UNIT_MM ? LENGTH_PER_MM / 10 : LENGTH_PER_INCH / 32;
  if (rounded != NULL && value % step != 0) *rounded = true;
  int64_t steps = divided(value, step, rounding);
  return unit == UNIT_MM ? mm_text(arena, steps) : inch_text(arena, steps);
}

char *length_text_unit(struct arena *arena, length_t value, enum unit unit,
                       enum rounding rounding) {
  return arena_format(arena, "%s %s", length_text(arena, value, unit, rounding, NULL),
                      unit == UNIT_MM ? "mm" : "in");
}

double length_number(length_t value, enum unit unit) {
  return (double)value / (double)(unit == UNIT_MM ? LENGTH_PER_MM : LENGTH_PER_INCH);
}

length_t length_raise(length_t value, length_t step) { return (value + step - 1) / step * step; }

bool decimal_parse(const char *text, bool decimal_comma, int decimals, int64_t most,
                   int64_t *value) {
  const char *at = skip_white(text);
  bool negative = read_minus(&at);
  int64_t sum = 0;
  bool digits = false;
  for (; is_digit(*at); at++, digits = true) {
    if (sum > most) return false;
    sum = sum * 10 + (*at - '0');
  }
  int places = 0;
  if (*at == '.' || (decimal_comma && *at == ',')) {
    for (at++; is_digit(*at); at++, digits = true) {
      if (++places > decimals || sum > most) return false;
      sum = sum * 10 + (*at - '0');
    }
  }
  if (!digits || *skip_white(at) != '\0') return false;
  for (; places < decimals; places++) {
    if (sum > most) return false;
    sum *= 10;
  }
  if (sum > most) return false;
  *value = negative ? -sum : sum;
  return true;
}

bool cents_parse(const char *text, bool decimal_comma, cents_t *value) {
  return decimal_parse(text, decimal_comma, 2, INT64_C(10000000000), value);
}

char *cents_text(struct arena *arena, cents_t value) {
  unsigned long long size = value < 0 ? 0 - (unsigned long long)value : (unsigned long long)value;
  return arena_format(arena, "%s%llu.%02llu", value < 0 ? "-" : "", size / 100, size % 100);
}
