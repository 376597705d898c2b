/* The ground of a chart of prices: panels above each other with quantities along x and money
 * along y. Paper is in 1/8000 mm, y counts downwards; money in cents. */
#ifndef BLANKWRIGHT_WRITE_PRICE_CHART_H
#define BLANKWRIGHT_WRITE_PRICE_CHART_H

#include "model/price.h"
#include "write/svg.h"

/* One panel: `least` to `most` money from bottom to top, both on a tick. */
struct price_panel {
  const char *id;    /* of its axes and its clip */
  const char *title; /* of its y axis, with the unit */
  length_t top, bottom;
  double least, most, tick;
};

/* A row of the key: how what it tells of is drawn. */
enum price_sign { SIGN_NONE, SIGN_LINE, SIGN_UPRIGHT, SIGN_DIAMOND, SIGN_BAND };
enum price_marker { MARKER_NONE, MARKER_CIRCLE, MARKER_SQUARE };

struct price_key_row {
  enum price_sign sign;
  enum price_marker marker;
  const char *colour;
  length_t width, dash; /* of its line; dash 0: drawn through */
  bool filled;          /* its marker or diamond; else it is white inside */
  const char *words;
};

enum { PRICE_KEY_ROWS = 10 };

struct price_chart {
  struct arena *arena;
  struct svg *svg;
  const struct price_table *table;
  bool narrow; /* for a narrow screen: words stand in a key below, not beside and in the panels */
  struct price_key_row key[PRICE_KEY_ROWS]; /* of a narrow chart */
  size_t key_count;
  length_t width, height;       /* of the paper */
  length_t left, right;         /* of every panel */
  length_t strip;               /* upper edge of the strip above the panels with the bands' words */
  struct price_panel panels[2]; /* cost of a set, profit */
  int panel_count;
};

enum { PANEL_COST, PANEL_PROFIT };

#define CHART_TYPE MM(3)        /* ordinary type: 3 mm */
#define CHART_SMALL (MM(5) / 2) /* numbers at the axes */
#define CHART_INK "#000000"
#define CHART_BAND "#E3E6EA"
#define CHART_GREY "#767676"

/* Widens least..most to ticks of 1, 2 or 5 times a power of ten, not more than about `ticks`. */
void price_panel_scale(struct price_panel *panel, double least, double most, int ticks);

/* Where a quantity, in halves of a set, and money lie on paper. */
length_t price_chart_x(const struct price_chart *chart, int64_t half_sets);
length_t price_chart_y(const struct price_panel *panel, double cents);

/* "12.5,40.25": a point on paper in mm. */
const char *price_chart_point(const struct price_chart *chart, length_t x, length_t y);

/* The lower edge of the lowest panel. */
length_t price_chart_bottom(const struct price_chart *chart);

/* A circle or square of this colour, filled or white inside, left open. */
void price_chart_start_marker(struct price_chart *chart, enum price_marker marker, length_t x,
                              length_t y, const char *colour, bool filled);

/* A diamond, left open. */
void price_chart_start_diamond(struct price_chart *chart, length_t x, length_t y, bool filled);

/* The key: what it takes below the quantities' axis, and its drawing from there down. */
length_t price_key_height(const struct price_chart *chart);
void price_key_draw(struct price_chart *chart, length_t top);

/* Frame, grid, ticks, numbers and titles of every axis. */
void price_chart_axes(struct price_chart *chart);

#endif
