/* How much a part grows and shrinks across the grain over a year. */
#ifndef BLANKWRIGHT_HOLD_MOVEMENT_H
#define BLANKWRIGHT_HOLD_MOVEMENT_H

#include "model/project.h"

/* width x coefficient x swing, to the nearest 1/8000 mm: Wood Handbook (USDA Forest Products
 * Laboratory), eq. 13-2, dD = D C (M_F - M_I), good for moisture contents of 6 to 14 %.
 * coefficient: in 1/100000 per 1 %; swing: thousandths of a percent; both up to 100000. */
length_t movement_across(length_t width, int64_t coefficient, int64_t swing);

struct movement {
  length_t width;      /* the size across the grain: of a part whose grain may lie any way the
                          larger one */
  length_t change;     /* of it over the year, end to end */
  int64_t coefficient; /* tangential (flat-sawn wood, the most it can be), 1/100000 per 1 % */
  const char *species; /* the coefficient's; NULL: the wood is not in the table, and the
                          largest coefficient of the table was taken */
  bool beyond_fit;     /* a fit is given and the change is larger */
};

/* `wood`: of the stock the part is cut from; NULL where that is not settled: then the woods the
 * part may be made of are looked at, and the one that moves most is taken. Panels do not move so:
 * `kind` STOCK_SHEET gives no change. */
struct movement movement_of(const struct project *project, const struct part *part,
                            enum stock_kind kind, const char *wood);

#endif
