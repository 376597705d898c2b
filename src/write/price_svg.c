/* The chart of prices. What a line or band means is written beside it, and lines differ by dashes
 * and markers, so that nothing rests on colour; the colours keep apart for the colour-blind
 * (Okabe, Ito: Color Universal Design, 2008). */
#include <inttypes.h>
#include <math.h>

#include "write/drawing.h"
#include "write/price.h"
#include "write/price_chart.h"
#include "write/safe_text.h"

enum { MARKERS_MOST = 80, MARKERS_MOST_NARROW = 24, COST_TICKS = 6, PROFIT_TICKS = 7 };

#define PAPER_WIDTH MM(282)
#define PAPER_HEIGHT MM(196)
#define NARROW_WIDTH MM(80)
#define LEVEL_WIDTH (MM(1) * 3 / 10)
#define UPRIGHT_WIDTH (MM(1) * 4 / 10)
#define PRICE_DASH MM(3)
#define ASKED_DASH MM(1)
#define COLOUR_COST "#0072B2"
#define COLOUR_EXPECTED "#D55E00"
#define COLOUR_SOLD CHART_INK
/* Dear small runs are cut off above this many times the least cost of a set. */
#define COST_SHOWN 2.5
#define PROFIT_SHOWN 2.5

enum series_kind { SERIES_COST, SERIES_EXPECTED, SERIES_SOLD };

/* A line through every quantity. */
struct series {
  enum series_kind kind;
  const char *id, *words, *colour;
  int panel;
  length_t width, dash; /* dash 0: drawn through */
  bool filled;          /* its markers; else they are white inside */
};

static const struct series all_series[] = {
    {SERIES_COST, "cost-of-a-set", "cost of a set", COLOUR_COST, PANEL_COST, MM(1) / 2, 0, true},
    {SERIES_SOLD, "profit-all-sold", "profit if all are sold", COLOUR_SOLD, PANEL_PROFIT,
     MM(1) * 3 / 10, MM(2), false},
    {SERIES_EXPECTED, "expected-profit", "expected profit", COLOUR_EXPECTED, PANEL_PROFIT,
     MM(1) / 2, 0, true},
};
enum { SERIES_TOTAL = sizeof all_series / sizeof all_series[0] };

static double value_of(const struct price_point *point, enum series_kind kind) {
  if (kind == SERIES_COST) return (double)point->per_set;
  return kind == SERIES_SOLD ? (double)point->profit : point->expected_profit;
}

static bool is_shown(const struct price_table *table, const struct series *series) {
  if (series->kind == SERIES_EXPECTED) return price_has_demand(table);
  return series->kind == SERIES_COST || table->terms.priced;
}

/* ---- scales ---- */

static void widen(double value, double *least, double *most) {
  *least = fmin(*least, value);
  *most = fmax(*most, value);
}

static void scale_cost(struct price_chart *chart) {
  const struct price_table *table = chart->table;
  double cheapest = (double)price_point_of(table, table->cheapest)->per_set;
  double least = cheapest, most = cheapest;
  for (int64_t n = 1; n <= table->count; n++)
    widen(fmin((double)price_point_of(table, n)->per_set, COST_SHOWN * cheapest), &least, &most);
  if (table->terms.priced) widen((double)table->terms.price, &least, &most);
  price_panel_scale(&chart->panels[PANEL_COST], least, most, COST_TICKS);
}

/* What large runs bring if all are sold may be far over what is expected: that is cut off too. */
static void scale_profit(struct price_chart *chart) {
  double least = 0, most = 0, expected = 0;
  for (int64_t n = 1; n <= chart->table->count; n++) {
    const struct price_point *point = price_point_of(chart->table, n);
    widen((double)point->profit, &least, &most);
    if (price_has_demand(chart->table)) widen(point->expected_profit, &least, &expected);
  }
  if (price_has_demand(chart->table)) most = fmin(most, fmax(PROFIT_SHOWN * expected, -least));
  price_panel_scale(&chart->panels[PANEL_PROFIT], least, fmax(most, expected), PROFIT_TICKS);
}

/* What a panel is told of, from above to below. */
static void lay_out_broad(struct price_chart *chart) {
  bool both = chart->panel_count == 2;
  chart->width = PAPER_WIDTH;
  chart->height = PAPER_HEIGHT;
  chart->left = MM(26);
  chart->right = PAPER_WIDTH - MM(52);
  chart->strip = MM(29);
  chart->panels[PANEL_COST].top = MM(42);
  chart->panels[PANEL_COST].bottom = both ? MM(98) : MM(176);
  chart->panels[PANEL_PROFIT].top = MM(112);
  chart->panels[PANEL_PROFIT].bottom = MM(176);
}

static void lay_out_narrow(struct price_chart *chart) {
  bool both = chart->panel_count == 2;
  chart->width = NARROW_WIDTH;
  chart->left = MM(14);
  chart->right = NARROW_WIDTH - MM(2);
  chart->panels[PANEL_COST].top = chart->strip = MM(19);
  chart->panels[PANEL_COST].bottom = both ? MM(60) : MM(80);
  chart->panels[PANEL_PROFIT].top = MM(68);
  chart->panels[PANEL_PROFIT].bottom = MM(114);
}

static void lay_out(struct price_chart *chart) {
  chart->panel_count = chart->table->terms.priced ? 2 : 1;
  chart->panels[PANEL_COST] = (struct price_panel){.id = "cost", .title = "cost of a set (money)"};
  chart->panels[PANEL_PROFIT] =
      (struct price_panel){.id = "profit", .title = "profit of the run (money)"};
  if (chart->narrow)
    lay_out_narrow(chart);
  else
    lay_out_broad(chart);
  scale_cost(chart);
  if (chart->panel_count == 2) scale_profit(chart);
}

/* Words over lines and bands: on a white plate. The anchor is "start", "middle" or "end". */
static void draw_words(struct price_chart *chart, length_t x, length_t y, length_t size,
                       const char *anchor, const char *words) {
  /* The width is reckoned on the broad side: most type is narrower by a fifth. */
  length_t width = type_width(size, words) * 9 / 10, edge = size / 4;
  length_t left = *anchor == 's' ? x : *anchor == 'm' ? x - width / 2 : x - width;
  svg_start_rect(chart->svg, left - edge, y - size, width + 2 * edge, size + 2 * edge);
  svg_attribute(chart->svg, "fill", "#FFFFFF");
  svg_attribute(chart->svg, "stroke", "none");
  svg_end(chart->svg);
  svg_text(chart->svg, x, y, size, anchor, false, words);
}

/* ---- bands ---- */

static const char *band_text(const struct price_chart *chart, const struct price_plateau *plateau) {
  return arena_format(chart->arena, "%" PRId64 "\xE2\x80\x93%" PRId64, plateau->first,
                      plateau->last);
}

struct band {
  length_t left, width;
};

/* A little narrower than its quantities, so that neighbours stay apart. */
static struct band band_of(const struct price_chart *chart, const struct price_plateau *plateau) {
  length_t left = price_chart_x(chart, 2 * plateau->first - 1);
  length_t right = price_chart_x(chart, 2 * plateau->last + 1);
  length_t inset = (right - left) / (8 * (plateau->last - plateau->first + 1));
  if (inset > MM(1)) inset = MM(1);
  if (inset < MM(1) / 4 && MM(1) < right - left) inset = MM(1) / 4;
  return (struct band){left + inset, right - left - 2 * inset};
}

/* True where the words of every band fit into its width. */
static bool words_fit(const struct price_chart *chart) {
  for (size_t i = 0; i < chart->table->plateau_count; i++) {
    const struct price_plateau *plateau = &chart->table->plateaus[i];
    if (type_width(CHART_SMALL, band_text(chart, plateau)) > band_of(chart, plateau).width)
      return false;
  }
  return true;
}

static void draw_band(struct price_chart *chart, const struct price_plateau *plateau, bool level) {
  struct svg *svg = chart->svg;
  struct band band = band_of(chart, plateau);
  svg_start_rect(svg, band.left, chart->strip, band.width,
                 price_chart_bottom(chart) - chart->strip);
  svg_attribute(svg, "fill", CHART_BAND);
  svg_note(svg, "title", price_plateau_words(chart->arena, plateau));
  svg_end(svg);
  if (chart->narrow) return;
  const char *words = band_text(chart, plateau);
  length_t middle = band.left + band.width / 2;
  if (level)
    svg_text(svg, middle, chart->strip + MM(8), CHART_SMALL, "middle", false, words);
  else if (band.width > CHART_SMALL)
    svg_text(svg, middle + CHART_SMALL / 3, chart->strip + MM(13) / 2, CHART_SMALL, "middle", true,
             words);
}

static void draw_bands(struct price_chart *chart) {
  const struct price_table *table = chart->table;
  bool level = words_fit(chart);
  svg_layer(chart->svg, "plateaus", "quantities that need the same wood");
  for (size_t i = 0; i < table->plateau_count; i++) draw_band(chart, &table->plateaus[i], level);
  if (table->plateau_count > 0 && !chart->narrow) {
    svg_text(chart->svg, chart->right + MM(3), chart->strip + MM(4), CHART_TYPE, "start", false,
             "shaded: these sets");
    svg_text(chart->svg, chart->right + MM(3), chart->strip + MM(8), CHART_TYPE, "start", false,
             "need the same wood");
  }
  svg_end(chart->svg);
}

/* ---- lines ---- */

static void stroke(struct svg *svg, const char *colour, length_t width) {
  svg_stroke(svg, colour, width);
}

/* Above the panel: cut off, not drawn. */
static bool is_over(const struct price_panel *panel, double cents) { return cents > panel->most; }

static void draw_clip(struct price_chart *chart, const struct price_panel *panel) {
  svg_start(chart->svg, "clipPath");
  svg_attribute(chart->svg, "id", arena_format(chart->arena, "clip-%s", panel->id));
  svg_start_rect(chart->svg, chart->left, panel->top, chart->right - chart->left,
                 panel->bottom - panel->top);
  svg_end(chart->svg);
  svg_end(chart->svg);
}

static void draw_line(struct price_chart *chart, const struct series *series) {
  const struct price_panel *panel = &chart->panels[series->panel];
  struct buffer *points = buffer_create(chart->arena);
  for (int64_t n = 1; n <= chart->table->count; n++) {
    double cents = value_of(price_point_of(chart->table, n), series->kind);
    buffer_format(
        points, "%s%s", n == 1 ? "" : " ",
        price_chart_point(chart, price_chart_x(chart, 2 * n), price_chart_y(panel, cents)));
  }
  svg_start(chart->svg, "polyline");
  svg_attribute(chart->svg, "points", points->text);
  svg_attribute(chart->svg, "fill", "none");
  svg_attribute(chart->svg, "stroke-linejoin", "round");
  svg_attribute(chart->svg, "clip-path", arena_format(chart->arena, "url(#clip-%s)", panel->id));
  stroke(chart->svg, series->colour, series->width);
  if (series->dash > 0) svg_dashes(chart->svg, series->dash, series->dash / 2);
  svg_end(chart->svg);
}

static const char *value_words(struct price_chart *chart, const struct series *series,
                               const struct price_point *point) {
  return arena_format(chart->arena, "%s: %s %s", price_sets(chart->arena, point->sets),
                      series->words,
                      cents_text(chart->arena, price_cents(value_of(point, series->kind))));
}

static enum price_marker marker_of(const struct series *series) {
  return series->kind == SERIES_EXPECTED ? MARKER_SQUARE : MARKER_CIRCLE;
}

/* On a narrow chart of many quantities they would cover the line. */
static bool has_markers(const struct price_chart *chart) {
  return chart->table->count <= (chart->narrow ? MARKERS_MOST_NARROW : MARKERS_MOST);
}

static void draw_marker(struct price_chart *chart, const struct series *series,
                        const struct price_point *point) {
  const struct price_panel *panel = &chart->panels[series->panel];
  double cents = value_of(point, series->kind);
  if (is_over(panel, cents)) return;
  price_chart_start_marker(chart, marker_of(series), price_chart_x(chart, 2 * point->sets),
                           price_chart_y(panel, cents), series->colour, series->filled);
  svg_note(chart->svg, "title", value_words(chart, series, point));
  svg_end(chart->svg);
}

static void draw_series(struct price_chart *chart, const struct series *series) {
  svg_layer(chart->svg, series->id, series->words);
  draw_line(chart, series);
  for (int64_t n = 1; n <= chart->table->count && has_markers(chart); n++)
    draw_marker(chart, series, price_point_of(chart->table, n));
  svg_end(chart->svg);
}

/* A level line across a panel, of the price or of no profit. */
static void draw_level(struct price_chart *chart, int panel, const char *id, const char *words,
                       double cents, length_t dash) {
  length_t y = price_chart_y(&chart->panels[panel], cents);
  svg_layer_of_lines(chart->svg, id, words, LEVEL_WIDTH);
  svg_start(chart->svg, "g");
  if (dash > 0) svg_dashes(chart->svg, dash, dash / 2);
  svg_line(chart->svg, chart->left, y, chart->right, y);
  svg_end(chart->svg);
  svg_end(chart->svg);
}

/* How many of the smallest runs are too dear to be drawn. */
static int64_t count_cut_off(const struct price_chart *chart) {
  const struct price_panel *panel = &chart->panels[PANEL_COST];
  int64_t over = 0;
  while (over < chart->table->count &&
         is_over(panel, (double)price_point_of(chart->table, over + 1)->per_set))
    over++;
  return over;
}

static const char *cut_off_words(const struct price_chart *chart, int64_t over) {
  const char *one = cents_text(chart->arena, price_point_of(chart->table, 1)->per_set);
  if (over == 1) return arena_format(chart->arena, "1 set: %s, beyond the chart", one);
  return arena_format(chart->arena, "1 to %" PRId64 " sets: beyond the chart, one set costs %s",
                      over, one);
}

static void draw_cut_off(struct price_chart *chart) {
  int64_t over = count_cut_off(chart);
  if (over == 0 || chart->narrow) return;
  draw_words(chart, price_chart_x(chart, 2 * over + 2) + MM(4),
             chart->panels[PANEL_COST].top + MM(4), CHART_SMALL, "start",
             cut_off_words(chart, over));
}

/* ---- words at the ends of lines ---- */

struct end_label {
  length_t y;
  const char *words;
};

enum { LABELS_MOST = 3 };

static void add_label(struct end_label *labels, int *count, length_t y, const char *words) {
  int at = (*count)++;
  for (; at > 0 && labels[at - 1].y > y; at--) labels[at] = labels[at - 1];
  labels[at] = (struct end_label){y, words};
}

/* From above to below, each at its line's end or just below the one before. */
static void draw_labels(struct price_chart *chart, struct end_label *labels, int count) {
  for (int i = 0; i < count; i++) {
    length_t least = i == 0 ? 0 : labels[i - 1].y + CHART_TYPE * 5 / 4;
    if (labels[i].y < least) labels[i].y = least;
    svg_text(chart->svg, chart->right + MM(3), labels[i].y + CHART_TYPE / 3, CHART_TYPE, "start",
             false, labels[i].words);
  }
}

static const char no_profit[] = "no profit, no loss";

static const char *price_words(const struct price_chart *chart) {
  return arena_format(chart->arena, "price %s",
                      cents_text(chart->arena, chart->table->terms.price));
}

static void label_panel(struct price_chart *chart, int index) {
  const struct price_table *table = chart->table;
  const struct price_panel *panel = &chart->panels[index];
  struct end_label labels[LABELS_MOST];
  int count = 0;
  for (size_t i = 0; i < SERIES_TOTAL; i++) {
    const struct series *series = &all_series[i];
    if (series->panel != index || !is_shown(table, series)) continue;
    double cents = value_of(price_point_of(table, table->count), series->kind);
    add_label(labels, &count, price_chart_y(panel, fmin(cents, panel->most)), series->words);
  }
  if (index == PANEL_COST && table->terms.priced)
    add_label(labels, &count, price_chart_y(panel, (double)table->terms.price), price_words(chart));
  if (index == PANEL_PROFIT) add_label(labels, &count, price_chart_y(panel, 0), no_profit);
  draw_labels(chart, labels, count);
}

/* ---- marks ---- */

/* A line down each panel at a quantity, and its words in the gap below the first. */
static void draw_upright(struct price_chart *chart, const char *id, int64_t sets, length_t dash,
                         length_t down, const char *words) {
  length_t x = price_chart_x(chart, 2 * sets);
  length_t half = type_width(CHART_TYPE, words) / 2;
  length_t middle = x < chart->left + half ? chart->left + half : x;
  if (middle > chart->right - half) middle = chart->right - half;
  svg_layer_of_lines(chart->svg, id, words, UPRIGHT_WIDTH);
  svg_start(chart->svg, "g");
  if (dash > 0) svg_dashes(chart->svg, dash, dash / 2);
  for (int i = 0; i < chart->panel_count; i++)
    svg_line(chart->svg, x, chart->panels[i].top, x, chart->panels[i].bottom);
  svg_end(chart->svg);
  if (chart->narrow) {
    svg_end(chart->svg);
    return;
  }
  length_t from = chart->panel_count == 1 ? chart->panels[PANEL_COST].top + MM(6)
                                          : chart->panels[PANEL_COST].bottom;
  draw_words(chart, middle, from + down, CHART_TYPE, "middle", words);
  svg_end(chart->svg);
}

static const char *recommended_words(const struct price_chart *chart) {
  const struct price_point *best = price_point_of(chart->table, chart->table->recommended);
  return arena_format(chart->arena, "best for the demand: %s, expected profit %s",
                      price_sets(chart->arena, best->sets),
                      cents_text(chart->arena, price_cents(best->expected_profit)));
}

static const char *asked_words(const struct price_chart *chart) {
  const struct price_point *point = price_point_of(chart->table, chart->table->asked);
  return arena_format(chart->arena, "asked for: %s, %s each", price_sets(chart->arena, point->sets),
                      cents_text(chart->arena, point->per_set));
}

static void draw_recommended(struct price_chart *chart) {
  int64_t best = chart->table->recommended;
  if (best > 0) draw_upright(chart, "recommended", best, 0, MM(5), recommended_words(chart));
}

static void draw_asked(struct price_chart *chart) {
  int64_t asked = chart->table->asked;
  if (asked > 0) draw_upright(chart, "asked-for", asked, ASKED_DASH, MM(11), asked_words(chart));
}

static const char *crossing_words(const struct price_chart *chart,
                                  const struct price_crossing *crossing) {
  return arena_format(chart->arena, crossing->up ? "breaks even at %s" : "at a loss again at %s",
                      price_sets(chart->arena, crossing->sets));
}

/* A diamond where the profit, if all are sold, changes its sign; words at the first only. */
static void draw_crossing(struct price_chart *chart, const struct price_crossing *crossing,
                          bool worded) {
  const struct price_panel *panel = &chart->panels[PANEL_PROFIT];
  length_t x = price_chart_x(chart, 2 * crossing->sets);
  length_t y = price_chart_y(panel, (double)price_point_of(chart->table, crossing->sets)->profit);
  const char *words = crossing_words(chart, crossing);
  bool at_start = x - MM(4) - type_width(CHART_TYPE, words) < chart->left;
  price_chart_start_diamond(chart, x, y, !crossing->up);
  svg_note(chart->svg, "title", words);
  svg_end(chart->svg);
  if (worded)
    draw_words(chart, at_start ? x + MM(3) : x - MM(3), at_start ? y + MM(6) : y - MM(3),
               CHART_TYPE, at_start ? "start" : "end", words);
}

static void draw_crossings(struct price_chart *chart) {
  const struct price_table *table = chart->table;
  svg_layer(chart->svg, "break-even", "where profit turns, if all are sold");
  for (size_t i = 0; i < table->crossing_count; i++)
    draw_crossing(chart, &table->crossings[i], i == 0 && !chart->narrow);
  svg_end(chart->svg);
}

/* ---- words above ---- */

static const char *terms_text(const struct price_chart *chart) {
  struct arena *arena = chart->arena;
  const struct price_terms *terms = &chart->table->terms;
  const struct demand *demand = &terms->demand;
  const char *text = "costs count whole planks and packs, and hours at the labour rate";
  if (!price_has_demand(chart->table)) return text;
  if (demand->kind == DEMAND_SALES)
    return arena_format(arena, "%s; demand as one of %zu past sales, a set not sold worth %s", text,
                        demand->sale_count, cents_text(arena, terms->unsold_value));
  return arena_format(
      arena, "%s; demand %s to %s, likely %s, a set not sold worth %s", text,
      decimal_trimmed(arena, demand->low, 3), decimal_trimmed(arena, demand->high, 3),
      decimal_trimmed(arena, demand->likely, 3), cents_text(arena, terms->unsold_value));
}

static const char *description(const struct price_chart *chart) {
  struct arena *arena = chart->arena;
  const struct price_table *table = chart->table;
  struct buffer *text = buffer_create(arena);
  const struct price_point *cheapest = price_point_of(table, table->cheapest);
  buffer_format(text, "The cost of a set is least, %s, at %s.",
                cents_text(arena, cheapest->per_set), price_sets(arena, cheapest->sets));
  for (size_t i = 0; i < table->crossing_count; i++)
    buffer_format(text, " From %s on the run %s if all are sold.",
                  price_sets(arena, table->crossings[i].sets),
                  table->crossings[i].up ? "pays for itself" : "is at a loss");
  if (table->recommended > 0)
    buffer_format(
        text, " The expected profit is greatest, %s, at %s.",
        cents_text(arena, price_cents(price_point_of(table, table->recommended)->expected_profit)),
        price_sets(arena, table->recommended));
  for (size_t i = 0; i < table->plateau_count; i++)
    buffer_format(text, " %s.", price_plateau_words(arena, &table->plateaus[i]));
  return text->text;
}

/* The project above, as much of its name as there is room for. */
static void draw_narrow_title(struct price_chart *chart) {
  size_t most = (size_t)((chart->width - MM(4)) / characters_width(MM(4), 1));
  const char *name = safe_line(chart->arena, chart->table->project->name);
  svg_start(chart->svg, "g");
  svg_attribute(chart->svg, "font-weight", "bold");
  svg_text(chart->svg, MM(2), MM(6), MM(4), "start", false,
           text_shortened(chart->arena, name, most));
  svg_end(chart->svg);
  svg_text(chart->svg, MM(2), MM(11), CHART_TYPE, "start", false,
           arena_format(chart->arena, "cost and profit of 1 to %s",
                        price_sets(chart->arena, chart->table->count)));
}

static void draw_broad_title(struct price_chart *chart, const char *title) {
  svg_start(chart->svg, "g");
  svg_attribute(chart->svg, "font-weight", "bold");
  svg_text(chart->svg, MM(10), MM(13), MM(5), "start", false,
           text_shortened(chart->arena, title, 80));
  svg_end(chart->svg);
  svg_text(chart->svg, MM(10), MM(20), CHART_TYPE, "start", false, terms_text(chart));
  svg_text(chart->svg, MM(10), MM(25), CHART_TYPE, "start", false,
           "amounts are in the currency of money.csv; every number is in price.csv");
}

static void draw_title(struct price_chart *chart, const char *title) {
  svg_layer(chart->svg, "title-block", "title block");
  if (chart->narrow)
    draw_narrow_title(chart);
  else
    draw_broad_title(chart, title);
  svg_end(chart->svg);
}

static void draw_ground(struct price_chart *chart) {
  svg_paper(chart->svg, chart->width, chart->height);
  svg_start(chart->svg, "defs");
  for (int i = 0; i < chart->panel_count; i++) draw_clip(chart, &chart->panels[i]);
  svg_end(chart->svg);
}

/* ---- key ---- */

static void add_key(struct price_chart *chart, struct price_key_row row) {
  if (chart->key_count < PRICE_KEY_ROWS) chart->key[chart->key_count++] = row;
}

static void add_key_of_series(struct price_chart *chart) {
  for (size_t i = 0; i < SERIES_TOTAL; i++) {
    const struct series *series = &all_series[i];
    if (!is_shown(chart->table, series)) continue;
    enum price_marker marker = has_markers(chart) ? marker_of(series) : MARKER_NONE;
    add_key(chart, (struct price_key_row){SIGN_LINE, marker, series->colour, series->width,
                                          series->dash, series->filled, series->words});
  }
}

static void add_key_of_line(struct price_chart *chart, enum price_sign sign, length_t width,
                            length_t dash, const char *words) {
  add_key(chart,
          (struct price_key_row){
              .sign = sign, .colour = CHART_INK, .width = width, .dash = dash, .words = words});
}

/* What stands beside the lines of a broad chart. */
static void fill_key(struct price_chart *chart) {
  const struct price_table *table = chart->table;
  int64_t over = count_cut_off(chart);
  add_key_of_series(chart);
  if (table->terms.priced) {
    add_key_of_line(chart, SIGN_LINE, LEVEL_WIDTH, PRICE_DASH, price_words(chart));
    add_key_of_line(chart, SIGN_LINE, LEVEL_WIDTH, 0, no_profit);
  }
  if (table->recommended > 0)
    add_key_of_line(chart, SIGN_UPRIGHT, UPRIGHT_WIDTH, 0, recommended_words(chart));
  if (table->asked > 0)
    add_key_of_line(chart, SIGN_UPRIGHT, UPRIGHT_WIDTH, ASKED_DASH, asked_words(chart));
  if (table->terms.priced && table->crossing_count > 0)
    add_key(chart, (struct price_key_row){.sign = SIGN_DIAMOND,
                                          .filled = !table->crossings[0].up,
                                          .words = crossing_words(chart, &table->crossings[0])});
  if (table->plateau_count > 0)
    add_key(chart, (struct price_key_row){.sign = SIGN_BAND,
                                          .words = "shaded: these sets need the same wood"});
  if (over > 0) add_key(chart, (struct price_key_row){.words = cut_off_words(chart, over)});
}

static void draw_lines(struct price_chart *chart) {
  const struct price_table *table = chart->table;
  if (table->terms.priced) {
    draw_level(chart, PANEL_COST, "price", "price", (double)table->terms.price, PRICE_DASH);
    draw_level(chart, PANEL_PROFIT, "no-profit", no_profit, 0, 0);
  }
  draw_recommended(chart);
  draw_asked(chart);
  for (size_t i = 0; i < SERIES_TOTAL; i++)
    if (is_shown(table, &all_series[i])) draw_series(chart, &all_series[i]);
  draw_cut_off(chart);
  if (table->terms.priced) draw_crossings(chart);
}

static void draw_end_words(struct price_chart *chart) {
  svg_layer(chart->svg, "words", "what the lines are");
  for (int i = 0; i < chart->panel_count; i++) label_panel(chart, i);
  svg_end(chart->svg);
}

static void write_chart(struct buffer *buffer, const struct price_table *table, bool narrow) {
  struct arena *arena = buffer->arena;
  struct price_chart chart = {.arena = arena, .table = table, .narrow = narrow};
  lay_out(&chart);
  length_t key_top = price_chart_bottom(&chart) + MM(14);
  if (narrow) {
    fill_key(&chart);
    chart.height = key_top + price_key_height(&chart) + MM(2);
  }
  chart.svg = svg_open(arena, chart.width, chart.height);
  svg_attribute(chart.svg, "role", "img");
  svg_attribute(chart.svg, "font-family", "DejaVu Sans, Helvetica, Arial, sans-serif");
  const char *title =
      arena_format(arena, "%s: cost and profit of 1 to %s", safe_line(arena, table->project->name),
                   price_sets(arena, table->count));
  svg_note(chart.svg, "title", title);
  svg_note(chart.svg, "desc", description(&chart));
  draw_ground(&chart);
  draw_title(&chart, title);
  draw_bands(&chart);
  price_chart_axes(&chart);
  draw_lines(&chart);
  if (narrow)
    price_key_draw(&chart, key_top);
  else
    draw_end_words(&chart);
  svg_close(chart.svg, buffer);
}

void write_price_svg(struct buffer *buffer, const struct price_table *table) {
  write_chart(buffer, table, false);
}

void write_price_svg_narrow(struct buffer *buffer, const struct price_table *table) {
  write_chart(buffer, table, true);
}
