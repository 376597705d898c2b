#include "hold/height.h"

/* From the lowest to the highest of what has been taken in. */
struct extent {
  length_t low_x, low_y, high_x, high_y;
};

static void take_in(struct extent *extent, length_t x, length_t y, length_t length,
                    length_t width) {
  extent->low_x = smaller(extent->low_x, x);
  extent->low_y = smaller(extent->low_y, y);
  extent->high_x = larger(extent->high_x, x + length);
  extent->high_y = larger(extent->high_y, y + width);
}

struct bed_room height_bed(const struct shop *shop, length_t load_length, length_t load_width,
                           const struct held_part *parts, size_t part_count,
                           const struct held_clamp *clamps, size_t clamp_count, length_t centre) {
  struct extent all = {0, 0, load_length, load_width};
  for (size_t i = 0; i < clamp_count; i++)
    take_in(&all, clamps[i].x, clamps[i].y, clamps[i].length, clamps[i].width);
  struct bed_room room = {.length = all.high_x - all.low_x, .width = all.high_y - all.low_y};
  if (part_count > 0) {
    struct extent cut = {parts[0].x, parts[0].y, parts[0].x, parts[0].y};
    for (size_t i = 0; i < part_count; i++)
      take_in(&cut, parts[i].x, parts[i].y, parts[i].length, parts[i].width);
    room.travel_x = cut.high_x - cut.low_x + 2 * centre;
    room.travel_y = cut.high_y - cut.low_y + 2 * centre;
  }
  length_t over_bed = larger(room.length - shop->bed_length, room.width - shop->bed_width);
  length_t over_travel = larger(room.travel_x - shop->travel_x, room.travel_y - shop->travel_y);
  room.missing = larger(0, larger(over_bed, over_travel));
  room.straight = room.missing == 0;
  room.turned = room.length <= shop->bed_width && room.width <= shop->bed_length &&
                room.travel_x <= shop->travel_y && room.travel_y <= shop->travel_x;
  return room;
}

length_t height_centre(const struct reach *reach) {
  length_t centre = reach->default_cutter ? (reach->cutter_diameter + 1) / 2 : 0;
  for (size_t i = 0; i < reach->cutter_count; i++)
    centre = larger(centre, reach->cutters[i].centre);
  return centre;
}
