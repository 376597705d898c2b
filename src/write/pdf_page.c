#include "write/pdf_page.h"

#include <cairo-pdf.h>
#include <inttypes.h>
#include <pango/pangocairo.h>
#include <stdlib.h>
#include <time.h>

#include "base/threads.h"
#include "write/pdf_catalog.h"
#include "write/safe_text.h"

#define POINTS_PER_INCH 72.0
#define UNDATED "1980-01-01T00:00:00Z"

/* The bytes are gathered in an arena of their own: cairo cannot be jumped out of. */
struct pdf {
  struct arena *arena;
  struct arena *bytes_arena;
  struct buffer *bytes;
  cairo_surface_t *surface;
  cairo_t *cairo;
  PangoFontMap *fonts;
  PangoContext *context;
  PangoLayout *layout;
  bool started;
};

static double points(length_t length) {
  return (double)length * POINTS_PER_INCH / (double)LENGTH_PER_INCH;
}

/* ---- paper ---- */

struct pdf_paper pdf_paper_of(const struct shop *shop) {
  static const struct {
    length_t width, height;
  } sizes[] = {{MM(210), MM(297)}, {17 * LENGTH_PER_INCH / 2, 11 * LENGTH_PER_INCH}};
  const length_t most = MM(20);
  int64_t choice = shop->paper == 1 ? 1 : 0;
  return (struct pdf_paper){sizes[choice].width, sizes[choice].height,
                            shop->paper_margin < most ? shop->paper_margin : most,
                            shop->paper_overlap < 2 * most ? shop->paper_overlap : 2 * most};
}

/* ---- the file ---- */

struct chunk {
  struct buffer *buffer;
  const unsigned char *data;
  unsigned length;
};

static void add_chunk(void *data) {
  const struct chunk *chunk = data;
  buffer_add_bytes(chunk->buffer, (const char *)chunk->data, chunk->length);
}

static cairo_status_t take_bytes(void *closure, const unsigned char *data, unsigned length) {
  struct pdf *pdf = closure;
  struct chunk chunk = {pdf->bytes, data, length};
  return arena_run_apart(pdf->bytes_arena, add_chunk, &chunk) == STATUS_OK ? CAIRO_STATUS_SUCCESS
                                                                           : CAIRO_STATUS_NO_MEMORY;
}

static void release(void *resource) {
  struct pdf *pdf = resource;
  if (pdf->layout != NULL) g_object_unref(pdf->layout);
  if (pdf->context != NULL) g_object_unref(pdf->context);
  if (pdf->fonts != NULL) g_object_unref(pdf->fonts);
  cairo_destroy(pdf->cairo); /* both accept NULL */
  cairo_surface_destroy(pdf->surface);
  pdf->layout = NULL;
  pdf->context = NULL;
  pdf->fonts = NULL;
  pdf->cairo = NULL;
  pdf->surface = NULL;
}

/* The date that everything built from one source is given, so that it comes out alike. */
static const char *date_text(struct arena *arena) {
  const char *given = getenv("SOURCE_DATE_EPOCH");
  if (given == NULL || *given < '0' || *given > '9') return UNDATED;
  char *end = NULL;
  time_t seconds = (time_t)strtoll(given, &end, 10);
  struct tm date;
  char text[32];
  if (*end != '\0' || gmtime_r(&seconds, &date) == NULL || date.tm_year > 8099) return UNDATED;
  if (strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &date) == 0) return UNDATED;
  return arena_copy_text(arena, text);
}

/* Pango looks for fonts on threads of its own, started here. One that took a signal would end the
 * program while files are renamed. */
static void open_fonts(void *data) {
  struct pdf *pdf = data;
  pdf->fonts = pango_cairo_font_map_new();
  pdf->context = pango_font_map_create_context(pdf->fonts);
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(pdf->context, options);
  cairo_font_options_destroy(options);
  pango_cairo_context_set_resolution(pdf->context, POINTS_PER_INCH);
  pango_context_set_round_glyph_positions(pdf->context, FALSE);
  pango_context_set_language(pdf->context, pango_language_from_string("en"));
  pdf->layout = pango_layout_new(pdf->context);
  pango_layout_set_single_paragraph_mode(pdf->layout, TRUE);
}

struct pdf *pdf_open(struct arena *arena, const char *title) {
  struct pdf *pdf = ARENA_NEW(arena, struct pdf);
  title = safe_line(arena, title);
  const char *date = date_text(arena);
  pdf->arena = arena;
  pdf->bytes_arena = arena_create_child(arena);
  pdf->bytes = buffer_create(pdf->bytes_arena);
  arena_defer(arena, release, pdf);
  pdf->surface = cairo_pdf_surface_create_for_stream(take_bytes, pdf, 1, 1);
  cairo_pdf_surface_set_metadata(pdf->surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata(pdf->surface, CAIRO_PDF_METADATA_CREATOR, "blankwright");
  cairo_pdf_surface_set_metadata(pdf->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
  pdf->cairo = cairo_create(pdf->surface);
  threads_without_signals(open_fonts, pdf);
  return pdf;
}

void pdf_close(struct pdf *pdf, struct buffer *buffer) {
  if (pdf->started) cairo_show_page(pdf->cairo);
  cairo_surface_finish(pdf->surface);
  bool whole = cairo_status(pdf->cairo) == CAIRO_STATUS_SUCCESS &&
               cairo_surface_status(pdf->surface) == CAIRO_STATUS_SUCCESS;
  release(pdf);
  if (!whole) arena_raise(pdf->arena, STATUS_NO_MEMORY);
  pdf_catalog_add(pdf->bytes);
  buffer_add_bytes(buffer, pdf->bytes->text, pdf->bytes->length);
}

void pdf_start_page(struct pdf *pdf, length_t width, length_t height) {
  if (pdf->started) cairo_show_page(pdf->cairo);
  pdf->started = true;
  cairo_pdf_surface_set_size(pdf->surface, points(width), points(height));
}

void pdf_start_clip(struct pdf *pdf, length_t x, length_t y, length_t width, length_t height) {
  cairo_save(pdf->cairo);
  cairo_rectangle(pdf->cairo, points(x), points(y), points(width), points(height));
  cairo_clip(pdf->cairo);
}

void pdf_end_clip(struct pdf *pdf) { cairo_restore(pdf->cairo); }

/* ---- shapes ---- */

static void set_colour(struct pdf *pdf, enum pdf_colour colour) {
  static const double colours[][3] = {{0, 0, 0}, {0.4, 0.4, 0.4},   {0.9, 0.9, 0.9},
                                      {1, 1, 1}, {0, 0.447, 0.698}, {0.835, 0.369, 0}};
  cairo_set_source_rgb(pdf->cairo, colours[colour][0], colours[colour][1], colours[colour][2]);
}

void pdf_pen(struct pdf *pdf, enum pdf_colour colour, length_t width, length_t dash, length_t gap) {
  double dashes[] = {points(dash), points(gap > 0 ? gap : dash)};
  set_colour(pdf, colour);
  cairo_set_line_width(pdf->cairo, points(width));
  cairo_set_dash(pdf->cairo, dashes, dash > 0 ? 2 : 0, 0);
}

void pdf_line(struct pdf *pdf, length_t x1, length_t y1, length_t x2, length_t y2) {
  cairo_move_to(pdf->cairo, points(x1), points(y1));
  cairo_line_to(pdf->cairo, points(x2), points(y2));
  cairo_stroke(pdf->cairo);
}

static void corner(struct pdf *pdf, length_t x, length_t y, length_t radius, int quarter) {
  const double right_angle = 1.57079632679489662;
  cairo_arc(pdf->cairo, points(x), points(y), points(radius), right_angle * quarter,
            right_angle * (quarter + 1));
}

void pdf_rect(struct pdf *pdf, const struct view_place *place, length_t radius) {
  length_t right = place->x + place->length, bottom = place->y + place->width;
  if (radius <= 0) {
    cairo_rectangle(pdf->cairo, points(place->x), points(place->y), points(place->length),
                    points(place->width));
  } else {
    cairo_new_sub_path(pdf->cairo);
    corner(pdf, right - radius, bottom - radius, radius, 0);
    corner(pdf, place->x + radius, bottom - radius, radius, 1);
    corner(pdf, place->x + radius, place->y + radius, radius, 2);
    corner(pdf, right - radius, place->y + radius, radius, 3);
    cairo_close_path(pdf->cairo);
  }
  cairo_stroke(pdf->cairo);
}

void pdf_fill(struct pdf *pdf, const struct view_place *place, enum pdf_colour colour) {
  set_colour(pdf, colour);
  cairo_rectangle(pdf->cairo, points(place->x), points(place->y), points(place->length),
                  points(place->width));
  cairo_fill(pdf->cairo);
}

void pdf_ring(struct pdf *pdf, length_t x, length_t y, length_t radius) {
  struct view_place square = {x - radius, y - radius, 2 * radius, 2 * radius};
  pdf_rect(pdf, &square, radius);
}

void pdf_cross(struct pdf *pdf, length_t x, length_t y, length_t arm) {
  pdf_line(pdf, x - arm, y, x + arm, y);
  pdf_line(pdf, x, y - arm, x, y + arm);
}

void pdf_hatch(struct pdf *pdf, const struct view_place *place, bool rising, length_t pitch) {
  cairo_save(pdf->cairo);
  cairo_rectangle(pdf->cairo, points(place->x), points(place->y), points(place->length),
                  points(place->width));
  cairo_clip(pdf->cairo);
  for (length_t at = place->x - place->width; at < place->x + place->length; at += pitch) {
    length_t low = rising ? place->y + place->width : place->y;
    length_t high = rising ? place->y : place->y + place->width;
    cairo_move_to(pdf->cairo, points(at), points(low));
    cairo_line_to(pdf->cairo, points(at + place->width), points(high));
  }
  cairo_stroke(pdf->cairo);
  cairo_restore(pdf->cairo);
}

/* ---- type ---- */

static void set_font(struct pdf *pdf, length_t size, bool bold) {
  PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans, Sans");
  pango_font_description_set_absolute_size(font, points(size) * PANGO_SCALE);
  if (bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
  pango_layout_set_font_description(pdf->layout, font);
  pango_font_description_free(font);
}

/* Sets the text in the layout so that it fits; returns its width in points. */
static double fit_text(struct pdf *pdf, const struct pdf_type *type, const char *text) {
  length_t size = type->size, least = type->size * 7 / 10;
  int width = 0;
  pango_layout_set_width(pdf->layout, -1);
  pango_layout_set_ellipsize(pdf->layout, PANGO_ELLIPSIZE_NONE);
  pango_layout_set_text(pdf->layout, text, -1);
  int room = (int)(points(type->room) * PANGO_SCALE);
  for (;; size = size * 9 / 10) {
    set_font(pdf, size, type->bold);
    pango_layout_get_size(pdf->layout, &width, NULL);
    if (type->room <= 0 || width <= room) break;
    if (size <= least) {
      pango_layout_set_width(pdf->layout, room);
      pango_layout_set_ellipsize(pdf->layout, PANGO_ELLIPSIZE_END);
      pango_layout_get_size(pdf->layout, &width, NULL);
      break;
    }
  }
  return (double)width / PANGO_SCALE;
}

void pdf_text(struct pdf *pdf, length_t x, length_t y, struct pdf_type type, const char *text) {
  struct arena_mark mark = arena_mark(pdf->arena);
  double width = fit_text(pdf, &type, safe_line(pdf->arena, text));
  arena_release(pdf->arena, mark);
  double before = type.anchor == PDF_START ? 0 : type.anchor == PDF_END ? width : width / 2;
  double above = (double)pango_layout_get_baseline(pdf->layout) / PANGO_SCALE;
  cairo_save(pdf->cairo);
  set_colour(pdf, PDF_INK);
  cairo_translate(pdf->cairo, points(x), points(y));
  if (type.upright) cairo_rotate(pdf->cairo, -1.57079632679489662);
  cairo_move_to(pdf->cairo, -before, -above);
  pango_cairo_show_layout(pdf->cairo, pdf->layout);
  cairo_restore(pdf->cairo);
}
