#include "proof/against.h"

#include <inttypes.h>
#include <string.h>

#include "base/fingerprint.h"
#include "base/text.h"
#include "model/stock_fingerprint.h"
#include "proof/check.h"
#include "proof/order.h"
#include "proof/trial.h"

static const char *text_or_empty(const char *text) { return text == NULL ? "" : text; }

static void same_length(struct trial *trial, const char *what, length_t plan, length_t project) {
  if (plan == project) return;
  proof_fault(&trial->proof, "not the project's: %s is %s in the plan, %s in the project", what,
              proof_length(&trial->proof, plan), proof_length(&trial->proof, project));
}

static void same_number(struct trial *trial, const char *what, int64_t plan, int64_t project) {
  if (plan == project) return;
  proof_fault(&trial->proof,
              "not the project's: %s is %" PRId64 " in the plan, %" PRId64 " in the project", what,
              plan, project);
}

static void same_text(struct trial *trial, const char *what, const char *plan,
                      const char *project) {
  if (strcmp(text_or_empty(plan), text_or_empty(project)) == 0) return;
  proof_fault(&trial->proof, "not the project's: %s is '%s' in the plan, '%s' in the project", what,
              text_or_empty(plan), text_or_empty(project));
}

/* A plan may leave a rate out; then it says no minutes by it either. */
static void same_rate(struct trial *trial, const char *what, int64_t plan, int64_t project) {
  if (plan >= 0) same_number(trial, what, plan, project);
}

static void check_settings(struct trial *trial, int64_t sets) {
  const struct claim *claim = trial->claim;
  const struct shop *shop = &trial->project->shop;
  same_text(trial, "'project'", claim->project, trial->project->name);
  same_number(trial, "'sets'", claim->sets, sets);
  if (trial->proof.unit != shop_unit(shop)) {
    proof_fault(&trial->proof, "not the project's: 'units' of the plan");
  }
  same_length(trial, "'kerf_crosscut'", claim->kerf[AXIS_X], shop->kerf_crosscut);
  same_length(trial, "'kerf_rip'", claim->kerf[AXIS_Y], shop->kerf_rip);
  same_number(trial, "'saw_stages'", claim->saw_stages, shop->saw_stages);
  same_number(trial, "'first_cut'", (int64_t)claim->first_cut, shop->first_cut);
  same_length(trial, "'flaw_margin'", claim->flaw_margin, shop->flaw_margin);
  same_length(trial, "'split_margin'", claim->split_margin, shop->split_margin);
  same_length(trial, "'offcut_min_length'", claim->offcut_min_length, shop->offcut_min_length);
  same_length(trial, "'offcut_min_width'", claim->offcut_min_width, shop->offcut_min_width);
  same_length(trial, "'rip_min_length'", claim->rip_min_length, shop->rip_min_length);
  same_length(trial, "'rip_capacity'", claim->rip_capacity, shop->rip_capacity);
  same_length(trial, "'crosscut_capacity'", claim->crosscut_capacity, shop->crosscut_capacity);
  same_number(trial, "'labour_rate' in cents", claim->labour_rate, shop->labour_rate);
  same_number(trial, "'saw_cut_min' in thousandths", claim->saw_cut_min, shop->saw_cut_min);
  same_rate(trial, "'setup_min' in thousandths", claim->setup_min, shop->setup_min);
  same_rate(trial, "'fence_setting_min' in thousandths", claim->fence_setting_min,
            shop->fence_setting_min);
  same_rate(trial, "'tab_clean_min' in thousandths", claim->tab_clean_min, shop->tab_clean_min);
}

/* What the project does not allow, the plan may not make use of. */
static void check_gluing_and_resawing(struct trial *trial) {
  const struct claim *claim = trial->claim;
  const struct shop *shop = &trial->project->shop;
  same_length(trial, "'glue_per_edge'", claim->glue_per_edge,
              shop->glue_up == 0 ? -1 : shop->glue_per_edge);
  same_length(trial, "'resaw_kerf'", claim->resaw_kerf, shop->resaw == 0 ? -1 : shop->resaw_kerf);
  same_length(trial, "'resaw_clean'", claim->resaw_clean,
              shop->resaw == 0 ? -1 : shop->resaw_clean);
  same_length(trial, "'resaw_max_height'", claim->resaw_max_height,
              shop->resaw == 0 ? -1 : shop->resaw_max_height);
}

/* ---- what is needed ---- */

static bool same_woods(const struct claim_need *need, const struct part *part) {
  if (need->wood_count != part->wood_count) return false;
  for (size_t i = 0; i < need->wood_count; i++) {
    if (!text_equal_fold(need->woods[i], part->woods[i])) return false;
  }
  return true;
}

/* How much of the raw thickness is left to be taken off, at least and at most. */
static void facing_limits(const struct shop *shop, const struct part *part, length_t *least,
                          length_t *most) {
  length_t faces = part->faced == FACED_TWO ? 2 : part->faced == FACED_ONE ? 1 : 0;
  *least = faces == 0 ? -shop->thickness_tolerance : faces * shop->face_min;
  *most = faces == 0 ? shop->thickness_tolerance : faces * shop->face_max;
}

/* What the plan says of the raw thickness is no wider than the project allows. */
static void check_raw_thickness(struct trial *trial, const struct claim_need *need,
                                const struct part *part) {
  length_t least = 0, most = 0;
  if (need->raw_least < 0) return;
  facing_limits(&trial->project->shop, part, &least, &most);
  if (need->raw_least >= part->thickness + least && need->raw_most <= part->thickness + most)
    return;
  proof_fault(&trial->proof, "not the project's: the raw thickness of part '%s'", need->part);
}

static void check_need(struct trial *trial, const struct claim_need *need, const struct part *part,
                       int64_t count) {
  struct proof *proof = &trial->proof;
  if (need->count != count || need->per_set != part->per_set) {
    proof_fault(proof,
                "not the project's: %" PRId64 " of part '%s' (%" PRId64
                " per set) in the plan, %" PRId64 " (%" PRId64 " per set) in the project",
                need->count, need->part, need->per_set, count, part->per_set);
  }
  if (need->length != part->length || need->width != part->width ||
      need->thickness != part->thickness) {
    proof_fault(proof,
                "not the project's: part '%s' is %s, %s thick in the plan, %s, %s thick in the "
                "project",
                need->part, proof_size(proof, need->length, need->width),
                proof_length(proof, need->thickness), proof_size(proof, part->length, part->width),
                proof_length(proof, part->thickness));
  }
  if (!same_woods(need, part)) {
    proof_fault(proof, "not the project's: the woods of part '%s'", need->part);
  }
  same_text(trial, arena_format(proof->arena, "match of part '%s'", need->part), need->match,
            part->match);
  if ((int)need->grain != (int)part->grain || (int)need->way != (int)part->way) {
    proof_fault(proof, "not the project's: grain or way of part '%s'", need->part);
  }
  check_raw_thickness(trial, need, part);
}

static int compare_parts(const void *a, const void *b) {
  const struct part *const *left = a, *const *right = b;
  return strcmp((*left)->name, (*right)->name);
}

const struct part *trial_find_part(const struct trial *trial, const char *name) {
  struct part key = {.name = name};
  size_t count = trial->project->part_count;
  size_t found = find_pointer(&key, trial->parts, count, compare_parts);
  return found == count ? NULL : trial->parts[found];
}

static void check_needs(struct trial *trial, int64_t sets) {
  const struct project *project = trial->project;
  const struct claim *claim = trial->claim;
  bool *seen = ARENA_ARRAY(trial->proof.arena, project->part_count, bool);
  for (size_t i = 0; i < claim->need_count; i++) {
    const struct claim_need *need = &claim->needs[i];
    const struct part *part = trial_find_part(trial, need->part);
    if (part == NULL) {
      proof_fault(&trial->proof, "not the project's: part '%s' of the plan is in no parts.csv line",
                  need->part);
      continue;
    }
    size_t index = (size_t)(part - project->parts);
    seen[index] = true;
    check_need(trial, need, part, project_needed(project, index, sets));
  }
  for (size_t i = 0; i < project->part_count; i++) {
    if (seen[i]) continue;
    proof_fault(&trial->proof, "part left out: '%s' of the project is not needed in the plan",
                project->parts[i].name);
  }
}

/* ---- stock ---- */

static bool same_flaw(const struct claim_flaw *claimed, const struct flaw *flaw) {
  return claimed->box.low[AXIS_X] == flaw->x && claimed->box.low[AXIS_Y] == flaw->y &&
         box_extent(&claimed->box, AXIS_X) == flaw->length &&
         box_extent(&claimed->box, AXIS_Y) == flaw->width && claimed->rim_ok == flaw->rim_ok &&
         strcmp(claimed->what, text_or_empty(flaw->what)) == 0;
}

/* The flaws of this copy, in the order of the project, are those of the plan. */
static void check_stock_flaws(struct trial *trial, const struct claim_stock *claimed,
                              const struct stock *stock) {
  struct proof *proof = &trial->proof;
  size_t next = 0;
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct flaw *flaw = &stock->flaws[i];
    if (flaw->copy != 0 && flaw->copy != claimed->copy) continue;
    if (next < claimed->flaw_count && same_flaw(&claimed->flaws[next], flaw)) {
      next++;
      continue;
    }
    proof_fault(proof, "flaw left out or changed: '%s' at %s of %s", text_or_empty(flaw->what),
                proof_point(proof, flaw->x, flaw->y), stock_text(proof, claimed));
    return;
  }
  if (next == claimed->flaw_count) return;
  proof_fault(proof, "not the project's: flaw '%s' of %s", claimed->flaws[next].what,
              stock_text(proof, claimed));
}

static bool same_face_grain(const struct claim_stock *claimed, const struct stock *stock) {
  if (stock->kind == STOCK_PLANK) return claimed->face_grain == CLAIM_GRAIN_LENGTH;
  return (int)claimed->face_grain == (int)stock->face_grain;
}

/* What settling goes by; plans of before do not say it. */
static void check_for_settling(struct trial *trial, const struct claim_stock *claimed,
                               const struct stock *stock) {
  struct arena *arena = trial->proof.arena;
  const char *name = stock_text(&trial->proof, claimed);
  if (claimed->crook >= 0) {
    same_length(trial, arena_format(arena, "crook of %s", name), claimed->crook, stock->crook);
    same_number(trial, arena_format(arena, "surface (planed: 1) of %s", name), claimed->planed,
                stock->surface == SURFACE_PLANED);
  }
  if (claimed->fingerprint != NULL)
    same_text(trial, arena_format(arena, "fingerprint of %s", name), claimed->fingerprint,
              fingerprint_text(arena, stock_fingerprint(stock)));
}

static void check_stock(struct trial *trial, const struct claim_stock *claimed,
                        const struct stock *stock) {
  struct arena *arena = trial->proof.arena;
  const char *name = stock_text(&trial->proof, claimed);
  if (claimed->yard != (stock->source == SOURCE_YARD) ||
      claimed->sheet != (stock->kind == STOCK_SHEET) || !same_face_grain(claimed, stock)) {
    proof_fault(&trial->proof, "not the project's: source, kind or face grain of %s", name);
  }
  same_text(trial, arena_format(arena, "wood of %s", name), claimed->wood, stock->wood);
  same_length(trial, arena_format(arena, "length of %s", name), claimed->length, stock->length);
  same_length(trial, arena_format(arena, "width of %s", name), claimed->width, stock->width);
  same_length(trial, arena_format(arena, "thickness of %s", name), claimed->thickness,
              stock->thickness);
  same_length(trial, arena_format(arena, "end trim of %s", name), claimed->trim_ends,
              stock->trim_ends);
  same_length(trial, arena_format(arena, "edge trim of %s", name), claimed->trim_edges,
              stock->trim_edges);
  same_number(trial, arena_format(arena, "price in cents of %s", name), claimed->price,
              stock->value);
  same_number(trial, arena_format(arena, "pack of %s", name), claimed->pack, stock->pack);
  same_number(trial, arena_format(arena, "count available (-1: no limit) of %s", name),
              claimed->available, stock->count);
  check_for_settling(trial, claimed, stock);
  check_stock_flaws(trial, claimed, stock);
}

static int compare_stocks(const void *a, const void *b) {
  const struct stock *const *left = a, *const *right = b;
  return strcmp((*left)->name, (*right)->name);
}

static const struct stock *find_stock(const struct trial *trial, const char *name) {
  struct stock key = {.name = name};
  size_t count = trial->project->stock_count;
  size_t found = find_pointer(&key, trial->stocks, count, compare_stocks);
  return found == count ? NULL : trial->stocks[found];
}

static void check_facing(struct trial *trial, const struct claim_stock *claimed,
                         const struct claim_piece *piece) {
  const struct part *part = piece->part == NULL ? NULL : trial_find_part(trial, piece->part);
  if (part == NULL) return;
  length_t least = 0, most = 0;
  facing_limits(&trial->project->shop, part, &least, &most);
  length_t spare = claimed->thickness - part->thickness;
  if (spare >= least && spare <= most) return;
  struct proof *proof = &trial->proof;
  proof_fault(proof, "thickness out of limits: %s is %s thicker than its part, allowed is %s to %s",
              piece_text(proof, claimed, piece), proof_length(proof, spare),
              proof_length(proof, least), proof_length(proof, most));
}

static void check_stocks(struct trial *trial) {
  for (size_t i = 0; i < trial->claim->stock_count; i++) {
    const struct claim_stock *claimed = &trial->claim->stocks[i];
    const struct stock *stock = find_stock(trial, claimed->stock);
    if (claimed->leaf_of != NULL) {
      /* no stock of the project; what it owes its plank is checked with the plan */
      for (size_t j = 0; j < claimed->piece_count; j++)
        check_facing(trial, claimed, &claimed->pieces[j]);
      continue;
    }
    if (stock == NULL) {
      proof_fault(&trial->proof, "not the project's: stock '%s' is in neither rack nor yard",
                  claimed->stock);
      continue;
    }
    check_stock(trial, claimed, stock);
    for (size_t j = 0; j < claimed->piece_count; j++) {
      check_facing(trial, claimed, &claimed->pieces[j]);
    }
  }
}

static void sort_project(struct trial *trial) {
  const struct project *project = trial->project;
  trial->parts = ARENA_ARRAY(trial->proof.arena, project->part_count, const struct part *);
  for (size_t i = 0; i < project->part_count; i++) trial->parts[i] = &project->parts[i];
  sort_pointers(trial->parts, project->part_count, compare_parts);
  trial->stocks = ARENA_ARRAY(trial->proof.arena, project->stock_count, const struct stock *);
  for (size_t i = 0; i < project->stock_count; i++) trial->stocks[i] = &project->stocks[i];
  sort_pointers(trial->stocks, project->stock_count, compare_stocks);
}

enum status proof_against_project(struct arena *arena, const struct project *project, int64_t sets,
                                  const char *text, size_t length,
                                  struct diagnostics *diagnostics) {
  struct trial trial = {.proof = {.arena = arena, .diagnostics = diagnostics, .name = "plan.json"},
                        .project = project};
  struct claim *claim = NULL;
  enum status status = claim_read(&trial.proof, text, length, &claim);
  if (status != STATUS_OK) return status;
  trial.claim = claim;
  sort_project(&trial);
  check_settings(&trial, sets);
  check_gluing_and_resawing(&trial);
  check_needs(&trial, sets);
  check_stocks(&trial);
  against_loads(&trial);
  against_holes(&trial);
  return trial.proof.faults == 0 ? STATUS_OK : STATUS_PROOF_FAILED;
}
