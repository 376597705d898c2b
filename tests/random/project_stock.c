/* The parts of a random project, and the stock they come from. */
#include <inttypes.h>

#include "base/text.h"
#include "project_making.h"

/* ---- parts ---- */

/* The finished thickness, so that the stock's is fit for it. */
static length_t finished_thickness(struct making *making, length_t raw, int faces) {
  length_t grain = making->imperial ? LENGTH_PER_INCH / 64 : MM(1) / 10;
  length_t least = faces == 0 ? -making->tolerance : faces * making->face_min;
  length_t most = faces == 0 ? making->tolerance : faces * making->face_max;
  int64_t low = least < 0 ? -(-least / grain) : (least + grain - 1) / grain;
  int64_t high = most / grain;
  length_t off = grain * (high > low ? making_between(making, low, high) : high);
  return raw > off + grain ? raw - off : grain;
}

static const char *woods_of(struct making *making, const char *wood) {
  switch (making_between(making, 0, 5)) {
    case 0:
      return "any";
    case 1:
      return arena_format(
          making->arena, "%s|%s", wood,
          making->raws[making_between(making, 0, (int64_t)making->raw_count - 1)].wood);
    case 2:
      return arena_format(making->arena, "ebony | %s", wood);
    default:
      return wood;
  }
}

static void fill_size(struct filling *part, struct raw *raw, int64_t longest, int64_t widest) {
  struct making *making = part->making;
  bool round = making_chance(making, 1, 8);
  length_t length = making_length(making, 30, round ? 110 : longest);
  length_t width = round ? length : making_length(making, 12, widest);
  fill_length(part, "length", length);
  /* The same text twice, so that it is the same length for sure. */
  if (round)
    fill_text(part, "width", part->row->cells[text_table_column(part->table, "length")]);
  else
    fill_length(part, "width", width);
  if (round) fill_text(part, "shape", "round");
  size_t index = making->part_sizes++;
  making->part_length[index] = length;
  making->part_width[index] = round ? length : width;
  making->part_round[index] = round;
  if (length > raw->part_length) raw->part_length = length;
  if (width > raw->part_width) raw->part_width = width;
}

static void fill_part(struct filling *part) {
  struct making *making = part->making;
  static const char *const faced[] = {"none", "one", "two"};
  struct raw *raw = &making->raws[making_between(making, 0, (int64_t)making->raw_count - 1)];
  fill_size(part, raw, making_chance(making, 1, 4) ? 450 : 240,
            making_chance(making, 1, 4) ? 160 : 80);
  int64_t faces = making_between(making, -2, 2);
  if (faces < 0) faces = 0;
  fill_text(part, "faced", faces == 0 && making_chance(making, 1, 2) ? "" : faced[faces]);
  bool fits = !making_chance(making, 1, 60);
  length_t thickness = finished_thickness(making, raw->thickness, (int)faces);
  fill_length(part, "thickness", fits ? thickness : making_length(making, 3, 30));
  fill_text(part, "wood", woods_of(making, raw->wood));
  fill_number(part, "per_set", making_between(making, 1, making_chance(making, 1, 3) ? 6 : 2), 0);
  fill_word(part, "grain", "along|along||across|any");
  fill_word(part, "way", "saw||blank|gang|gang|BLANK");
  fill_word(part, "hold", "ends|sides|all|tape|auto|");
  if (making_chance(making, 1, 4)) fill_number(part, "tabs", making_between(making, 0, 6), 0);
  if (making_chance(making, 1, 5)) fill_number(part, "spares", making_between(making, 0, 3), 0);
  if (making_chance(making, 1, 5)) fill_length(part, "fit", making_length(making, 0, 3));
  if (making_chance(making, 1, 5))
    fill_number(part, "hand_minutes", making_between(making, 0, 9999), 3);
  fill_note(part, "note");
}

void make_parts(struct making *making) {
  static const char *const names[] = {"board",    "lid",   "F\303\274\303\237e", "a&b <c>", "=sum",
                                      "-1 \"x\"", "../up", "post, left"};
  struct text_table *table =
      making_file(making, "parts.csv",
                  "note part per_set width length thickness wood grain way shape faced hold tabs "
                  "spares match fit hand_minutes");
  making->part_count =
      (size_t)making_between(making, 1, making_chance(making, 1, 4) ? PARTS_MOST : 3);
  bool matching = making_chance(making, 1, 5);
  for (size_t p = 0; p < making->part_count; p++) {
    struct filling part = making_row(making, table);
    making->parts[p] = arena_format(making->arena, "%s %zu", making_pick(making, names, 8), p);
    fill_text(&part, "part", making->parts[p]);
    fill_part(&part);
    if (matching) fill_word(&part, "match", "A|A|B|");
  }
}

/* ---- stock ---- */

/* Names that differ in signs alone are likely, since they name files. */
static const char *new_stock_name(struct making *making) {
  static const char *const starts[] = {"W", "W/", "W:", "a b ", "..", "\xC3\x96", "Y\"", "W-"};
  for (;;) {
    const char *name = arena_format(making->arena, "%s%" PRId64, making_pick(making, starts, 8),
                                    making_between(making, 1, 3));
    bool taken = false;
    for (size_t s = 0; s < making->stock_count; s++)
      taken = taken || text_equal_fold(name, making->stocks[s]);
    if (!taken) return making->stocks[making->stock_count++] = name;
  }
}

struct piece {
  bool sheet;
  length_t length, width;
};

/* Roomy stock yields the largest part of its raw, if the saw's rules let it. */
static struct piece choose_size(struct making *making, const struct raw *raw, bool roomy) {
  struct piece piece = {.sheet = making_chance(making, 1, 5)};
  piece.length = making_length(making, piece.sheet ? 500 : 350, piece.sheet ? 1500 : 1800);
  piece.width = making_length(making, piece.sheet ? 250 : 60, piece.sheet ? 900 : 260);
  length_t least_width = raw->part_width + making_length(making, 30, 120);
  if (roomy && piece.width < least_width) piece.width = (least_width / MM(1) + 1) * MM(1);
  length_t least_length = raw->part_length + MM(250);
  if (roomy && piece.length < least_length) piece.length = (least_length / MM(1) + 1) * MM(1);
  return piece;
}

static void fill_trims(struct filling *stock) {
  struct making *making = stock->making;
  if (making_chance(making, 1, 3)) fill_length(stock, "trim_ends", making_length(making, 0, 30));
  if (making_chance(making, 1, 3))
    fill_length(stock, "trim_edges",
                making_length(making, 0, making_chance(making, 1, 2) ? 3 : 10));
  if (making_chance(making, 1, 8)) fill_length(stock, "crook", making_length(making, 0, 12));
}

static void fill_stock(struct filling *stock, const struct raw *raw, const struct piece *piece) {
  struct making *making = stock->making;
  fill_text(stock, "stock", new_stock_name(making));
  fill_text(stock, "kind", piece->sheet ? "sheet" : "plank");
  fill_text(stock, "wood", raw->wood);
  fill_length(stock, "length", piece->length);
  fill_length(stock, "width", piece->width);
  fill_length(stock, "thickness", raw->thickness);
  if (piece->sheet) fill_word(stock, "face_grain", "length|width|none|");
  fill_word(stock, "surface", "rough|planed|");
  fill_trims(stock);
  fill_note(stock, "note");
}

static const struct raw *choose_raw(struct making *making) {
  return &making->raws[making_between(making, 0, (int64_t)making->raw_count - 1)];
}

static void fill_flaw(struct making *making, struct text_table *table, const char *stock,
                      const struct piece *piece, int64_t count) {
  struct filling flaw = making_row(making, table);
  fill_text(&flaw, "stock", stock);
  if (making_chance(making, 1, 2)) fill_number(&flaw, "copy", making_between(making, 1, count), 0);
  length_t length = making_length(making, 5, 150), width = making_length(making, 4, 60);
  length_t x = making_length(making, 0, piece->length / MM(1) - 5);
  length_t y = making_length(making, 0, piece->width / MM(1) - 5);
  /* Some stick out: those at 0 begin outside, by less than they are long. */
  fill_length(&flaw, "x", making_chance(making, 1, 6) ? -(length - length / 3) / 8 * 8 : x);
  fill_length(&flaw, "y", making_chance(making, 1, 6) ? -(width - width / 3) / 8 * 8 : y);
  fill_length(&flaw, "length", length);
  fill_length(&flaw, "width", width);
  fill_word(&flaw, "what", "knot|split|end Split|sapwood|");
  fill_word(&flaw, "rim_ok", "yes|no|");
}

static void make_rack(struct making *making) {
  int64_t lines = making_between(making, 0, 4);
  if (lines == 0 && making_chance(making, 1, 2)) return;
  struct text_table *rack =
      making_file(making, "rack.csv",
                  "wood kind stock length width thickness count value surface "
                  "face_grain crook trim_ends trim_edges note");
  struct text_table *flaws =
      making_chance(making, 1, 2)
          ? making_file(making, "flaws.csv", "stock copy x y length width what rim_ok")
          : NULL;
  for (int64_t line = 0; line < lines; line++) {
    const struct raw *raw = choose_raw(making);
    struct filling stock = making_row(making, rack);
    struct piece piece = choose_size(making, raw, making_chance(making, 1, 2));
    fill_stock(&stock, raw, &piece);
    int64_t count = making_chance(making, 1, 2) ? 1 : making_between(making, 1, 5);
    if (count > 1) fill_number(&stock, "count", count, 0);
    if (making_chance(making, 3, 4))
      fill_number(&stock, "value", making_between(making, 0, 9000), 2);
    if (making_chance(making, 1, 25)) fill_text(&stock, "count", "0");
    for (int64_t f = making_between(making, -1, 3); f > 0 && flaws != NULL; f--)
      fill_flaw(making, flaws, making->stocks[making->stock_count - 1], &piece, count);
  }
}

static void fill_price(struct filling *stock) {
  struct making *making = stock->making;
  fill_word(stock, "per", "each|m|ft|m2|ft2|m3|bf");
  fill_number(stock, "price", making_between(making, making_chance(making, 1, 30) ? 0 : 100, 9000),
              2);
  if (making_chance(making, 1, 5)) fill_number(stock, "count", making_between(making, 1, 20), 0);
  if (making_chance(making, 1, 5)) fill_number(stock, "pack", making_between(making, 1, 4), 0);
  if (making_chance(making, 1, 5))
    fill_length(stock, "tally_thickness", LENGTH_PER_INCH / 4 * making_between(making, 1, 8));
  fill_note(stock, "supplier");
}

/* Each raw is for sale, but for a few. */
static void make_yard(struct making *making, bool rack) {
  if (rack && making_chance(making, 1, 8)) return;
  struct text_table *yard =
      making_file(making, "yard.csv",
                  "stock kind wood length width thickness price per count pack "
                  "tally_thickness supplier surface face_grain crook trim_ends "
                  "trim_edges note");
  for (size_t r = 0; r < making->raw_count; r++) {
    if (rack && making_chance(making, 1, 15)) continue;
    for (int64_t kinds = making_chance(making, 1, 3) ? 2 : 1; kinds > 0; kinds--) {
      if (making->stock_count == STOCKS_MOST) return;
      struct filling stock = making_row(making, yard);
      struct piece piece = choose_size(making, &making->raws[r], true);
      fill_stock(&stock, &making->raws[r], &piece);
      fill_price(&stock);
    }
  }
}

void make_stocks(struct making *making) {
  make_rack(making);
  make_yard(making, making->stock_count > 0);
}
