#include "fuzz/onwards.h"

#include <jansson.h>
#include <string.h>

#include "base/fingerprint.h"
#include "cost/price.h"
#include "cost/time.h"
#include "fuzz/fuzz.h"
#include "fuzz/telling.h"
#include "fuzz/workshop.h"
#include "hold/caution.h"
#include "hold/part_work.h"
#include "model/part_steps.h"
#include "model/stock_fingerprint.h"
#include "read/read.h"
#include "read/rows.h"
#include "settle/settle.h"
#include "write/price.h"

/* ---- settling ---- */

static int by_name(const void *a, const void *b) {
  const struct stock *const *left = a, *const *right = b;
  return strcmp((*left)->name, (*right)->name);
}

/* Every third stock stays whole; of the others the first copies go, or the last one. */
static void use_stock(struct arena *arena, struct left_over *left, const struct stock *stock,
                      size_t number) {
  enum { COPIES_MOST = 3 };
  if (stock->source != SOURCE_RACK || stock->count == 0 || number % 3 == 2) return;
  struct used_stock *used = ARENA_PUSH(arena, left->used, left->used_count, left->used_room);
  *used = (struct used_stock){.name = stock->name,
                              .fingerprint = fingerprint_text(arena, stock_fingerprint(stock))};
  int64_t first = number % 3 == 0 ? 1 : stock->count;
  for (int64_t copy = first; copy <= stock->count && used->count < COPIES_MOST; copy++)
    *ARENA_PUSH(arena, used->copies, used->count, used->room) = copy;
}

static bool has_flaws(const struct project *project) {
  for (size_t i = 0; i < project->stock_count; i++)
    if (project->stocks[i].flaw_count > 0) return true;
  return false;
}

/* An offcut whose name is taken and whose sizes are no printed ones, and spare sheets. Where no
 * stock has flaws no offcut has any. */
static void leave_pieces(struct arena *arena, const struct project *project,
                         struct left_over *left) {
  struct flaw *flaw = ARENA_NEW(arena, struct flaw);
  *flaw = (struct flaw){
      .x = 8011, .y = 4007, .length = 160021, .width = 80033, .what = "knot; \"black\", #1"};
  struct stock offcut = {.name = project->stocks[0].name,
                         .wood = "walnut",
                         .length = 2400007,
                         .width = 640013,
                         .thickness = 168000,
                         .count = 1,
                         .value = 1234,
                         .pack = 1,
                         .flaws = flaw,
                         .flaw_count = has_flaws(project) ? 1 : 0,
                         .flaw_room = 1,
                         .note = "offcut of it"};
  struct stock spare = {.name = "=spare",
                        .kind = STOCK_SHEET,
                        .wood = "birch, best",
                        .length = 4800000,
                        .width = 2400000,
                        .thickness = 48000,
                        .count = 2,
                        .value = 1100,
                        .pack = 1,
                        .face_grain = FACE_GRAIN_NONE,
                        .trim_ends = 40000,
                        .trim_edges = 8000};
  *ARENA_PUSH(arena, left->pieces, left->piece_count, left->piece_room) = offcut;
  *ARENA_PUSH(arena, left->pieces, left->piece_count, left->piece_room) = spare;
  left->offcut_count = 1;
}

static struct left_over left_over_of(struct arena *arena, const struct project *project) {
  struct left_over left = {.project = project->name, .plan = "0123456789abcdef", .sets = 3};
  const struct stock **stocks = ARENA_ARRAY(arena, project->stock_count, const struct stock *);
  for (size_t i = 0; i < project->stock_count; i++) stocks[i] = &project->stocks[i];
  if (project->stock_count > 1) qsort(stocks, project->stock_count, sizeof *stocks, by_name);
  for (size_t i = 0; i < project->stock_count; i++) use_stock(arena, &left, stocks[i], i);
  leave_pieces(arena, project, &left);
  return left;
}

static const struct stock *rack_stock(const struct project *project, const char *name) {
  for (size_t i = 0; i < project->stock_count; i++)
    if (project->stocks[i].source == SOURCE_RACK && strcmp(project->stocks[i].name, name) == 0)
      return &project->stocks[i];
  return NULL;
}

static bool is_used(const struct used_stock *used, int64_t copy) {
  for (size_t i = 0; used != NULL && i < used->count; i++)
    if (used->copies[i] == copy) return true;
  return false;
}

/* What is left of a stock that was on the rack; 1 where something is. */
static size_t must_be_left(const struct project *after, const struct left_over *left,
                           const struct stock *before) {
  const struct used_stock *used = NULL;
  for (size_t i = 0; i < left->used_count; i++)
    if (strcmp(left->used[i].name, before->name) == 0) used = &left->used[i];
  int64_t rest = before->count - (used == NULL ? 0 : (int64_t)used->count);
  const struct stock *now = rack_stock(after, before->name);
  if (used != NULL && rest == 0) {
    must(now == NULL);
    return 0;
  }
  must(now != NULL && now->count == rest);
  must(now->length == before->length && now->width == before->width);
  must(now->thickness == before->thickness && now->value == before->value);
  size_t flaws = 0;
  for (size_t f = 0; f < before->flaw_count; f++)
    if (!is_used(used, before->flaws[f].copy)) flaws++;
  must(now->flaw_count == flaws);
  return 1;
}

static void must_have_joined(const struct project *after, const struct stock *piece) {
  const struct stock *now = rack_stock(after, piece->name);
  must(now != NULL && now->count == piece->count && now->value == piece->value);
  must(now->kind == piece->kind && strcmp(now->wood, piece->wood) == 0);
  must(now->length == piece->length && now->width == piece->width);
  must(now->thickness == piece->thickness && now->flaw_count == piece->flaw_count);
  for (size_t f = 0; f < piece->flaw_count; f++) {
    must(now->flaws[f].x == piece->flaws[f].x && now->flaws[f].y == piece->flaws[f].y);
    must(now->flaws[f].length == piece->flaws[f].length);
    must(now->flaws[f].width == piece->flaws[f].width);
  }
}

static void must_be_settled(struct arena *arena, const char *folder, const struct project *before,
                            const struct left_over *left, const struct settled *settled) {
  struct diagnostics *diagnostics = diagnostics_create(arena);
  struct project *after = NULL;
  must(read_project(arena, folder, diagnostics, &after) == STATUS_OK);
  size_t on_rack = 0;
  for (size_t i = 0; i < before->stock_count; i++)
    if (before->stocks[i].source == SOURCE_RACK)
      on_rack += must_be_left(after, left, &before->stocks[i]);
  for (size_t i = 0; i < settled->piece_count; i++) must_have_joined(after, &settled->pieces[i]);
  for (size_t i = 0; i < after->stock_count; i++)
    if (after->stocks[i].source == SOURCE_RACK) on_rack--;
  must(on_rack + settled->piece_count == 0);
  struct file_rows rack;
  must(read_rack_rows(arena, folder, diagnostics, &rack) == STATUS_OK);
  must(settle_marked(&rack, left) > 0);
}

void onwards_settle(struct arena *arena, const char *folder, const struct project *project) {
  struct diagnostics *diagnostics = diagnostics_create(arena);
  struct file_rows rack, flaws;
  must(read_rack_rows(arena, folder, diagnostics, &rack) == STATUS_OK);
  must(read_flaws_rows(arena, folder, diagnostics, &flaws) == STATUS_OK);
  struct left_over left = left_over_of(arena, project);
  if (settle_marked(&rack, &left) > 0) return;
  struct settled settled;
  must(settle_rack(arena, project, &left, &rack, &flaws, diagnostics, &settled) == STATUS_OK);
  must(settled.changed && settled.rack != NULL && settled.flaws != NULL);
  workshop_put("rack.csv", settled.rack->text, settled.rack->length);
  workshop_put("flaws.csv", settled.flaws->text, settled.flaws->length);
  must_be_settled(arena, folder, project, &left, &settled);
  workshop_put("rack.csv", rack.bytes, rack.length);
  workshop_put("flaws.csv", flaws.bytes, flaws.length);
}

/* ---- the bed ---- */

struct bed_part {
  const struct project *project;
  const struct part_work *work;
  size_t part;
  length_t raw;
  const length_t *keep_outs; /* of each clamp */
  struct hold_cautions *cautions;
};

static void hold_clamping(const struct bed_part *bed, const struct work_clamping *clamping) {
  const struct project *project = bed->project;
  struct heights heights = {0};
  struct height_work work = {.project = project,
                             .part = &project->parts[bed->part],
                             .steps = bed->work->steps,
                             .step_count = bed->work->step_count,
                             .clamping = clamping,
                             .raw = bed->raw,
                             .clamps = project->clamps,
                             .clamp_count = project->clamp_count};
  height_check(bed->cautions->arena, &work, &heights);
  hold_caution_heights(bed->cautions, project, "L1", bed->part, &heights);
  hold_caution_nuts(bed->cautions, project, "L1", bed->part, &heights, project->clamps,
                    bed->keep_outs);
}

static void time_part(const struct bed_part *bed, const struct work_clamping *clamping) {
  struct timed_kind kind = {.timed = {.project = bed->project,
                                      .part = &bed->project->parts[bed->part],
                                      .steps = bed->work->steps,
                                      .step_count = bed->work->step_count,
                                      .raw = bed->raw,
                                      .tabs = 4,
                                      .tab_height = bed->project->parts[bed->part].thickness / 2},
                            .steps = {clamping->steps, clamping->step_count},
                            .copies = 2,
                            .freed = clamping->parts_it};
  struct timed_clamping timed = time_clamping(bed->cautions->arena, &kind, 1, 7);
  must(timed.cutting >= 0 && timed.tabs >= 0 && timed.hand >= 0);
  struct timed_run run = {.clampings = &timed, .clamping_count = 1, .saw_cuts = 9};
  struct run_time time = time_run(bed->project, &run);
  must(time.total.machine >= 0 && time.total.attended >= 0 && time.total.hand >= 0);
}

static void hold_part(struct arena *arena, const struct project *project,
                      const struct part_work *works, size_t part, struct hold_cautions *cautions) {
  length_t raw = project->parts[part].thickness + project->shop.face_min;
  length_t *keep_outs = ARENA_ARRAY(arena, project->clamp_count, length_t);
  for (size_t c = 0; c < project->clamp_count; c++)
    keep_outs[c] = load_keep_out(project, works, &part, 1, raw, works[part].reach.outside,
                                 &project->clamps[c]);
  struct bed_part bed = {project, &works[part], part, raw, keep_outs, cautions};
  struct work_clamping *clampings = NULL;
  size_t count = height_clampings(arena, &project->parts[part], works[part].steps,
                                  works[part].step_count, &clampings);
  must(count > 0);
  for (size_t c = 0; c < count; c++) {
    hold_clamping(&bed, &clampings[c]);
    time_part(&bed, &clampings[c]);
  }
  hold_caution_part(cautions, project, part, works[part].steps, works[part].step_count, STOCK_PLANK,
                    "walnut");
  hold_caution_faces(cautions, project, part, works[part].steps, works[part].step_count, raw);
  struct load_work load = load_work_of(arena, project, works, &part, 1, raw);
  must(load.reach >= 0 && load.cutter_diameter > 0 && load.force >= 0);
}

void onwards_hold(struct arena *arena, const char *folder, const struct project *project) {
  (void)folder;
  struct hold_cautions cautions = {.arena = arena};
  struct part_work *works = part_works(arena, project);
  for (size_t p = 0; p < project->part_count; p++)
    if (project->parts[p].way != WAY_SAW) hold_part(arena, project, works, p, &cautions);
  hold_caution_shop(&cautions, project);
  for (size_t i = 0; i < cautions.count; i++) {
    must(cautions.items[i].text[0] != '\0');
    must(hold_caution_subject(arena, project, &cautions.items[i])[0] != '\0');
  }
}

/* ---- prices ---- */

void onwards_price(struct arena *arena, const char *folder, const struct project *project) {
  (void)folder;
  enum { QUANTITIES = 12, ASKED = 4 };
  struct price_table *table = price_table_create(arena, project, QUANTITIES, ASKED);
  for (int64_t n = 1; n <= QUANTITIES; n++) {
    struct price_point *point = &table->points[n - 1];
    point->wood_cash = n * 310 + (n + 4) / 5 * 2900;
    point->wood_consumed = n * 890;
    point->pieces = (n + 4) / 5;
    point->plan_cost = point->plan_bound = point->wood_cash;
    point->proved = true;
    point->time.total.hand = point->time.hand = n * 30000;
    point->time.total.machine = n * 12000;
    point->time.total.attended = n * 4000;
  }
  price_table_fill(arena, table);
  must(table->recommended >= 0 && table->recommended <= QUANTITIES);
  struct buffer *buffer = buffer_create(arena);
  write_price_csv(buffer, table);
  write_price_svg(buffer, table);
  write_price_svg_narrow(buffer, table);
  buffer_clear(buffer);
  write_price_json(buffer, table);
  json_error_t error;
  json_t *json = json_loadb(buffer->text, buffer->length, JSON_REJECT_DUPLICATES, &error);
  must(json != NULL);
  json_decref(json);
  buffer_clear(buffer);
  write_price_summary(buffer, table);
  must_be_harmless(buffer->text, buffer->length);
}
