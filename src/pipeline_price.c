#include <stdatomic.h>
#include <stdlib.h>

#include "base/threads.h"
#include "cost/price.h"
#include "cost/run.h"
#include "hold/finish.h"
#include "hold/load_memory.h"
#include "model/effort.h"
#include "model/limits.h"
#include "nest/plan_run.h"
#include "pipeline.h"
#include "pipeline_work.h"
#include "saw/saw.h"
#include "solver/guard.h"
#include "write/price.h"
#include "write/safe_text.h"
#include "write/write.h"

/* Share of the usual work that each of many quantities gets, in percent. */
enum { EFFORT_EACH = 4, LEAST_QUANTITIES = 20 };

/* One quantity, planned by itself; what is kept of its plan stands in its point. */
struct quantities {
  const struct work *work;
  const struct bw_options *options;
  struct price_table *table;
  const struct nest_known *known;
  bool *planned;      /* per point */
  _Atomic size_t end; /* a point that has no plan: those behind it are not wanted */
};

static void end_at(struct quantities *quantities, size_t index) {
  size_t end = atomic_load(&quantities->end);
  while (index < end && !atomic_compare_exchange_weak(&quantities->end, &end, index)) continue;
}

static void plan_quantity(void *data, size_t index, struct arena *own) {
  struct quantities *quantities = data;
  if (index > atomic_load(&quantities->end)) return;
  const struct work *work = quantities->work;
  const struct bw_options *options = quantities->options;
  struct price_point *point = &quantities->table->points[index];
  struct arena_mark mark = arena_mark(own);
  struct arena *arena = arena_create_child(own);
  struct diagnostics *unsaid = diagnostics_create(arena);
  int64_t effort = effort_percent(options->effort) * EFFORT_EACH / EFFORT_USUAL;
  struct nest_run_options run = {.sets = point->sets,
                                 .effort = effort > 0 ? effort : 1,
                                 .known = quantities->known,
                                 .threads = 1,
                                 .stop = options->stop,
                                 .stop_data = options->stop_data};
  struct plan plan;
  enum status status = nest_run(arena, work->project, &work->blanks, &run, unsaid, &plan);
  quantities->planned[index] = status == STATUS_OK;
  if (status != STATUS_OK) end_at(quantities, index);
  if (status == STATUS_OK) {
    saw_order(arena, work->project, &plan);
    run_time_add(arena, work->project, &work->blanks, &plan);
    price_point_set(point, work->project, &plan);
  }
  arena_release(own, mark);
}

/* A plan of more sets makes fewer too: no quantity costs more than the next, and none is proved
 * to cost less than the one before. What a point costs its own sets it keeps. */
static void make_monotone(struct price_table *table) {
  for (int64_t n = table->count - 1; n >= 1; n--) {
    struct price_point *here = &table->points[n - 1];
    const struct price_point *next = &table->points[n];
    if (here->plan_cost <= next->plan_cost) continue;
    cents_t bound = here->plan_bound;
    int64_t sets = here->sets;
    *here = *next;
    here->sets = sets;
    here->plan_bound = bound;
  }
  for (int64_t n = 1; n <= table->count; n++) {
    struct price_point *here = &table->points[n - 1];
    if (n > 1 && here->plan_bound < here[-1].plan_bound) here->plan_bound = here[-1].plan_bound;
    if (here->plan_bound > here->plan_cost) here->plan_bound = here->plan_cost;
    here->proved = here->plan_bound == here->plan_cost;
  }
}

static void plan_all(struct work *work, const struct bw_options *options,
                     struct price_table *table) {
  size_t count = (size_t)table->count;
  struct quantities quantities = {
      work,
      options,
      table,
      nest_know(work->arena, work->project, &work->blanks, table->count, options->effort),
      ARENA_ARRAY(work->arena, count, bool),
      count};
  struct arena **own = ARENA_ARRAY(work->arena, count, struct arena *);
  for (size_t i = 0; i < count; i++) own[i] = arena_create_child(work->arena);
  int threads = guard_allows_threads() ? options->threads : 1;
  threads_run(threads_create(work->arena, threads), work->arena, own, count, plan_quantity,
              &quantities);
  table->count = 0;
  while (table->count < (int64_t)count && quantities.planned[table->count]) table->count++;
}

/* The most sets from `least` to `most` that are no more parts than a run may have; `least` where
 * there is none. */
static int64_t most_that_fit(const struct work *work, int64_t least, int64_t most) {
  while (least < most) {
    int64_t middle = least + (most - least + 1) / 2;
    if (work_pieces_fit(work, middle))
      least = middle;
    else
      most = middle - 1;
  }
  return least;
}

/* How many are priced where that is not told: enough to see what more would cost. */
static int64_t usual_quantities(const struct work *work, int64_t asked) {
  int64_t count = 2 * asked < LEAST_QUANTITIES ? LEAST_QUANTITIES : 2 * asked;
  if (count > LIMIT_PRICED) count = LIMIT_PRICED;
  return asked < count ? most_that_fit(work, asked, count) : count;
}

static int64_t quantities_asked(const struct work *work, const struct bw_options *options,
                                int64_t *asked) {
  *asked = options->sets > 0 ? options->sets : work->project->shop.sets;
  return options->up_to > 0 ? options->up_to : usual_quantities(work, *asked);
}

static enum status no_set(struct work *work, const struct bw_options *options) {
  diagnostics_add(work->diagnostics, SEVERITY_ERROR, NULL, "%s",
                  options->stop != NULL && options->stop(options->stop_data)
                      ? "interrupted before a quantity was priced, nothing was written"
                      : "not a single set can be made of this wood: 'plan --sets 1' says why");
  return STATUS_NO_PLAN;
}

/* The quantity asked for is planned with the whole effort, as `plan` does it, so that its reports
 * and its prices are of the same plan. False where there is no such plan to write: something is
 * only supposed, too many sets were asked for, or the search was stopped. */
static bool plan_asked(struct work *asked, const char *folder, const struct bw_options *options,
                       struct price_table *table) {
  bool supposed = options->price_change != NULL || options->add != NULL || options->rack_only;
  if (supposed || table->asked == 0) return false;
  struct bw_options whole = {.sets = table->asked,
                             .paper = options->paper,
                             .effort = options->effort,
                             .threads = options->threads,
                             .stop = options->stop,
                             .stop_data = options->stop_data};
  if (work_plan(asked, folder, &whole) != STATUS_OK || asked->plan.interrupted) return false;
  struct price_point *point = &table->points[table->asked - 1];
  cents_t bound = point->plan_bound;
  price_point_set(point, asked->project, &asked->plan);
  if (point->plan_bound < bound) point->plan_bound = bound;
  return true;
}

/* Nothing is asked of memory once the files have changed. */
static enum status write_priced(struct work *work, struct work *asked, bool with_plan,
                                const char *out, const struct price_table *table,
                                struct buffer *text) {
  const char *checked = NULL;
  struct buffer *json = NULL;
  enum status status = with_plan ? work_prove(asked, table, &json, &checked) : STATUS_OK;
  if (status != STATUS_OK) return status;
  write_price_summary(text, table);
  size_t length = text->length;
  buffer_format(text,
                with_plan ? "\nreports in %s\n"
                          : "\nprice.csv and price.svg in %s; a plan there is left as it was\n",
                safe_line(text->arena, out));
  status = with_plan ? work_write(asked, out, table, json)
                     : write_price_reports(work->arena, out, table, work->diagnostics);
  if (status != STATUS_OK) buffer_cut(text, length);
  return status;
}

enum status pipeline_price(struct arena *arena, const char *folder,
                           const struct bw_options *options, struct diagnostics *diagnostics,
                           struct buffer *text) {
  struct work work = {
      .arena = arena, .diagnostics = diagnostics, .memory = load_memory_create(arena)};
  struct what_if supposed = {options->price_change, options->add, options->rack_only};
  enum status status = work_read(&work, folder, &supposed);
  if (status != STATUS_OK) return status;
  int64_t asked = 0, count = quantities_asked(&work, options, &asked);
  status = work_check_pieces(&work, count);
  if (status == STATUS_OK) status = work_hold(&work, count, options->effort);
  if (status != STATUS_OK) return status;
  loads_time(arena, work.project, &work.blanks);
  struct price_table *table =
      price_table_create(arena, work.project, count, asked <= count ? asked : 0);
  plan_all(&work, options, table);
  if (table->count == 0) return no_set(&work, options);
  if (table->asked > table->count) table->asked = 0;
  if (table->count < count)
    diagnostics_add(diagnostics, SEVERITY_NOTE, NULL,
                    "%lld sets are more than rack and yard hold: quantities end at %lld",
                    (long long)table->count + 1, (long long)table->count);
  struct work planned = {
      .arena = arena, .diagnostics = diagnostics_create(arena), .memory = work.memory};
  bool with_plan = plan_asked(&planned, folder, options, table);
  planned.diagnostics = diagnostics; /* what the project gives to say was said above */
  make_monotone(table);
  price_table_fill(arena, table);
  const char *out = options->out != NULL ? options->out : pipeline_reports_folder(arena, folder);
  return write_priced(&work, &planned, with_plan, out, table, text);
}
