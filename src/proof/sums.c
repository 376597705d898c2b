/* Money and shares: what the plan costs and how much of the wood it uses. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "proof/check.h"
#include "proof/order.h"

/* A share may be off by this much, and by what its last decimal was rounded. */
#define SHARE_SLACK 1.001e-6
#define THOUSANDTH_MINUTES_PER_HOUR INT64_C(60000)

static int compare_purchases(const void *a, const void *b) {
  const struct claim_purchase *const *left = a, *const *right = b;
  return strcmp((*left)->stock, (*right)->stock);
}

/* Purchases by name, and beside each the pieces of stock that are cut of it. */
struct ledger {
  const struct claim_purchase **purchases;
  const struct claim_stock **first; /* a piece of that stock, or NULL */
  int64_t *used;
  size_t count;
};

static struct ledger open_ledger(struct proof *proof, const struct claim *claim) {
  size_t count = claim->purchase_count;
  struct ledger ledger = {ARENA_ARRAY(proof->arena, count, const struct claim_purchase *),
                          ARENA_ARRAY(proof->arena, count, const struct claim_stock *),
                          ARENA_ARRAY(proof->arena, count, int64_t), count};
  for (size_t i = 0; i < count; i++) ledger.purchases[i] = &claim->purchases[i];
  sort_pointers(ledger.purchases, count, compare_purchases);
  for (size_t i = 1; i < count; i++) {
    if (compare_purchases(&ledger.purchases[i - 1], &ledger.purchases[i]) != 0) continue;
    proof_fault(proof, "purchase named twice: '%s'", ledger.purchases[i]->stock);
  }
  return ledger;
}

static void post_stock(struct proof *proof, struct ledger *ledger,
                       const struct claim_stock *stock) {
  if (stock->leaf_of != NULL) return; /* its plank is paid for */
  struct claim_purchase key = {.stock = stock->stock};
  size_t place = find_pointer(&key, ledger->purchases, ledger->count, compare_purchases);
  if (place == ledger->count) {
    proof_fault(proof, "purchase missing: %s is cut, but 'purchase' does not name it",
                stock_text(proof, stock));
    return;
  }
  ledger->used[place]++;
  if (ledger->first[place] == NULL) ledger->first[place] = stock;
}

static const char *money_text(struct proof *proof, cents_t value) {
  return arena_format(proof->arena, "%" PRId64 ".%02" PRId64, value / 100, value % 100);
}

static void check_purchase_cost(struct proof *proof, const struct claim_purchase *purchase) {
  int64_t packs = (purchase->used + purchase->pack - 1) / purchase->pack;
  int64_t bought = purchase->yard ? packs * purchase->pack : 0;
  if (purchase->bought != bought) {
    proof_fault(proof,
                "wrong count bought: purchase of '%s' buys %" PRId64 ", %" PRId64
                " used in packs of %" PRId64 " make %" PRId64,
                purchase->stock, purchase->bought, purchase->used, purchase->pack, bought);
  }
  int64_t cost = 0;
  int64_t paid = purchase->yard ? bought : purchase->used;
  if (!checked_times(paid, purchase->price, &cost) || cost != purchase->cost) {
    proof_fault(proof, "wrong cost: purchase of '%s' costs %s, %" PRId64 " at %s make %s",
                purchase->stock, money_text(proof, purchase->cost), paid,
                money_text(proof, purchase->price), money_text(proof, cost));
  }
}

static void check_purchase(struct proof *proof, const struct claim *claim,
                           const struct claim_purchase *purchase, const struct claim_stock *stock,
                           int64_t used) {
  if (purchase->used != used) {
    proof_fault(proof,
                "wrong count used: purchase of '%s' uses %" PRId64 ", of the plan's stock %" PRId64
                " are cut",
                purchase->stock, purchase->used, used);
  }
  if (stock != NULL && (purchase->yard != stock->yard || purchase->pack != stock->pack)) {
    proof_fault(proof, "purchase disagrees: source or pack of '%s' is not that of its stock",
                purchase->stock);
  }
  if (stock != NULL && purchase->price != stock->price) {
    proof_fault(proof, "wrong price: purchase of '%s' is at %s, its stock at %s", purchase->stock,
                money_text(proof, purchase->price), money_text(proof, stock->price));
  }
  if (stock != NULL && stock->available >= 0 && purchase->bought > stock->available) {
    proof_fault(proof, "more bought than there are: purchase of '%s' buys %" PRId64 " of %" PRId64,
                purchase->stock, purchase->bought, stock->available);
  }
  if (claim->most && purchase->yard) {
    proof_fault(proof, "bought stock: '%s' is of the yard, 'most' is for the rack alone",
                purchase->stock);
  }
  check_purchase_cost(proof, purchase);
}

/* labour_rate / 60 x (saw_cut_min x cuts + handling of the loads), rounded up to the cent once. */
static bool handling_of(const struct claim *claim, cents_t *handling) {
  int64_t cuts = 0, product = 0;
  for (size_t i = 0; i < claim->stock_count; i++) cuts += (int64_t)claim->stocks[i].cut_count;
  if (!checked_times(claim->saw_cut_min, cuts, &product)) return false;
  for (size_t i = 0; i < claim->load_count; i++)
    if (!checked_plus(product, claim->loads[i].handling, &product)) return false;
  if (!checked_times(product, claim->labour_rate, &product)) return false;
  *handling =
      product / THOUSANDTH_MINUTES_PER_HOUR + (product % THOUSANDTH_MINUTES_PER_HOUR != 0 ? 1 : 0);
  return true;
}

static void check_money(struct proof *proof, const char *key, cents_t claimed, cents_t right) {
  if (claimed == right) return;
  proof_fault(proof, "wrong sum: '%s' of the cost is %s, it comes to %s", key,
              money_text(proof, claimed), money_text(proof, right));
}

static void check_cost(struct proof *proof, const struct claim *claim) {
  cents_t stock = 0, handling = 0;
  for (size_t i = 0; i < claim->purchase_count; i++) {
    if (!checked_plus(stock, claim->purchases[i].cost, &stock)) {
      proof_fault(proof, "too large: the costs of 'purchase' cannot be added up");
      return;
    }
  }
  check_money(proof, "stock", claim->cost_stock, stock);
  if (handling_of(claim, &handling)) {
    check_money(proof, "handling", claim->cost_handling, handling);
  } else {
    proof_fault(proof, "too large: 'handling' cannot be worked out");
  }
  check_money(proof, "total", claim->cost_total, claim->cost_stock + claim->cost_handling);
  if (claim->bound > claim->cost_total) {
    proof_fault(proof, "bound too high: 'bound' is %s, the total is %s",
                money_text(proof, claim->bound), money_text(proof, claim->cost_total));
  } else if (claim->proved && claim->bound != claim->cost_total) {
    proof_fault(proof, "not proved: 'proved' is true, but the bound is %s and the total %s",
                money_text(proof, claim->bound), money_text(proof, claim->cost_total));
  }
}

/* Areas are only compared as shares, so floating point is exact enough. */
static double area(length_t length, length_t width) { return (double)length * (double)width; }

static void check_share(struct proof *proof, const char *key, double claimed, double right) {
  if (fabs(claimed - right) <= SHARE_SLACK) return;
  proof_fault(proof, "wrong share: '%s' is %.7f, it comes to %.7f", key, claimed, right);
}

/* A plank that is resawn counts once for each of its leaves, which do not count themselves. */
static int64_t leaves_counted(const struct claim_stock *stock) {
  for (size_t j = 0; j < stock->piece_count; j++)
    if (stock->pieces[j].role == CLAIM_RESAW) return stock->pieces[j].leaves;
  return 1;
}

static void check_shares(struct proof *proof, const struct claim *claim) {
  double raw = 0, finished = 0, kept = 0;
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    if (stock->leaf_of == NULL)
      raw += area(stock->length, stock->width) * (double)leaves_counted(stock);
    for (size_t j = 0; j < stock->piece_count; j++) {
      const struct claim_piece *piece = &stock->pieces[j];
      if (piece->role != CLAIM_OFFCUT) continue;
      kept += area(box_extent(&piece->box, AXIS_X), box_extent(&piece->box, AXIS_Y));
    }
  }
  for (size_t i = 0; i < claim->need_count; i++) {
    const struct claim_need *need = &claim->needs[i];
    finished += area(need->length, need->width) * (double)need->count;
  }
  if (raw <= 0) return;
  check_share(proof, "yield", claim->yield, finished / raw);
  check_share(proof, "offcut_share", claim->offcut_share, kept / raw);
  check_share(proof, "waste", claim->waste, 1 - finished / raw - kept / raw);
}

void check_sums(struct proof *proof, const struct claim *claim) {
  struct ledger ledger = open_ledger(proof, claim);
  for (size_t i = 0; i < claim->stock_count; i++) post_stock(proof, &ledger, &claim->stocks[i]);
  for (size_t i = 0; i < ledger.count; i++) {
    check_purchase(proof, claim, ledger.purchases[i], ledger.first[i], ledger.used[i]);
  }
  check_cost(proof, claim);
  check_shares(proof, claim);
}
