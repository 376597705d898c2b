/* Alterations of work as it is held on the bed: loads, their parts, clamps and tabs. */
#include "proof/alter.h"

/* Blanks with side clamps and loads of rectangles; loads of rounds. */
static const char *const fixtures[] = {SOURCE_ROOT "/tests/proof/pegs-mm.json",
                                       SOURCE_ROOT "/tests/proof/rounds-mm.json"};
enum { LOAD_FIXTURES = sizeof fixtures / sizeof *fixtures };

/* The first load that is more than a blank with its one part. */
static json_t *shared_load(const json_t *plan) {
  size_t i;
  json_t *load;
  json_array_foreach(list(plan, "loads"), i, load) {
    if (strncmp(text(load, "of"), "load ", 5) == 0 && json_array_size(list(load, "parts")) > 1)
      return load;
  }
  return NULL;
}

static json_t *piece_of_load(const json_t *plan, const json_t *load) {
  size_t i, j;
  json_t *entry, *piece;
  json_array_foreach(list(plan, "stock"), i, entry) {
    json_array_foreach(list(entry, "pieces"), j, piece) {
      if (strcmp(text(piece, "load"), text(load, "load")) == 0) return piece;
    }
  }
  return NULL;
}

static json_t *part_of(const json_t *load, size_t index) {
  return json_array_get(list(load, "parts"), index);
}

static bool names_load(struct altered *altered, const json_t *load) {
  return names_text(altered, text(load, "load"));
}

/* ---- loads ---- */

static bool load_left_out(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  (void)names_load(altered, load);
  json_array_remove(list(altered->plan, "loads"),
                    json_array_size(list(altered->plan, "loads")) - 1);
  size_t i;
  json_t *other;
  json_array_foreach(list(altered->plan, "loads"), i, other) {
    if (other != load) continue;
    json_array_remove(list(altered->plan, "loads"), i);
    return true;
  }
  return true;
}

static bool load_twice(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  (void)names_load(altered, load);
  json_array_append_new(list(altered->plan, "loads"), json_deep_copy(load));
  return true;
}

static bool load_without_wood(struct altered *altered) {
  json_t *load = json_deep_copy(shared_load(altered->plan));
  put_text(load, "load", "L999");
  json_array_append_new(list(altered->plan, "loads"), load);
  return names_text(altered, "L999");
}

static bool load_longer(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  add_number(load, "length", altered->step);
  return names_load(altered, load);
}

static bool load_thinner(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  add_number(load, "thickness", -altered->step);
  return names_load(altered, load);
}

static bool load_of_another(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  put_text(load, "of", "something else");
  return names_load(altered, load);
}

static bool piece_of_no_load(struct altered *altered) {
  json_t *piece = piece_of_load(altered->plan, shared_load(altered->plan));
  put_text(piece, "load", "L999");
  return names_text(altered, "L999");
}

static bool load_emptied(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  json_array_clear(list(load, "parts"));
  return names_load(altered, load);
}

static bool handling_hidden(struct altered *altered) {
  put_number(shared_load(altered->plan), "handling_min", 0);
  return names_text(altered, "handling");
}

/* ---- parts ---- */

static bool part_left_out(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  (void)names_text(altered, text(part_of(load, 0), "part"));
  json_array_remove(list(load, "parts"), 0);
  return true;
}

static bool part_unknown(struct altered *altered) {
  json_t *part = part_of(shared_load(altered->plan), 0);
  put_text(part, "part", "another");
  return names_text(altered, "another");
}

static bool part_larger(struct altered *altered) {
  json_t *part = part_of(shared_load(altered->plan), 0);
  add_number(part, "length", altered->step);
  return names_text(altered, text(part, "name"));
}

static bool part_at_the_edge(struct altered *altered) {
  json_t *part = part_of(shared_load(altered->plan), 0);
  put_number(part, "x", 0);
  return names_text(altered, text(part, "name"));
}

/* By a step more than there is between any of its parts and its edge. */
static bool rim_wider(struct altered *altered) {
  json_t *load = shared_load(altered->plan), *part = part_of(load, 0);
  double spare = number(part, "x") - number(load, "cutter_diameter");
  put_number(load, "rim", spare + altered->step);
  return names_text(altered, text(part, "name"));
}

static bool parts_on_each_other(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  json_t *one = part_of(load, 0), *other = part_of(load, 1);
  put_number(one, "x", number(other, "x"));
  put_number(one, "y", number(other, "y"));
  return names_text(altered, text(one, "name"));
}

static bool gap_wider(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  add_number(load, "part_gap", 5 * altered->step);
  return names_load(altered, load);
}

static bool grain_across(struct altered *altered) {
  json_t *load = shared_load(altered->plan), *part = part_of(load, 0);
  json_t *need = need_of(altered->plan, part);
  if (strcmp(text(need, "grain"), "any") == 0) return false;
  put_text(need, "grain", "across");
  return names_text(altered, text(need, "part"));
}

static bool part_of_another_wood(struct altered *altered) {
  json_t *need = need_of(altered->plan, part_of(shared_load(altered->plan), 0));
  json_t *woods = json_array();
  json_array_append_new(woods, json_string("ebony"));
  json_object_set_new(need, "woods", woods);
  return names_text(altered, text(need, "part"));
}

static bool part_that_shares_no_load(struct altered *altered) {
  json_t *need = need_of(altered->plan, part_of(shared_load(altered->plan), 0));
  put_text(need, "way", "blank");
  return names_text(altered, text(need, "part"));
}

/* ---- clamps ---- */

static json_t *clamp_of(const json_t *load, size_t index) {
  return json_array_get(list(load, "clamps"), index);
}

static json_t *keep_out_of(const json_t *load, size_t index) {
  return json_array_get(list(load, "keep_outs"), index);
}

static bool clamp_inwards(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  size_t i;
  json_t *clamp;
  json_array_foreach(list(load, "clamps"), i, clamp) {
    if (strcmp(text(clamp, "side"), "left") != 0) continue;
    add_number(clamp, "x", 60 * altered->step);
    add_number(keep_out_of(load, i), "x", 60 * altered->step);
    return names_text(altered, text(clamp, "clamp"));
  }
  return false;
}

static bool path_through_clamp(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  add_number(load, "reach_outside", 30 * altered->step);
  return names_load(altered, load);
}

static bool clamp_past_the_end(struct altered *altered) {
  json_t *load = shared_load(altered->plan), *clamp = clamp_of(load, 0);
  bool upright =
      strcmp(text(clamp, "side"), "left") == 0 || strcmp(text(clamp, "side"), "right") == 0;
  put_number(clamp, upright ? "y" : "x", -5 * altered->step);
  return names_text(altered, text(clamp, "clamp"));
}

static bool keep_out_shrunk(struct altered *altered) {
  json_t *load = shared_load(altered->plan), *keep_out = keep_out_of(load, 0);
  put_number(keep_out, "length", number(keep_out, "length") / 2);
  return names_load(altered, load);
}

static bool keep_out_missing(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  json_array_remove(list(load, "keep_outs"), 0);
  return names_load(altered, load);
}

static bool clamps_on_each_other(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  json_array_append_new(list(load, "clamps"), json_deep_copy(clamp_of(load, 0)));
  json_array_append_new(list(load, "keep_outs"), json_deep_copy(keep_out_of(load, 0)));
  return names_load(altered, load);
}

static bool clamps_taken_away(struct altered *altered) {
  json_t *load = shared_load(altered->plan);
  json_array_clear(list(load, "clamps"));
  json_array_clear(list(load, "keep_outs"));
  return names_load(altered, load);
}

/* ---- tabs ---- */

static bool tab_off_the_outline(struct altered *altered) {
  json_t *part = part_of(shared_load(altered->plan), 0);
  json_t *tab = json_array_get(list(part, "tabs"), 0);
  add_number(tab, "x", 4 * altered->step);
  add_number(tab, "y", 4 * altered->step);
  return names_text(altered, text(part, "name"));
}

/* ---- holes ---- */

/* The last hole of the first part that has any: on the edge of the round, or off an edge's inside.
 */
static json_t *last_hole(struct altered *altered) {
  size_t i;
  json_t *need;
  json_array_foreach(list(altered->plan, "needed"), i, need) {
    json_t *holes = list(need, "holes");
    if (json_array_size(holes) == 0) continue;
    (void)names_text(altered, text(need, "part"));
    return json_array_get(holes, json_array_size(holes) - 1);
  }
  return NULL;
}

static bool hole_off_the_end(struct altered *altered) {
  put_number(last_hole(altered), "x", 999);
  return true;
}

static bool hole_too_wide(struct altered *altered) {
  add_number(last_hole(altered), "diameter", 0.001 + 2 * 7);
  return true;
}

/* By 0.001 mm: on a round along its edge, from where it just touches. */
static bool hole_over_the_edge(struct altered *altered) {
  json_t *hole = last_hole(altered);
  bool round = number(hole, "x") < 3;
  put_number(hole, round ? "y" : "x", round ? 44.5 : 134.001);
  return true;
}

static bool hole_without_side(struct altered *altered) {
  json_object_del(last_hole(altered), "side");
  return names_text(altered, "side");
}

static const struct alteration alterations[] = {
    {"load left out", load_left_out, "no such load"},
    {"load twice", load_twice, "name used twice"},
    {"load without wood", load_without_wood, "load without wood"},
    {"load longer", load_longer, "wrong size"},
    {"load thinner", load_thinner, "wrong size"},
    {"load of another piece", load_of_another, "wrong name"},
    {"piece of no load", piece_of_no_load, "no such load"},
    {"load emptied", load_emptied, "empty load"},
    {"handling hidden", handling_hidden, "wrong sum"},
    {"part left out", part_left_out, "demand not met"},
    {"part unknown", part_unknown, "unknown part"},
    {"part larger", part_larger, "wrong finished size"},
    {"part at the edge", part_at_the_edge, "too near the edge"},
    {"rim wider", rim_wider, "too near the edge"},
    {"parts on each other", parts_on_each_other, "parts too near"},
    {"gap wider", gap_wider, "parts too near"},
    {"grain across", grain_across, "grain wrong"},
    {"part of another wood", part_of_another_wood, "wrong wood"},
    {"part that shares no load", part_that_shares_no_load, "wrong role"},
    {"clamp inwards", clamp_inwards, "clamp off its side"},
    {"cutter through a clamp", path_through_clamp, "cutter meets a clamp"},
    {"clamp past the end", clamp_past_the_end, "clamp off its side"},
    {"keep-out shrunk", keep_out_shrunk, "keep-out too small"},
    {"keep-out missing", keep_out_missing, "keep-outs missing"},
    {"clamps on each other", clamps_on_each_other, "clamps overlap"},
    {"clamps taken away", clamps_taken_away, "not held"},
    {"tab off the outline", tab_off_the_outline, "tab off the outline"},
    {"hole off the end", hole_off_the_end, "hole breaks out"},
    {"hole too wide", hole_too_wide, "hole breaks out"},
    {"hole over the edge", hole_over_the_edge, "hole breaks out"},
    {"hole without its side", hole_without_side, "missing key"},
};
enum { ALTERATIONS = sizeof alterations / sizeof *alterations };

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  size_t made[ALTERATIONS] = {0};
  size_t slips = 0;
  for (size_t f = 0; f < LOAD_FIXTURES; f++) {
    json_t *plan = load_plan(fixtures[f]);
    assert_non_null(plan);
    char *dumped = dump_plan(plan);
    assert_true(passes(dumped, strlen(dumped)));
    free(dumped);
    for (size_t i = 0; i < ALTERATIONS; i++)
      made[i] += alter_one(plan, fixtures[f], &alterations[i], &slips);
    json_decref(plan);
  }
  for (size_t i = 0; i < ALTERATIONS; i++) {
    if (made[i] == 0) print_error("%s: there is nothing to alter\n", alterations[i].name);
    assert_true(made[i] > 0);
  }
  assert_int_equal(slips, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_alteration_is_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
