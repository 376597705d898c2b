#include "settle/settle.h"

#include <inttypes.h>
#include <string.h>

#include "base/fingerprint.h"
#include "base/text.h"
#include "model/stock_fingerprint.h"
#include "settle/texts.h"

struct settling {
  struct arena *arena;
  const struct project *project;
  const struct left_over *left;
  struct diagnostics *diagnostics;
  int64_t *stocks; /* for each used stock, the pieces there are */
  struct settled *settled;
};

/* ---- settled already ---- */

/* A spreadsheet may have put quotes or empty cells around the note, so it is looked for anywhere
 * in the file. */
long settle_marked(const struct file_rows *rack, const struct left_over *left) {
  static const char lead[] = "settled plan ";
  size_t digits = strlen(left->plan);
  size_t size = sizeof lead - 1 + digits;
  long line = 1;
  for (size_t at = 0; at + size <= rack->length; at++) {
    const char *bytes = rack->bytes + at;
    if (memcmp(bytes, lead, sizeof lead - 1) == 0 &&
        memcmp(bytes + sizeof lead - 1, left->plan, digits) == 0)
      return line;
    line += bytes[0] == '\n' || (bytes[0] == '\r' && bytes[1] != '\n');
  }
  return 0;
}

/* ---- the rack is still what it was ---- */

static const struct stock *find_stock(const struct project *project, const char *name) {
  for (size_t i = 0; i < project->stock_count; i++) {
    const struct stock *stock = &project->stocks[i];
    if (stock->source == SOURCE_RACK && strcmp(stock->name, name) == 0) return stock;
  }
  return NULL;
}

static void check_used(struct settling *settling, size_t number, const struct file_rows *rack) {
  const struct used_stock *used = &settling->left->used[number];
  const struct stock *stock = find_stock(settling->project, used->name);
  if (stock == NULL) {
    struct place place = {rack->path, 0, 0, NULL};
    diagnostics_add(settling->diagnostics, SEVERITY_ERROR, &place,
                    "stock '%s' of the plan is gone, expected it as it was when the plan was made",
                    used->name);
    return;
  }
  const char *now = fingerprint_text(settling->arena, stock_fingerprint(stock));
  settling->stocks[number] = stock->count;
  if (strcmp(now, used->fingerprint) != 0 || used->copies[used->count - 1] > stock->count) {
    diagnostics_add(settling->diagnostics, SEVERITY_ERROR, &stock->place,
                    "stock '%s' or its flaws have changed, expected them as they were when the "
                    "plan was made",
                    used->name);
    return;
  }
  settling->settled->value_left += (cents_t)used->count * stock->value;
}

static void check_project(struct settling *settling, const struct file_rows *rack,
                          const struct file_rows *flaws) {
  const struct project *project = settling->project;
  if (strcmp(settling->left->project, project->name) != 0)
    diagnostics_add(settling->diagnostics, SEVERITY_ERROR, NULL,
                    "the plan is of project '%s', expected one of '%s'", settling->left->project,
                    project->name);
  const struct file_rows *files[] = {rack, flaws};
  const uint64_t fingerprints[] = {project->rack_file, project->flaws_file};
  for (size_t i = 0; i < 2; i++) {
    if (files[i]->fingerprint == fingerprints[i]) continue;
    struct place place = {files[i]->path, 0, 0, NULL};
    diagnostics_add(settling->diagnostics, SEVERITY_ERROR, &place,
                    "changed while it was read, expected it to be left alone");
  }
}

/* ---- what joins ---- */

static length_t step_of(enum unit unit) {
  return unit == UNIT_MM ? LENGTH_PER_MM / 10 : LENGTH_PER_INCH / 32;
}

/* As offcuts.csv tells it: no larger than it is. Its flaws are no smaller. */
static void round_offcut(struct settling *settling, struct stock *piece) {
  length_t step = step_of(shop_unit(&settling->project->shop));
  piece->length -= piece->length % step;
  piece->width -= piece->width % step;
  struct flaw *flaws = ARENA_ARRAY(settling->arena, piece->flaw_count, struct flaw);
  size_t count = 0;
  for (size_t f = 0; f < piece->flaw_count; f++) {
    struct flaw flaw = piece->flaws[f];
    length_t right = smaller(length_raise(flaw.x + flaw.length, step), piece->length);
    length_t high = smaller(length_raise(flaw.y + flaw.width, step), piece->width);
    flaw.x -= flaw.x % step;
    flaw.y -= flaw.y % step;
    flaw.length = right - flaw.x;
    flaw.width = high - flaw.y;
    if (flaw.length > 0 && flaw.width > 0) flaws[count++] = flaw;
  }
  piece->flaws = flaws;
  piece->flaw_count = piece->flaw_room = count;
}

static bool is_taken(const struct settling *settling, const char *name) {
  const struct project *project = settling->project;
  for (size_t i = 0; i < project->stock_count; i++)
    if (text_equal_fold(project->stocks[i].name, name)) return true;
  for (size_t i = 0; i < settling->settled->piece_count; i++)
    if (text_equal_fold(settling->settled->pieces[i].name, name)) return true;
  return false;
}

static void add_piece(struct settling *settling, const struct stock *piece, bool offcut) {
  struct settled *settled = settling->settled;
  struct stock joined = *piece;
  if (offcut) round_offcut(settling, &joined);
  if (joined.length <= 0 || joined.width <= 0) return;
  for (int n = 2; is_taken(settling, joined.name); n++)
    joined.name = arena_format(settling->arena, "%s-%d", piece->name, n);
  settled->value_joined += joined.count * joined.value;
  settled->pieces[settled->piece_count++] = joined;
}

enum status settle_rack(struct arena *arena, const struct project *project,
                        const struct left_over *left, const struct file_rows *rack,
                        const struct file_rows *flaws, struct diagnostics *diagnostics,
                        struct settled *settled) {
  *settled = (struct settled){.changed = false};
  struct settling settling = {.arena = arena,
                              .project = project,
                              .left = left,
                              .diagnostics = diagnostics,
                              .stocks = ARENA_ARRAY(arena, left->used_count, int64_t),
                              .settled = settled};
  size_t errors = diagnostics->errors;
  check_project(&settling, rack, flaws);
  for (size_t i = 0; i < left->used_count; i++) check_used(&settling, i, rack);
  if (diagnostics->errors > errors) return STATUS_BAD_INPUT;
  settled->pieces = ARENA_ARRAY(arena, left->piece_count, struct stock);
  for (size_t i = 0; i < left->piece_count; i++)
    add_piece(&settling, &left->pieces[i], i < left->offcut_count);
  settled->changed = left->used_count > 0 || settled->piece_count > 0;
  if (!settled->changed) return STATUS_OK;
  settled->rack = rack_text(arena, project, left, rack, settled);
  if (flaws->present)
    settled->flaws = flaws_text(arena, project, left, flaws, settled, settling.stocks);
  return STATUS_OK;
}
