#include "fuzz/telling.h"

#include <string.h>

#include "base/text.h"
#include "cli/cli.h"
#include "fuzz/fuzz.h"

/* Rows are cut at about this many bytes where they are told, and a place may lie behind. */
enum { ROW_SURELY_WHOLE = 1900 };

struct memory {
  char *text;
  size_t length;
  FILE *file;
};

static void memory_open(struct memory *memory) {
  *memory = (struct memory){NULL, 0, NULL};
  memory->file = open_memstream(&memory->text, &memory->length);
  must(memory->file != NULL);
}

static void memory_end(struct memory *memory) { must(fclose(memory->file) == 0); }

void must_be_harmless(const char *text, size_t length) {
  must(strlen(text) == length);
  must(text_valid_utf8(text, length) == length);
  struct memory shown;
  memory_open(&shown);
  messages_print_harmless(shown.file, text);
  memory_end(&shown);
  must(shown.length == length);
  for (size_t i = 0; i < length; i++) must(shown.text[i] == text[i] || text[i] == '\n');
  free(shown.text);
}

static void must_stand_somewhere(const char *file, long line, long column, const char *row) {
  must(line >= 0 && column >= 0);
  must(line == 0 || file != NULL);
  must(column == 0 || line > 0);
  if (row == NULL) return;
  size_t length = strlen(row);
  must(text_valid_utf8(row, length) == length);
  must(column == 0 || length > ROW_SURELY_WHOLE || (size_t)column <= length + 1);
}

static void must_say_something(const char *text) {
  size_t length = strlen(text);
  must(length > 0 && text[length - 1] != '\n');
  must(text_valid_utf8(text, length) == length);
}

void must_list_soundly(const struct diagnostics *diagnostics, enum status status) {
  size_t errors = 0;
  for (size_t i = 0; i < diagnostics->count; i++) {
    const struct diagnostic *item = &diagnostics->items[i];
    if (item->severity == SEVERITY_ERROR) errors++;
    must_stand_somewhere(item->place.file, item->place.line, item->place.column, item->place.row);
    must_say_something(item->text);
  }
  must(errors == diagnostics->errors);
  must((status == STATUS_OK) == (errors == 0));
}

void must_tell_soundly(const struct bw_run *run) {
  size_t count = bw_run_message_count(run), errors = 0;
  for (size_t i = 0; i < count; i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR) errors++;
    must_stand_somewhere(message.file, message.line, message.column, message.row);
    must_say_something(message.text);
  }
  must((bw_run_status(run) == BW_DONE) == (errors == 0));
  must(bw_run_status(run) != BW_NOT_WRITTEN);
  struct memory shown;
  memory_open(&shown);
  messages_print(shown.file, run);
  memory_end(&shown);
  must_be_harmless(shown.text, shown.length);
  free(shown.text);
  must_be_harmless(bw_run_text(run), strlen(bw_run_text(run)));
}
