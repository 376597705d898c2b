/* A thin layer over cairo and pango for pages in millimetres. Lengths are given in 1/8000 mm from
 * the paper's upper left corner, y downwards. Texts are made fit to be shown and stay text that
 * can be searched and copied. The same calls give the same bytes. All of it lives in the arena;
 * running out of memory raises on it (want of memory inside pango ends the process). */
#ifndef BLANKWRIGHT_WRITE_PDF_PAGE_H
#define BLANKWRIGHT_WRITE_PDF_PAGE_H

#include "base/buffer.h"
#include "write/view.h"

struct pdf;

struct pdf_paper {
  length_t width, height;
  length_t margin;  /* left free on each edge */
  length_t overlap; /* of two sheets of one template */
};

/* The shop's paper, upright. Margins are kept within what leaves room for the check lines. */
struct pdf_paper pdf_paper_of(const struct shop *shop);

/* Starts a file with this title, dated by SOURCE_DATE_EPOCH, or always 1980 without it. */
struct pdf *pdf_open(struct arena *arena, const char *title);

/* Ends it and adds its bytes to the buffer. */
void pdf_close(struct pdf *pdf, struct buffer *buffer);

/* Starts a page; what was drawn before is on the pages before. */
void pdf_start_page(struct pdf *pdf, length_t width, length_t height);

/* What is drawn up to the end is seen within this rectangle alone. Not nested. */
void pdf_start_clip(struct pdf *pdf, length_t x, length_t y, length_t width, length_t height);
void pdf_end_clip(struct pdf *pdf);

enum pdf_colour { PDF_INK, PDF_GREY, PDF_PALE, PDF_WHITE, PDF_BLUE, PDF_ORANGE };

/* How lines are drawn from now on: dash 0 is a whole line, a gap of 0 is as long as the dash. */
void pdf_pen(struct pdf *pdf, enum pdf_colour colour, length_t width, length_t dash, length_t gap);

void pdf_line(struct pdf *pdf, length_t x1, length_t y1, length_t x2, length_t y2);
/* Corners of this radius; where it is half of both sides a circle. */
void pdf_rect(struct pdf *pdf, const struct view_place *place, length_t radius);
void pdf_fill(struct pdf *pdf, const struct view_place *place, enum pdf_colour colour);
void pdf_ring(struct pdf *pdf, length_t x, length_t y, length_t radius);
void pdf_cross(struct pdf *pdf, length_t x, length_t y, length_t arm);
/* Slanted lines of the pen, rising or falling, at this distance from each other. */
void pdf_hatch(struct pdf *pdf, const struct view_place *place, bool rising, length_t pitch);

enum pdf_anchor { PDF_START, PDF_MIDDLE, PDF_END };
struct pdf_type {
  length_t size;
  length_t room; /* the text is made smaller, then shortened, to fit; 0: it may be any length */
  enum pdf_anchor anchor;
  bool bold;
  bool upright; /* reads upwards */
};

/* A text on its baseline at (x, y), in ink. */
void pdf_text(struct pdf *pdf, length_t x, length_t y, struct pdf_type type, const char *text);

#endif
