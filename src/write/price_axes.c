#include <inttypes.h>
#include <math.h>

#include "write/price_chart.h"
#include "write/safe_text.h"

enum { TICK = 1, SETS_TICKS = 20, SETS_TICKS_NARROW = 8 };

/* The least of 1, 2, 5, 10, 20 .. that parts `span` into at most `ticks`. */
static double tick_for(double span, int ticks) {
  static const double steps[] = {1, 2, 5};
  double power = 1;
  for (int i = 0; i < 60; i++) {
    double tick = power * steps[i % 3];
    if (span / tick <= ticks) return tick;
    if (i % 3 == 2) power *= 10;
  }
  return power;
}

void price_panel_scale(struct price_panel *panel, double least, double most, int ticks) {
  panel->tick = tick_for(fmax(most - least, 1), ticks);
  panel->least = floor(least / panel->tick) * panel->tick;
  panel->most = ceil(most / panel->tick) * panel->tick;
  if (panel->most <= panel->least) panel->most = panel->least + panel->tick;
}

length_t price_chart_x(const struct price_chart *chart, int64_t half_sets) {
  double share = (double)(half_sets - 1) / (2 * (double)chart->table->count);
  return chart->left + llround(share * (double)(chart->right - chart->left));
}

length_t price_chart_y(const struct price_panel *panel, double cents) {
  double share = (cents - panel->least) / (panel->most - panel->least);
  return panel->bottom - llround(share * (double)(panel->bottom - panel->top));
}

const char *price_chart_point(const struct price_chart *chart, length_t x, length_t y) {
  int64_t per = LENGTH_PER_MM / 1000;
  return arena_format(chart->arena, "%s,%s", decimal_trimmed(chart->arena, x / per, 3),
                      decimal_trimmed(chart->arena, y / per, 3));
}

length_t price_chart_bottom(const struct price_chart *chart) {
  return chart->panels[chart->panel_count - 1].bottom;
}

/* Whole money where the ticks are whole, else cents. */
static const char *tick_text(const struct price_chart *chart, const struct price_panel *panel,
                             double cents) {
  int64_t whole = llround(cents);
  if (llround(panel->tick) % 100 == 0) return decimal_text(chart->arena, whole / 100, 0);
  return cents_text(chart->arena, whole);
}

static void draw_grid(struct price_chart *chart, const struct price_panel *panel) {
  struct svg *svg = chart->svg;
  int ticks = (int)llround((panel->most - panel->least) / panel->tick);
  svg_layer(svg, arena_format(chart->arena, "%s-grid", panel->id), "grid");
  svg_start(svg, "g");
  svg_stroke(svg, "#B0B0B0", MM(1) / 10);
  for (int i = 0; i <= ticks; i++) {
    length_t y = price_chart_y(panel, panel->least + i * panel->tick);
    svg_line(svg, chart->left, y, chart->right, y);
  }
  svg_end(svg);
  svg_end(svg);
}

static void draw_y_axis(struct price_chart *chart, const struct price_panel *panel) {
  struct svg *svg = chart->svg;
  svg_layer_of_lines(svg, arena_format(chart->arena, "axis-%s", panel->id), panel->title,
                     MM(1) / 10);
  int ticks = (int)llround((panel->most - panel->least) / panel->tick);
  for (int i = 0; i <= ticks; i++) {
    double cents = panel->least + i * panel->tick;
    length_t y = price_chart_y(panel, cents);
    svg_line(svg, chart->left - MM(TICK), y, chart->left, y);
    svg_text(svg, chart->left - MM(2), y + CHART_SMALL / 3, CHART_SMALL, "end", false,
             tick_text(chart, panel, cents));
  }
  svg_start_rect(svg, chart->left, panel->top, chart->right - chart->left,
                 panel->bottom - panel->top);
  svg_attribute(svg, "fill", "none");
  svg_length(svg, "stroke-width", MM(1) / 4);
  svg_end(svg);
  if (chart->narrow)
    svg_text(svg, MM(2), panel->top - MM(2), CHART_TYPE, "start", false, panel->title);
  else
    svg_text(svg, chart->left - MM(16), (panel->top + panel->bottom) / 2, CHART_TYPE, "middle",
             true, panel->title);
  svg_end(svg);
}

static void draw_x_axis(struct price_chart *chart) {
  struct svg *svg = chart->svg;
  length_t bottom = price_chart_bottom(chart);
  int64_t count = chart->table->count;
  int64_t step = (int64_t)tick_for((double)count, chart->narrow ? SETS_TICKS_NARROW : SETS_TICKS);
  svg_layer_of_lines(svg, "axis-sets", "sets made", MM(1) / 10);
  for (int64_t n = step; n <= count; n += step) {
    length_t x = price_chart_x(chart, 2 * n);
    svg_line(svg, x, bottom, x, bottom + MM(TICK));
    svg_text(svg, x, bottom + MM(2) + CHART_SMALL, CHART_SMALL, "middle", false,
             arena_format(chart->arena, "%" PRId64, n));
  }
  svg_text(svg, (chart->left + chart->right) / 2, bottom + MM(10), CHART_TYPE, "middle", false,
           "sets made (whole sets)");
  svg_end(svg);
}

void price_chart_axes(struct price_chart *chart) {
  for (int i = 0; i < chart->panel_count; i++) draw_grid(chart, &chart->panels[i]);
  for (int i = 0; i < chart->panel_count; i++) draw_y_axis(chart, &chart->panels[i]);
  draw_x_axis(chart);
}
