/* What is told of a table of prices, line by line and sentence by sentence, so that the summary
 * and the page say the same. Texts and lists live in the arena; names from the input are not yet
 * made safe to show. */
#ifndef BLANKWRIGHT_WRITE_PRICE_TOLD_H
#define BLANKWRIGHT_WRITE_PRICE_TOLD_H

#include "model/price.h"
#include "write/plan_words.h"

struct price_line {
  const char *label;
  cents_t cents; /* PRICE_NONE: fees and tax take all of any price */
  const char *note;
  bool sum; /* what a reader looks for first */
};

enum { PRICE_LINES_MOST = 16 };

struct price_lines {
  struct price_line lines[PRICE_LINES_MOST];
  int count;
};

/* The quantity told line by line: the one asked for, else the best one known. */
int64_t price_focus(const struct price_table *table);

/* What the run costs, from its wood to the cash to pay; what is 0 is left out. */
void price_cost_lines(struct arena *arena, const struct price_table *table,
                      const struct price_point *point, struct price_lines *lines);

/* Its hours, what spoilage takes, its bound, plateau and neighbours. */
void price_cost_sentences(struct arena *arena, const struct price_table *table,
                          const struct price_point *point, struct text_list *list);

/* At the price there is, with margin and markup as sentences; nothing where there is none. */
void price_sale_lines(struct arena *arena, const struct price_table *table,
                      const struct price_point *point, struct price_lines *lines);
void price_sale_sentences(struct arena *arena, const struct price_table *table,
                          const struct price_point *point, struct text_list *list);

/* Prices that the run wants. */
void price_wanted_lines(struct arena *arena, const struct price_table *table,
                        const struct price_point *point, struct price_lines *lines);

/* Quantities beside each other: those worth a row, and why. */
bool price_is_of_note(const struct price_table *table, int64_t sets);
const char *price_row_note(const struct price_table *table, int64_t sets);

/* Where the run breaks even; nothing where there is no price. */
void price_break_even_sentences(struct arena *arena, const struct price_table *table,
                                struct text_list *list);

/* What is expected of the demand. */
void price_demand_sentences(struct arena *arena, const struct price_table *table,
                            struct text_list *list);

#endif
