#include "read/price.h"

#include "base/board_measure.h"

/* Price times volume of the largest piece needs 123 bits. */
__extension__ typedef __int128 wide_t;

struct measure {
  wide_t piece; /* what there is of it in one piece */
  wide_t one;   /* what the price is for */
};

static struct measure measure_of(const struct stock *stock) {
  const wide_t metre = LENGTH_PER_METRE, foot = LENGTH_PER_FOOT;
  wide_t length = stock->length, area = length * stock->width;
  length_t tally = stock->tally_thickness > 0 ? stock->tally_thickness : stock->thickness;
  switch (stock->per) {
    case PER_EACH:
      break;
    case PER_METRE:
      return (struct measure){length, metre};
    case PER_FOOT:
      return (struct measure){length, foot};
    case PER_SQUARE_METRE:
      return (struct measure){area, metre * metre};
    case PER_SQUARE_FOOT:
      return (struct measure){area, foot * foot};
    case PER_CUBIC_METRE:
      return (struct measure){area * stock->thickness, metre * metre * metre};
    case PER_BOARD_FOOT:
      return (struct measure){area * board_thickness(tally), foot * foot * LENGTH_PER_INCH};
  }
  return (struct measure){1, 1};
}

cents_t price_of_piece(const struct stock *stock) {
  struct measure measure = measure_of(stock);
  wide_t whole = measure.piece * stock->price;
  wide_t cents = whole / measure.one;
  if (2 * (whole % measure.one) >= measure.one) cents++;
  return cents > PRICE_MOST ? -1 : (cents_t)cents;
}
