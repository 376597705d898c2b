#include "write/load_holes.h"

size_t load_holes(struct arena *arena, const struct view *view, const struct held_part *part,
                  struct load_hole **holes) {
  const struct step_list *list = &view->steps[part->part];
  size_t count = 0, room = 0;
  *holes = NULL;
  for (size_t s = 0; s < list->count; s++) {
    const struct step *step = list->steps[s];
    for (size_t i = 0; i < step->hole_count; i++)
      *ARENA_PUSH(arena, *holes, count, room) = (struct load_hole){
          held_hole(part, step->holes[i]), view->project->cutters[step->cutter].diameter,
          step->side == SIDE_UNDER};
  }
  return count;
}

/* ---- type between holes ---- */

#define CLEAR MM(1) /* from type to a hole's edge */

enum { TRIES = 100 }; /* places looked at above and below, at most */

static bool is_clear(const struct view_place *box, const struct load_hole *holes, size_t count) {
  for (size_t i = 0; i < count; i++) {
    length_t around = holes[i].diameter / 2 + CLEAR;
    if (holes[i].middle.x > box->x - around && holes[i].middle.x < box->x + box->length + around &&
        holes[i].middle.y > box->y - around && holes[i].middle.y < box->y + box->width + around)
      return false;
  }
  return true;
}

bool load_clear_of_holes(const struct view_place *room, const struct load_hole *holes, size_t count,
                         length_t length, length_t width, length_t wanted, length_t *below) {
  struct view_place box = {room->x + (room->length - length) / 2, 0, length, width};
  length_t middle = room->y + room->width / 2;
  length_t pitch = room->width / TRIES > MM(1) / 2 ? room->width / TRIES : MM(1) / 2;
  for (length_t away = 0; away <= room->width; away += pitch)
    for (int sign = 1; sign >= -1; sign -= 2) {
      *below = wanted + sign * away;
      box.y = middle - *below - width / 2;
      bool within = box.y >= room->y && box.y + width <= room->y + room->width;
      if (within && is_clear(&box, holes, count)) return true;
    }
  return false;
}
