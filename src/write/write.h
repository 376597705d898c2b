/* From a plan to files: one neutral view, then one writer per format. */
#ifndef BLANKWRIGHT_WRITE_WRITE_H
#define BLANKWRIGHT_WRITE_WRITE_H

#include "base/buffer.h"
#include "base/diagnostics.h"
#include "model/plan.h"
#include "model/price.h"

/* The whole plan as JSON, the text that is checked and written. prices: of the run by quantity,
 * the plan's own among them; NULL for none. */
void write_plan_json(struct buffer *buffer, const struct project *project,
                     const struct blanks *blanks, const struct plan *plan,
                     const struct price_table *prices);

/* The plain summary for the terminal. */
void write_summary(struct buffer *buffer, const struct project *project,
                   const struct blanks *blanks, const struct plan *plan);

/* What `check` prints: parts with their blanks, stock, defaults used. */
void write_check(struct buffer *buffer, const struct project *project, const struct blanks *blanks);

/* Writes every report into a folder (made with its parents where missing), each beside
 * its final name and renamed when all of them are whole; reports of an earlier plan that
 * this one no longer has (drawings, templates, labels) are removed last. plan_json is the checked
 * text. Where prices are given, price.csv and price.svg are among the reports; else those there are
 * left. On a fault one error is added, nothing of the last good reports is lost, no temporary file
 * stays, and STATUS_NOT_WRITTEN is returned. */
enum status write_reports(struct arena *arena, const char *folder, const struct project *project,
                          const struct blanks *blanks, const struct plan *plan,
                          const struct price_table *prices, const char *plan_json,
                          struct diagnostics *diagnostics);

/* Writes price.csv and price.svg into a folder, both or neither; nothing else there is touched. */
enum status write_price_reports(struct arena *arena, const char *folder,
                                const struct price_table *table, struct diagnostics *diagnostics);

#endif
