/* What the stages hand on; each stage only reads what those before it filled in. */
#ifndef BLANKWRIGHT_PIPELINE_WORK_H
#define BLANKWRIGHT_PIPELINE_WORK_H

#include "base/buffer.h"
#include "base/diagnostics.h"
#include "blankwright/blankwright.h"
#include "model/plan.h"
#include "model/price.h"
#include "what_if.h"

struct load_memory;

struct work {
  struct arena *arena;
  struct diagnostics *diagnostics;
  const struct project *project; /* with the leaves of resawn planks */
  struct blanks blanks;
  struct plan plan;
  struct load_memory *memory; /* of other works of the same folder, or NULL */
};

/* Reads a folder. A rack that is settled by half is not read: its flaws may be another plank's. */
enum status work_read_project(struct arena *arena, const char *folder,
                              struct diagnostics *diagnostics, struct project **project);

/* A whole file, a plan, or NULL with one error added. */
struct buffer *work_read_file(struct arena *arena, const char *name,
                              struct diagnostics *diagnostics);

/* Reads a folder, supposes what is to be supposed, and sizes the blanks. */
enum status work_read(struct work *work, const char *folder, const struct what_if *what_if);

/* BAD_INPUT, and one error, where so many sets have more parts than a run may have. */
enum status work_check_pieces(struct work *work, int64_t sets);

/* True where so many sets have no more parts than a run may have. */
bool work_pieces_fit(const struct work *work, int64_t sets);

/* Loads of gang parts for runs of up to so many sets, with so many percent of the usual work (0 is
 * 100); how blanks are held. */
enum status work_hold(struct work *work, int64_t sets, int64_t effort);

/* Reads a folder as it is and plans a run: its loads are finished, its cuts in order, its minutes
 * known. */
enum status work_plan(struct work *work, const char *folder, const struct bw_options *options);

/* The text of plan.json, with prices or without (NULL), checked; what the check says of it.
 * STATUS_PROOF_FAILED where it was refused. */
enum status work_prove(struct work *work, const struct price_table *prices, struct buffer **json,
                       const char **checked);

/* Writes the reports of a plan that passed. */
enum status work_write(struct work *work, const char *out, const struct price_table *prices,
                       const struct buffer *json);

#endif
