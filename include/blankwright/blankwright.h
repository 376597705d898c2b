/* blankwright: sizes the blanks of a run of small wooden goods, lays them out in
 * planks and sheets for the saw, and proves how good the layout is.
 *
 * Every call that does work returns a run, never NULL, which the caller frees with bw_run_free; all
 * texts belong to the run. Texts handed over are only read during the call. The library never
 * prints and never ends the process. */
#ifndef BLANKWRIGHT_BLANKWRIGHT_H
#define BLANKWRIGHT_BLANKWRIGHT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BW_VERSION "0.1.0"

/* Stable numbers; they are the exit statuses of the command line. */
enum bw_status {
  BW_DONE = 0,       /* all went well; also when a plan was written that options.stop ended */
  BW_NO_PLAN = 1,    /* no plan exists, none was known when options.stop ended the search, a plan
                        was refused by the check, or the solver failed */
  BW_BAD_INPUT = 2,  /* the input or the call is at fault */
  BW_NOT_WRITTEN = 3 /* a file could not be written, or memory ran out */
};

enum bw_severity { BW_ERROR, BW_CAUTION, BW_NOTE };

/* One thing to tell: file, row and column may be absent (NULL or 0). Lines and columns
 * count from 1, columns in bytes of row. */
struct bw_message {
  enum bw_severity severity;
  const char *file;
  long line;
  long column;
  const char *row;
  const char *text;
};

/* How far the optimiser is; money in whole cents, -1 where nothing is known yet. */
struct bw_progress {
  int64_t cost;
  int64_t bound;
  int64_t steps;
};

/* What is asked of a call; all zeros and NULL is the usual. Out of its limits: BW_BAD_INPUT. */
struct bw_options {
  int64_t sets;      /* at most 1000000; 0: as the project says */
  bool most;         /* as many complete sets as the rack alone gives; then sets is 0. Not of
                        bw_price: BW_BAD_INPUT */
  const char *out;   /* folder for the reports; NULL: reports/<project> beside boards/ */
  const char *paper; /* of templates and labels, "A4" or "Letter"; NULL: as the project says */
  int64_t effort;    /* percent of the usual work, at most 100000; 0 is 100 */
  int threads;       /* at most so many at work, 1 to 8; 0: one for each processor. The plan is the
                        same with any number */
  /* These two, or NULL, are called while a plan is looked for, also by threads of the library:
   * progress by one at a time, stop by several at once. Neither may call the library. */
  void (*progress)(void *data, const struct bw_progress *progress);
  void *progress_data;
  /* True, and true from then on, ends the search: the best plan known is written, marked as
   * interrupted, with the bound proved so far. */
  bool (*stop)(void *data);
  void *stop_data;
  /* Of bw_price alone. */
  int64_t up_to; /* quantities 1 to so many, at most 10000; 0: twice the number of sets, 20
                    at least, but no more than a run may have parts for */
  const char *price_change; /* "ITEM=+10%": as if its price were so much higher; or NULL */
  const char *add;          /* "STOCK=1": as if there were so many more of it; or NULL */
  bool rack_only;           /* as if nothing could be bought at the yard */
};

struct bw_run;

/* Reads a project folder, sizes its blanks and says what there is to warn of. Solves nothing. Of
 * the options, which may be NULL here and below for the usual ones, it is only looked at whether
 * they are within their limits. */
struct bw_run *bw_check(const char *project, const struct bw_options *options);

/* The same, then plans the run, checks the plan and writes the reports. */
struct bw_run *bw_plan(const char *project, const struct bw_options *options);

/* Plans every quantity up to options->up_to and says what each costs and brings. options->sets is
 * the quantity asked for: it is planned as bw_plan does, and all reports are written with the
 * prices in plan.json, plan.html, price.csv and price.svg. The last two alone are written where
 * something is only supposed, where options->up_to ends before the quantity asked for, or where
 * options.stop ended the search. */
struct bw_run *bw_price(const char *project, const struct bw_options *options);

/* Checks a plan.json again, from the file alone. */
struct bw_run *bw_proof(const char *plan_file);

/* After cutting: checks the plan, then writes the project's rack.csv and flaws.csv as they are now.
 * What the plan used leaves the rack; offcuts worth keeping and whole pieces of packs that are left
 * join it, with their value and their flaws. All else in the two files stays byte for byte; the old
 * ones are kept as rack.csv.before and flaws.csv.before. Both files are written or neither: where
 * the machine stops between them, the next call with the same plan finishes, and until then no
 * other call reads the project. BW_BAD_INPUT: the plan is settled already, is another project's,
 * or the stock it uses has changed since it was made. BW_NO_PLAN: the check refused it. */
struct bw_run *bw_settle(const char *project, const char *plan_file);

/* Writes a commented starter project into a folder that is new or empty. */
struct bw_run *bw_new(const char *folder);

enum bw_status bw_run_status(const struct bw_run *run);

/* What goes to standard output; never NULL. */
const char *bw_run_text(const struct bw_run *run);

/* Messages in the order they came up; index is below the count. */
size_t bw_run_message_count(const struct bw_run *run);
struct bw_message bw_run_message(const struct bw_run *run, size_t index);

/* NULL is accepted. */
void bw_run_free(struct bw_run *run);

/* The one of `count` names that is nearest to a misspelt one, or NULL when none is near: for
 * programs with names of their own (commands, options). */
const char *bw_nearest(const char *text, const char *const *names, size_t count);

#ifdef __cplusplus
}
#endif

#endif
