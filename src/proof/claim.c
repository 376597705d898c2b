#include "proof/claim.h"

#include <inttypes.h>
#include <pthread.h>
#include <string.h>

#include "proof/claim_load.h"
#include "proof/claim_prices.h"

struct box claim_read_box(const struct spot *spot, length_t least_corner, length_t least_size) {
  length_t x = field_length(spot, "x", least_corner);
  length_t y = field_length(spot, "y", least_corner);
  length_t length = field_length(spot, "length", least_size);
  length_t width = field_length(spot, "width", least_size);
  return (struct box){{x, y}, {x + length, y + width}};
}

static void read_woods(const struct spot *spot, struct claim_need *need) {
  const json_t *list = field_list(spot, "woods");
  need->wood_count = json_array_size(list);
  need->woods = ARENA_ARRAY(spot->proof->arena, need->wood_count, const char *);
  for (size_t i = 0; i < need->wood_count; i++) {
    const char *wood = json_string_value(json_array_get(list, i));
    if (wood == NULL) {
      proof_fault(spot->proof, "wrong type: wood %zu of %s is no text", i + 1, spot_text(spot));
    }
    need->woods[i] = arena_copy_text(spot->proof->arena, wood == NULL ? "" : wood);
  }
}

static void read_holes(const struct spot *spot, struct claim_need *need) {
  if (!field_present(spot, "holes")) return;
  const json_t *list = field_list(spot, "holes");
  need->hole_count = json_array_size(list);
  need->holes = ARENA_ARRAY(spot->proof->arena, need->hole_count, struct claim_hole);
  for (size_t i = 0; i < need->hole_count; i++) {
    struct claim_hole *hole = &need->holes[i];
    struct spot item;
    if (!spot_open(&item, spot, "hole", list, i, NULL)) continue;
    hole->at[AXIS_X] = field_length(&item, "x", 0);
    hole->at[AXIS_Y] = field_length(&item, "y", 0);
    hole->diameter = field_length(&item, "diameter", 1);
    hole->under = field_word(&item, "side", "top|under") == 1;
  }
}

static void read_need(const struct spot *spot, struct claim_need *need) {
  need->part = field_text(spot, "part");
  need->count = field_count(spot, "count", 1);
  need->per_set = field_count(spot, "per_set", 1);
  need->length = field_length(spot, "length", 1);
  need->width = field_length(spot, "width", 1);
  need->thickness = field_length(spot, "thickness", 1);
  bool raw = field_present(spot, "raw_thickness_min") || field_present(spot, "raw_thickness_max");
  need->raw_least = raw ? field_length(spot, "raw_thickness_min", 0) : -1;
  need->raw_most = raw ? field_length(spot, "raw_thickness_max", 0) : -1;
  need->way = (enum claim_way)field_word(spot, "way", "saw|blank|gang");
  need->round = field_present(spot, "shape") && field_word(spot, "shape", "rectangle|round") == 1;
  need->grain = (enum claim_grain)field_word(spot, "grain", "along|across|any");
  read_woods(spot, need);
  if (field_present(spot, "match")) need->match = field_text(spot, "match");
  read_holes(spot, need);
}

static void read_flaw(const struct spot *spot, struct claim_flaw *flaw) {
  flaw->box = claim_read_box(spot, -LENGTH_MAX, 0);
  flaw->what = field_any_text(spot, "what");
  flaw->rim_ok = field_flag(spot, "rim_ok");
}

static void read_strip(const struct spot *spot, struct claim_piece *piece) {
  struct spot glued;
  piece->strip = field_count(spot, "strip", 1);
  if (!spot_enter(&glued, spot, "glued")) return;
  piece->glued = field_text(&glued, "name");
  piece->glued_strips = field_count(&glued, "strips", 2);
  piece->glued_length = field_length(&glued, "length", 1);
  piece->glued_width = field_length(&glued, "width", 1);
}

static void read_piece(const struct spot *spot, struct claim_piece *piece) {
  piece->role = (enum claim_role)field_word(spot, "role", "part|blank|load|offcut|resaw");
  piece->name = field_text(spot, "name");
  piece->box = claim_read_box(spot, 0, 1);
  piece->turned = field_flag(spot, "turned");
  piece->need = NO_INDEX;
  if (piece->role == CLAIM_OFFCUT) return;
  if (piece->role == CLAIM_RESAW) {
    piece->leaf = field_text(spot, "leaf");
    piece->leaves = field_count(spot, "leaves", 2);
    piece->leaf_thickness = field_length(spot, "leaf_thickness", 1);
    return;
  }
  bool strip = field_present(spot, "strip");
  if (piece->role == CLAIM_LOAD || (piece->role == CLAIM_BLANK && !strip))
    piece->load = field_text(spot, "load");
  if (piece->role == CLAIM_LOAD) return;
  piece->part = field_text(spot, "part");
  struct spot finished;
  if (strip)
    read_strip(spot, piece);
  else if (spot_enter(&finished, spot, "finished"))
    piece->finished = claim_read_box(&finished, 0, 1);
  if (piece->role != CLAIM_BLANK) return;
  (void)field_word(spot, "hold", "ends|sides|all|tape");
  piece->reach = field_length(spot, "reach", 0);
  piece->cutter_diameter = field_length(spot, "cutter_diameter", 0);
}

static size_t read_cautions(const struct spot *spot) {
  const json_t *list = field_list(spot, "cautions");
  size_t count = json_array_size(list);
  for (size_t i = 0; i < count; i++) {
    if (json_is_string(json_array_get(list, i))) continue;
    proof_fault(spot->proof, "wrong type: caution %zu of %s is no text", i + 1, spot_text(spot));
  }
  return count;
}

static void read_cut(const struct spot *spot, struct claim_cut *cut) {
  cut->step = field_count(spot, "step", 1);
  int kind = field_word(spot, "kind", "crosscut|rip|resaw");
  cut->axis = kind == 1 ? AXIS_Y : AXIS_X;
  cut->resaw = kind == 2;
  cut->of = field_text(spot, "of");
  cut->at[AXIS_X] = field_length(spot, "x", -LENGTH_MAX);
  cut->at[AXIS_Y] = field_length(spot, "y", -LENGTH_MAX);
  cut->span = field_length(spot, "span", 1);
  cut->keep = field_length(spot, "keep", 1);
  cut->keep_high = field_word(spot, "keep_side", "low|high") == 1;
  cut->trim = field_flag(spot, "trim");
  cut->fence_setting = field_count(spot, "fence_setting", 1);
  cut->cautions = read_cautions(spot);
}

static void read_stock_lists(const struct spot *spot, struct claim_stock *stock) {
  struct arena *arena = spot->proof->arena;
  struct spot item;
  const json_t *list = field_list(spot, "flaws");
  stock->flaw_count = json_array_size(list);
  stock->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct claim_flaw);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    if (spot_open(&item, spot, "flaw", list, i, NULL)) read_flaw(&item, &stock->flaws[i]);
  }
  list = field_list(spot, "pieces");
  stock->piece_count = json_array_size(list);
  stock->pieces = ARENA_ARRAY(arena, stock->piece_count, struct claim_piece);
  for (size_t i = 0; i < stock->piece_count; i++) {
    if (spot_open(&item, spot, "piece", list, i, "name")) read_piece(&item, &stock->pieces[i]);
  }
  list = field_list(spot, "cuts");
  stock->cut_count = json_array_size(list);
  stock->cuts = ARENA_ARRAY(arena, stock->cut_count, struct claim_cut);
  for (size_t i = 0; i < stock->cut_count; i++) {
    if (spot_open(&item, spot, "cut", list, i, NULL)) read_cut(&item, &stock->cuts[i]);
  }
}

static void read_leaf_of(const struct spot *spot, struct claim_stock *stock) {
  struct spot leaf_of;
  if (!field_present(spot, "leaf_of") || !spot_enter(&leaf_of, spot, "leaf_of")) return;
  stock->leaf_of = field_text(&leaf_of, "stock");
  stock->leaf_of_copy = field_count(&leaf_of, "copy", 1);
  stock->leaf = field_count(&leaf_of, "leaf", 1);
}

static void read_stock(const struct spot *spot, struct claim_stock *stock) {
  stock->stock = field_text(spot, "stock");
  stock->copy = field_count(spot, "copy", 1);
  stock->yard = field_word(spot, "source", "rack|yard") == 1;
  stock->wood = field_text(spot, "wood");
  stock->sheet = field_word(spot, "kind", "plank|sheet") == 1;
  stock->length = field_length(spot, "length", 1);
  stock->width = field_length(spot, "width", 1);
  stock->thickness = field_length(spot, "thickness", 1);
  stock->price = field_money(spot, "price");
  stock->available = json_is_null(json_object_get(spot->object, "available"))
                         ? -1
                         : field_count(spot, "available", 1);
  stock->pack = field_count(spot, "pack", 1);
  stock->face_grain = (enum claim_face_grain)field_word(spot, "face_grain", "length|width|none");
  stock->trim_ends = field_length(spot, "trim_ends", 0);
  stock->trim_edges = field_length(spot, "trim_edges", 0);
  stock->crook = -1;
  if (field_present(spot, "crook")) {
    stock->crook = field_length(spot, "crook", 0);
    stock->planed = field_word(spot, "surface", "rough|planed") == 1;
  }
  if (field_present(spot, "fingerprint")) stock->fingerprint = field_text(spot, "fingerprint");
  read_leaf_of(spot, stock);
  read_stock_lists(spot, stock);
}

static void read_purchase(const struct spot *spot, struct claim_purchase *purchase) {
  purchase->stock = field_text(spot, "stock");
  purchase->yard = field_word(spot, "source", "rack|yard") == 1;
  purchase->used = field_count(spot, "used", 1);
  purchase->bought = field_count(spot, "bought", 0);
  purchase->pack = field_count(spot, "pack", 1);
  purchase->price = field_money(spot, "price");
  purchase->cost = field_money(spot, "cost");
}

/* -1 where the plan does not say. */
static length_t optional_length(const struct spot *spot, const char *key) {
  return field_present(spot, key) ? field_length(spot, key, 0) : -1;
}

static int64_t optional_thousandths(const struct spot *spot, const char *key) {
  return field_present(spot, key) ? field_thousandths(spot, key) : -1;
}

static void read_settings(const struct spot *top, struct claim *claim) {
  claim->project = field_text(top, "project");
  claim->sets = field_count(top, "sets", 1);
  claim->most = field_flag(top, "most");
  claim->kerf[AXIS_X] = field_length(top, "kerf_crosscut", 0);
  claim->kerf[AXIS_Y] = field_length(top, "kerf_rip", 0);
  const char *stages = json_string_value(json_object_get(top->object, "saw_stages"));
  bool any = stages != NULL && strcmp(stages, "any") == 0;
  claim->saw_stages = any ? 0 : field_count(top, "saw_stages", 1);
  claim->first_cut = (enum claim_first_cut)field_word(top, "first_cut", "crosscut|rip|either");
  claim->flaw_margin = field_length(top, "flaw_margin", 0);
  claim->split_margin = field_length(top, "split_margin", 0);
  claim->offcut_min_length = field_length(top, "offcut_min_length", 0);
  claim->offcut_min_width = field_length(top, "offcut_min_width", 0);
  claim->labour_rate = field_money(top, "labour_rate");
  claim->saw_cut_min = field_thousandths(top, "saw_cut_min");
  claim->setup_min = optional_thousandths(top, "setup_min");
  claim->fence_setting_min = optional_thousandths(top, "fence_setting_min");
  claim->tab_clean_min = optional_thousandths(top, "tab_clean_min");
  claim->glue_per_edge = optional_length(top, "glue_per_edge");
  claim->resaw_kerf = optional_length(top, "resaw_kerf");
  claim->resaw_clean = optional_length(top, "resaw_clean");
  claim->resaw_max_height = optional_length(top, "resaw_max_height");
  claim->gang_as_blanks = field_flag(top, "gang_as_blanks");
  struct spot rules;
  if (!spot_enter(&rules, top, "rules")) return;
  claim->rip_min_length = field_length(&rules, "rip_min_length", 0);
  claim->rip_capacity = field_length(&rules, "rip_capacity", 0);
  claim->crosscut_capacity = field_length(&rules, "crosscut_capacity", 0);
  claim->rules_kept = field_flag(&rules, "kept");
}

static struct claim_minutes *read_minutes(const struct spot *top) {
  struct spot spot;
  if (!spot_enter(&spot, top, "minutes")) return NULL;
  struct claim_minutes *minutes = ARENA_NEW(top->proof->arena, struct claim_minutes);
  minutes->cutting = field_minutes(&spot, "cutting");
  minutes->changing_cutters = field_minutes(&spot, "changing_cutters");
  minutes->probing = field_minutes(&spot, "probing");
  minutes->fixing = field_minutes(&spot, "fixing");
  minutes->sawing = field_minutes(&spot, "sawing");
  minutes->fence_settings = field_minutes(&spot, "fence_settings");
  minutes->tabs = field_minutes(&spot, "tabs");
  minutes->other_hand = field_minutes(&spot, "other_hand");
  minutes->machine = field_minutes(&spot, "machine");
  minutes->attended = field_minutes(&spot, "attended");
  minutes->hand = field_minutes(&spot, "hand");
  return minutes;
}

static void read_results(const struct spot *top, struct claim *claim) {
  claim->bound = field_money(top, "bound");
  claim->proved = field_flag(top, "proved");
  claim->yield = field_decimal(top, "yield", -1e-6, 1 + 1e-6);
  claim->waste = field_decimal(top, "waste", -1e-6, 1 + 1e-6);
  claim->offcut_share = field_decimal(top, "offcut_share", -1e-6, 1 + 1e-6);
  claim->fence_settings = field_count(top, "fence_settings", 0);
  claim->cut_count = field_count(top, "cut_count", 0);
  if (field_present(top, "minutes")) claim->minutes = read_minutes(top);
  struct spot cost;
  if (!spot_enter(&cost, top, "cost")) return;
  claim->cost_stock = field_money(&cost, "stock");
  claim->cost_handling = field_money(&cost, "handling");
  claim->cost_total = field_money(&cost, "total");
}

static void read_lists(const struct spot *top, struct claim *claim) {
  struct arena *arena = top->proof->arena;
  struct spot item;
  const json_t *list = field_list(top, "needed");
  claim->need_count = json_array_size(list);
  claim->needs = ARENA_ARRAY(arena, claim->need_count, struct claim_need);
  for (size_t i = 0; i < claim->need_count; i++) {
    if (spot_open(&item, top, "needed", list, i, "part")) read_need(&item, &claim->needs[i]);
  }
  list = field_list(top, "stock");
  claim->stock_count = json_array_size(list);
  claim->stocks = ARENA_ARRAY(arena, claim->stock_count, struct claim_stock);
  for (size_t i = 0; i < claim->stock_count; i++) {
    if (spot_open(&item, top, "stock", list, i, "stock")) read_stock(&item, &claim->stocks[i]);
  }
  list = field_list(top, "purchase");
  claim->purchase_count = json_array_size(list);
  claim->purchases = ARENA_ARRAY(arena, claim->purchase_count, struct claim_purchase);
  for (size_t i = 0; i < claim->purchase_count; i++) {
    if (spot_open(&item, top, "purchase", list, i, "stock")) {
      read_purchase(&item, &claim->purchases[i]);
    }
  }
  list = field_list(top, "loads");
  claim->load_count = json_array_size(list);
  claim->loads = ARENA_ARRAY(arena, claim->load_count, struct claim_load);
  for (size_t i = 0; i < claim->load_count; i++) {
    if (spot_open(&item, top, "load", list, i, "load")) claim_read_load(&item, &claim->loads[i]);
  }
}

/* Holds the parsed text so that it is freed in every case. */
struct document {
  json_t *root;
};

static void document_release(void *resource) {
  struct document *document = resource;
  json_decref(document->root);
  document->root = NULL;
}

/* Where memory runs out Jansson may say that the text is at fault. So its allocations pass by here,
 * on to the functions that were set before. */
static json_malloc_t allocate;
static _Thread_local bool no_memory;
static pthread_once_t allocator_noted = PTHREAD_ONCE_INIT;

static void *allocate_noting(size_t size) {
  void *memory = allocate(size);
  if (memory == NULL && size > 0) no_memory = true;
  return memory;
}

static void note_allocator(void) {
  json_free_t give_back = NULL;
  json_get_alloc_funcs(&allocate, &give_back);
  json_set_alloc_funcs(allocate_noting, give_back);
}

static bool document_parse(struct proof *proof, const char *text, size_t length,
                           struct document *document) {
  json_error_t error;
  pthread_once(&allocator_noted, note_allocator);
  no_memory = false;
  document->root = json_loadb(text, length, JSON_REJECT_DUPLICATES, &error);
  if (document->root != NULL && json_is_object(document->root)) return true;
  if (document->root == NULL && no_memory) arena_raise(proof->arena, STATUS_NO_MEMORY);
  proof->faults++;
  if (document->root != NULL) {
    struct place place = {.file = proof->name};
    diagnostics_add(proof->diagnostics, SEVERITY_ERROR, &place, "not a plan: no JSON object");
    return false;
  }
  struct place place = {.file = proof->name, .line = error.line, .column = error.column};
  diagnostics_add(proof->diagnostics, SEVERITY_ERROR, &place, "not JSON: %s", error.text);
  return false;
}

/* The keys that tell a plan of this format from any other file. */
static bool format_known(const struct spot *top) {
  size_t faults = top->proof->faults;
  const char *program = field_text(top, "program");
  int64_t format = field_count(top, "format", 1);
  if (top->proof->faults != faults) return false;
  if (strcmp(program, "blankwright") != 0) {
    proof_fault(top->proof, "not a plan: 'program' is '%s', expected 'blankwright'", program);
  } else if (format != 1) {
    proof_fault(top->proof, "unknown format: 'format' is %" PRId64 ", expected 1", format);
  }
  return top->proof->faults == faults;
}

enum status claim_read(struct proof *proof, const char *text, size_t length, struct claim **claim) {
  *claim = NULL;
  struct document *document = ARENA_NEW(proof->arena, struct document);
  arena_defer(proof->arena, document_release, document);
  if (!document_parse(proof, text, length, document)) return STATUS_BAD_INPUT;
  struct spot top = {.proof = proof, .object = document->root};
  if (!format_known(&top)) return STATUS_BAD_INPUT;
  struct claim *result = ARENA_NEW(proof->arena, struct claim);
  proof->unit = field_word(&top, "units", "mm|inch") == 1 ? UNIT_INCH : UNIT_MM;
  read_settings(&top, result);
  read_lists(&top, result);
  read_results(&top, result);
  if (field_present(&top, "price")) result->prices = claim_read_prices(&top);
  document_release(document);
  *claim = result;
  return proof->faults == 0 ? STATUS_OK : STATUS_PROOF_FAILED;
}

const char *stock_text(struct proof *proof, const struct claim_stock *stock) {
  return arena_format(proof->arena, "'%s' copy %" PRId64, stock->stock, stock->copy);
}

const char *piece_text(struct proof *proof, const struct claim_stock *stock,
                       const struct claim_piece *piece) {
  return arena_format(proof->arena, "piece '%s' of '%s' copy %" PRId64, piece->name, stock->stock,
                      stock->copy);
}

struct box usable_box(const struct claim_stock *stock) {
  return (struct box){{stock->trim_ends, stock->trim_edges},
                      {stock->length - stock->trim_ends, stock->width - stock->trim_edges}};
}
