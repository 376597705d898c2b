#include "base/share.h"

cents_t value_share(cents_t value, int64_t part, int64_t whole) {
  /* Long division, one binary digit of the value at a time: the remainder stays below
   * `whole`, so that nothing overflows. */
  cents_t share = 0;
  int64_t rest = 0;
  for (int bit = 62; bit >= 0; bit--) {
    rest = 2 * rest + (((value >> bit) & 1) != 0 ? part : 0);
    share = 2 * share + rest / whole;
    rest %= whole;
  }
  return share;
}
