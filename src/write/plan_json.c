/* plan.json: a frame written by hand around small objects that are made, dumped and
 * freed one at a time, so that memory does not grow with the plan. */
#include <jansson.h>
#include <string.h>

#include "base/fingerprint.h"
#include "model/stock_fingerprint.h"
#include "saw/saw.h"
#include "write/price.h"
#include "write/safe_text.h"
#include "write/view.h"
#include "write/write.h"

/* Enough digits that a length of 100 m is known to far less than 1/8000 mm. */
enum { DUMP_FLAGS = JSON_REAL_PRECISION(15), FIRST_SCRATCH = 4096 };

struct json_out {
  struct arena *arena;
  struct buffer *buffer;
  enum unit unit;
  json_t *now; /* owned; freed by the arena should it be left behind */
  char *scratch;
  size_t room;
  bool first; /* of the members or elements being written */
};

static void release_object(void *resource) {
  struct json_out *out = resource;
  json_decref(out->now);
  out->now = NULL;
}

static void need(struct json_out *out, bool done) {
  if (!done) arena_raise(out->arena, STATUS_NO_MEMORY);
}

/* ---- one object at a time ---- */

static json_t *start_object(struct json_out *out) {
  out->now = json_object();
  need(out, out->now != NULL);
  return out->now;
}

/* Takes the value over, NULL standing for a failed allocation. */
static void put(struct json_out *out, json_t *object, const char *key, json_t *value) {
  need(out, json_object_set_new_nocheck(object, key, value) == 0);
}

static void append(struct json_out *out, json_t *array, json_t *value) {
  need(out, json_array_append_new(array, value) == 0);
}

static void put_text(struct json_out *out, json_t *object, const char *key, const char *text) {
  put(out, object, key, json_string_nocheck(safe_utf8(out->arena, text)));
}

static void put_whole(struct json_out *out, json_t *object, const char *key, int64_t value) {
  put(out, object, key, json_integer(value));
}

static void put_flag(struct json_out *out, json_t *object, const char *key, bool value) {
  put(out, object, key, json_boolean(value));
}

static void put_length(struct json_out *out, json_t *object, const char *key, length_t value) {
  put(out, object, key, json_real(length_number(value, out->unit)));
}

static void put_cents(struct json_out *out, json_t *object, const char *key, cents_t value) {
  put(out, object, key, json_real((double)value / 100));
}

static void put_minutes(struct json_out *out, json_t *object, const char *key, int64_t minutes) {
  put(out, object, key, json_real((double)minutes / 1000));
}

static void put_place(struct json_out *out, json_t *object, const struct view_place *place) {
  put_length(out, object, "x", place->x);
  put_length(out, object, "y", place->y);
  put_length(out, object, "length", place->length);
  put_length(out, object, "width", place->width);
}

static void add_json(struct json_out *out, const json_t *json, size_t left_off) {
  size_t flags = DUMP_FLAGS | JSON_ENCODE_ANY;
  size_t size = json_dumpb(json, out->scratch, out->room, flags);
  if (size > out->room) {
    out->room = 2 * size;
    out->scratch = arena_alloc(out->arena, out->room, 1);
    size = json_dumpb(json, out->scratch, out->room, flags);
  }
  need(out, size > left_off);
  buffer_add_bytes(out->buffer, out->scratch, size - left_off);
}

static void separate(struct json_out *out, const char *indent) {
  buffer_format(out->buffer, "%s\n%s", out->first ? "" : ",", indent);
  out->first = false;
}

/* The object as one line of an array. */
static void end_element(struct json_out *out, const char *indent) {
  separate(out, indent);
  add_json(out, out->now, 0);
  release_object(out);
}

static void open_array(struct json_out *out, const char *key) {
  separate(out, "  ");
  buffer_format(out->buffer, "\"%s\": [", key);
  out->first = true;
}

static void close_array(struct json_out *out, const char *indent) {
  if (!out->first) buffer_format(out->buffer, "\n%s", indent);
  buffer_add(out->buffer, "]");
  out->first = false;
}

/* The object's members as members of the frame, a line each. */
static void end_members(struct json_out *out) {
  const char *key = NULL;
  json_t *value = NULL;
  json_object_foreach(out->now, key, value) {
    separate(out, "  ");
    buffer_format(out->buffer, "\"%s\": ", key);
    add_json(out, value, 0);
  }
  release_object(out);
}

/* ---- what was asked for ---- */

static const char *first_cut_text(int64_t first_cut) {
  if (first_cut == FIRST_CROSSCUT) return "crosscut";
  return first_cut == FIRST_RIP ? "rip" : "either";
}

static void add_rules(struct json_out *out, json_t *object, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  json_t *rules = json_object();
  put(out, object, "rules", rules);
  put_length(out, rules, "rip_min_length", shop->rip_min_length);
  put_length(out, rules, "rip_capacity", shop->rip_capacity);
  put_length(out, rules, "crosscut_capacity", shop->crosscut_capacity);
  put_flag(out, rules, "kept", !view->plan->unsafe_rules);
}

/* Two plans that are alike but for the rack they were made for are not the same plan. */
static void put_file(struct json_out *out, json_t *object, const char *key, uint64_t fingerprint) {
  if (fingerprint != 0) put_text(out, object, key, fingerprint_text(out->arena, fingerprint));
}

static void add_head(struct json_out *out, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  json_t *head = start_object(out);
  put_whole(out, head, "format", 1);
  put_text(out, head, "program", "blankwright");
  put_text(out, head, "project", view->project->name);
  put_text(out, head, "units", view->unit == UNIT_MM ? "mm" : "inch");
  put_whole(out, head, "sets", view->plan->sets);
  put_flag(out, head, "most", view->plan->most);
  put_length(out, head, "kerf_crosscut", shop->kerf_crosscut);
  put_length(out, head, "kerf_rip", shop->kerf_rip);
  if (shop->saw_stages > 0)
    put_whole(out, head, "saw_stages", shop->saw_stages);
  else
    put_text(out, head, "saw_stages", "any");
  put_text(out, head, "first_cut", first_cut_text(shop->first_cut));
  put_length(out, head, "flaw_margin", shop->flaw_margin);
  put_length(out, head, "split_margin", shop->split_margin);
  put_length(out, head, "offcut_min_length", shop->offcut_min_length);
  put_length(out, head, "offcut_min_width", shop->offcut_min_width);
  put_cents(out, head, "labour_rate", shop->labour_rate);
  put_minutes(out, head, "saw_cut_min", shop->saw_cut_min);
  put_minutes(out, head, "fence_setting_min", shop->fence_setting_min);
  put_minutes(out, head, "setup_min", shop->setup_min);
  put_minutes(out, head, "tab_clean_min", shop->tab_clean_min);
  add_rules(out, head, view);
  if (shop->glue_up != 0) put_length(out, head, "glue_per_edge", shop->glue_per_edge);
  if (shop->resaw != 0) {
    put_length(out, head, "resaw_kerf", shop->resaw_kerf);
    put_length(out, head, "resaw_clean", shop->resaw_clean);
    put_length(out, head, "resaw_max_height", shop->resaw_max_height);
  }
  put_flag(out, head, "gang_as_blanks", view->plan->gang_as_blanks);
  put_file(out, head, "rack_file", view->project->rack_file);
  put_file(out, head, "flaws_file", view->project->flaws_file);
  end_members(out);
}

/* Of one step; the places it was told. */
static void add_step_holes(struct json_out *out, json_t *list, const struct view *view,
                           const struct step *step) {
  for (size_t i = 0; i < step->hole_count; i++) {
    json_t *item = json_object();
    append(out, list, item);
    put_length(out, item, "x", step->holes[i].x);
    put_length(out, item, "y", step->holes[i].y);
    put_length(out, item, "diameter", view->project->cutters[step->cutter].diameter);
    put_text(out, item, "side", step->side == SIDE_UNDER ? "under" : "top");
  }
}

static void add_holes(struct json_out *out, json_t *object, const struct view *view,
                      const struct step_list *steps) {
  json_t *list = NULL;
  for (size_t s = 0; s < steps->count; s++) {
    if (steps->steps[s]->hole_count == 0) continue;
    if (list == NULL) {
      list = json_array();
      put(out, object, "holes", list);
    }
    add_step_holes(out, list, view, steps->steps[s]);
  }
}

static void add_needed_part(struct json_out *out, const struct view *view, size_t index) {
  const struct part *part = &view->project->parts[index];
  int64_t count = view->plan->needed[index];
  length_t least = 0, most = 0;
  view_raw_thickness(&view->project->shop, part, &least, &most);
  json_t *object = start_object(out);
  put_text(out, object, "part", part->name);
  put_whole(out, object, "count", count);
  put_length(out, object, "length", part->length);
  put_length(out, object, "width", part->width);
  put_length(out, object, "thickness", part->thickness);
  put_length(out, object, "raw_thickness_min", least);
  put_length(out, object, "raw_thickness_max", most);
  put_text(out, object, "way", way_text(part->way));
  put_text(out, object, "grain", grain_text(part->grain));
  if (part->shape == SHAPE_ROUND) put_text(out, object, "shape", "round");
  json_t *woods = json_array();
  put(out, object, "woods", woods);
  for (size_t i = 0; i < part->wood_count; i++)
    append(out, woods, json_string_nocheck(safe_utf8(out->arena, part->woods[i])));
  if (part->match != NULL) put_text(out, object, "match", part->match);
  put_whole(out, object, "per_set", part->per_set);
  add_holes(out, object, view, &view->steps[index]);
  end_element(out, "    ");
}

static void add_needed(struct json_out *out, const struct view *view) {
  open_array(out, "needed");
  for (size_t i = 0; view->plan->needed != NULL && i < view->project->part_count; i++)
    add_needed_part(out, view, i);
  close_array(out, "  ");
}

/* ---- stock ---- */

static const char *face_grain_text(const struct stock *stock) {
  if (stock->kind == STOCK_PLANK || stock->face_grain == FACE_GRAIN_LENGTH) return "length";
  return stock->face_grain == FACE_GRAIN_WIDTH ? "width" : "none";
}

static void add_flaws(struct json_out *out, json_t *object, const struct view_stock *entry) {
  json_t *flaws = json_array();
  put(out, object, "flaws", flaws);
  for (size_t i = 0; i < entry->flaw_count; i++) {
    const struct flaw *flaw = entry->flaws[i];
    json_t *item = json_object();
    append(out, flaws, item);
    struct view_place place = {flaw->x, flaw->y, flaw->length, flaw->width};
    put_place(out, item, &place);
    put_text(out, item, "what", flaw->what);
    put_flag(out, item, "rim_ok", flaw->rim_ok);
  }
}

/* The plank a leaf comes from, and which of its leaves it is. */
static void add_leaf_of(struct json_out *out, json_t *object, const struct stock *plank,
                        const struct view_stock *entry) {
  json_t *leaf_of = json_object();
  put(out, object, "leaf_of", leaf_of);
  put_text(out, leaf_of, "stock", plank->name);
  put_whole(out, leaf_of, "copy", (entry->copy - 1) / entry->stock->leaves + 1);
  put_whole(out, leaf_of, "leaf", (entry->copy - 1) % entry->stock->leaves + 1);
}

/* Everything of the entry but its pieces and cuts, left open for them. */
static void open_entry(struct json_out *out, const struct view *view,
                       const struct view_stock *entry) {
  const struct stock *stock = entry->stock;
  json_t *object = start_object(out);
  put_text(out, object, "stock", stock->name);
  put_whole(out, object, "copy", entry->copy);
  put_text(out, object, "source", source_text(stock->source));
  put_text(out, object, "wood", stock->wood);
  put_text(out, object, "kind", stock_kind_text(stock->kind));
  put_length(out, object, "length", stock->length);
  put_length(out, object, "width", stock->width);
  put_length(out, object, "thickness", stock->thickness);
  put_cents(out, object, "price", stock->value);
  put(out, object, "available", stock->count < 0 ? json_null() : json_integer(stock->count));
  put_whole(out, object, "pack", stock->pack);
  put_text(out, object, "face_grain", face_grain_text(stock));
  put_length(out, object, "trim_ends", stock->trim_ends);
  put_length(out, object, "trim_edges", stock->trim_edges);
  put_text(out, object, "surface", stock->surface == SURFACE_PLANED ? "planed" : "rough");
  put_length(out, object, "crook", stock->crook);
  if (stock->source == SOURCE_RACK && stock->leaves == 0)
    put_text(out, object, "fingerprint", fingerprint_text(out->arena, stock_fingerprint(stock)));
  if (stock->leaves > 0) add_leaf_of(out, object, &view->project->stocks[stock->leaf_of], entry);
  add_flaws(out, object, entry);
  separate(out, "    ");
  add_json(out, out->now, 1);
  release_object(out);
}

/* Of a strip: which it is, and the blank it is glued up to, sizes along the part's own. */
static void add_glued(struct json_out *out, json_t *object, const struct view_piece *piece) {
  json_t *glued = json_object();
  put_whole(out, object, "strip", piece->strip);
  put(out, object, "glued", glued);
  put_text(out, glued, "name", piece->glued);
  put_whole(out, glued, "strips", piece->blank->strips);
  put_length(out, glued, "length", piece->blank->glued_length);
  put_length(out, glued, "width", piece->blank->glued_width);
}

static void add_piece(struct json_out *out, const struct view *view,
                      const struct view_piece *piece) {
  static const char *const roles[] = {"part", "blank", "load", "offcut", "resaw"};
  json_t *object = start_object(out);
  put_text(out, object, "role", roles[piece->role]);
  put_text(out, object, "name", piece->name);
  if (piece->part != SIZE_MAX && piece->role != ROLE_LOAD)
    put_text(out, object, "part", view->project->parts[piece->part].name);
  if (piece->load != SIZE_MAX) put_text(out, object, "load", view->loads[piece->load].name);
  put_place(out, object, &piece->place);
  put_flag(out, object, "turned", piece->turned);
  if (piece->role == ROLE_BLANK) {
    put_text(out, object, "hold", hold_text(piece->blank->hold));
    put_length(out, object, "reach", piece->blank->reach);
    put_length(out, object, "cutter_diameter", piece->blank->cutter_diameter);
  }
  if (piece->strip > 0) add_glued(out, object, piece);
  if (piece->leaf != NULL) {
    put_text(out, object, "leaf", piece->leaf->name);
    put_whole(out, object, "leaves", piece->leaf->leaves);
    put_length(out, object, "leaf_thickness", piece->leaf->thickness);
  }
  if (view_has_finished(piece)) {
    json_t *finished = json_object();
    put(out, object, "finished", finished);
    put_place(out, finished, &piece->finished);
  }
  end_element(out, "      ");
}

static void add_cut(struct json_out *out, const struct view_cut *named) {
  const struct cut *cut = named->cut;
  json_t *object = start_object(out);
  put_whole(out, object, "step", cut->step);
  put_text(out, object, "kind", cut->resaw ? "resaw" : cut->rip ? "rip" : "crosscut");
  put_text(out, object, "of", named->of);
  put_length(out, object, "x", cut->x);
  put_length(out, object, "y", cut->y);
  put_length(out, object, "span", cut->span);
  put_length(out, object, "keep", cut->keep);
  put_text(out, object, "keep_side", cut->keep_high ? "high" : "low");
  put_flag(out, object, "trim", cut->trim);
  put_whole(out, object, "fence_setting", cut->fence_setting);
  json_t *cautions = json_array();
  put(out, object, "cautions", cautions);
  for (unsigned bit = 0; bit < CAUTION_BITS; bit++)
    if ((cut->cautions & 1U << bit) != 0)
      append(out, cautions, json_string_nocheck(saw_caution_name(1U << bit)));
  end_element(out, "      ");
}

static void add_entry(struct json_out *out, const struct view *view,
                      const struct view_stock *entry) {
  struct arena_mark mark = arena_mark(out->arena);
  char *scratch = out->scratch;
  size_t room = out->room;
  open_entry(out, view, entry);
  buffer_add(out->buffer, ",\n     \"pieces\": [");
  out->first = true;
  for (size_t i = 0; i < entry->piece_count; i++) add_piece(out, view, &entry->pieces[i]);
  close_array(out, "     ");
  buffer_add(out->buffer, ",\n     \"cuts\": [");
  out->first = true;
  for (size_t i = 0; i < entry->cut_count; i++) add_cut(out, &entry->cuts[i]);
  for (size_t i = 0; i < entry->resaw_count; i++) add_cut(out, &entry->resaws[i]);
  close_array(out, "     ");
  buffer_add(out->buffer, "}");
  arena_release(out->arena, mark);
  out->scratch = scratch;
  out->room = room;
}

static void add_stock(struct json_out *out, const struct view *view) {
  open_array(out, "stock");
  for (size_t i = 0; i < view->stock_count; i++) add_entry(out, view, &view->stocks[i]);
  close_array(out, "  ");
}

/* ---- loads ---- */

static void put_sides(struct json_out *out, json_t *object, length_t x, length_t y, length_t length,
                      length_t width) {
  struct view_place place = {x, y, length, width};
  put_place(out, object, &place);
}

static void add_made(struct json_out *out, json_t *list, const struct view *view,
                     const struct view_made *made) {
  const struct held_part *held = made->held;
  json_t *object = json_object();
  append(out, list, object);
  put_text(out, object, "part", view->project->parts[held->part].name);
  put_text(out, object, "name", made->name);
  put_sides(out, object, held->x, held->y, held->length, held->width);
  put_flag(out, object, "turned", held->turned);
  json_t *tabs = json_array();
  put(out, object, "tabs", tabs);
  for (size_t t = 0; t < held->tab_count; t++) {
    json_t *tab = json_object();
    append(out, tabs, tab);
    put_length(out, tab, "x", held->tabs[t].x);
    put_length(out, tab, "y", held->tabs[t].y);
    put_text(out, tab, "side", bed_side_text(held->tabs[t].side));
  }
}

static void add_clamps(struct json_out *out, json_t *object, const struct view *view,
                       const struct load *load) {
  json_t *clamps = json_array();
  put(out, object, "clamps", clamps);
  json_t *keep_outs = json_array();
  put(out, object, "keep_outs", keep_outs);
  for (size_t c = 0; c < load->clamp_count; c++) {
    const struct held_clamp *held = &load->clamps[c];
    length_t out_by = held->keep_out;
    json_t *clamp = json_object();
    append(out, clamps, clamp);
    put_text(out, clamp, "clamp", clamp_name(view->project, held->clamp));
    put_text(out, clamp, "side", bed_side_text(held->side));
    put_sides(out, clamp, held->x, held->y, held->length, held->width);
    json_t *keep_out = json_object();
    append(out, keep_outs, keep_out);
    put_sides(out, keep_out, held->x - out_by, held->y - out_by, held->length + 2 * out_by,
              held->width + 2 * out_by);
  }
}

static void add_load(struct json_out *out, const struct view *view, const struct view_load *held) {
  const struct load *load = held->load;
  json_t *object = start_object(out);
  put_text(out, object, "load", held->name);
  put_text(out, object, "of", held->of);
  put_length(out, object, "length", load->length);
  put_length(out, object, "width", load->width);
  put_length(out, object, "thickness", load->thickness);
  put_flag(out, object, "across", load->across);
  put_text(out, object, "hold", hold_text(load->hold));
  put_length(out, object, "cutter_diameter", load->cutter_diameter);
  put_length(out, object, "rim", load->rim);
  put_length(out, object, "part_gap", load->part_gap);
  put_length(out, object, "reach_outside", load->reach);
  put_whole(out, object, "clampings", load->clampings);
  put(out, object, "handling_min", json_real((double)load->handling / 1000));
  put_flag(out, object, "clamped", load->clamped);
  json_t *parts = json_array();
  put(out, object, "parts", parts);
  for (size_t i = 0; i < held->made_count; i++) add_made(out, parts, view, &held->made[i]);
  add_clamps(out, object, view, load);
  end_element(out, "    ");
}

static void add_loads(struct json_out *out, const struct view *view) {
  open_array(out, "loads");
  for (size_t i = 0; i < view->load_count; i++) add_load(out, view, &view->loads[i]);
  close_array(out, "  ");
}

/* ---- money and totals ---- */

static void add_purchases(struct json_out *out, const struct view *view) {
  open_array(out, "purchase");
  for (size_t i = 0; i < view->plan->purchase_count; i++) {
    const struct purchase *purchase = &view->plan->purchases[i];
    const struct stock *stock = &view->project->stocks[purchase->stock];
    json_t *object = start_object(out);
    put_text(out, object, "stock", stock->name);
    put_text(out, object, "source", source_text(stock->source));
    put_whole(out, object, "used", purchase->used);
    put_whole(out, object, "bought", purchase->bought);
    put_whole(out, object, "pack", stock->pack);
    put_cents(out, object, "price", stock->value);
    put_cents(out, object, "cost", purchase->cost);
    end_element(out, "    ");
  }
  close_array(out, "  ");
}

static void add_times(struct json_out *out, json_t *object, const struct run_time *time) {
  json_t *minutes = json_object();
  put(out, object, "minutes", minutes);
  put_minutes(out, minutes, "machine", time->total.machine);
  put_minutes(out, minutes, "attended", time->total.attended);
  put_minutes(out, minutes, "hand", time->total.hand);
  put_minutes(out, minutes, "cutting", time->cutting);
  put_minutes(out, minutes, "changing_cutters", time->changes);
  put_minutes(out, minutes, "probing", time->probing);
  put_minutes(out, minutes, "fixing", time->setups);
  put_minutes(out, minutes, "sawing", time->sawing);
  put_minutes(out, minutes, "fence_settings", time->fences);
  put_minutes(out, minutes, "tabs", time->tab_cleaning);
  put_minutes(out, minutes, "other_hand", time->hand);
}

static void add_bed_cautions(struct json_out *out, json_t *object, const struct view *view) {
  json_t *cautions = json_array();
  put(out, object, "bed_cautions", cautions);
  for (size_t i = 0; i < view->plan->bed_caution_count; i++) {
    const struct bed_caution *caution = &view->plan->bed_cautions[i];
    const char *loads = view_load_names(out->arena, view, caution->load);
    json_t *item = json_object();
    append(out, cautions, item);
    put_text(out, item, "name", caution->name);
    if (loads != NULL) put_text(out, item, "loads", loads);
    if (caution->subject != NULL) put_text(out, item, "subject", caution->subject);
    put_text(out, item, "text", caution->text);
  }
}

static void add_totals(struct json_out *out, const struct view *view) {
  const struct plan_cost *cost = &view->plan->cost;
  json_t *object = start_object(out);
  json_t *money = json_object();
  put(out, object, "cost", money);
  put_cents(out, money, "stock", cost->stock);
  put_cents(out, money, "handling", cost->handling);
  put_cents(out, money, "total", cost->total);
  put_cents(out, object, "bound", cost->bound);
  put_cents(out, object, "bound_of_loads_tried", cost->listed_bound);
  put_flag(out, object, "proved", cost->proved);
  put_flag(out, object, "interrupted", view->plan->interrupted);
  put(out, object, "yield", json_real(view->yield));
  put(out, object, "waste", json_real(view->waste));
  put(out, object, "offcut_share", json_real(view->offcut_share));
  put_whole(out, object, "fence_settings", view->plan->fence_settings);
  put_whole(out, object, "cut_count", (int64_t)view->plan->cut_count);
  add_times(out, object, &view->plan->time);
  add_bed_cautions(out, object, view);
  end_members(out);
}

void write_plan_json(struct buffer *buffer, const struct project *project,
                     const struct blanks *blanks, const struct plan *plan,
                     const struct price_table *prices) {
  struct arena *arena = buffer->arena;
  struct json_out *out = ARENA_NEW(arena, struct json_out);
  *out = (struct json_out){.arena = arena, .buffer = buffer, .first = true};
  arena_defer(arena, release_object, out);
  out->room = FIRST_SCRATCH;
  out->scratch = arena_alloc(arena, out->room, 1);
  const struct view *view = view_create(arena, project, blanks, plan);
  out->unit = view->unit;
  buffer_add(buffer, "{");
  add_head(out, view);
  add_needed(out, view);
  add_stock(out, view);
  add_loads(out, view);
  add_purchases(out, view);
  add_totals(out, view);
  if (prices != NULL) {
    buffer_add(buffer, ",\n  \"price\": ");
    write_price_json(buffer, prices);
  }
  buffer_add(buffer, "\n}\n");
}
