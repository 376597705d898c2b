#include "hold/bed.h"

#include <string.h>

#include "hold/clamp_refusal.h"
#include "hold/height.h"

void bed_open(struct arena *arena, const struct project *project, struct bed *bed) {
  *bed = (struct bed){.arena = arena,
                      .scratch = arena_create_child(arena),
                      .project = project,
                      .works = part_works(arena, project)};
  clamp_set_of(project, &bed->clamps);
}

static void set_choices(const struct bed *bed, const struct bed_load *load,
                        struct clamp_problem *problem) {
  struct clamp_choice *choices = ARENA_ARRAY(bed->arena, bed->clamps.count, struct clamp_choice);
  for (size_t c = 0; c < bed->clamps.count; c++) {
    const struct clamp *clamp = &bed->clamps.items[c];
    if (!clamp_takes(&bed->project->shop, clamp, load->thickness)) continue;
    length_t keep_out = load_keep_out(bed->project, bed->works, load->parts, load->part_count,
                                      load->thickness, load->work.reach, clamp);
    choices[problem->choice_count++] =
        (struct clamp_choice){.kind = clamp->kind,
                              .width = clamp->width,
                              .over = clamp->kind == CLAMP_SIDE ? 0 : clamp->over,
                              .beside = clamp->beside,
                              .keep_out = keep_out,
                              .count = clamp->count,
                              .force = clamp->force,
                              .clamp = c};
  }
  problem->choices = choices;
}

static void set_sides(const struct shop *shop, const struct bed_load *load,
                      struct clamp_problem *problem) {
  bool ends = load->hold == HOLD_ENDS || load->hold == HOLD_ALL;
  bool sides = load->hold == HOLD_SIDES || load->hold == HOLD_ALL;
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++) {
    bool is_end = (side == BED_LEFT || side == BED_RIGHT) != load->across;
    problem->held[side] = is_end ? ends : sides;
    problem->stop[side] = bed_has_stop(shop, side);
  }
}

enum { SPAN_IN_THICKNESSES = 15 };

struct clamp_problem bed_problem(const struct bed *bed, const struct bed_load *load) {
  const struct shop *shop = &bed->project->shop;
  length_t thin = SPAN_IN_THICKNESSES * load->thickness;
  length_t span = smaller(thin, shop->clamp_span);
  struct clamp_problem problem = {
      .length = load->across ? load->width : load->length,
      .width = load->across ? load->length : load->width,
      .bed_length = shop->bed_length,
      .bed_width = shop->bed_width,
      .reach = load->work.reach,
      .span = span,
      .end = shop->clamp_end < span ? shop->clamp_end : span,
      .pitch = shop->bed_pitch,
      .mark = shop->mark_step,
      .friction = shop->friction,
      .force = load->work.force,
  };
  set_choices(bed, load, &problem);
  set_sides(shop, load, &problem);
  return problem;
}

struct load *bed_keep(struct arena *arena, const struct project *project,
                      const struct bed_load *bed_load, size_t part_count,
                      const struct held_clamp *clamps, size_t clamp_count) {
  const struct shop *shop = &project->shop;
  bool across = bed_load->across;
  struct load *load = ARENA_NEW(arena, struct load);
  *load = (struct load){.length = across ? bed_load->width : bed_load->length,
                        .width = across ? bed_load->length : bed_load->width,
                        .thickness = bed_load->thickness,
                        .across = across,
                        .hold = bed_load->hold,
                        .cutter_diameter = bed_load->work.cutter_diameter,
                        .rim = shop->rim,
                        .part_gap = bed_gap(shop, &bed_load->work),
                        .reach = bed_load->work.reach,
                        .parts = ARENA_ARRAY(arena, part_count, struct held_part),
                        .part_count = part_count,
                        .clamps = ARENA_ARRAY(arena, clamp_count, struct held_clamp),
                        .clamp_count = clamp_count,
                        .clamped = clamp_count > 0,
                        .clampings = bed_load->work.clampings,
                        .handling = bed_load->work.handling};
  if (clamp_count > 0) memcpy(load->clamps, clamps, clamp_count * sizeof *clamps);
  return load;
}

struct held_part bed_in_the_middle(const struct bed *bed, const struct bed_load *load,
                                   const struct clamp_problem *problem) {
  const struct part *part = &bed->project->parts[load->parts[0]];
  struct held_part held = {.part = load->parts[0], .turned = load->across};
  held.length = load->across ? part->width : part->length;
  held.width = load->across ? part->length : part->width;
  held.x = (problem->length - held.length) / 2;
  held.y = (problem->width - held.width) / 2;
  return held;
}

bool bed_takes(const struct bed *bed, const struct bed_load *load,
               const struct clamp_problem *problem, const struct held_part *held) {
  const struct shop *shop = &bed->project->shop;
  length_t beyond = 2 * load->work.centre;
  return problem->length <= shop->bed_length && problem->width <= shop->bed_width &&
         held->length + beyond <= shop->travel_x && held->width + beyond <= shop->travel_y;
}

const char *bed_why_not(const struct bed *bed, const struct bed_load *load) {
  const struct shop *shop = &bed->project->shop;
  enum unit unit = shop_unit(shop);
  struct clamp_problem problem = bed_problem(bed, load);
  struct held_part held = bed_in_the_middle(bed, load, &problem);
  if (!bed_takes(bed, load, &problem, &held))
    return arena_format(
        bed->arena,
        "it is larger than the bed (%s by %s) or the travel (%s by %s) allows, make "
        "it smaller, or cut it in another way than on the router",
        length_text_unit(bed->arena, shop->bed_length, unit, ROUND_NEAREST),
        length_text_unit(bed->arena, shop->bed_width, unit, ROUND_NEAREST),
        length_text_unit(bed->arena, shop->travel_x, unit, ROUND_NEAREST),
        length_text_unit(bed->arena, shop->travel_y, unit, ROUND_NEAREST));
  struct clamp_obstacle obstacle = {held.x, held.y, held.length, held.width,
                                    bed->project->parts[held.part].shape == SHAPE_ROUND};
  problem.obstacles = &obstacle;
  problem.obstacle_count = 1;
  struct clamp_refusal refusal;
  clamps_refuse(bed->arena, &problem, &refusal);
  const char **names = ARENA_ARRAY(bed->arena, bed->clamps.count, const char *);
  for (size_t c = 0; c < bed->clamps.count; c++) names[c] = bed->clamps.items[c].name;
  return clamp_refusal_text(bed->arena, &refusal, names, unit);
}

length_t bed_edge(const struct shop *shop, const struct load_work *work) {
  length_t edge = work->cutter_diameter + shop->rim;
  return (edge > work->reach ? edge : work->reach) + shop->squareness;
}

length_t bed_gap(const struct shop *shop, const struct load_work *work) {
  return shop->part_gap >= 0 ? shop->part_gap : 2 * work->cutter_diameter + shop->web;
}
