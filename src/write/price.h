/* From a table of prices to files: the table alone is read. */
#ifndef BLANKWRIGHT_WRITE_PRICE_H
#define BLANKWRIGHT_WRITE_PRICE_H

#include "base/buffer.h"
#include "model/price.h"

/* price.csv: one row for each quantity, every line of its cost, prices, expectation; cells of
 * what is not known are empty. */
void write_price_csv(struct buffer *buffer, const struct price_table *table);

/* price.svg: cost of a set, and profit, by quantity; in mm, for A4 on its side. */
void write_price_svg(struct buffer *buffer, const struct price_table *table);

/* The same for a screen as wide as a hand: 80 mm, with a key below in place of words at the lines.
 */
void write_price_svg_narrow(struct buffer *buffer, const struct price_table *table);

/* All of it as one JSON object without a line end, to stand as a value in plan.json. Keys of a
 * quantity are the columns of price.csv; those of what is not known are left out. */
void write_price_json(struct buffer *buffer, const struct price_table *table);

/* What `price` prints: the quantity asked for line by line and beside its neighbours, prices with
 * their formulas, break-even, plateaus, the best quantity for the demand. */
void write_price_summary(struct buffer *buffer, const struct price_table *table);

/* ---- words they share; texts live in the arena ---- */

/* Minutes in thousandths as hours, to a hundredth: "12.25". */
const char *price_hours(struct arena *arena, int64_t minutes);

/* Cents held in a double: whole ones. */
cents_t price_cents(double cents);

/* "24 sets", "1 set". */
const char *price_sets(struct arena *arena, int64_t sets);

/* The plateau a quantity lies in, or NULL. */
const struct price_plateau *price_plateau_of(const struct price_table *table, int64_t sets);

/* The crossing at a quantity, or NULL. */
const struct price_crossing *price_crossing_at(const struct price_table *table, int64_t sets);

/* "25 and 26 sets need no more wood than 24". */
const char *price_plateau_words(struct arena *arena, const struct price_plateau *plateau);

#endif
