/* The target of one input file, FUZZED_FILE: the input is that file, in a folder whose other files
 * are fine. What can be read is sized, and goes on to the stage the file is for. */
#include <string.h>

#include "fuzz/fuzz.h"
#include "fuzz/onwards.h"
#include "fuzz/telling.h"
#include "fuzz/workshop.h"
#include "read/read.h"

static const struct {
  const char *file;
  void (*go_on)(struct arena *arena, const char *folder, const struct project *project);
} readers[] = {
    {"shop.csv", onwards_hold},    {"parts.csv", onwards_hold},
    {"rack.csv", onwards_settle},  {"yard.csv", NULL},
    {"flaws.csv", onwards_settle}, {"clamps.csv", onwards_hold},
    {"cutters.csv", onwards_hold}, {"steps.csv", onwards_hold},
    {"bought.csv", onwards_price}, {"money.csv", onwards_price},
};

static void go_on(void (*to)(struct arena *, const char *, const struct project *)) {
  struct arena *arena = arena_create();
  must(arena != NULL);
  must(ARENA_TRY(arena) == STATUS_OK);
  struct project *project = NULL;
  struct diagnostics *diagnostics = diagnostics_create(arena);
  enum status status = read_project(arena, workshop_folder(), diagnostics, &project);
  must_list_soundly(diagnostics, status);
  must(status == STATUS_OK);
  to(arena, workshop_folder(), project);
  arena_destroy(arena);
}

/* Flaws name stock of the rack: with any there, few racks could be read. */
static const char *open_workshop(void) {
  static const char no_flaws[] = "stock,x,y,length,width\n";
  static const char *folder = NULL;
  if (folder != NULL) return folder;
  folder = workshop_folder();
  if (strcmp(FUZZED_FILE, "rack.csv") == 0)
    workshop_put("flaws.csv", no_flaws, sizeof no_flaws - 1);
  return folder;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  const char *folder = open_workshop();
  workshop_put(FUZZED_FILE, data, size);
  struct bw_run *run = bw_check(folder, NULL);
  must_tell_soundly(run);
  enum bw_status status = bw_run_status(run);
  bw_run_free(run);
  size_t i = 0;
  while (strcmp(readers[i].file, FUZZED_FILE) != 0) must(++i < sizeof readers / sizeof readers[0]);
  if (status != BW_BAD_INPUT && readers[i].go_on != NULL) go_on(readers[i].go_on);
  return 0;
}
