#include "cost/price_terms.h"

#include <string.h>

#include "cost/price.h"

enum { THOUSANDTHS_A_CENT = 10, THOUSANDTHS = 1000, MINUTES_AN_HOUR = 60 };

/* The value of an item of the money, in its thousandths; 0 where it is not given. */
static int64_t value_of(const struct project *project, const char *name, bool *given) {
  for (size_t i = 0; i < project->money_count; i++) {
    if (strcmp(project->money[i].name, name) != 0) continue;
    if (given != NULL) *given = true;
    return project->money[i].value;
  }
  return 0;
}

static int64_t value(const struct project *project, const char *name) {
  return value_of(project, name, NULL);
}

static cents_t cents(int64_t thousandths) {
  return price_scaled(thousandths, 1, THOUSANDTHS_A_CENT);
}

static struct demand demand_of(struct arena *arena, const struct project *project) {
  struct demand demand = {.kind = DEMAND_UNKNOWN};
  static const char *const items[] = {"demand_low", "demand_likely", "demand_high"};
  int64_t *const values[] = {&demand.low, &demand.likely, &demand.high};
  bool triangular = false;
  for (size_t i = 0; i < 3; i++) {
    bool given = false;
    *values[i] = value_of(project, items[i], &given);
    triangular |= given;
    if (!given) demand.missing = items[i];
  }
  if (!triangular) demand.missing = NULL;
  for (size_t i = 0; i < project->money_count; i++)
    if (strcmp(project->money[i].name, "sales") == 0)
      *ARENA_PUSH(arena, demand.sales, demand.sale_count, demand.sale_room) =
          project->money[i].value / THOUSANDTHS;
  if (triangular && demand.missing == NULL) demand.kind = DEMAND_TRIANGULAR;
  if (demand.sale_count > 0) demand.kind = DEMAND_SALES;
  return demand;
}

struct price_terms price_terms_of(struct arena *arena, const struct project *project) {
  struct price_terms terms = {
      .unsold_value = cents(value(project, "unsold_value")),
      .stall_fee = cents(value(project, "stall_fee")),
      .travel = cents(value(project, "travel")),
      .finish_per_set = value(project, "finish_per_set"),
      .packing_per_set = value(project, "packing_per_set"),
      .payment_fixed = value(project, "payment_fixed"),
      .labour_rate = project->shop.labour_rate * THOUSANDTHS_A_CENT,
      .machine_rate = value(project, "machine_rate"),
      .selling = value(project, "selling_hours") * MINUTES_AN_HOUR,
      .payment_percent = value(project, "payment_percent"),
      .tax_percent = value(project, "tax_percent"),
      .demand = demand_of(arena, project),
  };
  bool wanted = false;
  terms.price = cents(value_of(project, "price", &terms.priced));
  terms.wage = value_of(project, "hourly_rate", &wanted);
  if (!wanted) terms.wage = terms.labour_rate;
  return terms;
}
