/* The key of a chart of prices on a narrow screen: a sign and its words, broken into lines. */
#include <string.h>

#include "write/drawing.h"
#include "write/price_chart.h"
#include "write/safe_text.h"

#define SIGN_LEFT MM(2)
#define SIGN_RIGHT MM(12)
#define WORDS_LEFT MM(14)
#define LINE_PITCH (CHART_TYPE * 13 / 10)
#define ROW_GAP MM(1)

/* ---- markers, which the panels have too ---- */

void price_chart_start_marker(struct price_chart *chart, enum price_marker marker, length_t x,
                              length_t y, const char *colour, bool filled) {
  length_t half = MM(1) * 7 / 10;
  if (marker == MARKER_SQUARE) {
    svg_start_rect(chart->svg, x - half, y - half, 2 * half, 2 * half);
  } else {
    svg_start(chart->svg, "circle");
    svg_length(chart->svg, "cx", x);
    svg_length(chart->svg, "cy", y);
    svg_length(chart->svg, "r", half);
  }
  svg_attribute(chart->svg, "fill", filled ? colour : "#FFFFFF");
  svg_attribute(chart->svg, "stroke", colour);
  svg_length(chart->svg, "stroke-width", MM(1) / 5);
}

void price_chart_start_diamond(struct price_chart *chart, length_t x, length_t y, bool filled) {
  length_t half = MM(3) / 2;
  svg_start(chart->svg, "polygon");
  svg_attribute(
      chart->svg, "points",
      arena_format(chart->arena, "%s %s %s %s", price_chart_point(chart, x - half, y),
                   price_chart_point(chart, x, y - half), price_chart_point(chart, x + half, y),
                   price_chart_point(chart, x, y + half)));
  svg_attribute(chart->svg, "fill", filled ? CHART_INK : "#FFFFFF");
  svg_attribute(chart->svg, "stroke", CHART_INK);
  svg_length(chart->svg, "stroke-width", MM(1) * 4 / 10);
}

/* ---- words in lines ---- */

/* Bytes of the words that fit into a line, at least one word. */
static size_t line_length(const char *text, length_t room) {
  size_t fitting = 0, columns = 0;
  for (size_t at = 0; text[at] != '\0';) {
    size_t next = at + strspn(text + at, " ");
    size_t end = next + strcspn(text + next, " ");
    for (size_t i = at; i < end; i++) columns += ((unsigned char)text[i] & 0xC0) != 0x80;
    if (fitting > 0 && characters_width(CHART_TYPE, columns) > room) break;
    fitting = at = end;
  }
  return fitting;
}

static length_t room_of(const struct price_chart *chart) {
  return chart->width - WORDS_LEFT - MM(1);
}

static int64_t line_count(const struct price_chart *chart, const char *words) {
  int64_t count = 0;
  for (; *words != '\0'; words += strspn(words, " ")) {
    words += line_length(words, room_of(chart));
    count++;
  }
  return count;
}

length_t price_key_height(const struct price_chart *chart) {
  length_t height = 0;
  for (size_t i = 0; i < chart->key_count; i++)
    height += line_count(chart, chart->key[i].words) * LINE_PITCH + ROW_GAP;
  return height;
}

/* ---- signs ---- */

static void draw_sample(struct price_chart *chart, const struct price_key_row *row, length_t y) {
  struct svg *svg = chart->svg;
  length_t middle = (SIGN_LEFT + SIGN_RIGHT) / 2;
  svg_start(svg, "g");
  svg_attribute(svg, "stroke", row->colour);
  svg_length(svg, "stroke-width", row->width);
  if (row->dash > 0) svg_dashes(svg, row->dash, row->dash / 2);
  if (row->sign == SIGN_UPRIGHT)
    svg_line(svg, middle, y - CHART_TYPE * 6 / 10, middle, y + CHART_TYPE * 6 / 10);
  else
    svg_line(svg, SIGN_LEFT, y, SIGN_RIGHT, y);
  svg_end(svg);
  if (row->marker == MARKER_NONE) return;
  price_chart_start_marker(chart, row->marker, middle, y, row->colour, row->filled);
  svg_end(svg);
}

static void draw_sign(struct price_chart *chart, const struct price_key_row *row, length_t y) {
  switch (row->sign) {
    case SIGN_LINE:
    case SIGN_UPRIGHT:
      draw_sample(chart, row, y);
      break;
    case SIGN_DIAMOND:
      price_chart_start_diamond(chart, (SIGN_LEFT + SIGN_RIGHT) / 2, y, row->filled);
      svg_end(chart->svg);
      break;
    case SIGN_BAND:
      svg_start_rect(chart->svg, SIGN_LEFT, y - CHART_TYPE / 2, SIGN_RIGHT - SIGN_LEFT, CHART_TYPE);
      svg_attribute(chart->svg, "fill", CHART_BAND);
      svg_attribute(chart->svg, "stroke", CHART_GREY);
      svg_length(chart->svg, "stroke-width", MM(1) / 10);
      svg_end(chart->svg);
      break;
    case SIGN_NONE:
      break;
  }
}

void price_key_draw(struct price_chart *chart, length_t top) {
  svg_layer(chart->svg, "key", "what is drawn");
  for (size_t i = 0; i < chart->key_count; i++) {
    const char *words = chart->key[i].words;
    draw_sign(chart, &chart->key[i], top + LINE_PITCH / 2);
    for (; *words != '\0'; words += strspn(words, " "), top += LINE_PITCH) {
      size_t length = line_length(words, room_of(chart));
      svg_text(chart->svg, WORDS_LEFT, top + LINE_PITCH / 2 + CHART_TYPE / 3, CHART_TYPE, "start",
               false, arena_copy_bytes(chart->arena, words, length));
      words += length;
    }
    top += ROW_GAP;
  }
  svg_end(chart->svg);
}
