#include <string.h>

#include "cli.h"

enum { ERRORS_SHOWN = 20, WINDOW = 100 };

/* ---- text that is safe to show ---- */

static bool is_continuation(unsigned char byte) { return (byte & 0xc0U) == 0x80U; }

static size_t sequence_length(unsigned char lead) {
  if (lead < 0x80U) return 1;
  if (lead >= 0xc2U && lead <= 0xdfU) return 2;
  if (lead >= 0xe0U && lead <= 0xefU) return 3;
  if (lead >= 0xf0U && lead <= 0xf4U) return 4;
  return 0;
}

/* Controls, and marks that turn the direction of writing round. */
static bool steers_terminal(const unsigned char *bytes, size_t length) {
  if (length == 1) return bytes[0] < 0x20U || bytes[0] == 0x7fU;
  if (length == 2)
    return (bytes[0] == 0xc2U && bytes[1] < 0xa0U) || (bytes[0] == 0xd8U && bytes[1] == 0x9cU);
  bool general = length == 3 && bytes[0] == 0xe2U;
  if (!general) return false;
  return (bytes[1] == 0x80U && bytes[2] >= 0x8eU && bytes[2] <= 0xaeU &&
          (bytes[2] <= 0x8fU || bytes[2] >= 0xa8U)) ||
         (bytes[1] == 0x81U && bytes[2] >= 0xa6U && bytes[2] <= 0xa9U);
}

/* One character of a row: how many bytes it has, and what is shown for it. */
struct character {
  size_t bytes;
  const char *shown;
  size_t shown_bytes;
};

static struct character character_at(const char *text) {
  const unsigned char *bytes = (const unsigned char *)text;
  size_t length = sequence_length(bytes[0]);
  for (size_t i = 1; i < length; i++)
    if (!is_continuation(bytes[i])) length = 0;
  if (length == 0) return (struct character){1, "?", 1};
  if (length == 1 && bytes[0] == '\t') return (struct character){1, " ", 1};
  if (steers_terminal(bytes, length)) return (struct character){length, "?", 1};
  return (struct character){length, text, length};
}

void messages_print_harmless(FILE *file, const char *text) {
  while (*text != '\0') {
    struct character character = character_at(text);
    fwrite(character.shown, 1, character.shown_bytes, file);
    text += character.bytes;
  }
}

/* ---- the row and its caret ---- */

static size_t character_count(const char *text, size_t bytes) {
  size_t count = 0;
  const char *end = text + bytes;
  while (text < end) {
    text += character_at(text).bytes;
    count++;
  }
  return count;
}

/* Shows the row, or about WINDOW characters of it around the column, and a caret below.
 * Every character counts as one place wide. */
static void print_row(FILE *file, const char *row, long column) {
  size_t bytes = strlen(row);
  size_t at = column < 1 ? 0 : (size_t)column - 1;
  if (at > bytes) at = bytes;
  size_t total = character_count(row, bytes);
  size_t caret = character_count(row, at);
  size_t first = 0;
  if (total > WINDOW && caret > WINDOW / 2) first = caret - WINDOW / 2;
  if (first > 0 && first + WINDOW > total) first = total - WINDOW;
  size_t last = first + WINDOW < total ? first + WINDOW : total;

  const char *lead = first > 0 ? "  ..." : "  ";
  fputs(lead, file);
  const char *text = row;
  for (size_t i = 0; i < last; i++) {
    struct character character = character_at(text);
    if (i >= first) fwrite(character.shown, 1, character.shown_bytes, file);
    text += character.bytes;
  }
  fputs(last < total ? "...\n" : "\n", file);
  if (column >= 1) fprintf(file, "%*s^\n", (int)(strlen(lead) + caret - first), "");
}

/* ---- messages ---- */

static const char *severity_word(enum bw_severity severity) {
  switch (severity) {
    case BW_ERROR:
      return "error";
    case BW_CAUTION:
      return "caution";
    case BW_NOTE:
      break;
  }
  return "note";
}

static void print_message(FILE *file, const struct bw_message *message) {
  if (message->file == NULL) {
    fputs("blankwright: ", file);
  } else {
    messages_print_harmless(file, message->file);
    fputc(':', file);
    if (message->line > 0) fprintf(file, "%ld:", message->line);
    if (message->line > 0 && message->column > 0) fprintf(file, "%ld:", message->column);
    fputc(' ', file);
  }
  fprintf(file, "%s: ", severity_word(message->severity));
  messages_print_harmless(file, message->text);
  fputc('\n', file);
  if (message->severity == BW_ERROR && message->row != NULL)
    print_row(file, message->row, message->column);
}

void messages_print(FILE *file, const struct bw_run *run) {
  size_t errors = 0;
  size_t count = bw_run_message_count(run);
  for (size_t i = 0; i < count; i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR && ++errors > ERRORS_SHOWN) continue;
    print_message(file, &message);
  }
  if (errors > ERRORS_SHOWN)
    fprintf(file, "blankwright: and %zu more error%s\n", errors - ERRORS_SHOWN,
            errors == ERRORS_SHOWN + 1 ? "" : "s");
}
