/* A thin layer over an XML writer for drawings in millimetres. Lengths are given in
 * 1/8000 mm and written to 0.001 mm; y counts downwards from the upper edge. Texts are
 * made fit for XML and escaped. Running out of memory raises on the arena. */
#ifndef BLANKWRIGHT_WRITE_SVG_H
#define BLANKWRIGHT_WRITE_SVG_H

#include "base/buffer.h"
#include "base/length.h"

struct svg;

/* Starts a drawing of this size: one user unit is one millimetre. Lives in the arena. */
struct svg *svg_open(struct arena *arena, length_t width, length_t height);

/* Ends every open element and adds the whole text to the buffer. */
void svg_close(struct svg *svg, struct buffer *buffer);

/* What stands at the start of every drawing: the type's family, title and description; and white
 * paper of its size. */
void svg_heading(struct svg *svg, const char *title, const char *description);
void svg_paper(struct svg *svg, length_t width, length_t height);

/* Elements: start, attributes, content, end. */
void svg_start(struct svg *svg, const char *name);
void svg_end(struct svg *svg);
void svg_attribute(struct svg *svg, const char *name, const char *value);
void svg_length(struct svg *svg, const char *name, length_t value);
void svg_characters(struct svg *svg, const char *text);

/* A child element with text alone: title, desc. */
void svg_note(struct svg *svg, const char *name, const char *text);

/* A named layer; ended with svg_end. */
void svg_layer(struct svg *svg, const char *id, const char *title);

/* The same for lines: they get ink of this width, type keeps none. */
void svg_layer_of_lines(struct svg *svg, const char *id, const char *title, length_t width);

/* Attributes of an open element: ink and width of its line. */
void svg_stroke(struct svg *svg, const char *colour, length_t width);

/* A pattern that repeats every `pitch` both ways, turned as "rotate(45)" says; left open for its
 * lines. Each has ink of its own. */
void svg_start_pattern(struct svg *svg, const char *id, length_t pitch, const char *turn);
void svg_pattern_line(struct svg *svg, length_t x1, length_t y1, length_t x2, length_t y2,
                      length_t width, const char *colour);

/* Attribute of an open element: dashes and gaps of these lengths. */
void svg_dashes(struct svg *svg, length_t dash, length_t gap);

/* A rectangle, left open for attributes and notes. */
void svg_start_rect(struct svg *svg, length_t x, length_t y, length_t width, length_t height);

/* A whole line, text, path. The text's anchor is "start", "middle" or "end"; it stands
 * on its baseline, upright or, when turned, reading upwards. */
void svg_line(struct svg *svg, length_t x1, length_t y1, length_t x2, length_t y2);
void svg_text(struct svg *svg, length_t x, length_t y, length_t size, const char *anchor,
              bool turned, const char *text);

#endif
