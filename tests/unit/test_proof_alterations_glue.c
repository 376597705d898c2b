/* Alterations of strips that are glued up and of planks that are resawn into leaves. */
#include "proof/alter.h"

static const char fixture[] = SOURCE_ROOT "/tests/proof/serving-mm.json";

/* The nth strip of the plan, from 0; *stock is what it is cut from. */
static json_t *strip_of(const json_t *plan, size_t nth, json_t **stock) {
  size_t i, j;
  json_t *entry, *piece;
  json_array_foreach(list(plan, "stock"), i, entry) {
    json_array_foreach(list(entry, "pieces"), j, piece) {
      if (json_object_get(piece, "strip") == NULL || nth-- > 0) continue;
      *stock = entry;
      return piece;
    }
  }
  return NULL;
}

static json_t *resawn(const json_t *plan, json_t **stock) {
  return first_piece(plan, "resaw", stock);
}

static json_t *leaf_of(const json_t *plan, size_t nth) {
  size_t i;
  json_t *entry;
  json_array_foreach(list(plan, "stock"), i, entry) {
    if (json_object_get(entry, "leaf_of") != NULL && nth-- == 0) return entry;
  }
  return NULL;
}

static json_t *resaw_cut(const json_t *plan) {
  json_t *stock = NULL;
  (void)resawn(plan, &stock);
  return end_cut(stock, "resaw", false, false);
}

/* ---- strips ---- */

static bool names_glued(struct altered *altered, const json_t *strip) {
  return names_text(altered, text(list(strip, "glued"), "name"));
}

static bool other_blank(struct altered *altered) {
  json_t *stock = NULL, *strip = strip_of(altered->plan, 0, &stock);
  (void)names_glued(altered, strip);
  put_text(list(strip, "glued"), "name", "another");
  return true;
}

static bool strip_twice(struct altered *altered) {
  json_t *stock = NULL, *strip = strip_of(altered->plan, 1, &stock);
  json_object_set_new(strip, "strip", json_integer(1));
  return names_glued(altered, strip);
}

static bool one_strip_more(struct altered *altered) {
  size_t i;
  json_t *stock = NULL, *strip = NULL;
  for (i = 0; (strip = strip_of(altered->plan, i, &stock)) != NULL; i++) {
    json_t *glued = list(strip, "glued");
    json_object_set_new(glued, "strips", json_integer(3));
    (void)names_glued(altered, strip);
  }
  return true;
}

static bool wider_blank(struct altered *altered) {
  size_t i;
  json_t *stock = NULL, *strip = NULL;
  for (i = 0; (strip = strip_of(altered->plan, i, &stock)) != NULL; i++) {
    add_number(list(strip, "glued"), "width", altered->step);
    (void)names_glued(altered, strip);
  }
  return true;
}

static bool longer_blank(struct altered *altered) {
  size_t i;
  json_t *stock = NULL, *strip = NULL;
  for (i = 0; (strip = strip_of(altered->plan, i, &stock)) != NULL; i++) {
    add_number(list(strip, "glued"), "length", altered->step);
    (void)names_glued(altered, strip);
  }
  return true;
}

static bool smaller_blank(struct altered *altered) {
  size_t i;
  json_t *stock = NULL, *strip = NULL;
  for (i = 0; (strip = strip_of(altered->plan, i, &stock)) != NULL; i++) {
    put_number(list(strip, "glued"), "width", 200);
    (void)names_glued(altered, strip);
  }
  return true;
}

/* More jointed off than the strips have to spare. */
static bool more_jointed(struct altered *altered) {
  json_t *stock = NULL;
  add_number(altered->plan, "glue_per_edge", altered->step);
  return names_glued(altered, strip_of(altered->plan, 0, &stock));
}

static bool gluing_unsaid(struct altered *altered) {
  json_t *stock = NULL;
  json_object_del(altered->plan, "glue_per_edge");
  return names_piece(altered, strip_of(altered->plan, 0, &stock));
}

static bool turned_strip(struct altered *altered) {
  json_t *stock = NULL, *strip = strip_of(altered->plan, 1, &stock);
  put_flag(strip, "turned", !flag(strip, "turned"));
  return names_piece(altered, strip);
}

static bool glued_match(struct altered *altered) {
  json_t *stock = NULL, *strip = strip_of(altered->plan, 0, &stock);
  put_text(need_of(altered->plan, strip), "match", "a");
  return names_glued(altered, strip);
}

/* ---- leaves ---- */

static bool thicker_leaves(struct altered *altered) {
  json_t *stock = NULL;
  add_number(resawn(altered->plan, &stock), "leaf_thickness", 2 * altered->step);
  return names_stock(altered, stock);
}

static bool wider_resaw_kerf(struct altered *altered) {
  json_t *stock = NULL;
  (void)resawn(altered->plan, &stock);
  add_number(altered->plan, "resaw_kerf", 3 * altered->step);
  return names_stock(altered, stock);
}

static bool lower_resaw(struct altered *altered) {
  json_t *stock = NULL;
  put_number(altered->plan, "resaw_max_height", number(resawn(altered->plan, &stock), "width") - 1);
  return names_stock(altered, stock);
}

static bool resawing_unsaid(struct altered *altered) {
  json_t *stock = NULL;
  (void)resawn(altered->plan, &stock);
  json_object_del(altered->plan, "resaw_clean");
  return names_stock(altered, stock);
}

static bool more_leaves(struct altered *altered) {
  json_t *stock = NULL;
  json_object_set_new(resawn(altered->plan, &stock), "leaves", json_integer(3));
  return names_stock(altered, stock);
}

static bool smaller_resaw(struct altered *altered) {
  json_t *stock = NULL, *piece = resawn(altered->plan, &stock);
  add_number(piece, "length", -altered->step);
  return names_stock(altered, stock);
}

static bool resaw_keep(struct altered *altered) {
  json_t *cut = resaw_cut(altered->plan);
  add_number(cut, "keep", altered->step);
  return names_cut(altered, cut);
}

static bool resaw_in_silence(struct altered *altered) {
  json_t *cut = resaw_cut(altered->plan);
  json_array_clear(list(cut, "cautions"));
  return names_cut(altered, cut);
}

static bool resaw_askew(struct altered *altered) {
  json_t *cut = resaw_cut(altered->plan);
  add_number(cut, "x", altered->step);
  return names_cut(altered, cut);
}

static bool resaw_unsawn(struct altered *altered) {
  json_t *stock = NULL;
  (void)resawn(altered->plan, &stock);
  put_text(resaw_cut(altered->plan), "kind", "rip");
  return names_stock(altered, stock);
}

/* Changes places with a cut. */
static void swap_steps(json_t *a, json_t *b) {
  double step = number(a, "step");
  json_object_set(a, "step", json_object_get(b, "step"));
  json_object_set_new(b, "step", json_integer((json_int_t)step));
}

static bool leaf_too_early(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  swap_steps(resaw_cut(altered->plan), end_cut(leaf, NULL, false, false));
  return names_stock(altered, leaf);
}

static bool resawn_before_trims(struct altered *altered) {
  json_t *stock = NULL;
  (void)resawn(altered->plan, &stock);
  swap_steps(resaw_cut(altered->plan), end_cut(stock, NULL, true, false));
  return names_stock(altered, stock);
}

static bool other_plank(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  put_text(list(leaf, "leaf_of"), "stock", "nothing");
  return names_stock(altered, leaf);
}

static bool same_leaf_twice(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 1);
  json_object_set_new(list(leaf, "leaf_of"), "leaf", json_integer(1));
  return names_stock(altered, leaf);
}

static bool leaf_left_out(struct altered *altered) {
  size_t i;
  json_t *entry, *stock = NULL, *last = leaf_of(altered->plan, 1);
  (void)resawn(altered->plan, &stock);
  json_array_foreach(list(altered->plan, "stock"), i, entry) {
    if (entry != last) continue;
    json_array_remove(list(altered->plan, "stock"), i);
    return names_stock(altered, stock);
  }
  return false;
}

static bool larger_leaf(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  add_number(leaf, "width", altered->step);
  return names_stock(altered, leaf);
}

static bool other_wood(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  put_text(leaf, "wood", "elm");
  return names_stock(altered, leaf);
}

static bool sound_leaf(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  json_array_clear(list(leaf, "flaws"));
  return names_stock(altered, leaf);
}

static bool moved_knot(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  add_number(json_array_get(list(leaf, "flaws"), 0), "x", altered->step);
  return names_stock(altered, leaf);
}

static bool leaf_as_stock(struct altered *altered) {
  json_t *leaf = leaf_of(altered->plan, 0);
  json_object_del(leaf, "leaf_of");
  return names_stock(altered, leaf);
}

static const struct alteration alterations[] = {
    {"strip of another blank", other_blank, "strips not all there"},
    {"strip twice", strip_twice, "strips not all there"},
    {"one strip more wanted", one_strip_more, "strips not all there"},
    {"blank wider than its strips", wider_blank, "strips too small"},
    {"blank longer than its strips", longer_blank, "strips too small"},
    {"blank smaller than its part", smaller_blank, "blank too small"},
    {"more jointed off", more_jointed, "strips too small"},
    {"gluing not said", gluing_unsaid, "glued up"},
    {"strip turned", turned_strip, "strips differ"},
    {"part of a match glued up", glued_match, "match not kept"},
    {"leaves thicker", thicker_leaves, "too thin to resaw"},
    {"resaw kerf wider", wider_resaw_kerf, "too thin to resaw"},
    {"plank too high on edge", lower_resaw, "too wide to resaw"},
    {"resawing not said", resawing_unsaid, "resawn"},
    {"one leaf more", more_leaves, "leaves left out"},
    {"resawn in part", smaller_resaw, "resawn in part"},
    {"resaw keep changed", resaw_keep, "wrong keep"},
    {"resaw without a caution", resaw_in_silence, "no caution"},
    {"resaw askew", resaw_askew, "not edge to edge"},
    {"resaw cut made a rip", resaw_unsawn, "wrong count of resaw cuts"},
    {"leaf cut too early", leaf_too_early, "cut too early"},
    {"resawn before its trims", resawn_before_trims, "resawn before its trims"},
    {"leaf of another plank", other_plank, "leaf of no plank"},
    {"leaf twice", same_leaf_twice, "leaf of no plank"},
    {"leaf left out", leaf_left_out, "leaves left out"},
    {"leaf larger", larger_leaf, "leaf unlike its plank"},
    {"leaf of other wood", other_wood, "leaf unlike its plank"},
    {"leaf without its knot", sound_leaf, "leaf unlike its plank"},
    {"leaf's knot moved", moved_knot, "leaf unlike its plank"},
    {"leaf not said to be one", leaf_as_stock, "purchase missing"},
};

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  size_t slips = 0;
  json_t *plan = load_plan(fixture);
  assert_non_null(plan);
  char *dumped = dump_plan(plan);
  assert_true(passes(dumped, strlen(dumped)));
  free(dumped);
  for (size_t i = 0; i < sizeof alterations / sizeof *alterations; i++) {
    if (alter_one(plan, fixture, &alterations[i], &slips)) continue;
    print_error("%s: there is nothing to alter\n", alterations[i].name);
    slips++;
  }
  json_decref(plan);
  assert_int_equal(slips, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_alteration_is_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
