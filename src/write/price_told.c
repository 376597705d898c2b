#include "write/price_told.h"

#include <inttypes.h>
#include <math.h>

#include "write/price.h"
#include "write/safe_text.h"

enum { MINUTES_AN_HOUR = 60000 };

int64_t price_focus(const struct price_table *table) {
  if (table->asked > 0) return table->asked;
  return table->recommended > 0 ? table->recommended : table->cheapest;
}

static const char *money(struct arena *arena, int64_t thousandths) {
  return cents_text(arena, (thousandths + 5) / 10);
}

static const char *percent(struct arena *arena, double share) {
  return arena_format(arena, "%s %%", decimal_text(arena, llround(1000 * share), 1));
}

static void add_line(struct price_lines *lines, const char *label, cents_t cents,
                     const char *note) {
  if (lines->count < PRICE_LINES_MOST)
    lines->lines[lines->count++] = (struct price_line){label, cents, note, false};
}

static void add_line_if(struct price_lines *lines, const char *label, cents_t cents,
                        const char *note) {
  if (cents != 0) add_line(lines, label, cents, note);
}

static void add_sum(struct price_lines *lines, const char *label, cents_t cents, const char *note) {
  add_line(lines, label, cents, note);
  lines->lines[lines->count - 1].sum = true;
}

/* ---- cost ---- */

static const char *packs_text(struct arena *arena, const struct price_table *table,
                              const struct price_point *point) {
  const char *text = "";
  for (size_t i = 0; i < table->project->bought_count; i++) {
    const struct bought *bought = &table->project->bought[i];
    int64_t packs = point->bought[i].packs;
    const char *how = bought->pack == 1 ? arena_format(arena, "%" PRId64, packs)
                                        : arena_format(arena, "%" PRId64 " pack%s of %" PRId64,
                                                       packs, packs == 1 ? "" : "s", bought->pack);
    text = arena_format(arena, "%s%s%s: %s", text, *text == '\0' ? "" : ", ", bought->name, how);
  }
  return text;
}

static const char *hours_at(struct arena *arena, int64_t minutes, int64_t rate) {
  return arena_format(arena, "%s h at %s", price_hours(arena, minutes), money(arena, rate));
}

void price_cost_lines(struct arena *arena, const struct price_table *table,
                      const struct price_point *point, struct price_lines *lines) {
  const struct price_terms *terms = &table->terms;
  const struct work_time *time = &point->time.total;
  add_line(lines, "wood", point->wood,
           arena_format(arena, "bought %s, from the rack %s; used up %s",
                        cents_text(arena, point->wood_cash), cents_text(arena, point->wood_rack),
                        cents_text(arena, point->wood_consumed)));
  add_line_if(lines, "bought items", point->bought_cost, packs_text(arena, table, point));
  add_line_if(lines, "finish", point->finish, "");
  add_line_if(lines, "packing", point->packing, "");
  add_line_if(lines, "labour", point->labour,
              hours_at(arena, time->attended + time->hand, terms->labour_rate));
  add_line_if(lines, "machine", point->machine,
              hours_at(arena, time->machine, terms->machine_rate));
  add_line_if(lines, "stall", point->stall, "");
  add_line_if(lines, "travel", point->travel, "");
  add_line_if(lines, "selling", point->selling,
              hours_at(arena, terms->selling, terms->labour_rate));
  add_line_if(lines, "payment fees", point->payment_fees, "where all are sold");
  add_line_if(lines, "tax", point->tax, "where all are sold");
  add_sum(lines, "total", point->total, "");
  add_sum(lines, "a set", point->per_set, "");
  add_line(lines, "cash to pay now", point->cash_now, "");
}

static void add_hours(struct arena *arena, const struct price_table *table,
                      const struct price_point *point, struct text_list *list) {
  const struct run_time *time = &point->time;
  if (point->minutes == 0 && time->total.machine == 0) return;
  const char *selling =
      table->terms.selling == 0
          ? ""
          : arena_format(arena, "; selling %s", price_hours(arena, table->terms.selling));
  list_add(arena, list, "hours: %s%s", times_text(arena, time, price_hours), selling);
}

static void add_bound(struct arena *arena, const struct price_point *point,
                      struct text_list *list) {
  if (point->proved)
    list_add(arena, list, "wood and handling proved: no plan of the allowed kind costs less");
  else
    list_add(arena, list, "wood and handling %s, and no plan costs less than %s",
             cents_text(arena, point->plan_cost), cents_text(arena, point->plan_bound));
}

/* What the neighbour does to the run's cost, its wood and its profit. */
static void add_neighbour(struct arena *arena, const struct price_table *table,
                          const struct price_point *point, int64_t by, struct text_list *list) {
  if (point->sets + by < 1 || point->sets + by > table->count) return;
  const struct price_point *other = price_point_of(table, point->sets + by);
  cents_t more = other->total - point->total, wood = other->wood - point->wood;
  const char *profit = "";
  if (table->terms.priced)
    profit = arena_format(arena, ", profit %s if all are sold", cents_text(arena, other->profit));
  list_add(arena, list, "one set %s: %s %s, of it %s for wood; %s a set%s",
           by < 0 ? "less" : "more", more < 0 ? "saves" : "costs",
           cents_text(arena, more < 0 ? -more : more), cents_text(arena, more < 0 ? -wood : wood),
           cents_text(arena, other->per_set), profit);
}

void price_cost_sentences(struct arena *arena, const struct price_table *table,
                          const struct price_point *point, struct text_list *list) {
  const struct price_plateau *plateau = price_plateau_of(table, point->sets);
  add_hours(arena, table, point, list);
  if (point->started > point->sets)
    list_add(arena, list, "%s started, since spoilage takes %" PRId64,
             price_sets(arena, point->started), point->started - point->sets);
  list_add(arena, list,
           "with wood and bought items at the share used up it would be %s in place of %s",
           cents_text(arena, point->used_cost + point->payment_fees + point->tax),
           cents_text(arena, point->total));
  add_bound(arena, point, list);
  if (plateau != NULL) list_add(arena, list, "%s", price_plateau_words(arena, plateau));
  if (point->why_less != NULL) list_add(arena, list, "%s", point->why_less);
  add_neighbour(arena, table, point, -1, list);
  add_neighbour(arena, table, point, 1, list);
}

/* ---- quantities beside each other ---- */

bool price_is_of_note(const struct price_table *table, int64_t sets) {
  int64_t focus = price_focus(table);
  return (sets >= focus - 1 && sets <= focus + 1) || sets == table->recommended ||
         sets == table->cheapest || price_crossing_at(table, sets) != NULL || sets == 1 ||
         sets == table->count;
}

const char *price_row_note(const struct price_table *table, int64_t sets) {
  const struct price_crossing *crossing = price_crossing_at(table, sets);
  if (sets == table->recommended) return "best for demand";
  if (sets == table->asked) return "asked for";
  if (crossing != NULL) return crossing->up ? "breaks even" : "at a loss";
  return sets == table->cheapest ? "least a set" : "";
}

/* ---- prices ---- */

void price_sale_lines(struct arena *arena, const struct price_table *table,
                      const struct price_point *point, struct price_lines *lines) {
  const struct price_terms *terms = &table->terms;
  if (!terms->priced) return;
  add_line(lines, "price", terms->price, "");
  add_sum(lines, "profit", point->profit, "where all are sold");
  if (point->minutes > 0)
    add_line(lines, "earned per hour", point->earned_per_hour,
             arena_format(arena, "in each of %s h, at the stall too",
                          price_hours(arena, point->minutes)));
}

/* Both are easily taken for each other: each with its formula and its numbers. */
void price_sale_sentences(struct arena *arena, const struct price_table *table,
                          const struct price_point *point, struct text_list *list) {
  if (!table->terms.priced) return;
  const char *price = cents_text(arena, table->terms.price);
  const char *cost = cents_text(arena, point->per_set);
  list_add(arena, list, "margin (price - cost) / price = (%s - %s) / %s = %s", price, cost, price,
           percent(arena, point->margin));
  list_add(arena, list, "markup (price - cost) / cost = (%s - %s) / %s = %s", price, cost, cost,
           percent(arena, point->markup));
}

void price_wanted_lines(struct arena *arena, const struct price_table *table,
                        const struct price_point *point, struct price_lines *lines) {
  const struct price_terms *terms = &table->terms;
  if (terms->priced)
    add_line(lines, "wholesale", terms->price / 2,
             arena_format(arena,
                          "a set, at half the price: profit %s without stall, travel, selling "
                          "and payment fees",
                          cents_text(arena, point->wholesale_profit)));
  add_line(lines, "break-even", point->break_even_price, "lowest price without a loss, all sold");
  if (terms->wage > 0)
    add_line(lines, "for the wage", point->wage_price,
             arena_format(arena, "lowest that earns %s in every hour, all sold",
                          money(arena, terms->wage)));
  add_line(lines, "for wholesale", point->wholesale_price, "lowest whose half pays for making");
}

/* What this quantity begins that one less does not. */
static const char *begun_text(const struct price_table *table, int64_t sets) {
  if (sets < 2) return "";
  const struct price_point *point = price_point_of(table, sets);
  const struct price_point *before = price_point_of(table, sets - 1);
  bool wood = point->wood > before->wood, bought = point->bought_cost > before->bought_cost;
  if (wood && bought) return ": more wood and packs of bought items are begun";
  if (wood) return ": more wood is begun";
  return bought ? ": more packs of bought items are begun" : "";
}

void price_break_even_sentences(struct arena *arena, const struct price_table *table,
                                struct text_list *list) {
  if (!table->terms.priced) return;
  if (table->crossing_count == 0)
    list_add(arena, list, "none: no quantity up to %" PRId64 " pays for itself", table->count);
  for (size_t i = 0; i < table->crossing_count; i++) {
    const struct price_crossing *crossing = &table->crossings[i];
    const char *sets = price_sets(arena, crossing->sets);
    if (crossing->up)
      list_add(arena, list, "from %s on the run pays for itself, if all are sold", sets);
    else
      list_add(arena, list, "from %s on it is at a loss again%s", sets,
               begun_text(table, crossing->sets));
  }
}

/* ---- demand ---- */

static const char *demand_text(struct arena *arena, const struct demand *demand) {
  if (demand->kind == DEMAND_SALES)
    return arena_format(arena, "as one of %zu past sales", demand->sale_count);
  return arena_format(arena, "%s to %s, most likely %s", decimal_trimmed(arena, demand->low, 3),
                      decimal_trimmed(arena, demand->high, 3),
                      decimal_trimmed(arena, demand->likely, 3));
}

static void add_chances(struct arena *arena, const struct price_table *table, int64_t sets,
                        struct text_list *list) {
  const struct price_point *point = price_point_of(table, sets);
  double earned = point->expected_profit + (double)(point->labour + point->selling);
  const char *hourly = "";
  if (point->minutes > 0)
    hourly = arena_format(
        arena, ", %s in each hour",
        cents_text(arena, price_cents(earned * (double)MINUTES_AN_HOUR / (double)point->minutes)));
  list_add(arena, list,
           "%s: expected profit %s%s; %s sold on average; chance to sell out %s, to lose money %s",
           price_sets(arena, sets), cents_text(arena, price_cents(point->expected_profit)), hourly,
           decimal_text(arena, llround(10 * point->expected_sales), 1),
           percent(arena, point->sell_out), percent(arena, point->lose_money));
}

static void add_best(struct arena *arena, const struct price_table *table, struct text_list *list) {
  const struct price_point *best = price_point_of(table, table->recommended);
  list_add(arena, list, "best: %s%s", price_sets(arena, best->sets),
           best->sets == table->count ? ", the most looked at: more may be better still" : "");
  if (best->expected_profit < 0)
    list_add(arena, list,
             "but every quantity is expected to fall short of its costs, with hours paid at the "
             "labour rate");
}

void price_demand_sentences(struct arena *arena, const struct price_table *table,
                            struct text_list *list) {
  const struct price_terms *terms = &table->terms;
  if (!price_has_demand(table)) return;
  list_add(arena, list, "%s; a set not sold is worth %s", demand_text(arena, &terms->demand),
           cents_text(arena, terms->unsold_value));
  add_best(arena, table, list);
  add_chances(arena, table, table->recommended, list);
  if (price_focus(table) != table->recommended) add_chances(arena, table, price_focus(table), list);
}
