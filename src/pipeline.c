/* realpath is of the X/Open part of the standard. */
#define _XOPEN_SOURCE 700

#include "pipeline.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cost/run.h"
#include "hold/blank_loads.h"
#include "hold/catalogue.h"
#include "hold/finish.h"
#include "model/effort.h"
#include "model/limits.h"
#include "nest/plan_run.h"
#include "pipeline_work.h"
#include "proof/against.h"
#include "proof/proof.h"
#include "saw/saw.h"
#include "size/leaves.h"
#include "size/size.h"
#include "write/paragraph.h"
#include "write/safe_text.h"
#include "write/write.h"

enum status work_read(struct work *work, const char *folder, const struct what_if *what_if) {
  struct project *read = NULL;
  enum status status = work_read_project(work->arena, folder, work->diagnostics, &read);
  if (status == STATUS_OK) status = what_if_apply(work->arena, read, what_if, work->diagnostics);
  if (status != STATUS_OK) return status;
  work->project = leaves_add(work->arena, read);
  size_blanks(work->arena, work->project, work->diagnostics, &work->blanks);
  return work->diagnostics->errors == 0 ? STATUS_OK : STATUS_NO_PLAN;
}

static const struct what_if as_it_is = {NULL, NULL, false};

enum status pipeline_check(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                           struct buffer *text) {
  struct work work = {.arena = arena, .diagnostics = diagnostics};
  enum status status = work_read(&work, folder, &as_it_is);
  if (status != STATUS_BAD_INPUT) write_check(text, work.project, &work.blanks);
  return status;
}

/* ---- loads ---- */

/* What plans for so many sets would spare a cut by. */
static void stretch_load(void *data, size_t blank, length_t length) {
  (void)catalogue_stretch(data, blank, length);
}

/* Counts no further than the limit. */
static int64_t pieces_of(const struct project *project, int64_t sets) {
  int64_t pieces = 0;
  for (size_t p = 0; p < project->part_count && pieces <= LIMIT_PIECES; p++) {
    int64_t needed = project_needed(project, p, sets);
    pieces += needed > LIMIT_PIECES ? LIMIT_PIECES + 1 : needed;
  }
  return pieces;
}

bool work_pieces_fit(const struct work *work, int64_t sets) {
  return pieces_of(work->project, sets) <= LIMIT_PIECES;
}

enum status work_check_pieces(struct work *work, int64_t sets) {
  if (work_pieces_fit(work, sets)) return STATUS_OK;
  diagnostics_add(work->diagnostics, SEVERITY_ERROR, NULL,
                  "%lld sets have more than %d parts, expected fewer: plan them in several runs",
                  (long long)sets, LIMIT_PIECES);
  return STATUS_BAD_INPUT;
}

enum status work_hold(struct work *work, int64_t sets, int64_t effort) {
  const struct project *project = work->project;
  int64_t *needed = project_needed_of_each(work->arena, project, sets);
  struct catalogue *catalogue =
      catalogue_add_loads(work->arena, project, needed, effort_percent(effort), work->memory,
                          work->diagnostics, &work->blanks);
  if (catalogue != NULL && work->diagnostics->errors == 0)
    nest_wish(work->arena, project, &work->blanks, sets, effort, stretch_load, catalogue);
  blank_loads_add(work->arena, project, needed, work->diagnostics, &work->blanks);
  return work->diagnostics->errors == 0 ? STATUS_OK : STATUS_NO_PLAN;
}

/* Where as many sets as can be are wanted, no number limits what lies in a load. */
enum { SETS_WITHOUT_LIMIT = 64 };

static int64_t sets_to_hold(const struct work *work, const struct bw_options *options) {
  if (options->most) return SETS_WITHOUT_LIMIT;
  return options->sets > 0 ? options->sets : work->project->shop.sets;
}

/* ---- nesting ---- */

static void pass_progress(void *data, const struct nest_progress *progress) {
  const struct bw_options *options = data;
  struct bw_progress told = {
      .cost = progress->cost < 0 ? -1 : progress->cost / COST_PER_CENT,
      .bound = progress->bound < 0 ? -1 : progress->bound / COST_PER_CENT,
      .steps = progress->steps,
  };
  options->progress(options->progress_data, &told);
}

static enum status nest(struct work *work, const struct bw_options *options) {
  struct bw_options handed_on = *options;
  struct nest_run_options run = {
      .sets = options->sets,
      .most = options->most,
      .effort = options->effort,
      .progress = options->progress == NULL ? NULL : pass_progress,
      .progress_data = &handed_on,
      .threads = options->threads,
      .stop = options->stop,
      .stop_data = options->stop_data,
  };
  return nest_run(work->arena, work->project, &work->blanks, &run, work->diagnostics, &work->plan);
}

/* ---- check and reports ---- */

static enum status prove(struct work *work, const struct buffer *json, const char **checked) {
  enum status status =
      proof_check(work->arena, "plan.json", json->text, json->length, work->diagnostics, checked);
  if (status == STATUS_OK)
    status = proof_against_project(work->arena, work->project, work->plan.sets, json->text,
                                   json->length, work->diagnostics);
  return status == STATUS_OK ? STATUS_OK : STATUS_PROOF_FAILED;
}

enum status work_prove(struct work *work, const struct price_table *prices, struct buffer **json,
                       const char **checked) {
  *json = buffer_create(work->arena);
  write_plan_json(*json, work->project, &work->blanks, &work->plan, prices);
  return prove(work, *json, checked);
}

enum status work_write(struct work *work, const char *out, const struct price_table *prices,
                       const struct buffer *json) {
  return write_reports(work->arena, out, work->project, &work->blanks, &work->plan, prices,
                       json->text, work->diagnostics);
}

/* Nothing is asked of memory once the files have changed. */
static enum status write_and_tell(struct work *work, const char *out, struct buffer *text) {
  const char *checked = NULL;
  struct buffer *json = NULL;
  enum status status = work_prove(work, NULL, &json, &checked);
  if (status != STATUS_OK) return status;
  if (work->plan.interrupted)
    diagnostics_add(work->diagnostics, SEVERITY_CAUTION, NULL,
                    "interrupted, the plan is the best that was known by then");
  write_summary(text, work->project, &work->blanks, &work->plan);
  buffer_add(text, "\n");
  if (checked != NULL) paragraph(text, "", 0, checked);
  size_t length = text->length;
  buffer_format(text, "reports in %s\n", safe_line(text->arena, out));
  status = work_write(work, out, NULL, json);
  if (status != STATUS_OK) buffer_cut(text, length);
  return status;
}

/* Stands for a line of shop.csv. What points into the project stays as it is. */
static void take_paper(struct work *work, const char *paper) {
  const char *expected = NULL;
  struct project *project = ARENA_NEW(work->arena, struct project);
  *project = *work->project;
  project->shop.given[SETTING_paper] = setting_parse(work->arena, SETTING_paper, paper, UNIT_MM,
                                                     false, &project->shop.paper, &expected);
  work->project = project;
}

enum status work_plan(struct work *work, const char *folder, const struct bw_options *options) {
  enum status status = work_read(work, folder, &as_it_is);
  if (status != STATUS_OK) return status;
  if (!options->most) status = work_check_pieces(work, sets_to_hold(work, options));
  if (status != STATUS_OK) return status;
  if (options->paper != NULL) take_paper(work, options->paper);
  status = work_hold(work, sets_to_hold(work, options), options->effort);
  if (status != STATUS_OK) return status;
  status = nest(work, options);
  if (status == STATUS_OK && options->most) status = work_check_pieces(work, work->plan.sets);
  if (status != STATUS_OK) return status;
  loads_finish(work->arena, work->project, &work->blanks, &work->plan);
  saw_order(work->arena, work->project, &work->plan);
  run_time_add(work->arena, work->project, &work->blanks, &work->plan);
  return STATUS_OK;
}

enum status pipeline_plan(struct arena *arena, const char *folder, const struct bw_options *options,
                          struct diagnostics *diagnostics, struct buffer *text) {
  struct work work = {.arena = arena, .diagnostics = diagnostics};
  enum status status = work_plan(&work, folder, options);
  if (status != STATUS_OK) return status;
  const char *out = options->out != NULL ? options->out : pipeline_reports_folder(arena, folder);
  return write_and_tell(&work, out, text);
}

/* ---- proof of a file ---- */

enum { PLAN_FILE_MAX = 256 << 20 };

static void close_file(void *resource) {
  FILE *file = resource;
  fclose(file);
}

struct buffer *work_read_file(struct arena *arena, const char *name,
                              struct diagnostics *diagnostics) {
  struct place place = {.file = name};
  FILE *file = fopen(name, "rb");
  if (file == NULL && errno == ENOMEM) arena_raise(arena, STATUS_NO_MEMORY);
  if (file == NULL) {
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "cannot be opened: %s", strerror(errno));
    return NULL;
  }
  arena_defer(arena, close_file, file);
  struct buffer *buffer = buffer_create(arena);
  char chunk[1 << 14];
  size_t count = 0;
  while ((count = fread(chunk, 1, sizeof chunk, file)) > 0) {
    buffer_add_bytes(buffer, chunk, count);
    if (buffer->length <= PLAN_FILE_MAX) continue;
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "is too large for a plan");
    return NULL;
  }
  if (ferror(file) && errno == ENOMEM) arena_raise(arena, STATUS_NO_MEMORY);
  if (ferror(file)) {
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "cannot be read: %s%s", strerror(errno),
                    errno == EISDIR ? ", expected a plan.json" : "");
    return NULL;
  }
  return buffer;
}

enum status pipeline_proof(struct arena *arena, const char *plan_file,
                           struct diagnostics *diagnostics, struct buffer *text) {
  struct buffer *json = work_read_file(arena, plan_file, diagnostics);
  if (json == NULL) return STATUS_BAD_INPUT;
  const char *summary = NULL;
  enum status status =
      proof_check(arena, plan_file, json->text, json->length, diagnostics, &summary);
  if (summary != NULL) paragraph(text, "", 0, summary);
  return status;
}

/* ---- where the reports go ---- */

/* Length of a path without trailing slashes; "/" keeps its own. */
static size_t bare_length(const char *path, size_t length) {
  while (length > 1 && path[length - 1] == '/') length--;
  return length;
}

static size_t last_name_start(const char *path, size_t length) {
  while (length > 0 && path[length - 1] != '/') length--;
  return length;
}

static bool ends_in_dots(const char *path, size_t length) {
  size_t start = last_name_start(path, length);
  const char *name = path + start;
  size_t size = length - start;
  return (size == 1 && name[0] == '.') || (size == 2 && name[0] == '.' && name[1] == '.');
}

/* The path itself where it names the project's parent, else the same path in full. */
static const char *path_with_parent(struct arena *arena, const char *path) {
  size_t length = bare_length(path, strlen(path));
  bool names_parent = last_name_start(path, length) > 0 && !ends_in_dots(path, length);
  char *full = names_parent ? NULL : realpath(path, NULL);
  if (!names_parent && full == NULL && errno == ENOMEM) arena_raise(arena, STATUS_NO_MEMORY);
  if (full == NULL) return path;
  arena_defer(arena, free, full);
  return full;
}

char *pipeline_reports_folder(struct arena *arena, const char *project_folder) {
  static const char boards[] = "boards";
  const char *path = path_with_parent(arena, project_folder);
  size_t length = bare_length(path, strlen(path));
  size_t name = last_name_start(path, length);
  size_t parent_end = bare_length(path, name);
  size_t parent = last_name_start(path, parent_end);
  bool in_boards = parent_end - parent == sizeof boards - 1 &&
                   memcmp(path + parent, boards, sizeof boards - 1) == 0;
  return arena_format(arena, "%.*sreports/%.*s", in_boards ? (int)parent : 0, path,
                      (int)(length - name), path + name);
}
