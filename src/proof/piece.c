#include "proof/piece.h"

#include <string.h>

#include "base/text.h"

/* Where the plan does not say how thick stock may be: this much thinner than the part is taken
 * for a tolerance, not for a mistake. */
#define THIN_BY_MOST (LENGTH_PER_MM / 2)
/* Stock over twice its part's thickness and this much more is no sensible choice. */
#define THICK_BY_MOST MM(50)

static bool same_letter(char letter, char small) {
  return letter == small || (letter >= 'A' && letter <= 'Z' && letter - 'A' == small - 'a');
}

/* `word` is in small letters. */
static bool contains_folded(const char *text, const char *word) {
  size_t length = strlen(word);
  for (; *text != '\0'; text++) {
    size_t same = 0;
    while (same < length && same_letter(text[same], word[same])) same++;
    if (same == length) return true;
  }
  return false;
}

struct box *grown_flaws(struct proof *proof, const struct claim *claim,
                        const struct claim_stock *stock) {
  struct box *grown = ARENA_ARRAY(proof->arena, stock->flaw_count, struct box);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct claim_flaw *flaw = &stock->flaws[i];
    bool split = contains_folded(flaw->what, "split");
    grown[i] =
        box_grown(&flaw->box, split ? claim->split_margin : claim->flaw_margin, claim->flaw_margin);
  }
  return grown;
}

/* What any cutter reaches around a blank's finished outline. */
static length_t reach_of(const struct claim_piece *piece) {
  return piece->reach > piece->cutter_diameter ? piece->reach : piece->cutter_diameter;
}

static void check_flaws(struct proof *proof, const struct claim_stock *stock,
                        const struct box *flaws, const struct claim_piece *piece) {
  length_t reach = reach_of(piece);
  struct box core = box_grown(&piece->finished, reach, reach);
  bool whole = piece->strip > 0 || piece->role == CLAIM_LOAD; /* where its parts lie is not asked */
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct claim_flaw *flaw = &stock->flaws[i];
    bool rim = flaw->rim_ok && !whole;
    if (!box_meets(rim ? &core : &piece->box, &flaws[i])) continue;
    proof_fault(proof, "flaw touched: %s at %s, %s, meets the flaw '%s' at %s, %s, with its margin",
                piece_text(proof, stock, piece),
                proof_point(proof, piece->box.low[AXIS_X], piece->box.low[AXIS_Y]),
                proof_size(proof, box_extent(&piece->box, AXIS_X), box_extent(&piece->box, AXIS_Y)),
                flaw->what, proof_point(proof, flaw->box.low[AXIS_X], flaw->box.low[AXIS_Y]),
                proof_size(proof, box_extent(&flaw->box, AXIS_X), box_extent(&flaw->box, AXIS_Y)));
  }
}

static void check_grain(struct proof *proof, const struct claim_stock *stock,
                        const struct claim_need *need, const struct claim_piece *piece) {
  check_grain_of(proof, stock, need, piece, piece->turned);
}

void check_grain_of(struct proof *proof, const struct claim_stock *stock,
                    const struct claim_need *need, const struct claim_piece *piece, bool turned) {
  if (need->grain == CLAIM_ANY) return;
  if (stock->sheet && stock->face_grain == CLAIM_GRAIN_NONE) return;
  bool grain_across = stock->sheet && stock->face_grain == CLAIM_GRAIN_WIDTH;
  bool turn = grain_across != (need->grain == CLAIM_ACROSS);
  if (turned == turn) return;
  proof_fault(proof, "grain wrong: %s has to lie %s, grain of part '%s' is %s",
              piece_text(proof, stock, piece), turn ? "turned" : "unturned", need->part,
              need->grain == CLAIM_ALONG ? "along" : "across");
}

static void check_size(struct proof *proof, const struct claim_stock *stock,
                       const struct claim_need *need, const struct claim_piece *piece) {
  const struct box *finished = &piece->finished;
  length_t along_x = piece->turned ? need->width : need->length;
  length_t along_y = piece->turned ? need->length : need->width;
  if (box_extent(finished, AXIS_X) != along_x || box_extent(finished, AXIS_Y) != along_y) {
    proof_fault(proof, "wrong finished size: %s is %s, part '%s'%s is %s",
                piece_text(proof, stock, piece),
                proof_size(proof, box_extent(finished, AXIS_X), box_extent(finished, AXIS_Y)),
                need->part, piece->turned ? " turned" : "", proof_size(proof, along_x, along_y));
  }
  if (!box_inside(finished, &piece->box)) {
    proof_fault(proof, "finished part outside: that of %s does not lie inside its piece",
                piece_text(proof, stock, piece));
    return;
  }
  length_t reach = reach_of(piece);
  struct box routed = box_grown(finished, reach, reach);
  if (box_inside(&routed, &piece->box)) return;
  proof_fault(proof, "blank too small: %s leaves less than %s around its finished part",
              piece_text(proof, stock, piece), proof_length(proof, reach));
}

static bool wood_allowed(const struct claim_need *need, const char *wood) {
  for (size_t i = 0; i < need->wood_count; i++) {
    if (text_equal_fold(need->woods[i], wood)) return true;
  }
  return need->wood_count == 0;
}

void check_wood(struct proof *proof, const struct claim_stock *stock, const struct claim_need *need,
                const struct claim_piece *piece) {
  if (!wood_allowed(need, stock->wood)) {
    proof_fault(proof, "wrong wood: %s is of %s, part '%s' is not", piece_text(proof, stock, piece),
                stock->wood, need->part);
  }
  length_t least = need->raw_least >= 0 ? need->raw_least : need->thickness - THIN_BY_MOST;
  length_t most = need->raw_most >= 0 ? need->raw_most : 2 * need->thickness + THICK_BY_MOST;
  if (stock->thickness < least) {
    proof_fault(proof, "stock too thin: %s is of stock %s thick, part '%s' is %s",
                piece_text(proof, stock, piece), proof_length(proof, stock->thickness), need->part,
                proof_length(proof, need->thickness));
  }
  if (stock->thickness > most) {
    proof_fault(proof, "stock far too thick: %s is of stock %s thick, part '%s' is %s",
                piece_text(proof, stock, piece), proof_length(proof, stock->thickness), need->part,
                proof_length(proof, need->thickness));
  }
}

static void check_way(struct proof *proof, const struct claim *claim,
                      const struct claim_stock *stock, const struct claim_need *need,
                      const struct claim_piece *piece) {
  bool sawn = piece->role == CLAIM_PART;
  if (sawn != (need->way == CLAIM_SAW)) {
    proof_fault(proof, "wrong role: %s is a %s, part '%s' is %s", piece_text(proof, stock, piece),
                sawn ? "part" : "blank", need->part,
                need->way == CLAIM_SAW ? "sawn to size" : "routed from a blank");
  }
  if (need->way == CLAIM_GANG && !claim->gang_as_blanks) {
    proof_fault(proof, "gang part in a blank of its own: %s, and 'gang_as_blanks' is false",
                piece_text(proof, stock, piece));
  }
}

bool is_offcut_size(const struct claim *claim, const struct claim_stock *stock,
                    const struct box *box) {
  length_t x = box_extent(box, AXIS_X), y = box_extent(box, AXIS_Y);
  if (x >= claim->offcut_min_length && y >= claim->offcut_min_width) return true;
  return stock->sheet && y >= claim->offcut_min_length && x >= claim->offcut_min_width;
}

void check_piece(struct proof *proof, const struct claim *claim, const struct claim_stock *stock,
                 const struct box *flaws, const struct claim_piece *piece) {
  struct box raw = {{0, 0}, {stock->length, stock->width}};
  bool offcut = piece->role == CLAIM_OFFCUT;
  struct box allowed = offcut ? raw : usable_box(stock);
  if (!box_inside(&piece->box, &allowed)) {
    proof_fault(proof, "outside the stock: %s at %s, %s, where %s from %s is usable",
                piece_text(proof, stock, piece),
                proof_point(proof, piece->box.low[AXIS_X], piece->box.low[AXIS_Y]),
                proof_size(proof, box_extent(&piece->box, AXIS_X), box_extent(&piece->box, AXIS_Y)),
                proof_size(proof, box_extent(&allowed, AXIS_X), box_extent(&allowed, AXIS_Y)),
                proof_point(proof, allowed.low[AXIS_X], allowed.low[AXIS_Y]));
  }
  if (offcut && !is_offcut_size(claim, stock, &piece->box)) {
    proof_fault(proof, "offcut too small: %s is %s, worth keeping is %s",
                piece_text(proof, stock, piece),
                proof_size(proof, box_extent(&piece->box, AXIS_X), box_extent(&piece->box, AXIS_Y)),
                proof_size(proof, claim->offcut_min_length, claim->offcut_min_width));
  }
  if (piece->role == CLAIM_LOAD) check_flaws(proof, stock, flaws, piece);
  if (offcut || piece->need == NO_INDEX) return;
  const struct claim_need *need = &claim->needs[piece->need];
  check_flaws(proof, stock, flaws, piece);
  check_grain(proof, stock, need, piece);
  if (piece->strip == 0) check_size(proof, stock, need, piece);
  check_wood(proof, stock, need, piece);
  check_way(proof, claim, stock, need, piece);
}
