#include "saw/caution.h"

#include "saw/saw.h"

/* Of the piece that is cut, along the cut's normal. */
static length_t piece_size(const struct cut *cut) {
  return cut->rip ? cut->piece_width : cut->piece_length;
}

/* What falls on the far side of the blade; below 0 when the kerf sticks out. */
static length_t falling(const struct cut *cut) { return piece_size(cut) - cut->keep - cut->kerf; }

static bool sliver(const struct cut *cut) {
  length_t start = cut->rip ? cut->y - cut->piece_y : cut->x - cut->piece_x;
  bool misses_wood = start < 0 || start + cut->kerf > piece_size(cut);
  length_t falls = falling(cut);
  return misses_wood || (falls > 0 && falls < cut->kerf) ||
         (cut->keep > 0 && cut->keep < cut->kerf);
}

static length_t thin_stock(const struct shop *shop) {
  return shop_unit(shop) == UNIT_INCH ? LENGTH_PER_INCH / 4 : MM(6);
}

/* The edge that runs on the fence is as it came, and was neither sawn nor planed straight. */
static bool rough_edge(const struct stock *stock, const struct cut *cut) {
  bool raw = cut->keep_high ? cut->piece_y + cut->piece_width >= stock->width : cut->piece_y <= 0;
  bool crooked = stock->crook > 0;
  bool rough = stock->kind == STOCK_PLANK && stock->surface == SURFACE_ROUGH;
  return raw && (crooked || rough);
}

static bool sheet_too_large(const struct shop *shop, const struct stock *stock,
                            const struct cut *cut) {
  if (stock->kind != STOCK_SHEET) return false;
  length_t short_side = smaller(cut->piece_length, cut->piece_width);
  length_t long_side = cut->piece_length + cut->piece_width - short_side;
  length_t room_short = smaller(shop->sheet_max_length, shop->sheet_max_width);
  length_t room_long = shop->sheet_max_length + shop->sheet_max_width - room_short;
  return short_side > room_short || long_side > room_long;
}

static unsigned when(bool fires, unsigned bit) { return fires ? bit : 0; }

static unsigned rip_bits(const struct shop *shop, const struct stock *stock,
                         const struct cut *cut) {
  length_t falls = falling(cut) > 0 ? falling(cut) : 0;
  length_t narrower = smaller(cut->keep, falls);
  bool too_short = cut->piece_length < shop->rip_min_length || cut->piece_length < narrower;
  return when(too_short, CAUTION_RIP_SHORT) |
         when(cut->keep < shop->rip_narrow && cut->keep >= shop->rip_min_width,
              CAUTION_RIP_NARROW) |
         when(cut->keep < shop->rip_min_width, CAUTION_RIP_JIG) |
         when(stock->thickness < thin_stock(shop), CAUTION_RIP_THIN) |
         when(cut->keep > shop->rip_capacity, CAUTION_CAPACITY) |
         when(rough_edge(stock, cut), CAUTION_ROUGH_EDGE);
}

/* A sheet too wide for the crosscut saw is crosscut against the rip fence. */
static bool crosscut_over_capacity(const struct shop *shop, const struct stock *stock,
                                   const struct cut *cut) {
  if (cut->piece_width <= shop->crosscut_capacity) return false;
  return stock->kind != STOCK_SHEET || cut->keep > shop->rip_capacity;
}

static unsigned crosscut_bits(const struct shop *shop, const struct stock *stock,
                              const struct cut *cut) {
  return when(cut->piece_length < shop->crosscut_hold, CAUTION_CROSSCUT_HOLD) |
         when(cut->keep < shop->hands_off, CAUTION_HANDS) |
         when(cut->keep < shop->stop_min, CAUTION_STOP_SHORT) |
         when(crosscut_over_capacity(shop, stock, cut), CAUTION_CAPACITY);
}

unsigned caution_bits(const struct shop *shop, const struct stock *stock, const struct cut *cut) {
  unsigned bits = cut->rip ? rip_bits(shop, stock, cut) : crosscut_bits(shop, stock, cut);
  return bits | when(sliver(cut), CAUTION_SLIVER) |
         when(stock->thickness > shop->blade_height, CAUTION_CAPACITY) |
         when(sheet_too_large(shop, stock, cut), CAUTION_SHEET_SIZE);
}

const char *saw_caution_name(unsigned caution_bit) {
  switch (caution_bit) {
    case CAUTION_RIP_SHORT:
      return "short rip";
    case CAUTION_RIP_NARROW:
      return "narrow strip";
    case CAUTION_RIP_JIG:
      return "very narrow strip";
    case CAUTION_RIP_THIN:
      return "thin stock";
    case CAUTION_CROSSCUT_HOLD:
      return "short crosscut";
    case CAUTION_HANDS:
      return "hands near the blade";
    case CAUTION_STOP_SHORT:
      return "short stop";
    case CAUTION_SLIVER:
      return "thin slice";
    case CAUTION_CAPACITY:
      return "over the saw's capacity";
    case CAUTION_ROUGH_EDGE:
      return "rough edge on the fence";
    case CAUTION_SHEET_SIZE:
      return "large sheet";
    case CAUTION_RESAW:
      return "resawing";
    default:
      return "unknown caution";
  }
}

struct wording {
  struct arena *arena;
  const struct shop *shop;
  const struct cut *cut;
};

/* What there is, and what there is too little or too much of. */
static const char *has(const struct wording *wording, length_t value) {
  return length_text_unit(wording->arena, value, shop_unit(wording->shop), ROUND_NEAREST);
}

static const char *short_rip_text(const struct wording *w) {
  if (w->cut->piece_length < w->shop->rip_min_length)
    return arena_format(w->arena,
                        "The piece is %s long and rips start at %s: rip it before it is cut to "
                        "length, or use a sled or the band saw.",
                        has(w, w->cut->piece_length), has(w, w->shop->rip_min_length));
  return arena_format(w->arena,
                      "The piece is only %s long and wider than that on both sides of the blade, "
                      "so it can turn on the fence: use a sled or the band saw.",
                      has(w, w->cut->piece_length));
}

static const char *narrow_text(const struct wording *w, bool jig) {
  if (jig)
    return arena_format(w->arena,
                        "The strip at the fence is %s wide, under %s: use a thin-strip jig or the "
                        "band saw, and let the strip fall on the outside of the blade.",
                        has(w, w->cut->keep), has(w, w->shop->rip_min_width));
  return arena_format(w->arena,
                      "The strip at the fence is %s wide, under %s: push it through with a push "
                      "block, guard and riving knife on.",
                      has(w, w->cut->keep), has(w, w->shop->rip_narrow));
}

static const char *held_text(const struct wording *w, unsigned bit) {
  if (bit == CAUTION_CROSSCUT_HOLD)
    return arena_format(w->arena,
                        "The piece to be cut is %s long, under %s: clamp it down or cut it on a "
                        "sled.",
                        has(w, w->cut->piece_length), has(w, w->shop->crosscut_hold));
  if (bit == CAUTION_HANDS)
    return arena_format(w->arena,
                        "A hand on the kept side, %s long, would be within %s of the blade: clamp "
                        "that side, and let the blade stop before lifting the piece.",
                        has(w, w->cut->keep), has(w, w->shop->hands_off));
  return arena_format(w->arena,
                      "There is %s between stop and blade, under %s: use a stop that ends before "
                      "the blade reaches the wood, never the rip fence.",
                      has(w, w->cut->keep), has(w, w->shop->stop_min));
}

static const char *more_to_cut_off(const struct cut *cut) {
  if (!cut->trim) return "leave more to cut off";
  return cut->rip ? "trim more (trim_edges of the stock or of shop.csv)"
                  : "trim more (trim_ends of the stock or of shop.csv)";
}

static const char *sliver_text(const struct wording *w) {
  length_t falls = falling(w->cut);
  if (w->cut->keep > 0 && w->cut->keep < w->cut->kerf && falls > 0) falls = w->cut->keep;
  if (falls <= 0)
    return arena_format(w->arena,
                        "The blade, %s wide, cuts in the open on one side and will wander: %s, or "
                        "plane it away.",
                        has(w, w->cut->kerf), more_to_cut_off(w->cut));
  return arena_format(w->arena,
                      "The slice cut off is %s thick, thinner than the kerf of %s, and the blade "
                      "will wander: %s, or plane it away.",
                      has(w, falls), has(w, w->cut->kerf), more_to_cut_off(w->cut));
}

static const char *capacity_text(const struct wording *w) {
  const struct cut *cut = w->cut;
  if (cut->rip && cut->keep > w->shop->rip_capacity)
    return arena_format(w->arena,
                        "The fence would stand at %s and reaches %s: cut along a clamped "
                        "straight-edge instead.",
                        has(w, cut->keep), has(w, w->shop->rip_capacity));
  if (!cut->rip && cut->piece_width > w->shop->crosscut_capacity)
    return arena_format(w->arena,
                        "The piece is %s wide and the saw crosscuts %s: use a sled, or a hand-held "
                        "saw along a clamped straight-edge.",
                        has(w, cut->piece_width), has(w, w->shop->crosscut_capacity));
  return arena_format(w->arena,
                      "The stock is thicker than the %s the blade cuts through: cut from both "
                      "faces, or use the band saw.",
                      has(w, w->shop->blade_height));
}

static const char *sheet_text(const struct wording *w) {
  return arena_format(w->arena,
                      "The sheet is %s x %s where this cut is made, over %s x %s: break it down "
                      "first, along a clamped straight-edge or with a second pair of hands.",
                      has(w, w->cut->piece_length), has(w, w->cut->piece_width),
                      has(w, w->shop->sheet_max_length), has(w, w->shop->sheet_max_width));
}

/* The plank's face and edge are made true at the jointer before it is split; a leaf's sawn face
 * lies away from that, and may be left to the planer. */
static const char *jointer_text(const struct wording *w, length_t leaf) {
  const char *text = "";
  if (w->cut->piece_length < w->shop->jointer_min_length ||
      w->cut->piece_width < w->shop->jointer_min_width)
    text = arena_format(w->arena,
                        " The plank is %s there, the jointer takes no less than %s x %s: true it "
                        "in the longer or wider board it comes from, or with a hand plane.",
                        arena_format(w->arena, "%s x %s", has(w, w->cut->piece_length),
                                     has(w, w->cut->piece_width)),
                        has(w, w->shop->jointer_min_length), has(w, w->shop->jointer_min_width));
  if (leaf >= w->shop->jointer_min_thickness) return text;
  return arena_format(w->arena,
                      "%s Leaves of %s are thinner than the %s the jointer takes: leave their sawn "
                      "faces to the planer.",
                      text, has(w, leaf), has(w, w->shop->jointer_min_thickness));
}

static const char *resaw_text(const struct wording *w) {
  length_t thickness = w->cut->keep - w->shop->resaw_clean;
  const char *text = arena_format(
      w->arena,
      "The plank stands on edge, %s high: split it at the band saw against a tall fence, with a "
      "feather board and a push stick, or rive it, never at the table saw; first make the face on "
      "the fence flat and the edge below it straight. Before each cut clean the face just sawn.",
      has(w, w->cut->piece_width));
  text = arena_format(w->arena, "%s%s", text, jointer_text(w, thickness));
  if (thickness < w->shop->planer_min_thickness)
    text = arena_format(w->arena, "%s Leaves of %s are planed on a carrier board.", text,
                        has(w, thickness));
  if (w->cut->piece_length < w->shop->planer_min_length)
    text = arena_format(w->arena, "%s The leaves are shorter than the %s the planer takes.", text,
                        has(w, w->shop->planer_min_length));
  return arena_format(w->arena, "%s The saw's manual and your training come before this line.",
                      text);
}

const char *saw_caution_text(struct arena *arena, const struct project *project,
                             const struct cut *cut, unsigned caution_bit) {
  struct wording wording = {arena, &project->shop, cut};
  switch (caution_bit) {
    case CAUTION_RIP_SHORT:
      return short_rip_text(&wording);
    case CAUTION_RIP_NARROW:
      return narrow_text(&wording, false);
    case CAUTION_RIP_JIG:
      return narrow_text(&wording, true);
    case CAUTION_RIP_THIN:
      return arena_format(arena,
                          "The stock is thinner than %s and can slip into the gap beside the "
                          "blade: fit a zero-clearance insert.",
                          has(&wording, thin_stock(&project->shop)));
    case CAUTION_CROSSCUT_HOLD:
    case CAUTION_HANDS:
    case CAUTION_STOP_SHORT:
      return held_text(&wording, caution_bit);
    case CAUTION_SLIVER:
      return sliver_text(&wording);
    case CAUTION_CAPACITY:
      return capacity_text(&wording);
    case CAUTION_ROUGH_EDGE:
      return arena_copy_text(arena,
                             "The edge on the fence is as it came, rough or crooked, and the piece "
                             "can rock: straighten that edge first, or screw it to a straight "
                             "carrier board for this cut.");
    case CAUTION_SHEET_SIZE:
      return sheet_text(&wording);
    case CAUTION_RESAW:
      return resaw_text(&wording);
    default:
      return arena_copy_text(arena, "Unknown caution.");
  }
}
