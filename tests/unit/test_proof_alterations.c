/* Alterations of the layouts: stock, pieces, flaws and cuts. */
#include "proof/alter.h"

/* ---- pieces ---- */

static bool move_piece(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(piece, "x", altered->step);
  add_number(list(piece, "finished"), "x", altered->step);
  return names_piece(altered, piece);
}

static bool grow_piece(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(piece, "width", altered->step);
  return names_piece(altered, piece);
}

/* A piece and its neighbour across a kerf of the first stock that has such two. */
static bool grow_to_neighbour(struct altered *altered) {
  double kerf = number(altered->plan, "kerf_crosscut");
  size_t i, j, k;
  json_t *stock, *piece, *other;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "pieces"), j, piece) {
      double end = number(piece, "x") + number(piece, "length");
      double top = number(piece, "y") + number(piece, "width");
      json_array_foreach(list(stock, "pieces"), k, other) {
        if (number(other, "x") - end > kerf + 0.001 || number(other, "x") < end) continue;
        if (number(other, "y") >= top) continue;
        if (number(other, "y") + number(other, "width") <= number(piece, "y")) continue;
        add_number(piece, "length", altered->step);
        return names_piece(altered, piece);
      }
    }
  }
  return false;
}

static bool is_near(double a, double b) { return a - b < 0.001 && b - a < 0.001; }

/* Two pieces corner to corner, a kerf apart both ways, brought nearer both ways. */
static bool move_to_corner(struct altered *altered) {
  double crosscut = number(altered->plan, "kerf_crosscut"), rip = number(altered->plan, "kerf_rip");
  size_t i, j, k;
  json_t *stock, *piece, *other;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "pieces"), j, piece) {
      double end = number(piece, "x") + number(piece, "length");
      double top = number(piece, "y") + number(piece, "width");
      json_array_foreach(list(stock, "pieces"), k, other) {
        if (!is_near(number(other, "x"), end + crosscut)) continue;
        if (!is_near(number(other, "y"), top + rip)) continue;
        add_number(other, "x", -altered->step);
        add_number(other, "y", -altered->step);
        (void)snprintf(altered->subject, sizeof altered->subject, "'%s' and '%s'",
                       text(piece, "name"), text(other, "name"));
        return true;
      }
    }
  }
  return false;
}

static bool duplicate_piece(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  json_t *copy = json_deep_copy(piece);
  put_text(copy, "name", "one too many");
  json_array_append_new(list(stock, "pieces"), copy);
  return names_text(altered, "one too many");
}

static bool duplicate_name(struct altered *altered) {
  json_t *pieces = list(json_array_get(list(altered->plan, "stock"), 0), "pieces");
  size_t last = json_array_size(list(altered->plan, "stock")) - 1;
  json_t *other =
      json_array_get(list(json_array_get(list(altered->plan, "stock"), last), "pieces"), 0);
  if (last == 0) return false;
  put_text(other, "name", text(json_array_get(pieces, 0), "name"));
  return names_piece(altered, other);
}

static void remove_from(json_t *items, const json_t *item) {
  for (size_t i = 0; i < json_array_size(items); i++) {
    if (json_array_get(items, i) != item) continue;
    json_array_remove(items, i);
    return;
  }
}

static bool remove_piece(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  (void)names_text(altered, text(piece, "part"));
  remove_from(list(stock, "pieces"), piece);
  return true;
}

static bool rename_part(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_text(piece, "part", "what nobody asked for");
  return names_piece(altered, piece);
}

static bool flip_piece(struct altered *altered) {
  size_t i, j;
  json_t *stock, *piece;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    if (strcmp(text(stock, "face_grain"), "none") == 0) continue;
    json_array_foreach(list(stock, "pieces"), j, piece) {
      if (!is_wanted(piece)) continue;
      if (strcmp(text(need_of(altered->plan, piece), "grain"), "any") == 0) continue;
      put_flag(piece, "turned", !flag(piece, "turned"));
      return names_piece(altered, piece);
    }
  }
  return false;
}

static bool widen_finished(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(list(piece, "finished"), "width", -altered->step);
  return names_piece(altered, piece);
}

static bool move_finished(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(list(piece, "finished"), "x", number(piece, "length"));
  return names_piece(altered, piece);
}

static bool raise_reach(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, "blank", &stock);
  if (piece == NULL) return false;
  put_number(piece, "reach", number(piece, "width"));
  return names_piece(altered, piece);
}

static bool raise_cutter(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, "blank", &stock);
  if (piece == NULL) return false;
  put_number(piece, "cutter_diameter", number(piece, "width"));
  return names_piece(altered, piece);
}

static bool blank_as_part(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, "blank", &stock);
  if (piece == NULL) return false;
  put_text(piece, "role", "part");
  return names_piece(altered, piece);
}

static json_t *first_gang_piece(const json_t *plan) {
  size_t i, j;
  json_t *entry, *piece;
  json_array_foreach(list(plan, "stock"), i, entry) {
    json_array_foreach(list(entry, "pieces"), j, piece) {
      const json_t *need = is_wanted(piece) ? need_of(plan, piece) : NULL;
      if (need != NULL && strcmp(text(need, "way"), "gang") == 0) return piece;
    }
  }
  return NULL;
}

static bool gang_without_leave(struct altered *altered) {
  if (!flag(altered->plan, "gang_as_blanks")) return false;
  put_flag(altered->plan, "gang_as_blanks", false);
  return names_piece(altered, first_gang_piece(altered->plan));
}

/* ---- stock ---- */

static bool shorten_stock(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  double end = number(piece, "x") + number(piece, "length");
  put_number(stock, "length", end + number(stock, "trim_ends") - altered->step);
  return names_piece(altered, piece);
}

static bool enlarge_trim(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_number(stock, "trim_edges", number(piece, "y") + altered->step);
  return names_piece(altered, piece);
}

static bool trim_all(struct altered *altered) {
  json_t *stock = json_array_get(list(altered->plan, "stock"), 0);
  put_number(stock, "trim_ends", number(stock, "length") / 2);
  return names_stock(altered, stock);
}

static bool change_wood(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  if (json_array_size(list(need_of(altered->plan, piece), "woods")) == 0) return false;
  put_text(stock, "wood", "driftwood");
  return names_piece(altered, piece);
}

static bool thin_stock(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_number(stock, "thickness",
             number(need_of(altered->plan, piece), "thickness") - altered->step);
  return names_piece(altered, piece);
}

static bool thicken_stock(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_number(stock, "thickness", 2 * number(piece, "length"));
  return names_piece(altered, piece);
}

static bool copy_beyond(struct altered *altered) {
  size_t i;
  json_t *stock;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    if (json_is_null(json_object_get(stock, "available"))) continue;
    put_number(stock, "copy", number(stock, "available") + 1);
    return names_stock(altered, stock);
  }
  return false;
}

static bool duplicate_stock(struct altered *altered) {
  json_t *stock = json_array_get(list(altered->plan, "stock"), 0);
  json_array_append_new(list(altered->plan, "stock"), json_deep_copy(stock));
  return names_stock(altered, stock);
}

static bool idle_stock(struct altered *altered) {
  json_t *stock = json_deep_copy(json_array_get(list(altered->plan, "stock"), 0));
  put_number(stock, "copy", 777);
  json_object_set_new(stock, "pieces", json_array());
  json_object_set_new(stock, "cuts", json_array());
  json_array_append_new(list(altered->plan, "stock"), stock);
  return names_stock(altered, stock);
}

static bool unequal_copies(struct altered *altered) {
  json_t *stocks = list(altered->plan, "stock");
  for (size_t i = 1; i < json_array_size(stocks); i++) {
    json_t *before = json_array_get(stocks, i - 1), *stock = json_array_get(stocks, i);
    if (strcmp(text(before, "stock"), text(stock, "stock")) != 0) continue;
    add_number(stock, "thickness", altered->step / 4);
    return names_text(altered, text(stock, "stock"));
  }
  return false;
}

/* ---- flaws ---- */

/* The first stock with a flaw and a part or blank. */
static json_t *flawed_stock(struct altered *altered, json_t **flaw, json_t **piece) {
  size_t i, j;
  json_t *stock;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    *flaw = json_array_get(list(stock, "flaws"), 0);
    if (*flaw == NULL) continue;
    json_array_foreach(list(stock, "pieces"), j, *piece) {
      if (is_wanted(*piece)) return stock;
    }
  }
  return NULL;
}

static bool move_flaw(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL;
  if (flawed_stock(altered, &flaw, &piece) == NULL) return false;
  put_number(flaw, "x", number(piece, "x") + altered->step);
  put_number(flaw, "y", number(piece, "y") + altered->step);
  put_flag(flaw, "rim_ok", false);
  return names_piece(altered, piece);
}

static bool enlarge_flaw(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL, *stock = flawed_stock(altered, &flaw, &piece);
  if (stock == NULL) return false;
  put_number(flaw, "x", 0);
  put_number(flaw, "length", number(stock, "length"));
  put_number(flaw, "width", number(stock, "width"));
  return names_piece(altered, piece);
}

static bool enlarge_flaw_margin(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL, *stock = flawed_stock(altered, &flaw, &piece);
  if (stock == NULL) return false;
  put_number(altered->plan, "flaw_margin", number(stock, "length"));
  return names_piece(altered, piece);
}

static bool enlarge_split_margin(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL, *stock = flawed_stock(altered, &flaw, &piece);
  if (stock == NULL) return false;
  put_text(flaw, "what", "a Split");
  put_number(flaw, "y", number(piece, "y"));
  put_flag(flaw, "rim_ok", false);
  put_number(altered->plan, "split_margin", number(stock, "length"));
  return names_piece(altered, piece);
}

static bool forbid_rim(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL;
  if (flawed_stock(altered, &flaw, &piece) == NULL || !flag(flaw, "rim_ok")) return false;
  put_flag(flaw, "rim_ok", false);
  return names_piece(altered, piece);
}

/* The same flaw, allowed in the rim, moved on to where the cutter goes. */
static bool flaw_under_cutter(struct altered *altered) {
  json_t *flaw = NULL, *piece = NULL;
  if (flawed_stock(altered, &flaw, &piece) == NULL || !flag(flaw, "rim_ok")) return false;
  double cutter = number(list(piece, "finished"), "x") - number(piece, "reach");
  double grown = number(flaw, "length") + number(altered->plan, "flaw_margin");
  put_number(flaw, "x", cutter - grown + altered->step / 2);
  return names_piece(altered, piece);
}

/* ---- offcuts ---- */

static bool raise_offcut_minimum(struct altered *altered) {
  json_t *stock = NULL, *offcut = first_piece(altered->plan, "offcut", &stock);
  if (offcut == NULL) return false;
  put_number(altered->plan, "offcut_min_length", 2 * number(stock, "length"));
  return names_piece(altered, offcut);
}

static bool leave_offcut_out(struct altered *altered) {
  json_t *stock = NULL, *offcut = first_piece(altered->plan, "offcut", &stock);
  if (offcut == NULL) return false;
  remove_from(list(stock, "pieces"), offcut);
  return names_stock(altered, stock);
}

static bool shorten_offcut(struct altered *altered) {
  json_t *stock = NULL, *offcut = first_piece(altered->plan, "offcut", &stock);
  if (offcut == NULL) return false;
  add_number(offcut, "length", -altered->step);
  return names_piece(altered, offcut);
}

static const struct alteration alterations[] = {
    {"piece moved", move_piece, "not what the saw leaves"},
    {"piece grown into the kerf", grow_piece, "not what the saw leaves"},
    {"piece grown towards its neighbour", grow_to_neighbour, "no room for the kerf"},
    {"piece moved to another's corner", move_to_corner, "no room for the kerf"},
    {"piece duplicated", duplicate_piece, "pieces overlap"},
    {"piece on another's wood", duplicate_piece, "same wood used twice"},
    {"name duplicated", duplicate_name, "name used twice"},
    {"piece removed", remove_piece, "demand not met"},
    {"unknown part", rename_part, "unknown part"},
    {"turned flipped on a piece with grain", flip_piece, "grain wrong"},
    {"turned flipped, size left", flip_piece, "wrong finished size"},
    {"finished size changed", widen_finished, "wrong finished size"},
    {"finished part moved out of its piece", move_finished, "finished part outside"},
    {"reach raised", raise_reach, "blank too small"},
    {"cutter diameter raised", raise_cutter, "blank too small"},
    {"blank called a part", blank_as_part, "wrong role"},
    {"gang parts in blanks without leave", gang_without_leave, "gang part in a blank of its own"},
    {"stock shortened", shorten_stock, "outside the stock"},
    {"trim enlarged", enlarge_trim, "outside the stock"},
    {"trim of everything", trim_all, "nothing left by the trims"},
    {"wood changed", change_wood, "wrong wood"},
    {"stock thinned", thin_stock, "stock too thin"},
    {"stock thickened", thicken_stock, "stock far too thick"},
    {"copy beyond those available", copy_beyond, "no such copy"},
    {"stock entry duplicated", duplicate_stock, "stock used twice"},
    {"stock cut for nothing", idle_stock, "used for nothing"},
    {"copies of one stock differ", unequal_copies, "copies differ"},
    {"flaw moved under a piece", move_flaw, "flaw touched"},
    {"flaw enlarged", enlarge_flaw, "flaw touched"},
    {"flaw margin enlarged", enlarge_flaw_margin, "flaw touched"},
    {"split margin enlarged", enlarge_split_margin, "flaw touched"},
    {"flaw no longer allowed in a rim", forbid_rim, "flaw touched"},
    {"flaw allowed in a rim under the cutter", flaw_under_cutter, "flaw touched"},
    {"offcut below minimum", raise_offcut_minimum, "offcut too small"},
    {"offcut left out", leave_offcut_out, "offcut left out"},
    {"offcut shortened", shorten_offcut, "not what the saw leaves"},
};

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  alter_all(alterations, sizeof alterations / sizeof *alterations);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_alteration_is_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
