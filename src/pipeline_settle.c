/* After cutting: the order of calls of `settle`. */
#include "pipeline.h"
#include "pipeline_work.h"
#include "proof/left_over.h"
#include "read/read.h"
#include "read/rows.h"
#include "settle/settle.h"
#include "write/settled_files.h"

enum status work_read_project(struct arena *arena, const char *folder,
                              struct diagnostics *diagnostics, struct project **project) {
  if (!settled_by_half(arena, folder)) return read_project(arena, folder, diagnostics, project);
  struct place place = {.file = folder};
  diagnostics_add(diagnostics, SEVERITY_ERROR, &place,
                  "rack is settled by half, expected 'blankwright settle' to be run again with the "
                  "same plan");
  return STATUS_BAD_INPUT;
}

/* The rack says that the plan is settled. Its flaws may still wait for it. */
static enum status settle_again(struct arena *arena, const char *folder, const struct place *marked,
                                struct diagnostics *diagnostics, struct buffer *text) {
  bool by_half = settled_by_half(arena, folder);
  if (by_half) buffer_add(text, "settling had been stopped half done; it is finished\n");
  enum status status = write_settled_rest(arena, folder, diagnostics);
  if (status != STATUS_OK) buffer_clear(text);
  if (status != STATUS_OK || by_half) return status;
  diagnostics_add(diagnostics, SEVERITY_ERROR, marked,
                  "the plan is settled already, expected one that is not");
  return STATUS_BAD_INPUT;
}

enum status pipeline_settle(struct arena *arena, const char *folder, const char *plan_file,
                            struct diagnostics *diagnostics, struct buffer *text) {
  struct buffer *json = work_read_file(arena, plan_file, diagnostics);
  if (json == NULL) return STATUS_BAD_INPUT;
  struct left_over left;
  enum status status =
      proof_left_over(arena, plan_file, json->text, json->length, diagnostics, &left);
  if (status != STATUS_OK) return status;
  struct file_rows rack, flaws;
  status = read_rack_rows(arena, folder, diagnostics, &rack);
  if (status != STATUS_OK) return status;
  struct place marked = {.file = rack.path, .line = settle_marked(&rack, &left)};
  if (marked.line > 0) return settle_again(arena, folder, &marked, diagnostics, text);

  struct project *project = NULL;
  status = work_read_project(arena, folder, diagnostics, &project);
  if (status == STATUS_OK) status = read_flaws_rows(arena, folder, diagnostics, &flaws);
  struct settled settled;
  if (status == STATUS_OK)
    status = settle_rack(arena, project, &left, &rack, &flaws, diagnostics, &settled);
  if (status != STATUS_OK) return status;
  /* Nothing is asked of memory once the files have changed. */
  write_settled_text(text, project, &left, &settled);
  if (settled.changed) status = write_settled(arena, folder, &rack, &flaws, &settled, diagnostics);
  if (status != STATUS_OK) buffer_clear(text);
  return status;
}
