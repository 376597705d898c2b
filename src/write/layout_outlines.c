/* Type and the outlines of finished parts: labels go where they run into none. */
#include "write/drawing.h"

enum { GRID = 7 /* places tried on each side of the middle, both ways */ };

struct outlines outlines_of(const struct drawing *drawing, const struct view_piece *piece) {
  const struct view *view = drawing->view;
  const struct view_load *load = piece->role == ROLE_LOAD ? &view->loads[piece->load] : NULL;
  struct outlines outlines = {.count = load != NULL ? load->made_count : view_has_finished(piece)};
  outlines.items = ARENA_ARRAY(drawing->arena, outlines.count, struct outline);
  for (size_t i = 0; i < outlines.count; i++) {
    struct view_place place =
        load == NULL ? piece->finished : view_made_place(view, piece, &load->made[i]);
    size_t part = load == NULL ? piece->part : load->made[i].held->part;
    outlines.items[i] = (struct outline){
        {paper_x(drawing, place.x), paper_top(drawing, &place), place.length, place.width},
        view->project->parts[part].shape == SHAPE_ROUND};
  }
  return outlines;
}

/* Whether the outline of a disc runs through a box: its nearest point lies within, its furthest
 * not. */
static bool disc_runs_through(const struct box *disc, const struct box *box, length_t margin) {
  length_t x = disc->x + disc->width / 2, y = disc->y + disc->height / 2;
  length_t left = x - box->x, right = box->x + box->width - x;
  length_t above = y - box->y, below = box->y + box->height - y;
  length_t near_x = larger(0, larger(-left, -right)), near_y = larger(0, larger(-above, -below));
  length_t far_x = larger(left, right), far_y = larger(above, below);
  length_t inner = disc->width / 2 - margin, outer = disc->width / 2 + margin;
  bool within = inner > 0 && far_x * far_x + far_y * far_y <= inner * inner;
  return !within && near_x * near_x + near_y * near_y < outer * outer;
}

static bool rectangle_runs_through(const struct box *outline, const struct box *box,
                                   length_t margin) {
  length_t right = outline->x + outline->width, low = outline->y + outline->height;
  bool apart = box->x >= right + margin || box->x + box->width <= outline->x - margin ||
               box->y >= low + margin || box->y + box->height <= outline->y - margin;
  bool within = box->x >= outline->x + margin && box->x + box->width <= right - margin &&
                box->y >= outline->y + margin && box->y + box->height <= low - margin;
  return !apart && !within;
}

bool outlines_run_through(const struct outlines *outlines, const struct box *box, length_t margin) {
  for (size_t i = 0; i < outlines->count; i++) {
    const struct outline *outline = &outlines->items[i];
    if (outline->round ? disc_runs_through(&outline->box, box, margin)
                       : rectangle_runs_through(&outline->box, box, margin))
      return true;
  }
  return false;
}

/* The place nearest to the middle of the piece where the label runs into nothing. */
static bool find_place(const struct drawing *drawing, const struct view_place *place,
                       const struct outlines *outlines, struct label *label) {
  struct label tried = *label;
  length_t margin = tenths(label->size, 1), nearest = -1;
  tried.x = paper_x(drawing, place->x) + place->length / 2;
  tried.y = paper_top(drawing, place) + place->width / 2;
  struct box middle = label_box(&tried);
  length_t room_x = (place->length - middle.width) / 2 - 2 * margin;
  length_t room_y = (place->width - middle.height) / 2 - 2 * margin;
  if (room_x < 0 || room_y < 0) return false;
  for (int64_t i = -GRID; i <= GRID; i++)
    for (int64_t j = -GRID; j <= GRID; j++) {
      length_t x = room_x * i / GRID, y = room_y * j / GRID, away = x * x + y * y;
      struct box box = {middle.x + x, middle.y + y, middle.width, middle.height};
      if ((nearest >= 0 && away >= nearest) || outlines_run_through(outlines, &box, margin))
        continue;
      nearest = away;
      label->shift_x = x;
      label->shift_y = y;
    }
  return nearest >= 0;
}

/* As large as it was chosen, in one line or two, or smaller; where nothing is clear it stays in
 * the middle, as it was. */
void outlines_avoid(const struct drawing *drawing, const struct view_piece *piece,
                    struct label *label) {
  static const int64_t sizes[] = {10, 9, 8, 7, 6};
  if (label->form == LABEL_LEADER) return;
  struct outlines outlines = outlines_of(drawing, piece);
  if (outlines.count == 0) return;
  if (find_place(drawing, &piece->place, &outlines, label)) return;
  bool words = !label->turned && (label->form == LABEL_TWO_LINES || label->form == LABEL_ONE_LINE);
  for (size_t i = 0; words && i < sizeof sizes / sizeof *sizes; i++)
    for (int lines = 2; lines >= 1; lines--) {
      struct label other = *label;
      other.size = tenths(drawing->type, sizes[i]);
      other.form = lines == 2 ? LABEL_TWO_LINES : LABEL_ONE_LINE;
      if (other.size > label->size || !find_place(drawing, &piece->place, &outlines, &other))
        continue;
      *label = other;
      return;
    }
  label->overprints = true;
}
