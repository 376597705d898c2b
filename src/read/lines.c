#include "read/lines.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/fingerprint.h"
#include "base/text.h"

/* Stands for a NUL of the file, since NULs end the lines; a real one becomes another
 * control character, which is a fault all the same. */
enum { NUL_STAND_IN = 0x01, CONTROL_STAND_IN = 0x02 };

static void whole_file_fault(struct faults *faults, const char *text) {
  struct place place = {faults->file, 0, 0, NULL};
  faults_add(faults, &place, "%s", text);
}

/* The size of a file fit to be read, or why it is none. */
static enum lines_result measure(struct faults *faults, size_t *size) {
  struct stat status;
  if (stat(faults->file, &status) != 0) {
    if (errno == ENOENT) return LINES_ABSENT;
    whole_file_fault(faults, arena_format(faults->arena, "cannot be read: %s", strerror(errno)));
    return LINES_FAULTY;
  }
  if (!S_ISREG(status.st_mode)) {
    whole_file_fault(faults, "is no file, expected a CSV file");
    return LINES_FAULTY;
  }
  if (status.st_size > (off_t)LINES_LARGEST_FILE) {
    whole_file_fault(faults, "file over 256 MiB, expected a smaller one");
    return LINES_FAULTY;
  }
  *size = (size_t)status.st_size;
  return LINES_READ;
}

/* Nothing is allocated between opening and closing, so nothing can be left open. */
static bool read_bytes(const char *file, char *bytes, size_t *size) {
  FILE *stream = fopen(file, "rb");
  if (stream == NULL) return false;
  *size = fread(bytes, 1, *size, stream);
  bool fine = ferror(stream) == 0;
  int trouble = errno;
  (void)fclose(stream);
  errno = trouble;
  return fine;
}

static bool is_utf16(const char *bytes, size_t size) {
  return size >= 2 && (memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0);
}

/* Puts a NUL in place of each line end, in place; returns the new size. */
static size_t end_lines(char *bytes, size_t size) {
  size_t to = 0;
  for (size_t from = 0; from < size; from++) {
    char byte = bytes[from];
    if (byte == '\r' && from + 1 < size && bytes[from + 1] == '\n') continue;
    if (byte == '\0') {
      byte = NUL_STAND_IN;
    } else if (byte == NUL_STAND_IN) {
      byte = CONTROL_STAND_IN;
    } else if (byte == '\n' || byte == '\r') {
      byte = '\0';
    }
    bytes[to++] = byte;
  }
  if (to > 0 && bytes[to - 1] != '\0') bytes[to++] = '\0';
  return to;
}

static size_t first_bad_byte(const char *line, size_t length) {
  size_t valid = text_valid_utf8(line, length);
  for (size_t i = 0; i < valid; i++)
    if (((unsigned char)line[i] < ' ' && line[i] != '\t') || line[i] == 0x7F) return i;
  return valid;
}

/* Reports the first bad byte of a line and makes all of them harmless. */
static void check_line(struct faults *faults, char *line, size_t length, long number) {
  size_t bad = first_bad_byte(line, length);
  if (bad == length) return;
  unsigned char byte = (unsigned char)line[bad];
  struct place place = {faults->file, number, (long)bad + 1, line};
  for (size_t at = bad; at < length; at += first_bad_byte(line + at, length - at)) line[at] = '?';
  if (byte == NUL_STAND_IN) {
    faults_add(faults, &place, "NUL byte, expected text");
  } else if (byte < 0x80) {
    faults_add(faults, &place, "control character, expected text");
  } else {
    faults_add(faults, &place, "byte 0x%02x is no UTF-8, expected a file saved as UTF-8", byte);
  }
}

enum lines_result file_read(struct faults *faults, char **bytes, size_t *size) {
  enum lines_result result = measure(faults, size);
  if (result != LINES_READ) return result;
  *bytes = arena_alloc(faults->arena, *size + 2, 1);
  if (read_bytes(faults->file, *bytes, size)) return LINES_READ;
  if (errno == ENOMEM) arena_raise(faults->arena, STATUS_NO_MEMORY);
  whole_file_fault(faults, arena_format(faults->arena, "cannot be read: %s", strerror(errno)));
  return LINES_FAULTY;
}

enum lines_result lines_read(struct faults *faults, struct lines *lines) {
  size_t size = 0;
  char *bytes = NULL;
  *lines = (struct lines){"", "", 0, 0};
  enum lines_result result = file_read(faults, &bytes, &size);
  if (result != LINES_READ) return result;
  lines->fingerprint = fingerprint_bytes(FINGERPRINT_START, bytes, size);
  if (is_utf16(bytes, size)) {
    whole_file_fault(faults, "file in UTF-16, expected a file saved as UTF-8");
    return LINES_FAULTY;
  }
  if (size >= 4 && memcmp(bytes, "PK\x03\x04", 4) == 0) {
    whole_file_fault(faults, "a spreadsheet's own format, expected the sheet saved as CSV");
    return LINES_FAULTY;
  }
  if (size >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
    bytes += 3;
    size -= 3;
  }
  lines->start = bytes;
  lines->end = bytes + end_lines(bytes, size);
  long number = 0;
  for (char *line = bytes; line < lines->end && !faults->full;) {
    size_t length = strlen(line);
    if (length > 0) lines->not_empty++;
    check_line(faults, line, length, ++number);
    line += length + 1;
  }
  return LINES_READ;
}
