/* The rack's files after settling. Both are written whole under names of their own first; then
 * rack.csv is renamed, then flaws.csv. Should the second fail, the first is put back; should the
 * machine stop between them, the text of flaws.csv still lies there, of the two temporary files the
 * only one, beside the rack of before: that is how it is known. */
#ifndef BLANKWRIGHT_WRITE_SETTLED_FILES_H
#define BLANKWRIGHT_WRITE_SETTLED_FILES_H

#include "base/buffer.h"
#include "base/diagnostics.h"
#include "model/file_rows.h"
#include "model/settled.h"

/* Writes the new texts and keeps the old ones as rack.csv.before and flaws.csv.before.
 * STATUS_NOT_WRITTEN with one error added: the files stand as they did. */
enum status write_settled(struct arena *arena, const char *folder, const struct file_rows *rack,
                          const struct file_rows *flaws, const struct settled *settled,
                          struct diagnostics *diagnostics);

/* True when settling was stopped between its two files. */
bool settled_by_half(struct arena *arena, const char *folder);

/* Gives flaws.csv its new text then, and removes whatever else a run that was stopped has left. */
enum status write_settled_rest(struct arena *arena, const char *folder,
                               struct diagnostics *diagnostics);

/* What to tell of it. `text` may be the start of a longer one. */
void write_settled_text(struct buffer *text, const struct project *project,
                        const struct left_over *left, const struct settled *settled);

#endif
