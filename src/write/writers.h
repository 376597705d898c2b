/* One writer per report; each adds a whole file to a buffer. */
#ifndef BLANKWRIGHT_WRITE_WRITERS_H
#define BLANKWRIGHT_WRITE_WRITERS_H

#include "base/buffer.h"
#include "write/view.h"

/* Saw cuts in the order of work. */
void write_cuts_csv(struct buffer *buffer, const struct view *view);

/* What to take from the rack and what to buy. */
void write_purchase_csv(struct buffer *buffer, const struct view *view);

/* What goes back on the rack, as lines of a rack.csv. */
void write_offcuts_csv(struct buffer *buffer, const struct view *view);

/* Every fixing on the bed: what lies where, which way up, tools and clamps. */
void write_setups_csv(struct buffer *buffer, const struct view *view);

/* The whole plan as one page that needs nothing else: to look at, to tick off, to print. */
void write_plan_html(struct buffer *buffer, const struct view *view);

/* A drawing in a file of its own is at true scale; one on a page is made to fit, so it has no scale
 * bar and says nothing of its scale. */
enum drawn { AT_TRUE_SCALE, TO_FIT };

/* One piece of stock, in mm. */
void write_layout_svg(struct buffer *buffer, const struct view *view,
                      const struct view_stock *entry, enum drawn drawn);

/* One clamping in mm, the first of those alike. */
void write_load_svg(struct buffer *buffer, const struct view *view, size_t index, enum drawn drawn);

/* Templates to be printed at true scale and laid on the wood, one of each drawing of a load, each
 * on as many sheets of paper as it takes. Nothing is added when there is no load. */
void write_marking_pdf(struct buffer *buffer, const struct view *view);

/* A label for each piece and each offcut to be kept, to cut out of plain paper. Nothing is added
 * when nothing is cut. */
void write_labels_pdf(struct buffer *buffer, const struct view *view);

#endif
