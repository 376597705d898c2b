/* What the files that write the page share. The sections stand in the order a day goes. */
#ifndef BLANKWRIGHT_WRITE_PLAN_HTML_H
#define BLANKWRIGHT_WRITE_PLAN_HTML_H

#include "write/html.h"
#include "write/plan_words.h"
#include "write/view.h"

struct page {
  struct arena *arena;
  struct html *html;
  const struct view *view;
  struct buffer *scratch; /* one drawing after the other */
  size_t drawings;        /* so far */
};

/* A section under a heading of the second rank; ended with html_end. */
void page_start_section(struct page *page, const char *id, const char *heading);

void page_paragraph(struct page *page, const char *class_name, const char *text);

/* A list item with a check box of this id, left open inside its label. Ended with page_end_tick. */
void page_start_tick(struct page *page, const char *id, const char *class_name);
void page_end_tick(struct page *page);

/* What page->scratch holds, a drawing whole by itself, set into the page: its ids and what refers
 * to them get a prefix no other drawing has. The caption is for those who cannot see it well. Of
 * two drawings of one thing the "slim" one is seen on a narrow screen, else the "broad" one; NULL:
 * it is always seen. */
void page_drawing(struct page *page, const char *class_name, const char *caption);

/* A list of sentences; a term and its value in a `dl`, class_name may be NULL. */
void page_items(struct page *page, const struct text_list *list);
void page_figure(struct page *page, const char *class_name, const char *label, const char *value);

/* The ids of cuts, "cut-12", are what ticks are kept under and links go to. */
const char *page_cut_id(struct arena *arena, const struct cut *cut);

/* Sections; each writes nothing where it has nothing to say. */
void page_summary(struct page *page);
void page_stock(struct page *page);
void page_planks(struct page *page);
void page_loads(struct page *page);
void page_left_overs(struct page *page);
void page_times(struct page *page);
void page_prices(struct page *page);
void page_cautions(struct page *page);
void page_defaults(struct page *page);

bool page_has_defaults(const struct view *view);

/* The styles and the script, all without '<' and '&'. */
extern const char *const page_style;
extern const char *const page_print_style;
extern const char *const page_script;

#endif
