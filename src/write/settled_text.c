#include <inttypes.h>

#include "write/safe_text.h"
#include "write/settled_files.h"
#include "write/view.h"

static const char *count_text(struct arena *arena, int64_t count, const char *one) {
  return arena_format(arena, "%" PRId64 " %s%s", count, one, count == 1 ? "" : "s");
}

static void add_used(struct buffer *text, const struct used_stock *used) {
  buffer_format(text, "  %s: %s\n", safe_line(text->arena, used->name),
                count_text(text->arena, (int64_t)used->count, "piece"));
}

static void add_piece(struct buffer *text, enum unit unit, const struct stock *piece) {
  struct arena *arena = text->arena;
  buffer_format(text, "  %s: ", safe_line(arena, piece->name));
  if (piece->count > 1) buffer_format(text, "%" PRId64 " of ", piece->count);
  buffer_format(text, "%s, %s thick, %s, worth %s%s, %s",
                view_size(arena, unit, piece->length, piece->width, "x", ROUND_DOWN, NULL),
                length_text_unit(arena, piece->thickness, unit, ROUND_DOWN),
                safe_line(arena, piece->wood), cents_text(arena, piece->value),
                piece->count > 1 ? " each" : "", safe_line(arena, piece->note));
  if (piece->flaw_count > 0)
    buffer_format(text, ", %s", count_text(arena, (int64_t)piece->flaw_count, "flaw"));
  buffer_add(text, "\n");
}

void write_settled_text(struct buffer *text, const struct project *project,
                        const struct left_over *left, const struct settled *settled) {
  struct arena *arena = text->arena;
  buffer_format(text, "%s: %s settled\n", safe_line(arena, project->name),
                count_text(arena, left->sets, "set"));
  if (!settled->changed) {
    buffer_add(text,
               "nothing of the rack was used and nothing is left for it: it stays as it is\n");
    return;
  }
  if (left->used_count > 0)
    buffer_format(text, "\nLeft the rack, worth %s\n", cents_text(arena, settled->value_left));
  for (size_t i = 0; i < left->used_count; i++) add_used(text, &left->used[i]);
  if (settled->piece_count > 0)
    buffer_format(text, "\nJoined the rack, worth %s\n", cents_text(arena, settled->value_joined));
  for (size_t i = 0; i < settled->piece_count; i++)
    add_piece(text, shop_unit(&project->shop), &settled->pieces[i]);
}
