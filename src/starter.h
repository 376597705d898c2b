/* The commented project `new` begins with: small enough to read at one sitting, and
 * complete, so that it can be checked and planned as it stands. */
#ifndef BLANKWRIGHT_STARTER_H
#define BLANKWRIGHT_STARTER_H

#include "base/buffer.h"
#include "base/diagnostics.h"

/* Writes the project's files into a folder that is not there yet or is empty. Refuses any
 * other folder with STATUS_BAD_INPUT. On a fault one error is added, none of the files is
 * left, and STATUS_NOT_WRITTEN is returned. */
enum status starter_write(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                          struct buffer *text);

#endif
