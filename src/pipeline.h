/* The single order of calls, from a project's folder to its reports. Everything made
 * lives in the arena given; what there is to say is added to `diagnostics`, what goes
 * to standard output to `text`. Memory and solver faults are raised on the arena. */
#ifndef BLANKWRIGHT_PIPELINE_H
#define BLANKWRIGHT_PIPELINE_H

#include "base/buffer.h"
#include "base/diagnostics.h"
#include "blankwright/blankwright.h"

/* Reads and sizes. STATUS_BAD_INPUT for faults of the files, STATUS_NO_PLAN when some
 * part fits no stock. */
enum status pipeline_check(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                           struct buffer *text);

/* Reads, sizes, nests, orders the cuts, checks the plan and writes the reports. Without a
 * complete plan that passes the check (STATUS_NO_PLAN, STATUS_PROOF_FAILED) nothing is
 * written, and errors say what finds no place and why. options is not NULL and within its limits.
 */
enum status pipeline_plan(struct arena *arena, const char *folder, const struct bw_options *options,
                          struct diagnostics *diagnostics, struct buffer *text);

/* Plans every quantity up to options->up_to and writes what each costs and brings. STATUS_NO_PLAN
 * where not even one set can be made. */
enum status pipeline_price(struct arena *arena, const char *folder,
                           const struct bw_options *options, struct diagnostics *diagnostics,
                           struct buffer *text);

/* Checks a plan.json from the file alone. */
enum status pipeline_proof(struct arena *arena, const char *plan_file,
                           struct diagnostics *diagnostics, struct buffer *text);

/* Checks a plan.json and, where it passes and the rack is what it was when the plan was made,
 * writes the project's rack.csv and flaws.csv as they are after cutting: both or neither. A plan
 * that is settled already is refused, but for what was stopped half done, which is finished. */
enum status pipeline_settle(struct arena *arena, const char *folder, const char *plan_file,
                            struct diagnostics *diagnostics, struct buffer *text);

/* Where the reports of a project go: reports/<project> beside the boards folder that
 * holds it, else reports/<project> in the current folder. */
char *pipeline_reports_folder(struct arena *arena, const char *project_folder);

#endif
