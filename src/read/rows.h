/* The rows of the files that settling writes anew, found by the reader of the project itself, so
 * that both see the same cells. */
#ifndef BLANKWRIGHT_READ_ROWS_H
#define BLANKWRIGHT_READ_ROWS_H

#include "base/diagnostics.h"
#include "model/file_rows.h"

/* STATUS_OK also where there is no such file: it has the columns' names then. Cells are not
 * looked at. STATUS_BAD_INPUT with errors added. All lives in the arena. */
enum status read_rack_rows(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                           struct file_rows *file);
enum status read_flaws_rows(struct arena *arena, const char *folder,
                            struct diagnostics *diagnostics, struct file_rows *file);

#endif
