#include "size/fit.h"

/* Which ways the grain allows, whatever the size. */
static void grain_allows(const struct part *part, const struct stock *stock, bool *straight,
                         bool *turned) {
  bool sheet = stock->kind == STOCK_SHEET;
  bool no_grain = sheet && stock->face_grain == FACE_GRAIN_NONE;
  bool along_width = sheet && stock->face_grain == FACE_GRAIN_WIDTH;
  bool either = no_grain || part->grain == GRAIN_ANY;
  bool across = (part->grain == GRAIN_ACROSS) != along_width;
  *straight = either || !across;
  *turned = either || across;
}

static length_t excess(length_t size, length_t limit) { return size > limit ? size - limit : 0; }

struct fit fit_in_stock(const struct part *part, const struct stock *stock, length_t length,
                        length_t width) {
  length_t room_length = stock_room_length(stock);
  length_t room_width = stock_room_width(stock);
  struct fit fit = {.too_long = LENGTH_MAX, .too_wide = LENGTH_MAX};
  bool allowed[2];
  grain_allows(part, stock, &allowed[0], &allowed[1]);
  if (allowed[0] && length == width) allowed[1] = false;
  bool fits[2] = {false, false};
  for (int way = 0; way < 2; way++) {
    if (!allowed[way]) continue;
    length_t over_length = excess(way == 0 ? length : width, room_length);
    length_t over_width = excess(way == 0 ? width : length, room_width);
    fits[way] = over_length == 0 && over_width == 0;
    if (over_length + over_width < fit.too_long + fit.too_wide) {
      fit.too_long = over_length;
      fit.too_wide = over_width;
    }
  }
  fit.straight = fits[0];
  fit.turned = fits[1];
  return fit;
}

bool fit_either_way(length_t length, length_t width, length_t room_length, length_t room_width) {
  return (length <= room_length && width <= room_width) ||
         (width <= room_length && length <= room_width);
}
