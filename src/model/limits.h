/* How much a project may hold. Within these a run ends in bounded memory; beyond them it is
 * refused by name. Each is far above what a shop makes in one run. */
#ifndef BLANKWRIGHT_MODEL_LIMITS_H
#define BLANKWRIGHT_MODEL_LIMITS_H

enum {
  LIMIT_PARTS = 50000,     /* rows of parts.csv */
  LIMIT_STOCKS = 5000,     /* rows of rack.csv, and as many of yard.csv */
  LIMIT_FLAWS = 20000,     /* rows of flaws.csv */
  LIMIT_STEPS = 50000,     /* rows of steps.csv */
  LIMIT_HOLES = 10000,     /* places of holes in steps.csv */
  LIMIT_TOOLS = 1000,      /* rows of clamps.csv, and as many of cutters.csv */
  LIMIT_ITEMS = 10000,     /* rows of bought.csv, and as many of money.csv */
  LIMIT_PIECES = 100000,   /* parts of a run, spares and spoilage included */
  LIMIT_CHOICES = 1000000, /* sizes that all parts may have in all rows of stock together */
  LIMIT_PRICED = 10000,    /* quantities that are priced at once */
  LIMIT_GANG = 500         /* kinds of parts that share loads */
};

#endif
