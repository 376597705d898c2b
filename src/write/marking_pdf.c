/* Templates of loads at true scale: how they are spread over sheets and joined again. */
#include "write/marking.h"
#include "write/safe_text.h"
#include "write/writers.h"

/* ---- sheets ---- */

static int64_t sheets_along(length_t extent, length_t window, length_t step) {
  return extent <= window ? 1 : 1 + (extent - window + step - 1) / step;
}

static struct marking_tiles spread(struct pdf_paper paper, length_t length, length_t width) {
  struct marking_tiles tiles = {.paper = paper, .length = length, .width = width};
  tiles.window_length = paper.width - 2 * paper.margin;
  tiles.window_width = paper.height - 2 * paper.margin - MARKING_FOOT;
  tiles.step_length = tiles.window_length - paper.overlap;
  tiles.step_width = tiles.window_width - paper.overlap;
  tiles.columns = sheets_along(length, tiles.window_length, tiles.step_length);
  tiles.rows = sheets_along(width, tiles.window_width, tiles.step_width);
  return tiles;
}

struct marking_tiles marking_tiles_of(struct pdf_paper paper, length_t length, length_t width) {
  struct pdf_paper turned = {paper.height, paper.width, paper.margin, paper.overlap};
  struct marking_tiles upright = spread(paper, length, width);
  struct marking_tiles broad = spread(turned, length, width);
  return broad.columns * broad.rows < upright.columns * upright.rows ? broad : upright;
}

const char *marking_name(struct arena *arena, int64_t row, int64_t column) {
  return arena_format(arena, "%s%lld", number_letters(arena, (size_t)row, 'A'),
                      (long long)column + 1);
}

/* ---- pages ---- */

static length_t seen(length_t extent, length_t from, length_t window) {
  return extent - from < window ? extent - from : window;
}

static void draw_sheet(struct marking *marking) {
  const struct marking_tiles *tiles = &marking->tiles;
  length_t from_x = marking->column * tiles->step_length;
  length_t from_y = marking->row * tiles->step_width;
  marking->seen_x = marking->seen_y = tiles->paper.margin;
  marking->left = tiles->paper.margin - from_x;
  marking->top = tiles->paper.margin - from_y;
  marking->seen_length = seen(tiles->length, from_x, tiles->window_length);
  marking->seen_width = seen(tiles->width, from_y, tiles->window_width);
  pdf_start_page(marking->pdf, tiles->paper.width, tiles->paper.height);
  pdf_start_clip(marking->pdf, marking->seen_x, marking->seen_y, marking->seen_length,
                 marking->seen_width);
  if (marking->held != NULL)
    marking_draw_load(marking);
  else
    marking_draw_part(marking);
  marking_draw_joints(marking);
  pdf_end_clip(marking->pdf);
  marking_draw_foot(marking);
}

static void draw_template(struct marking *marking) {
  marking->tiles =
      marking_tiles_of(pdf_paper_of(&marking->view->project->shop),
                       marking->length + 2 * MARKING_BORDER, marking->width + 2 * MARKING_BORDER);
  for (marking->row = 0; marking->row < marking->tiles.rows; marking->row++)
    for (marking->column = 0; marking->column < marking->tiles.columns; marking->column++) {
      struct arena_mark mark = arena_mark(marking->arena);
      draw_sheet(marking);
      arena_release(marking->arena, mark);
    }
}

static void draw_load(struct arena *arena, struct pdf *pdf, const struct view *view, size_t index) {
  const struct view_load *held = &view->loads[index];
  struct marking marking = {.arena = arena,
                            .pdf = pdf,
                            .view = view,
                            .held = held,
                            .length = held->load->length,
                            .width = held->load->width,
                            .title = view_load_title(arena, view, index),
                            .wood = held->stock->wood,
                            .grain = held->load->across ? MARKING_ACROSS : MARKING_ALONG};
  draw_template(&marking);
}

/* ---- parts by themselves ---- */

static bool drilled_by_hand(const struct step_list *list) {
  for (size_t s = 0; s < list->count; s++)
    if (list->steps[s]->hole_count > 0 && list->steps[s]->place != PLACE_BED) return true;
  return false;
}

static bool has_holes(const struct step_list *list) {
  for (size_t s = 0; s < list->count; s++)
    if (list->steps[s]->hole_count > 0) return true;
  return false;
}

/* Parts with holes that are on no load, or are drilled at the drill press: one flag per part. */
static bool *parts_to_prick(struct arena *arena, const struct view *view) {
  size_t count = view->project->part_count;
  bool *chosen = ARENA_ARRAY(arena, count, bool), *loaded = ARENA_ARRAY(arena, count, bool);
  for (size_t i = 0; i < view->load_count; i++)
    for (size_t m = 0; m < view->loads[i].made_count; m++)
      loaded[view->loads[i].made[m].held->part] = true;
  for (size_t p = 0; p < count; p++) {
    bool wanted = view->plan->needed == NULL || view->plan->needed[p] > 0;
    chosen[p] =
        wanted && has_holes(&view->steps[p]) && (!loaded[p] || drilled_by_hand(&view->steps[p]));
  }
  return chosen;
}

static void draw_part(struct arena *arena, struct pdf *pdf, const struct view *view, size_t index) {
  const struct part *part = &view->project->parts[index];
  const struct held_part held = {.part = index, .length = part->length, .width = part->width};
  struct marking marking = {.arena = arena,
                            .pdf = pdf,
                            .view = view,
                            .part = &held,
                            .length = part->length,
                            .width = part->width,
                            .title = arena_format(arena, "%s, finished", part->name),
                            .wood = part->wood_count == 1 ? part->woods[0] : "",
                            .grain = part->grain == GRAIN_ALONG    ? MARKING_ALONG
                                     : part->grain == GRAIN_ACROSS ? MARKING_ACROSS
                                                                   : MARKING_ANY};
  draw_template(&marking);
}

void write_marking_pdf(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  const bool *chosen = parts_to_prick(arena, view);
  bool any = view->load_count > 0;
  for (size_t p = 0; p < view->project->part_count; p++) any = any || chosen[p];
  if (!any) return;
  struct pdf *pdf =
      pdf_open(arena, arena_format(arena, "%s: templates at true scale", view->project->name));
  for (size_t i = 0; i < view->load_count; i++)
    if (view->loads[i].like == i) draw_load(arena, pdf, view, i);
  for (size_t p = 0; p < view->project->part_count; p++)
    if (chosen[p]) draw_part(arena, pdf, view, p);
  pdf_close(pdf, buffer);
}
