/* Work as it is held on the bed: every load on its own. */
#include <inttypes.h>
#include <string.h>

#include "proof/check.h"
#include "proof/order.h"
#include "proof/piece.h"

/* ---- which piece is which load ---- */

static int compare_names(const void *a, const void *b) {
  const struct claim_load *const *left = a, *const *right = b;
  return strcmp((*left)->name, (*right)->name);
}

static int compare_ofs(const void *a, const void *b) {
  const struct claim_load *const *left = a, *const *right = b;
  return strcmp((*left)->of, (*right)->of);
}

static struct claim_load **sorted_loads(struct proof *proof, const struct claim *claim,
                                        int (*compare)(const void *, const void *)) {
  struct claim_load **sorted = ARENA_ARRAY(proof->arena, claim->load_count, struct claim_load *);
  for (size_t i = 0; i < claim->load_count; i++) sorted[i] = &claim->loads[i];
  sort_pointers(sorted, claim->load_count, compare);
  return sorted;
}

static void link_piece(struct proof *proof, struct claim_load *load,
                       const struct claim_stock *stock, const struct claim_piece *piece) {
  if (load->piece != NULL) {
    proof_fault(proof, "load used twice: '%s' is '%s' and '%s'", load->name, load->piece->name,
                piece->name);
    return;
  }
  load->piece = piece;
  load->stock = stock;
}

static void link_pieces(struct proof *proof, struct claim *claim) {
  struct claim_load **by_name = sorted_loads(proof, claim, compare_names);
  struct claim_load **by_of = sorted_loads(proof, claim, compare_ofs);
  size_t count = claim->load_count;
  for (size_t i = 1; i < count; i++)
    if (compare_names(&by_name[i - 1], &by_name[i]) == 0)
      proof_fault(proof, "name used twice: load '%s'", by_name[i]->name);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->piece_count; j++) {
      const struct claim_piece *piece = &stock->pieces[j];
      bool glued = piece->glued != NULL;
      if (glued ? piece->strip != 1 : piece->load == NULL) continue;
      struct claim_load key = {.name = piece->load, .of = piece->glued};
      size_t found = glued ? find_pointer(&key, by_of, count, compare_ofs)
                           : find_pointer(&key, by_name, count, compare_names);
      if (found < count)
        link_piece(proof, glued ? by_of[found] : by_name[found], stock, piece);
      else if (!glued)
        proof_fault(proof, "no such load: %s is load '%s', which the plan does not have",
                    piece_text(proof, stock, piece), piece->load);
    }
  }
}

/* ---- geometry ---- */

static struct box load_box(const struct claim_load *load) {
  return (struct box){{0, 0}, {load->length, load->width}};
}

static void check_extent(struct proof *proof, const struct claim_load *load) {
  const struct claim_piece *piece = load->piece;
  bool glued = piece->glued != NULL;
  length_t x = box_extent(&piece->box, AXIS_X), y = box_extent(&piece->box, AXIS_Y);
  length_t length = glued ? piece->glued_length : piece->turned ? y : x;
  length_t width = glued ? piece->glued_width : piece->turned ? x : y;
  if (load->length != (load->across ? width : length) ||
      load->width != (load->across ? length : width) || load->thickness != load->stock->thickness) {
    proof_fault(proof, "wrong size: load '%s' is %s, %s thick, its piece '%s' %s, %s thick",
                load->name, proof_size(proof, load->length, load->width),
                proof_length(proof, load->thickness), piece->name, proof_size(proof, length, width),
                proof_length(proof, load->stock->thickness));
  }
  const char *name = glued ? piece->glued : piece->name;
  if (strcmp(load->of, name) != 0)
    proof_fault(proof, "wrong name: load '%s' is of '%s', its piece is '%s'", load->name, load->of,
                name);
}

/* The part's own length lies along the stock when neither turn, or both, put it across. */
static void check_made(struct proof *proof, const struct claim *claim,
                       const struct claim_load *load, const struct claim_made *made) {
  if (made->need == NO_INDEX) return;
  const struct claim_need *need = &claim->needs[made->need];
  length_t x = box_extent(&made->box, AXIS_X), y = box_extent(&made->box, AXIS_Y);
  if (x != (made->turned ? need->width : need->length) ||
      y != (made->turned ? need->length : need->width)) {
    proof_fault(proof, "wrong finished size: '%s' of load '%s' is %s, part '%s' is %s", made->name,
                load->name, proof_size(proof, x, y), need->part,
                proof_size(proof, need->length, need->width));
  }
  length_t edge = load->cutter_diameter + load->rim;
  struct box around = box_grown(&made->box, edge, edge), whole = load_box(load);
  if (!box_inside(&around, &whole)) {
    proof_fault(proof, "too near the edge: '%s' of load '%s' is at %s, %s have to lie around it",
                made->name, load->name,
                proof_point(proof, made->box.low[AXIS_X], made->box.low[AXIS_Y]),
                proof_length(proof, edge));
  }
  bool turned = (made->turned != load->across) != load->piece->turned;
  check_grain_of(proof, load->stock, need, load->piece, turned);
  check_wood(proof, load->stock, need, load->piece);
  if (load->piece->role == CLAIM_LOAD && need->way != CLAIM_GANG)
    proof_fault(proof, "wrong role: '%s' of load '%s' is of part '%s', which shares no load",
                made->name, load->name, need->part);
  if (load->piece->role != CLAIM_LOAD && load->piece->need != made->need)
    proof_fault(proof, "wrong part: load '%s' makes '%s' of the blank '%s'", load->name, need->part,
                load->of);
}

static void check_apart(struct proof *proof, const struct claim_load *load,
                        const struct claim_made *a, const struct claim_made *b) {
  struct box around = box_grown(&a->box, load->part_gap, load->part_gap);
  if (!box_meets(&around, &b->box)) return;
  proof_fault(proof, "parts too near: '%s' and '%s' of load '%s' lie less than %s apart", a->name,
              b->name, load->name, proof_length(proof, load->part_gap));
}

/* ---- clamps ---- */

/* A cutter's path is the outline grown by its reach; of a round a disc. */
static bool path_meets(const struct claim *claim, const struct claim_load *load,
                       const struct claim_made *made, const struct box *keep_out) {
  struct box path = box_grown(&made->box, load->reach, load->reach);
  if (!box_meets(&path, keep_out)) return false;
  if (made->need == NO_INDEX || !claim->needs[made->need].round) return true;
  double apart = 0;
  for (int axis = 0; axis < 2; axis++) {
    double centre = (double)(made->box.low[axis] + made->box.high[axis]) / 2;
    double low = (double)keep_out->low[axis] - centre, high = centre - (double)keep_out->high[axis];
    double beyond = low > high ? low : high;
    if (beyond > 0) apart += beyond * beyond;
  }
  double radius = (double)box_extent(&path, AXIS_X) / 2;
  return apart < radius * radius;
}

static void check_stand(struct proof *proof, const struct claim_load *load,
                        const struct claim_clamp *clamp) {
  enum axis across = clamp->side == CLAIM_LEFT || clamp->side == CLAIM_RIGHT ? AXIS_X : AXIS_Y;
  enum axis along = across == AXIS_X ? AXIS_Y : AXIS_X;
  struct box whole = load_box(load);
  bool low = clamp->side == CLAIM_LEFT || clamp->side == CLAIM_FRONT;
  length_t edge = low ? 0 : whole.high[across];
  bool on_edge = clamp->body.low[across] <= edge && clamp->body.high[across] >= edge;
  bool within = clamp->body.low[along] >= 0 && clamp->body.high[along] <= whole.high[along];
  if (!on_edge || !within)
    proof_fault(proof, "clamp off its side: '%s' of load '%s' at %s", clamp->clamp, load->name,
                proof_point(proof, clamp->body.low[AXIS_X], clamp->body.low[AXIS_Y]));
  if (!box_inside(&clamp->body, &clamp->keep_out))
    proof_fault(proof, "keep-out too small: that of clamp '%s' of load '%s' leaves its body out",
                clamp->clamp, load->name);
}

static void check_clamp(struct proof *proof, const struct claim *claim,
                        const struct claim_load *load, size_t index) {
  const struct claim_clamp *clamp = &load->clamps[index];
  check_stand(proof, load, clamp);
  for (size_t i = 0; i < index; i++)
    if (box_meets(&clamp->body, &load->clamps[i].body))
      proof_fault(proof, "clamps overlap: '%s' and '%s' of load '%s'", clamp->clamp,
                  load->clamps[i].clamp, load->name);
  for (size_t i = 0; i < load->part_count; i++)
    if (path_meets(claim, load, &load->parts[i], &clamp->keep_out))
      proof_fault(proof,
                  "cutter meets a clamp: the path around '%s' of load '%s' enters the "
                  "keep-out of '%s' at %s",
                  load->parts[i].name, load->name, clamp->clamp,
                  proof_point(proof, clamp->body.low[AXIS_X], clamp->body.low[AXIS_Y]));
}

/* ---- tabs ---- */

static bool on_outline(const struct claim_made *made, const struct claim_tab *tab, bool round) {
  const struct box *box = &made->box;
  length_t x = tab->at[AXIS_X], y = tab->at[AXIS_Y];
  if (round) { /* to the rounding of a unit each way */
    double radius = (double)box_extent(box, AXIS_X) / 2;
    double dx = (double)x - (double)(box->low[AXIS_X] + box->high[AXIS_X]) / 2;
    double dy = (double)y - (double)(box->low[AXIS_Y] + box->high[AXIS_Y]) / 2;
    double inner = (radius - 2) * (radius - 2), outer = (radius + 2) * (radius + 2);
    return dx * dx + dy * dy >= inner && dx * dx + dy * dy <= outer;
  }
  enum axis across = tab->side == CLAIM_LEFT || tab->side == CLAIM_RIGHT ? AXIS_X : AXIS_Y;
  bool low = tab->side == CLAIM_LEFT || tab->side == CLAIM_FRONT;
  enum axis along = across == AXIS_X ? AXIS_Y : AXIS_X;
  return tab->at[across] == (low ? box->low[across] : box->high[across]) &&
         tab->at[along] >= box->low[along] && tab->at[along] <= box->high[along];
}

static void check_tabs(struct proof *proof, const struct claim *claim,
                       const struct claim_load *load, const struct claim_made *made) {
  bool round = made->need != NO_INDEX && claim->needs[made->need].round;
  for (size_t i = 0; i < made->tab_count; i++) {
    const struct claim_tab *tab = &made->tabs[i];
    struct box spot = {{tab->at[AXIS_X] - 1, tab->at[AXIS_Y] - 1},
                       {tab->at[AXIS_X] + 1, tab->at[AXIS_Y] + 1}};
    if (!on_outline(made, tab, round))
      proof_fault(proof, "tab off the outline: of '%s' of load '%s' at %s", made->name, load->name,
                  proof_point(proof, tab->at[AXIS_X], tab->at[AXIS_Y]));
    for (size_t c = 0; c < load->clamp_count; c++)
      if (box_meets(&spot, &load->clamps[c].body))
        proof_fault(proof, "tab under a clamp: of '%s' of load '%s' at %s", made->name, load->name,
                    proof_point(proof, tab->at[AXIS_X], tab->at[AXIS_Y]));
  }
}

/* ---- all of it ---- */

static void check_load(struct proof *proof, const struct claim *claim,
                       const struct claim_load *load) {
  if (load->part_count == 0) proof_fault(proof, "empty load: '%s' makes nothing", load->name);
  check_extent(proof, load);
  for (size_t i = 0; i < load->part_count; i++) {
    check_made(proof, claim, load, &load->parts[i]);
    check_tabs(proof, claim, load, &load->parts[i]);
    for (size_t j = 0; j < i; j++) check_apart(proof, load, &load->parts[i], &load->parts[j]);
  }
  for (size_t i = 0; i < load->clamp_count; i++) check_clamp(proof, claim, load, i);
  if (load->clamped && load->clamp_count == 0)
    proof_fault(proof, "not held: load '%s' is said to be clamped and has no clamp", load->name);
}

void check_loads(struct proof *proof, struct claim *claim) {
  link_pieces(proof, claim);
  for (size_t i = 0; i < claim->load_count; i++) {
    const struct claim_load *load = &claim->loads[i];
    if (load->piece == NULL)
      proof_fault(proof, "load without wood: no piece of the plan is load '%s'", load->name);
    else
      check_load(proof, claim, load);
  }
}
