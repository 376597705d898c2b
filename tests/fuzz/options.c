/* The target of the command line: each line of the input is a word behind the program's name. What
 * is accepted keeps to the limits that the help tells, and changes a project or says why not. */
#include <string.h>

#include "cli/cli.h"
#include "fuzz/fuzz.h"
#include "fuzz/telling.h"
#include "fuzz/workshop.h"
#include "read/read.h"
#include "what_if.h"

enum { WORDS_MOST = 64 };

static const struct command *command_named(const char *name) {
  for (size_t i = 0; commands[i] != NULL; i++)
    if (strcmp(commands[i]->name, name) == 0) return commands[i];
  return NULL;
}

static void must_be_within(const struct command *command, const struct request *request) {
  const struct bw_options *options = &request->options;
  must(options->sets >= 0 && options->sets <= 1000000);
  must(options->up_to >= 0 && options->up_to <= 10000);
  must(options->effort >= 0 && options->effort <= 100000);
  must(options->threads >= 0 && options->threads <= 8);
  must(options->out == NULL || options->out[0] != '\0');
  if (request->help || request->version) return;
  must(!options->most || options->sets == 0);
  must(command == NULL || request->operand != NULL);
  must(command == NULL || command->second == NULL || request->second != NULL);
}

static void suppose(struct arena *arena, const struct bw_options *options) {
  struct what_if what_if = {options->price_change, options->add, options->rack_only};
  struct project *project = NULL;
  struct diagnostics *diagnostics = diagnostics_create(arena);
  must(read_project(arena, workshop_folder(), diagnostics, &project) == STATUS_OK);
  enum status status = what_if_apply(arena, project, &what_if, diagnostics);
  must((status == STATUS_OK) == (diagnostics->errors == 0));
  for (size_t s = 0; status == STATUS_OK && s < project->stock_count; s++)
    must(project->stocks[s].count >= -1 && project->stocks[s].value >= 0 &&
         project->stocks[s].price >= 0);
}

static void show_help(const struct command *command) {
  char *text = NULL;
  size_t length = 0;
  FILE *file = open_memstream(&text, &length);
  must(file != NULL);
  options_help(file, command);
  must(fclose(file) == 0);
  must_be_harmless(text, length);
  free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  struct arena *arena = arena_create();
  must(arena != NULL);
  must(ARENA_TRY(arena) == STATUS_OK);
  char *text = arena_copy_bytes(arena, (const char *)data, size);
  char *words[WORDS_MOST];
  int count = 0;
  for (char *word = text; word != NULL && count < WORDS_MOST;) {
    char *end = strchr(word, '\n');
    if (end != NULL) *end = '\0';
    words[count++] = word;
    word = end == NULL ? NULL : end + 1;
  }
  const struct command *command = command_named(words[0]);
  int first = command == NULL ? 0 : 1;
  struct request request = {0};
  if (options_parse(command, count - first, words + first, &request)) {
    must_be_within(command, &request);
    const struct bw_options *options = &request.options;
    if (request.help) show_help(command);
    if (options->price_change != NULL || options->add != NULL || options->rack_only)
      suppose(arena, options);
  }
  arena_destroy(arena);
  return 0;
}
