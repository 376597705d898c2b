/* A text file as lines: each ends in a NUL in place of its LF, CRLF or CR, a byte order
 * mark is gone, and what is no UTF-8 text has been reported and replaced by '?'. */
#ifndef BLANKWRIGHT_READ_LINES_H
#define BLANKWRIGHT_READ_LINES_H

#include <stdint.h>

#include "read/faults.h"

#define LINES_LARGEST_FILE ((size_t)256 << 20)

struct lines {
  const char *start;
  const char *end;      /* behind the NUL of the last line */
  size_t not_empty;     /* lines with at least one byte */
  uint64_t fingerprint; /* of all bytes of the file */
};

/* LINES_ABSENT: there is no such file, which is for the caller to judge. LINES_FAULTY:
 * it cannot be read, is too large or is no text, and a fault says so. */
enum lines_result { LINES_READ, LINES_ABSENT, LINES_FAULTY };

/* Reads all bytes of faults->file as they are, with room for two more behind them. */
enum lines_result file_read(struct faults *faults, char **bytes, size_t *size);

/* Reads faults->file whole; the lines live in faults->arena. */
enum lines_result lines_read(struct faults *faults, struct lines *lines);

#endif
