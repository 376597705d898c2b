#include "write/svg.h"

#include <inttypes.h>
#include <libxml/xmlwriter.h>

#include "write/safe_text.h"
#include "write/xml_watch.h"

struct svg {
  struct arena *arena;
  xmlBufferPtr text;
  xmlTextWriterPtr writer;
  struct xml_watch watch;
};

/* ---- the writer ---- */

static void release_svg(void *resource) {
  struct svg *svg = resource;
  if (svg->writer != NULL) xmlFreeTextWriter(svg->writer);
  if (svg->text != NULL) xmlBufferFree(svg->text);
  svg->writer = NULL;
  svg->text = NULL;
  xml_watch_end(&svg->watch);
}

/* Everything is written to memory, so that only want of memory can be the reason. */
static void need(struct svg *svg, bool done) {
  if (!done || svg->watch.fault) arena_raise(svg->arena, STATUS_NO_MEMORY);
}

static const xmlChar *as_xml(const char *text) { return (const xmlChar *)text; }

/* "12.5" from 1/8000 mm: to 0.001 mm, without idle zeros, whatever the locale. */
static const char *mm_text(struct arena *arena, length_t value) {
  int64_t per = LENGTH_PER_MM / 1000;
  int64_t thousandths = (value < 0 ? value - per / 2 : value + per / 2) / per;
  return decimal_trimmed(arena, thousandths, 3);
}

struct svg *svg_open(struct arena *arena, length_t width, length_t height) {
  struct svg *svg = ARENA_NEW(arena, struct svg);
  svg->arena = arena;
  arena_defer(arena, release_svg, svg);
  xml_watch_begin(&svg->watch);
  svg->text = xmlBufferCreate();
  need(svg, svg->text != NULL);
  svg->writer = xmlNewTextWriterMemory(svg->text, 0);
  need(svg, svg->writer != NULL);
  xmlTextWriterSetIndent(svg->writer, 1);
  need(svg, xmlTextWriterStartDocument(svg->writer, "1.0", "UTF-8", NULL) >= 0);
  const char *wide = mm_text(arena, width);
  const char *high = mm_text(arena, height);
  svg_start(svg, "svg");
  svg_attribute(svg, "xmlns", "http://www.w3.org/2000/svg");
  svg_attribute(svg, "version", "1.1");
  svg_attribute(svg, "xmlns:inkscape", "http://www.inkscape.org/namespaces/inkscape");
  svg_attribute(svg, "width", arena_format(arena, "%smm", wide));
  svg_attribute(svg, "height", arena_format(arena, "%smm", high));
  svg_attribute(svg, "viewBox", arena_format(arena, "0 0 %s %s", wide, high));
  return svg;
}

void svg_close(struct svg *svg, struct buffer *buffer) {
  need(svg, xmlTextWriterEndDocument(svg->writer) >= 0);
  need(svg, xmlTextWriterFlush(svg->writer) >= 0);
  buffer_add_bytes(buffer, (const char *)xmlBufferContent(svg->text),
                   (size_t)xmlBufferLength(svg->text));
  release_svg(svg);
}

/* ---- elements ---- */

void svg_start(struct svg *svg, const char *name) {
  need(svg, xmlTextWriterStartElement(svg->writer, as_xml(name)) >= 0);
}

void svg_end(struct svg *svg) { need(svg, xmlTextWriterEndElement(svg->writer) >= 0); }

void svg_attribute(struct svg *svg, const char *name, const char *value) {
  const char *plain = safe_line(svg->arena, value);
  need(svg, xmlTextWriterWriteAttribute(svg->writer, as_xml(name), as_xml(plain)) >= 0);
}

void svg_length(struct svg *svg, const char *name, length_t value) {
  svg_attribute(svg, name, mm_text(svg->arena, value));
}

void svg_characters(struct svg *svg, const char *text) {
  const char *plain = safe_line(svg->arena, text);
  need(svg, xmlTextWriterWriteString(svg->writer, as_xml(plain)) >= 0);
}

void svg_note(struct svg *svg, const char *name, const char *text) {
  svg_start(svg, name);
  svg_characters(svg, text);
  svg_end(svg);
}

void svg_heading(struct svg *svg, const char *title, const char *description) {
  svg_attribute(svg, "font-family", "DejaVu Sans, Helvetica, Arial, sans-serif");
  svg_attribute(svg, "role", "img");
  svg_note(svg, "title", title);
  svg_note(svg, "desc", description);
}

void svg_paper(struct svg *svg, length_t width, length_t height) {
  svg_start_rect(svg, 0, 0, width, height);
  svg_attribute(svg, "id", "paper");
  svg_attribute(svg, "fill", "#FFFFFF");
  svg_end(svg);
}

/* A plain group for most programs; by these two attributes editors list it among the layers. */
static void start_layer(struct svg *svg, const char *id, const char *title) {
  svg_start(svg, "g");
  svg_attribute(svg, "id", id);
  svg_attribute(svg, "inkscape:groupmode", "layer");
  svg_attribute(svg, "inkscape:label", title);
}

void svg_layer(struct svg *svg, const char *id, const char *title) {
  start_layer(svg, id, title);
  svg_note(svg, "title", title);
}

void svg_layer_of_lines(struct svg *svg, const char *id, const char *title, length_t width) {
  start_layer(svg, id, title);
  svg_stroke(svg, "#000000", width);
  svg_note(svg, "title", title);
}

void svg_stroke(struct svg *svg, const char *colour, length_t width) {
  svg_attribute(svg, "stroke", colour);
  svg_length(svg, "stroke-width", width);
}

void svg_start_pattern(struct svg *svg, const char *id, length_t pitch, const char *turn) {
  svg_start(svg, "pattern");
  svg_attribute(svg, "id", id);
  svg_attribute(svg, "patternUnits", "userSpaceOnUse");
  svg_length(svg, "width", pitch);
  svg_length(svg, "height", pitch);
  svg_attribute(svg, "patternTransform", turn);
}

void svg_pattern_line(struct svg *svg, length_t x1, length_t y1, length_t x2, length_t y2,
                      length_t width, const char *colour) {
  svg_start(svg, "g");
  svg_stroke(svg, colour, width);
  svg_line(svg, x1, y1, x2, y2);
  svg_end(svg);
}

void svg_dashes(struct svg *svg, length_t dash, length_t gap) {
  svg_attribute(
      svg, "stroke-dasharray",
      arena_format(svg->arena, "%s %s", mm_text(svg->arena, dash), mm_text(svg->arena, gap)));
}

void svg_start_rect(struct svg *svg, length_t x, length_t y, length_t width, length_t height) {
  svg_start(svg, "rect");
  svg_length(svg, "x", x);
  svg_length(svg, "y", y);
  svg_length(svg, "width", width);
  svg_length(svg, "height", height);
}

void svg_line(struct svg *svg, length_t x1, length_t y1, length_t x2, length_t y2) {
  svg_start(svg, "line");
  svg_length(svg, "x1", x1);
  svg_length(svg, "y1", y1);
  svg_length(svg, "x2", x2);
  svg_length(svg, "y2", y2);
  svg_end(svg);
}

void svg_text(struct svg *svg, length_t x, length_t y, length_t size, const char *anchor,
              bool turned, const char *text) {
  svg_start(svg, "text");
  svg_length(svg, "x", x);
  svg_length(svg, "y", y);
  svg_length(svg, "font-size", size);
  svg_attribute(svg, "text-anchor", anchor);
  svg_attribute(svg, "stroke", "none");
  if (turned)
    svg_attribute(svg, "transform",
                  arena_format(svg->arena, "rotate(-90 %s %s)", mm_text(svg->arena, x),
                               mm_text(svg->arena, y)));
  svg_characters(svg, text);
  svg_end(svg);
}
