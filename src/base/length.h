/* Lengths and areas of wood, and money. A length is a whole number of 1/8000 mm:
 * 0.001 mm (8) and 1/64 in (3175) are both whole, so converting never rounds. */
#ifndef BLANKWRIGHT_BASE_LENGTH_H
#define BLANKWRIGHT_BASE_LENGTH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

typedef int64_t length_t;
typedef int64_t cents_t;

enum unit { UNIT_MM, UNIT_INCH };

#define LENGTH_PER_MM INT64_C(8000)
#define LENGTH_PER_INCH INT64_C(203200)
#define LENGTH_PER_FOOT (12 * LENGTH_PER_INCH)
#define LENGTH_PER_METRE (1000 * LENGTH_PER_MM)
#define LENGTH_MAX (100 * LENGTH_PER_METRE) /* larger is taken for a slip of the pen */

#define MM(n) ((length_t)(n)*LENGTH_PER_MM)

enum length_fault {
  LENGTH_FINE,
  LENGTH_NOT_A_LENGTH, /* not a number with an optional unit */
  LENGTH_NOT_WHOLE,    /* finer than 1/8000 mm */
  LENGTH_TOO_LARGE     /* over LENGTH_MAX in size */
};

/* Reads "140", "140 mm", "14 cm", "1.83 m", "5-1/2\"", "5 1/2 in", "3/4\"", "6'",
 * "6' 2-1/2\"", each with an optional leading minus. A bare number is in `unit`. With
 * decimal_comma a comma is the decimal sign as well as the point. *value is set only
 * when LENGTH_FINE is returned. */
enum length_fault length_parse(const char *text, enum unit unit, bool decimal_comma,
                               length_t *value);

/* How a length is rounded when it is printed: sizes to cut up, room available down. */
enum rounding { ROUND_NEAREST, ROUND_UP, ROUND_DOWN };

/* The length as printed text without its unit: millimetres to 0.1 ("268", "12.5"), or
 * inches as fractions to 1/32 ("11-7/16"). *rounded
 * (may be NULL) is set to true where the printed value is not exact, else left alone.
 * The text lives in the arena. */
char *length_text(struct arena *arena, length_t value, enum unit unit, enum rounding rounding,
                  bool *rounded);

/* The same with the unit: "268 mm", "11-7/16 in". */
char *length_text_unit(struct arena *arena, length_t value, enum unit unit, enum rounding rounding);

/* The length in mm or inches as the nearest double, for plan.json: read back and rounded to
 * 1/8000 mm it is the same length. */
double length_number(length_t value, enum unit unit);

/* The smaller, the larger of two lengths, areas or amounts of money. */
static inline int64_t smaller(int64_t a, int64_t b) { return a < b ? a : b; }
static inline int64_t larger(int64_t a, int64_t b) { return a > b ? a : b; }

/* Rounds up to a whole multiple of step (step > 0, value >= 0). */
length_t length_raise(length_t value, length_t step);

/* Reads an amount of money with at most two decimals ("58.00", "12", "0.5"). False
 * when it is no such number or its size is over 10^10 cents. */
bool cents_parse(const char *text, bool decimal_comma, cents_t *value);

/* "58.00"; lives in the arena. */
char *cents_text(struct arena *arena, cents_t value);

/* Reads a plain decimal number, optionally negative, with at most `decimals` decimals, as a
 * whole number of its last place ("0.05" with 5 decimals is 5000). False when it is no such
 * number or its value in that place is over `most` in size; most is at most INT64_MAX / 20. */
bool decimal_parse(const char *text, bool decimal_comma, int decimals, int64_t most,
                   int64_t *value);

#endif
