#include "size/leaves.h"

#include "base/text.h"
#include "size/choice.h"
#include "size/fit.h"

/* Thicknesses are told to so much. */
static length_t thickness_step(const struct shop *shop) {
  return shop_unit(shop) == UNIT_INCH ? LENGTH_PER_INCH / 32 : LENGTH_PER_MM / 10;
}

bool leaves_of(const struct shop *shop, length_t raw, length_t least, length_t most, length_t step,
               struct leaves *leaves) {
  length_t between = shop->resaw_kerf + 2 * shop->resaw_clean;
  if (least <= 0 || most < least) return false;
  leaves->count = (raw + between) / (least + between);
  if (leaves->count < 2) return false;
  length_t even = (raw - (leaves->count - 1) * between) / leaves->count;
  if (even > most) even = most;
  leaves->thickness = even / step * step < least ? least : even / step * step;
  length_t rest = raw - leaves->count * leaves->thickness - (leaves->count - 1) * between;
  leaves->cuts = leaves->count - (rest < shop->resaw_kerf + shop->resaw_clean ? 1 : 0);
  return true;
}

struct leaf_builder {
  struct arena *arena;
  const struct project *project;
  struct stock *stocks;
  size_t count, room;
};

static bool is_known(const struct leaf_builder *builder, size_t plank, length_t thickness) {
  for (size_t s = builder->project->stock_count; s < builder->count; s++)
    if (builder->stocks[s].leaf_of == plank && builder->stocks[s].thickness == thickness)
      return true;
  return false;
}

static bool is_name(const struct leaf_builder *builder, const char *name) {
  for (size_t s = 0; s < builder->count; s++)
    if (text_equal_fold(builder->stocks[s].name, name)) return true;
  return false;
}

static const char *leaf_name(const struct leaf_builder *builder, const struct stock *plank,
                             length_t thickness) {
  enum unit unit = shop_unit(&builder->project->shop);
  const char *plain =
      arena_format(builder->arena, "%s leaf %s", plank->name,
                   length_text(builder->arena, thickness, unit, ROUND_NEAREST, NULL));
  const char *name = plain;
  for (int n = 2; is_name(builder, name); n++)
    name = arena_format(builder->arena, "%s (%d)", plain, n);
  return name;
}

static void add_flaw(const struct leaf_builder *builder, const struct stock *plank,
                     const struct flaw *flaw, int64_t copy, struct stock *leaf) {
  struct flaw *moved = ARENA_PUSH(builder->arena, leaf->flaws, leaf->flaw_count, leaf->flaw_room);
  *moved = *flaw;
  moved->copy = copy;
  moved->x -= plank->trim_ends;
  moved->y -= plank->trim_edges;
}

/* A flaw goes through all leaves of its plank. */
static void add_flaws(const struct leaf_builder *builder, const struct stock *plank,
                      struct stock *leaf) {
  for (size_t f = 0; f < plank->flaw_count; f++) {
    const struct flaw *flaw = &plank->flaws[f];
    if (flaw->copy == 0) add_flaw(builder, plank, flaw, 0, leaf);
    for (int64_t n = 1; flaw->copy > 0 && n <= leaf->leaves; n++)
      add_flaw(builder, plank, flaw, (flaw->copy - 1) * leaf->leaves + n, leaf);
  }
}

static void add_leaf(struct leaf_builder *builder, size_t plank, const struct leaves *leaves) {
  const struct stock *from = &builder->project->stocks[plank];
  struct stock leaf = {.name = leaf_name(builder, from, leaves->thickness),
                       .kind = STOCK_PLANK,
                       .source = from->source,
                       .wood = from->wood,
                       .length = stock_room_length(from),
                       .width = stock_room_width(from),
                       .thickness = leaves->thickness,
                       .count = from->count < 0 ? -1 : from->count * leaves->count,
                       .per = PER_EACH,
                       .pack = 1,
                       .surface = SURFACE_PLANED,
                       .face_grain = from->face_grain,
                       .leaves = leaves->count,
                       .leaf_of = plank,
                       .resaw_cuts = leaves->cuts,
                       .place = from->place};
  add_flaws(builder, from, &leaf);
  *ARENA_PUSH(builder->arena, builder->stocks, builder->count, builder->room) = leaf;
}

/* Stock that is thin enough as it is, is not split. */
static void add_leaves_for(struct leaf_builder *builder, size_t plank, const struct part *part) {
  const struct shop *shop = &builder->project->shop;
  const struct stock *from = &builder->project->stocks[plank];
  struct thickness_window window = choice_window(shop, part);
  struct leaves leaves;
  if (!part_takes_wood(part, from->wood) || from->thickness <= window.thickest) return;
  bool faced = part->faced != FACED_NONE;
  length_t least = faced ? window.thinnest : part->thickness;
  length_t most = faced ? window.thickest : part->thickness;
  if (!leaves_of(shop, from->thickness, least, most, thickness_step(shop), &leaves)) return;
  if (!is_known(builder, plank, leaves.thickness)) add_leaf(builder, plank, &leaves);
}

static bool can_be_resawn(const struct shop *shop, const struct stock *stock) {
  length_t width = stock_room_width(stock);
  return stock->kind == STOCK_PLANK && stock->thickness <= shop->blade_height && width > 0 &&
         width <= shop->resaw_max_height && stock_room_length(stock) > 0;
}

const struct project *leaves_add(struct arena *arena, const struct project *project) {
  if (project->shop.resaw == 0) return project;
  struct leaf_builder builder = {.arena = arena, .project = project};
  for (size_t s = 0; s < project->stock_count; s++)
    *ARENA_PUSH(arena, builder.stocks, builder.count, builder.room) = project->stocks[s];
  for (size_t s = 0; s < project->stock_count; s++) {
    if (!can_be_resawn(&project->shop, &project->stocks[s])) continue;
    for (size_t p = 0; p < project->part_count; p++)
      add_leaves_for(&builder, s, &project->parts[p]);
  }
  if (builder.count == project->stock_count) return project;
  struct project *extended = ARENA_NEW(arena, struct project);
  *extended = *project;
  extended->stocks = builder.stocks;
  extended->stock_count = builder.count;
  extended->stock_room = builder.room;
  return extended;
}
