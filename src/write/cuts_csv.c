#include "saw/saw.h"
#include "write/table.h"
#include "write/work_words.h"
#include "write/writers.h"

static const char *cautions_text(struct arena *arena, const struct project *project,
                                 const struct cut *cut) {
  const char *all = "";
  for (unsigned bit = 0; bit < CAUTION_BITS; bit++) {
    if ((cut->cautions & 1U << bit) == 0) continue;
    const char *text = saw_caution_text(arena, project, cut, 1U << bit);
    all = *all == '\0' ? text : arena_format(arena, "%s; %s", all, text);
  }
  return all;
}

/* From the left end (crosscut) or the lower edge (rip) of the piece that is cut to the
 * near side of the kerf. */
static length_t kerf_position(const struct cut *cut) {
  if (cut->resaw) return cut->keep;
  return cut->rip ? cut->y - cut->piece_y : cut->x - cut->piece_x;
}

static void add_row(struct table *table, const struct project *project,
                    const struct view_stock *entry, const struct view_cut *named) {
  const struct cut *cut = named->cut;
  table_whole(table, cut->step);
  table_text(table, entry->stock->name);
  table_whole(table, entry->copy);
  table_text(table, named->of);
  table_length(table, cut->piece_length, ROUND_NEAREST);
  table_length(table, cut->piece_width, ROUND_NEAREST);
  table_text(table, cut_kind_text(cut));
  table_text(table, cut_saw_text(cut));
  table_whole(table, cut->fence_setting);
  table_length(table, cut->keep, ROUND_UP);
  table_text(table, cut_keep_side_text(cut));
  table_length(table, kerf_position(cut), ROUND_NEAREST);
  table_text(table, cut->resaw ? "face on the fence" : cut->rip ? "lower edge" : "left end");
  table_length(table, cut->span, ROUND_NEAREST);
  table_text(table, cut->trim ? "yes" : "no");
  table_text(table, named->kept);
  table_text(table, named->rest);
  table_text(table, cautions_text(table->arena, project, cut));
  table_end_row(table);
}

void write_cuts_csv(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  struct table *table = table_create(
      buffer_create(arena), view->unit,
      "step,stock,copy,of,piece_length,piece_width,kind,saw,fence_setting,keep,keep_side,kerf_at,"
      "kerf_from,span,trim,kept,rest,cautions");
  size_t count = view->plan->cut_count;
  const struct view_stock **owners = ARENA_ARRAY(arena, count, const struct view_stock *);
  const struct view_cut **cuts = cuts_by_step(arena, view, owners);
  for (size_t i = 0; i < count; i++) add_row(table, view->project, owners[i], cuts[i]);
  table_finish(table, buffer, view->project->name,
               "saw cuts in order; keep: between fence or stop and the near side of the kerf; "
               "kerf_at: from that end or edge of the piece that is cut",
               "keep up, all others to the nearest");
}
