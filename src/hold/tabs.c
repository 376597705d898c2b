#include "hold/tabs.h"

#include "hold/tabs_round.h"
#include "hold/tabs_side.h"
#include "model/machining.h"

int64_t tabs_wanted(const struct shop *shop, const struct part *part) {
  if (part->tabs >= 0) return part->tabs;
  length_t outline = machining_outline(part);
  int64_t count = shop->tab_spacing > 0 ? (outline + shop->tab_spacing - 1) / shop->tab_spacing : 0;
  return count < 2 ? 2 : count;
}

length_t tabs_height(const struct shop *shop, length_t thickness) {
  length_t height = shop->tab_height;
  if (height > thickness / 2) height = thickness / 2;
  if (height < (thickness + 3) / 4) height = (thickness + 3) / 4;
  if (height < TAB_HEIGHT_LEAST) height = TAB_HEIGHT_LEAST;
  return height < thickness ? height : thickness;
}

length_t tabs_pitch(const struct shop *shop, length_t cutter_diameter) {
  length_t pitch = 2 * shop->tab_width + cutter_diameter;
  return pitch > 0 ? pitch : 1;
}

/* Two opposite sides: the room there is, and how many tabs each is to have. */
struct pair {
  int64_t room[2], count[2];
};

/* Spreads up to `wanted` more over the pair, as even as its room allows; returns what is left. */
static int64_t spread(struct pair *pair, int64_t wanted) {
  while (wanted > 0) {
    bool open[2] = {pair->count[0] < pair->room[0], pair->count[1] < pair->room[1]};
    if (!open[0] && !open[1]) return wanted;
    int chosen = !open[0] || (open[1] && pair->count[1] < pair->count[0]) ? 1 : 0;
    pair->count[chosen]++;
    wanted--;
  }
  return 0;
}

static bool both_open(const struct pair *pair) { return pair->room[0] > 0 && pair->room[1] > 0; }

/* The sides with the grain first; but one on each of two opposite sides before all else. */
static void share_out(struct pair *with_grain, struct pair *across, int64_t wanted) {
  if (wanted >= 2 && !both_open(with_grain) && both_open(across))
    wanted = spread(across, 2) + wanted - 2;
  wanted = spread(with_grain, wanted);
  (void)spread(across, wanted);
}

/* Sides along x have the grain: where there is none, the longer ones do as well. */
static bool grain_along_x(const struct tab_work *work, const struct held_part *part) {
  if (work->grain == LOAD_GRAIN_NONE) return part->length >= part->width;
  return work->grain == LOAD_GRAIN_X;
}

static struct tab tab_on(const struct held_part *part, enum bed_side side, length_t middle) {
  struct tab tab = {.x = middle, .y = middle, .side = side};
  if (side == BED_LEFT) tab.x = part->x;
  if (side == BED_RIGHT) tab.x = part->x + part->length;
  if (side == BED_FRONT) tab.y = part->y;
  if (side == BED_BACK) tab.y = part->y + part->width;
  return tab;
}

static void place_on_rectangle(struct arena *arena, const struct tab_work *work, size_t index,
                               struct held_part *part, struct tab_result *result) {
  static const enum bed_side level[2] = {BED_FRONT, BED_BACK}, upright[2] = {BED_LEFT, BED_RIGHT};
  bool along_x = grain_along_x(work, &work->parts[index]);
  const enum bed_side *sides[2] = {along_x ? level : upright, along_x ? upright : level};
  length_t pitch = tabs_pitch(&work->project->shop, work->cutter_diameter);
  struct tab_side found[2][2];
  struct pair pairs[2] = {{{0}, {0}}, {{0}, {0}}};
  int64_t room = 0;
  for (int p = 0; p < 2; p++) {
    for (int s = 0; s < 2; s++) {
      found[p][s] = tabs_side(arena, work, index, sides[p][s]);
      pairs[p].room[s] = tabs_side_room(&found[p][s], pitch, result->wanted);
      room += pairs[p].room[s];
    }
  }
  result->made = smaller(room, result->wanted);
  share_out(&pairs[0], &pairs[1], result->made);
  struct tab *tabs = ARENA_ARRAY(arena, result->made, struct tab);
  length_t *middles = ARENA_ARRAY(arena, result->made, length_t);
  size_t used = 0;
  result->opposite = result->wanted < 2;
  for (int p = 0; p < 2; p++) {
    for (int s = 0; s < 2; s++) {
      tabs_side_spread(arena, &found[p][s], pitch, pairs[p].count[s], middles);
      for (int64_t i = 0; i < pairs[p].count[s]; i++)
        tabs[used++] = tab_on(&work->parts[index], sides[p][s], middles[i]);
    }
    if (pairs[p].count[0] > 0 && pairs[p].count[1] > 0) result->opposite = true;
  }
  part->tabs = tabs;
  part->tab_count = used;
}

struct tab_result tabs_place(struct arena *arena, const struct tab_work *work, size_t index,
                             struct held_part *part) {
  const struct shop *shop = &work->project->shop;
  const struct part *made = &work->project->parts[work->parts[index].part];
  struct tab_result result = {.wanted = tabs_wanted(shop, made),
                              .width = shop->tab_width,
                              .height = tabs_height(shop, made->thickness)};
  part->tabs = NULL;
  part->tab_count = 0;
  result.opposite = result.wanted < 2;
  if (result.wanted == 0) return result;
  if (made->shape == SHAPE_ROUND) {
    tabs_round(arena, work, index, part, &result);
  } else {
    place_on_rectangle(arena, work, index, part, &result);
  }
  return result;
}
