#include <string.h>

#include "write/file_batch.h"
#include "write/price.h"
#include "write/write.h"
#include "write/writers.h"

typedef void (*writer)(struct buffer *buffer, const struct view *view);

static const struct {
  const char *name;
  writer write;
} tables[] = {
    {"cuts.csv", write_cuts_csv},
    {"setups.csv", write_setups_csv},
    {"purchase.csv", write_purchase_csv},
    {"offcuts.csv", write_offcuts_csv},
};

/* Left out where there is nothing to print. */
static const struct {
  const char *name;
  writer write;
} printed[] = {
    {"plan.html", write_plan_html},
    {"marking.pdf", write_marking_pdf},
    {"labels.pdf", write_labels_pdf},
};

enum { PRINTED = sizeof printed / sizeof *printed };

static const char notice[] = "UNFINISHED.txt";
static const char notice_text[] =
    "Writing was stopped: some files in this folder are of the last run and some of the one "
    "before. Run the same command again before you work from them.\n";

static const char notice_of_prices[] =
    "Writing was stopped: of price.csv and price.svg one may be of the last run and one of the one "
    "before. Run the same command again before you go by them.\n";

/* The batch keeps its list in the arena, so a report's memory is freed before its name is
 * added: only the buffer, made before, outlives it. */
static bool add_table(struct file_batch *batch, struct buffer *buffer, const struct view *view,
                      size_t index) {
  struct arena_mark mark = arena_mark(buffer->arena);
  buffer_clear(buffer);
  tables[index].write(buffer, view);
  arena_release(buffer->arena, mark);
  return batch_add(batch, tables[index].name, buffer->text, buffer->length);
}

static bool add_drawing(struct file_batch *batch, struct buffer *buffer, const struct view *view,
                        const struct view_stock *entry) {
  struct arena_mark mark = arena_mark(buffer->arena);
  buffer_clear(buffer);
  write_layout_svg(buffer, view, entry, AT_TRUE_SCALE);
  arena_release(buffer->arena, mark);
  return batch_add(batch, entry->drawing, buffer->text, buffer->length);
}

static bool add_load(struct file_batch *batch, struct buffer *buffer, const struct view *view,
                     size_t index) {
  if (view->loads[index].like != index) return true;
  struct arena_mark mark = arena_mark(buffer->arena);
  buffer_clear(buffer);
  write_load_svg(buffer, view, index, AT_TRUE_SCALE);
  arena_release(buffer->arena, mark);
  return batch_add(batch, view->loads[index].drawing, buffer->text, buffer->length);
}

/* Pango and GLib end the process where memory runs out, so pages are drawn before there is a file
 * that could be left behind. */
static struct buffer *draw_printed(struct arena *arena, const struct view *view, size_t index) {
  struct buffer *buffer = buffer_create(arena);
  struct arena_mark mark = arena_mark(arena);
  printed[index].write(buffer, view);
  arena_release(arena, mark);
  return buffer;
}

static bool add_prices(struct file_batch *batch, struct buffer *buffer,
                       const struct price_table *prices) {
  buffer_clear(buffer);
  write_price_csv(buffer, prices);
  if (!batch_add(batch, "price.csv", buffer->text, buffer->length)) return false;
  buffer_clear(buffer);
  write_price_svg(buffer, prices);
  return batch_add(batch, "price.svg", buffer->text, buffer->length);
}

static bool add_all(struct file_batch *batch, struct buffer *buffer, const struct view *view,
                    struct buffer *const *pages, const char *plan_json) {
  if (!batch_add(batch, "plan.json", plan_json, strlen(plan_json))) return false;
  for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
    if (!add_table(batch, buffer, view, i)) return false;
  for (size_t i = 0; i < view->stock_count; i++)
    if (!add_drawing(batch, buffer, view, &view->stocks[i])) return false;
  for (size_t i = 0; i < view->load_count; i++)
    if (!add_load(batch, buffer, view, i)) return false;
  for (size_t i = 0; i < PRINTED; i++)
    if (pages[i]->length > 0 &&
        !batch_add(batch, printed[i].name, pages[i]->text, pages[i]->length))
      return false;
  return view->prices == NULL || add_prices(batch, buffer, view->prices);
}

/* Whole names are parted before their last letters. */
static bool retire_earlier(struct file_batch *batch) {
  static const char *const names[][2] = {
      {"layout-", ".svg"}, {"load-", ".svg"}, {"marking.pd", "f"}, {"labels.pd", "f"}};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++)
    if (!batch_retire(batch, names[i][0], names[i][1])) return false;
  return true;
}

static void sweep(struct file_batch *batch) {
  static const char *const starts[] = {".layout-", ".load-", ".marking.pdf.", ".labels.pdf."};
  for (size_t i = 0; i < sizeof starts / sizeof *starts; i++) {
    batch_sweep(batch, starts[i], ".tmp");
    batch_sweep(batch, starts[i], ".old");
  }
}

enum status write_reports(struct arena *arena, const char *folder, const struct project *project,
                          const struct blanks *blanks, const struct plan *plan,
                          const struct price_table *prices, const char *plan_json,
                          struct diagnostics *diagnostics) {
  struct view *view = view_create(arena, project, blanks, plan);
  view->prices = prices;
  struct buffer *pages[PRINTED];
  for (size_t i = 0; i < PRINTED; i++) pages[i] = draw_printed(arena, view, i);
  struct buffer *buffer = buffer_create(arena);
  struct file_batch *batch = batch_open(arena, folder, diagnostics);
  if (batch == NULL) return STATUS_NOT_WRITTEN;
  batch_notice(batch, notice, notice_text, true);
  bool done = add_all(batch, buffer, view, pages, plan_json) && retire_earlier(batch) &&
              batch_commit(batch);
  if (done) sweep(batch);
  batch_close(batch);
  return done ? STATUS_OK : STATUS_NOT_WRITTEN;
}

enum status write_price_reports(struct arena *arena, const char *folder,
                                const struct price_table *table, struct diagnostics *diagnostics) {
  struct file_batch *batch = batch_open(arena, folder, diagnostics);
  if (batch == NULL) return STATUS_NOT_WRITTEN;
  batch_notice(batch, notice, notice_of_prices, false);
  bool done = add_prices(batch, buffer_create(arena), table) && batch_commit(batch);
  batch_close(batch);
  return done ? STATUS_OK : STATUS_NOT_WRITTEN;
}
