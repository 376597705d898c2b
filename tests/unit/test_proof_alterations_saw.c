/* Alterations of the saw's work: cuts, kerfs, order, stages, limits, fence settings. */
#include "proof/alter.h"

/* ---- kerfs and places ---- */

static bool change_kerf(struct altered *altered, const char *kind, const char *key, double by) {
  json_t *cut = NULL;
  if (stock_with_cut(altered->plan, kind, true, &cut) == NULL) return false;
  add_number(altered->plan, key, by);
  (void)snprintf(altered->subject, sizeof altered->subject, "(%s) of", kind);
  return true;
}

static bool narrow_rip_kerf(struct altered *altered) {
  return change_kerf(altered, "rip", "kerf_rip", -altered->step / 2);
}

static bool narrow_crosscut_kerf(struct altered *altered) {
  return change_kerf(altered, "crosscut", "kerf_crosscut", -altered->step / 2);
}

static bool widen_rip_kerf(struct altered *altered) {
  return change_kerf(altered, "rip", "kerf_rip", altered->step);
}

static bool widen_crosscut_kerf(struct altered *altered) {
  return change_kerf(altered, "crosscut", "kerf_crosscut", altered->step);
}

/* The last cut of a stock that is no trim. */
static json_t *last_cut(struct altered *altered) {
  json_t *cut = NULL, *stock = stock_with_cut(altered->plan, NULL, false, &cut);
  return stock == NULL ? NULL : end_cut(stock, NULL, false, true);
}

static const char *normal(const json_t *cut) {
  return strcmp(text(cut, "kind"), "rip") == 0 ? "y" : "x";
}

static const char *along(const json_t *cut) {
  return strcmp(text(cut, "kind"), "rip") == 0 ? "x" : "y";
}

static bool move_cut(struct altered *altered) {
  json_t *cut = last_cut(altered);
  add_number(cut, normal(cut), altered->step / 2);
  return names_cut(altered, cut);
}

static bool slide_cut(struct altered *altered) {
  json_t *cut = last_cut(altered);
  add_number(cut, along(cut), altered->step);
  return names_cut(altered, cut);
}

static bool shorten_span(struct altered *altered) {
  json_t *cut = last_cut(altered);
  add_number(cut, "span", -altered->step);
  return names_cut(altered, cut);
}

static bool cut_the_air(struct altered *altered) {
  json_t *cut = last_cut(altered);
  add_number(cut, normal(cut), 5000 * altered->step);
  return names_cut(altered, cut);
}

static bool change_keep(struct altered *altered) {
  json_t *cut = last_cut(altered);
  add_number(cut, "keep", altered->step);
  return names_cut(altered, cut);
}

/* Of a trim, whose two sides are never the same. */
static bool change_keep_side(struct altered *altered) {
  json_t *cut = NULL;
  if (stock_with_cut(altered->plan, NULL, true, &cut) == NULL) return false;
  put_text(cut, "keep_side", strcmp(text(cut, "keep_side"), "low") == 0 ? "high" : "low");
  return names_cut(altered, cut);
}

static bool reuse_section_name(struct altered *altered) {
  size_t i, j, k;
  json_t *stock, *cut, *other;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "cuts"), j, cut) {
      json_array_foreach(list(stock, "cuts"), k, other) {
        if (flag(cut, "trim") || strcmp(text(cut, "kind"), text(other, "kind")) != 0) continue;
        if (number(other, "step") < number(cut, "step")) continue;
        double start = number(other, along(other));
        if (start <= number(cut, along(cut)) + number(cut, "span")) continue;
        put_text(other, "of", text(cut, "of"));
        return names_text(altered, text(other, "of"));
      }
    }
  }
  return false;
}

/* ---- order ---- */

static bool drop_cut(struct altered *altered) {
  json_t *cut = last_cut(altered);
  (void)snprintf(altered->subject, sizeof altered->subject, "number %.0f", number(cut, "step"));
  size_t i, j;
  json_t *stock, *other;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "cuts"), j, other) {
      if (other != cut) continue;
      json_array_remove(list(stock, "cuts"), j);
      add_number(altered->plan, "cut_count", -1);
      /* A later step keeps its number, so one number is missing below it. */
      return json_array_size(list(altered->plan, "stock")) > 1;
    }
  }
  return false;
}

/* The very last cut goes without a gap in the numbers: what it freed is no longer free. */
static bool drop_last_cut(struct altered *altered) {
  size_t i, j;
  json_t *stock, *cut;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "cuts"), j, cut) {
      if (number(cut, "step") < number(altered->plan, "cut_count")) continue;
      (void)names_stock(altered, stock);
      json_array_remove(list(stock, "cuts"), j);
      add_number(altered->plan, "cut_count", -1);
      return true;
    }
  }
  return false;
}

static bool swap_cuts(struct altered *altered) {
  size_t i;
  json_t *stock;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_t *first = end_cut(stock, NULL, false, false), *last = end_cut(stock, NULL, false, true);
    if (first == NULL || strcmp(text(first, "kind"), text(last, "kind")) == 0) continue;
    double step = number(first, "step");
    put_number(first, "step", number(last, "step"));
    put_number(last, "step", step);
    return names_cut(altered, last);
  }
  return false;
}

static bool duplicate_step(struct altered *altered) {
  json_t *cut = last_cut(altered);
  put_number(cut, "step", number(cut, "step") == 1 ? 2 : 1);
  (void)snprintf(altered->subject, sizeof altered->subject, "cut %.0f of", number(cut, "step"));
  return number(altered->plan, "cut_count") > 1;
}

static bool step_beyond(struct altered *altered) {
  json_t *cut = last_cut(altered);
  put_number(cut, "step", number(altered->plan, "cut_count") + 5);
  return names_cut(altered, cut);
}

static bool change_cut_count(struct altered *altered) {
  add_number(altered->plan, "cut_count", 1);
  return names_text(altered, "cut_count");
}

/* ---- trims ---- */

static bool unmark_trim(struct altered *altered) {
  json_t *cut = NULL, *stock = stock_with_cut(altered->plan, NULL, true, &cut);
  if (stock == NULL) return false;
  put_flag(cut, "trim", false);
  return names_stock(altered, stock);
}

static bool mark_as_trim(struct altered *altered) {
  json_t *cut = last_cut(altered);
  put_flag(cut, "trim", true);
  return names_cut(altered, cut);
}

static bool move_trim(struct altered *altered) {
  json_t *cut = NULL;
  if (stock_with_cut(altered->plan, NULL, true, &cut) == NULL) return false;
  add_number(cut, normal(cut), altered->step / 8);
  return names_cut(altered, cut);
}

/* ---- stages, first cut, limits ---- */

static size_t wanted_beside(const json_t *stock, double from, double to) {
  size_t i, count = 0;
  json_t *piece;
  json_array_foreach(list(stock, "pieces"), i, piece) {
    double x = number(piece, "x");
    if (is_wanted(piece) && x >= from && x + number(piece, "length") <= to) count++;
  }
  return count;
}

/* A section is crosscut off and ripped into two or more: never one stage. */
static bool lower_stages(struct altered *altered) {
  size_t i, j;
  json_t *stock, *cut;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    double usable = number(stock, "length") - 2 * number(stock, "trim_ends");
    size_t rips[2] = {0, 0};
    json_array_foreach(list(stock, "cuts"), j, cut) {
      if (flag(cut, "trim")) continue;
      if (strcmp(text(cut, "kind"), "rip") == 0 && number(cut, "span") == usable) rips[0]++;
      if (strcmp(text(cut, "kind"), "rip") == 0 && number(cut, "span") < usable &&
          wanted_beside(stock, number(cut, "x"), number(cut, "x") + number(cut, "span")) > 1) {
        rips[1]++;
      }
    }
    if (rips[0] != 0 || rips[1] == 0) continue;
    put_number(altered->plan, "saw_stages", 1);
    return names_stock(altered, stock);
  }
  return false;
}

static bool contradict_first_cut(struct altered *altered) {
  size_t i;
  json_t *stock;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_t *first = end_cut(stock, NULL, false, false);
    if (first == NULL || wanted_beside(stock, 0, number(stock, "length")) < 2) continue;
    put_text(altered->plan, "first_cut",
             strcmp(text(first, "kind"), "rip") == 0 ? "crosscut" : "rip");
    return names_stock(altered, stock);
  }
  return false;
}

static bool change_limit(struct altered *altered, const char *kind, const char *key, double value) {
  json_t *cut = NULL, *rules = list(altered->plan, "rules");
  json_t *stock = stock_with_cut(altered->plan, kind, false, &cut);
  if (stock == NULL || strcmp(text(stock, "kind"), "plank") != 0) return false;
  put_flag(rules, "kept", true);
  put_number(rules, key, value);
  return names_cut(altered, cut);
}

static bool raise_rip_minimum(struct altered *altered) {
  return change_limit(altered, "rip", "rip_min_length", 9000 * altered->step);
}

static bool lower_crosscut_capacity(struct altered *altered) {
  return change_limit(altered, "crosscut", "crosscut_capacity", altered->step);
}

static bool lower_rip_capacity(struct altered *altered) {
  size_t i, j;
  json_t *stock, *cut;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    double usable = number(stock, "width") - 2 * number(stock, "trim_edges");
    double kerf = number(altered->plan, "kerf_rip");
    json_array_foreach(list(stock, "cuts"), j, cut) {
      double keep = number(cut, "keep");
      bool rip = strcmp(text(cut, "kind"), "rip") == 0 && !flag(cut, "trim");
      if (!rip || keep < 2 * altered->step || usable - kerf - keep < 2 * altered->step) continue;
      if (number(cut, "span") < number(stock, "length") - 2 * number(stock, "trim_ends")) continue;
      put_flag(list(altered->plan, "rules"), "kept", true);
      put_number(list(altered->plan, "rules"), "rip_capacity", altered->step);
      return names_cut(altered, cut);
    }
  }
  return false;
}

static bool silence_caution(struct altered *altered) {
  if (flag(list(altered->plan, "rules"), "kept")) return false;
  json_t *cut = NULL;
  if (stock_with_cut(altered->plan, "rip", false, &cut) == NULL) return false;
  if (number(cut, "span") >= number(list(altered->plan, "rules"), "rip_min_length")) return false;
  json_object_set_new(cut, "cautions", json_array());
  return names_cut(altered, cut);
}

static bool claim_rules_kept(struct altered *altered) {
  bool broken = silence_caution(altered);
  put_flag(list(altered->plan, "rules"), "kept", true);
  return broken;
}

/* ---- fence settings ---- */

static bool share_fence(struct altered *altered) {
  size_t i, j;
  json_t *stock, *cut, *first = NULL;
  json_array_foreach(list(altered->plan, "stock"), i, stock) {
    json_array_foreach(list(stock, "cuts"), j, cut) {
      if (first == NULL) first = cut;
      if (number(first, "keep") == number(cut, "keep")) continue;
      put_number(cut, "fence_setting", number(first, "fence_setting"));
      return names_cut(altered, cut);
    }
  }
  return false;
}

static bool unused_fence(struct altered *altered) {
  add_number(altered->plan, "fence_settings", 1);
  return names_text(altered, "fence_settings");
}

static bool unknown_fence(struct altered *altered) {
  json_t *cut = last_cut(altered);
  put_number(cut, "fence_setting", number(altered->plan, "fence_settings") + 1);
  return names_cut(altered, cut);
}

static const struct alteration alterations[] = {
    {"kerf of rips narrowed", narrow_rip_kerf, "trim out of place"},
    {"kerf of crosscuts narrowed", narrow_crosscut_kerf, "wrong keep"},
    {"kerf of rips widened", widen_rip_kerf, "wrong keep"},
    {"kerf of crosscuts widened", widen_crosscut_kerf, "trim out of place"},
    {"cut moved", move_cut, "wrong keep"},
    {"cut moved along itself", slide_cut, "not edge to edge"},
    {"span shortened", shorten_span, "not edge to edge"},
    {"cut outside the wood", cut_the_air, "nothing to cut"},
    {"keep changed", change_keep, "wrong keep"},
    {"keep side changed", change_keep_side, "wrong keep"},
    {"section name used again", reuse_section_name, "one name for two sections"},
    {"cut dropped", drop_cut, "step missing"},
    {"last cut dropped", drop_last_cut, "not what the saw leaves"},
    {"cut order swapped", swap_cuts, "not edge to edge"},
    {"step duplicated", duplicate_step, "step used twice"},
    {"step beyond the last", step_beyond, "step out of order"},
    {"count of cuts changed", change_cut_count, "wrong count of cuts"},
    {"trim not marked", unmark_trim, "trim missing"},
    {"cut marked as trim", mark_as_trim, "trim out of place"},
    {"cut marked as trim among others", mark_as_trim, "trim too late"},
    {"trim moved", move_trim, "trim out of place"},
    {"saw_stages lowered", lower_stages, "too many stages"},
    {"first_cut contradicted", contradict_first_cut, "wrong first cut"},
    {"rip minimum raised", raise_rip_minimum, "the piece ripped is too short"},
    {"crosscut capacity lowered", lower_crosscut_capacity, "the piece is too wide"},
    {"rip capacity lowered", lower_rip_capacity, "the fence does not reach"},
    {"caution left out", silence_caution, "the piece ripped is too short"},
    {"rules claimed to be kept", claim_rules_kept, "the piece ripped is too short"},
    {"one fence setting for two", share_fence, "one fence setting for two"},
    {"fence setting not used", unused_fence, "fence setting not used"},
    {"fence setting unknown", unknown_fence, "unknown fence setting"},
};

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  alter_all(alterations, sizeof alterations / sizeof *alterations);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_alteration_is_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
