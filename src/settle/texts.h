/* The new texts of the two files. */
#ifndef BLANKWRIGHT_SETTLE_TEXTS_H
#define BLANKWRIGHT_SETTLE_TEXTS_H

#include "model/file_rows.h"
#include "model/settled.h"

/* Of the copies of a stock before `copy`, those that leave; *leaves: this one does. */
int64_t copies_gone(const struct used_stock *used, int64_t copy, bool *leaves);

/* The new rack.csv: lines of stock that is used up go, counts fall, settled->pieces join, whose
 * sizes and values are filled in. */
struct buffer *rack_text(struct arena *arena, const struct project *project,
                         const struct left_over *left, const struct file_rows *file,
                         const struct settled *settled);

/* The new flaws.csv: flaws of copies that leave go, later copies move up, those of settled->pieces
 * join. `stocks` holds for each of left->used how many pieces there were before. */
struct buffer *flaws_text(struct arena *arena, const struct project *project,
                          const struct left_over *left, const struct file_rows *file,
                          const struct settled *settled, const int64_t *stocks);

/* Copies the file from *from to `to`, and goes on from there. */
void copy_to(struct buffer *buffer, const struct file_rows *file, size_t *from, size_t to);

/* Copies the file up to a cell of a row, writes `value` in the cell's place and goes on behind it.
 * The cell must stand in the file as it is read (row->at[column] is not SIZE_MAX). */
void copy_changed(struct buffer *buffer, const struct file_rows *file, size_t *from,
                  const struct file_row *row, size_t column, int64_t value);

/* Copies what is left of the file and ends its last line. */
void copy_rest(struct buffer *buffer, const struct file_rows *file, size_t from);

#endif
