#include "proof/claim_load.h"

static enum claim_side read_side(const struct spot *spot) {
  return (enum claim_side)field_word(spot, "side", "left|right|front|back");
}

static void read_made(const struct spot *spot, struct claim_made *made) {
  made->part = field_text(spot, "part");
  made->name = field_text(spot, "name");
  made->need = NO_INDEX;
  made->box = claim_read_box(spot, 0, 1);
  made->turned = field_flag(spot, "turned");
  const json_t *list = field_list(spot, "tabs");
  made->tab_count = json_array_size(list);
  made->tabs = ARENA_ARRAY(spot->proof->arena, made->tab_count, struct claim_tab);
  for (size_t i = 0; i < made->tab_count; i++) {
    struct spot tab;
    if (!spot_open(&tab, spot, "tab", list, i, NULL)) continue;
    made->tabs[i].at[AXIS_X] = field_length(&tab, "x", 0);
    made->tabs[i].at[AXIS_Y] = field_length(&tab, "y", 0);
    made->tabs[i].side = read_side(&tab);
  }
}

/* Clamps and their keep-outs stand in two lists, in the same order. */
static void read_clamps(const struct spot *spot, struct claim_load *load) {
  const json_t *clamps = field_list(spot, "clamps");
  const json_t *keep_outs = field_list(spot, "keep_outs");
  load->clamp_count = json_array_size(clamps);
  load->clamps = ARENA_ARRAY(spot->proof->arena, load->clamp_count, struct claim_clamp);
  if (json_array_size(keep_outs) != load->clamp_count) {
    proof_fault(spot->proof, "keep-outs missing: %s has %zu clamps and %zu keep-outs",
                spot_text(spot), load->clamp_count, json_array_size(keep_outs));
    load->clamp_count = 0;
    return;
  }
  for (size_t i = 0; i < load->clamp_count; i++) {
    struct claim_clamp *clamp = &load->clamps[i];
    struct spot item;
    if (spot_open(&item, spot, "clamp", clamps, i, "clamp")) {
      clamp->clamp = field_text(&item, "clamp");
      clamp->side = read_side(&item);
      clamp->body = claim_read_box(&item, -LENGTH_MAX, 1);
    }
    if (spot_open(&item, spot, "keep-out", keep_outs, i, NULL))
      clamp->keep_out = claim_read_box(&item, -LENGTH_MAX, 1);
  }
}

void claim_read_load(const struct spot *spot, struct claim_load *load) {
  load->name = field_text(spot, "load");
  load->of = field_text(spot, "of");
  load->length = field_length(spot, "length", 1);
  load->width = field_length(spot, "width", 1);
  load->thickness = field_length(spot, "thickness", 1);
  load->across = field_flag(spot, "across");
  load->hold = (enum claim_hold)field_word(spot, "hold", "ends|sides|all|tape");
  load->cutter_diameter = field_length(spot, "cutter_diameter", 1);
  load->rim = field_length(spot, "rim", 0);
  load->part_gap = field_length(spot, "part_gap", 0);
  load->reach = field_length(spot, "reach_outside", 0);
  load->clampings = field_count(spot, "clampings", 1);
  load->handling = field_thousandths(spot, "handling_min");
  load->clamped = field_flag(spot, "clamped");
  const json_t *list = field_list(spot, "parts");
  load->part_count = json_array_size(list);
  load->parts = ARENA_ARRAY(spot->proof->arena, load->part_count, struct claim_made);
  for (size_t i = 0; i < load->part_count; i++) {
    struct spot part;
    if (spot_open(&part, spot, "part", list, i, "name")) read_made(&part, &load->parts[i]);
  }
  read_clamps(spot, load);
}
