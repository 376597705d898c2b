#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "blankwright/blankwright.h"
#include "model/limits.h"
#include "model/shop.h"
#include "pipeline.h"
#include "starter.h"

struct bw_run {
  struct arena *arena; /* NULL only in run_without_memory */
  struct diagnostics *diagnostics;
  struct buffer *text;
  enum status status;
};

/* What a call returns when there is no memory for a run of its own. */
static struct bw_run run_without_memory = {.status = STATUS_NO_MEMORY};

static void destroy(struct bw_run *run) {
  arena_destroy(run->arena);
  free(run);
}

/* False when memory runs out. */
static bool fill(struct bw_run *run) {
  run->arena = arena_create();
  if (run->arena == NULL || ARENA_TRY(run->arena) != STATUS_OK) return false;
  run->diagnostics = diagnostics_create(run->arena);
  run->text = buffer_create(run->arena);
  return true;
}

/* A run with its list and its text, or NULL. */
static struct bw_run *create(void) {
  struct bw_run *run = calloc(1, sizeof *run);
  if (run == NULL || fill(run)) return run;
  destroy(run);
  return NULL;
}

/* One of the calls of the library: its arguments, and the work done with them. */
struct call {
  enum status (*work)(struct bw_run *run, const struct call *call);
  const char *path;
  const struct bw_options *options;
  const char *plan; /* of settling */
};

static void perform(struct bw_run *run, const struct call *call) {
  enum status raised = ARENA_TRY(run->arena);
  run->status = raised == STATUS_OK ? call->work(run, call) : raised;
  if (raised != STATUS_OK) buffer_clear(run->text); /* it may end in the middle */
}

static struct bw_run *carry_out(const struct call *call) {
  struct bw_run *run = create();
  if (run == NULL) return &run_without_memory;
  perform(run, call);
  return run;
}

enum { SETS_MAX = 1000000, EFFORT_MAX = 100000, THREADS_MAX = 8 };

static bool within(int64_t value, int64_t most) { return value >= 0 && value <= most; }

static enum status check_arguments(struct bw_run *run, const struct call *call) {
  const struct bw_options *options = call->options;
  const char *fault = NULL;
  const char *expected = NULL;
  int64_t paper = 0;
  bool no_plan = call->plan != NULL && call->plan[0] == '\0';
  if (call->path == NULL || call->path[0] == '\0' || no_plan)
    fault = "no path was given";
  else if (options != NULL && !within(options->sets, SETS_MAX))
    fault = "the number of sets is not between 1 and 1000000";
  else if (options != NULL && !within(options->effort, EFFORT_MAX))
    fault = "the effort is not between 1 and 100000 percent";
  else if (options != NULL && !within(options->threads, THREADS_MAX))
    fault = "the number of threads is not between 1 and 8";
  else if (options != NULL && !within(options->up_to, LIMIT_PRICED))
    fault = "the quantities to price do not end between 1 and 10000";
  else if (options != NULL && options->most && options->sets != 0)
    fault = "a number of sets and the most sets cannot both be asked for";
  else if (options != NULL && options->out != NULL && options->out[0] == '\0')
    fault = "the folder for the reports has no name";
  else if (options != NULL && options->paper != NULL &&
           !setting_parse(run->arena, SETTING_paper, options->paper, UNIT_MM, false, &paper,
                          &expected))
    fault = "the paper is neither A4 nor Letter";
  if (fault == NULL) return STATUS_OK;
  diagnostics_add(run->diagnostics, SEVERITY_ERROR, NULL, "%s", fault);
  return STATUS_BAD_INPUT;
}

static enum status work_check(struct bw_run *run, const struct call *call) {
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  return pipeline_check(run->arena, call->path, run->diagnostics, run->text);
}

static enum status work_plan(struct bw_run *run, const struct call *call) {
  static const struct bw_options usual = {0};
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  return pipeline_plan(run->arena, call->path, call->options == NULL ? &usual : call->options,
                       run->diagnostics, run->text);
}

static enum status work_price(struct bw_run *run, const struct call *call) {
  static const struct bw_options usual = {0};
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  if (call->options != NULL && call->options->most) {
    diagnostics_add(run->diagnostics, SEVERITY_ERROR, NULL,
                    "the most sets cannot be asked for where quantities are priced");
    return STATUS_BAD_INPUT;
  }
  return pipeline_price(run->arena, call->path, call->options == NULL ? &usual : call->options,
                        run->diagnostics, run->text);
}

static enum status work_proof(struct bw_run *run, const struct call *call) {
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  return pipeline_proof(run->arena, call->path, run->diagnostics, run->text);
}

static enum status work_settle(struct bw_run *run, const struct call *call) {
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  return pipeline_settle(run->arena, call->path, call->plan, run->diagnostics, run->text);
}

static enum status work_new(struct bw_run *run, const struct call *call) {
  enum status status = check_arguments(run, call);
  if (status != STATUS_OK) return status;
  return starter_write(run->arena, call->path, run->diagnostics, run->text);
}

struct bw_run *bw_check(const char *project, const struct bw_options *options) {
  struct call call = {.work = work_check, .path = project, .options = options};
  return carry_out(&call);
}

struct bw_run *bw_plan(const char *project, const struct bw_options *options) {
  struct call call = {.work = work_plan, .path = project, .options = options};
  return carry_out(&call);
}

struct bw_run *bw_price(const char *project, const struct bw_options *options) {
  struct call call = {.work = work_price, .path = project, .options = options};
  return carry_out(&call);
}

struct bw_run *bw_proof(const char *plan_file) {
  struct call call = {.work = work_proof, .path = plan_file};
  return carry_out(&call);
}

struct bw_run *bw_settle(const char *project, const char *plan_file) {
  /* A call that takes a plan never has NULL for it. */
  struct call call = {
      .work = work_settle, .path = project, .plan = plan_file == NULL ? "" : plan_file};
  return carry_out(&call);
}

struct bw_run *bw_new(const char *folder) {
  struct call call = {.work = work_new, .path = folder};
  return carry_out(&call);
}

enum bw_status bw_run_status(const struct bw_run *run) {
  switch (run->status) {
    case STATUS_OK:
      return BW_DONE;
    case STATUS_BAD_INPUT:
      return BW_BAD_INPUT;
    case STATUS_NOT_WRITTEN:
    case STATUS_NO_MEMORY:
      return BW_NOT_WRITTEN;
    case STATUS_NO_PLAN:
    case STATUS_SOLVER_FAULT:
    case STATUS_PROOF_FAILED:
      break;
  }
  return BW_NO_PLAN;
}

const char *bw_run_text(const struct bw_run *run) {
  return run->text == NULL ? "" : run->text->text;
}

/* These end a run without a stage having said why, so the run says it itself. */
static bool status_speaks(enum status status) {
  return status == STATUS_NO_MEMORY || status == STATUS_SOLVER_FAULT ||
         status == STATUS_PROOF_FAILED;
}

static size_t collected(const struct bw_run *run) {
  return run->diagnostics == NULL ? 0 : run->diagnostics->count;
}

size_t bw_run_message_count(const struct bw_run *run) {
  return collected(run) + (status_speaks(run->status) ? 1 : 0);
}

static enum bw_severity public_severity(enum severity severity) {
  switch (severity) {
    case SEVERITY_ERROR:
      return BW_ERROR;
    case SEVERITY_CAUTION:
      return BW_CAUTION;
    case SEVERITY_NOTE:
      break;
  }
  return BW_NOTE;
}

struct bw_message bw_run_message(const struct bw_run *run, size_t index) {
  struct bw_message message = {.severity = BW_ERROR, .text = status_text(run->status)};
  if (index >= collected(run)) return message;
  const struct diagnostic *item = &run->diagnostics->items[index];
  message.severity = public_severity(item->severity);
  message.file = item->place.file;
  message.line = item->place.line;
  message.column = item->place.column;
  message.row = item->place.row;
  /* The newest item has no text yet where memory ran out while it was added. */
  message.text = item->text == NULL ? "" : item->text;
  return message;
}

void bw_run_free(struct bw_run *run) {
  if (run != NULL && run != &run_without_memory) destroy(run);
}

const char *bw_nearest(const char *text, const char *const *names, size_t count) {
  return text_nearest(text, names, count);
}
