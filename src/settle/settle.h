/* The rack once a plan is cut: the stock it used up leaves, offcuts worth keeping and whole pieces
 * that were bought and not used join, each with its flaws. Of the two files only what this
 * concerns is written anew; every other byte stays. Nothing is read from or written to the disk
 * here. */
#ifndef BLANKWRIGHT_SETTLE_SETTLE_H
#define BLANKWRIGHT_SETTLE_SETTLE_H

#include "base/diagnostics.h"
#include "model/file_rows.h"
#include "model/settled.h"

/* The line of rack.csv that says the plan has been settled already, or 0. */
long settle_marked(const struct file_rows *rack, const struct left_over *left);

/* `project` was read from the folder whose files `rack` and `flaws` are. STATUS_BAD_INPUT with
 * errors added where the plan is another project's or the stock it uses up is not what it was when
 * the plan was made; then `settled` is not filled in. What is made lives in the arena. */
enum status settle_rack(struct arena *arena, const struct project *project,
                        const struct left_over *left, const struct file_rows *rack,
                        const struct file_rows *flaws, struct diagnostics *diagnostics,
                        struct settled *settled);

#endif
