#include "base/board_measure.h"

/* The volume of a piece of three LENGTH_MAX sides, in thousandths, needs 99 bits. */
__extension__ typedef __int128 wide_t;

length_t board_thickness(length_t thickness) {
  return thickness < LENGTH_PER_INCH ? LENGTH_PER_INCH : thickness;
}

int64_t board_feet(length_t length, length_t width, length_t thickness) {
  wide_t foot = (wide_t)LENGTH_PER_FOOT * LENGTH_PER_FOOT * LENGTH_PER_INCH;
  wide_t volume = (wide_t)length * width * board_thickness(thickness);
  return (int64_t)((2 * 1000 * volume + foot) / (2 * foot));
}
