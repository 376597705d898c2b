/* Changes to a project's wood that are only supposed. */
#ifndef BLANKWRIGHT_WHAT_IF_H
#define BLANKWRIGHT_WHAT_IF_H

#include "base/diagnostics.h"
#include "model/project.h"

struct what_if {
  const char *price_change; /* "ITEM=+10%": a yard or bought item's price; or NULL */
  const char *add;          /* "STOCK=2": so many more pieces of a stock; or NULL */
  bool rack_only;           /* nothing is bought at the yard */
};

/* Changes the project. A change that names nothing there is, or cannot be read, adds one error and
 * gives STATUS_BAD_INPUT. Prices are rounded to the cent. */
enum status what_if_apply(struct arena *arena, struct project *project,
                          const struct what_if *what_if, struct diagnostics *diagnostics);

#endif
