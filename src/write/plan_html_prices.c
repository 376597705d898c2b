/* What the run costs and brings, and the chart of all quantities. */
#include "write/plan_html.h"
#include "write/price.h"
#include "write/price_told.h"
#include "write/safe_text.h"

static void add_lines(struct page *page, const struct price_lines *lines) {
  html_start_class(page->html, "dl", "told");
  for (int i = 0; i < lines->count; i++) {
    const struct price_line *line = &lines->lines[i];
    html_start_class(page->html, "dt", line->sum ? "sum" : "each");
    html_text(page->html, line->label);
    if (*line->note != '\0') html_element(page->html, "small", line->note);
    html_end(page->html);
    html_start_class(page->html, "dd", line->sum ? "sum" : "each");
    html_text(page->html, line->cents == PRICE_NONE ? "none, fees and tax take all of any price"
                                                    : cents_text(page->arena, line->cents));
    html_end(page->html);
  }
  html_end(page->html);
}

/* Half sentences of the summary, whole ones here. */
static void add_sentences(struct page *page, const struct text_list *list) {
  struct text_list whole = {0};
  for (size_t i = 0; i < list->count; i++) {
    const char *text = list->items[i];
    int first = (unsigned char)text[0];
    if (first >= 'a' && first <= 'z') first += 'A' - 'a';
    list_add(page->arena, &whole, "%c%s.", first, text + 1);
  }
  page_items(page, &whole);
}

/* Nothing under a heading is no section. */
static void add_told(struct page *page, const char *heading, const struct price_lines *lines,
                     const struct text_list *list) {
  if (lines->count == 0 && list->count == 0) return;
  html_element(page->html, "h3", heading);
  if (lines->count > 0) add_lines(page, lines);
  if (list->count > 0) add_sentences(page, list);
}

static void add_cost(struct page *page, const struct price_point *point) {
  const struct price_table *table = page->view->prices;
  struct price_lines lines = {.count = 0};
  struct text_list list = {0};
  price_cost_lines(page->arena, table, point, &lines);
  price_cost_sentences(page->arena, table, point, &list);
  add_told(page,
           arena_format(page->arena, "What %s cost%s", price_sets(page->arena, point->sets),
                        point->sets == 1 ? "s" : ""),
           &lines, &list);
}

static void add_sale(struct page *page, const struct price_point *point) {
  const struct price_table *table = page->view->prices;
  struct price_lines lines = {.count = 0};
  struct text_list list = {0};
  price_sale_lines(page->arena, table, point, &lines);
  price_sale_sentences(page->arena, table, point, &list);
  price_wanted_lines(page->arena, table, point, &lines);
  add_told(page, "Price of a set", &lines, &list);
}

static void add_chances(struct page *page) {
  const struct price_table *table = page->view->prices;
  const struct price_lines none = {.count = 0};
  struct text_list even = {0}, demand = {0};
  price_break_even_sentences(page->arena, table, &even);
  price_demand_sentences(page->arena, table, &demand);
  add_told(page, "Break-even", &none, &even);
  add_told(page, "Demand", &none, &demand);
}

static void add_chart(struct page *page) {
  static const struct {
    const char *name;
    void (*write)(struct buffer *, const struct price_table *);
  } charts[] = {{"broad", write_price_svg}, {"slim", write_price_svg_narrow}};
  for (size_t i = 0; i < sizeof charts / sizeof *charts; i++) {
    struct arena_mark mark = arena_mark(page->arena);
    buffer_clear(page->scratch);
    charts[i].write(page->scratch, page->view->prices);
    page_drawing(page, charts[i].name,
                 "Cost of a set and profit by the number of sets; also in price.svg.");
    arena_release(page->arena, mark);
  }
}

static void add_head(struct page *page, const char *text) {
  html_start(page->html, "th");
  html_attribute(page->html, "scope", "col");
  html_text(page->html, text);
  html_end(page->html);
}

/* What a column is called; on a narrow screen each cell is led by it. */
static const char total_of[] = "total", set_of[] = "a set", sold_of[] = "profit, all sold",
                  expected_of[] = "profit expected";

static void add_cell(struct page *page, const char *of, cents_t cents) {
  html_start(page->html, "td");
  html_attribute(page->html, "data-of", of);
  html_text(page->html, cents_text(page->arena, cents));
  html_end(page->html);
}

static void add_row(struct page *page, const struct price_point *point) {
  const struct price_table *table = page->view->prices;
  const char *note = price_row_note(table, point->sets);
  html_start(page->html, "tr");
  html_start(page->html, "th");
  html_attribute(page->html, "scope", "row");
  html_text(page->html, price_sets(page->arena, point->sets));
  if (*note != '\0') html_element(page->html, "small", note);
  html_end(page->html);
  add_cell(page, total_of, point->total);
  add_cell(page, set_of, point->per_set);
  if (table->terms.priced) add_cell(page, sold_of, point->profit);
  if (price_has_demand(table)) add_cell(page, expected_of, price_cents(point->expected_profit));
  html_end(page->html);
}

static void add_rows(struct page *page) {
  const struct price_table *table = page->view->prices;
  html_start_class(page->html, "table", "keep");
  html_element(page->html, "caption", "Quantities worth a look; all are in price.csv");
  html_start(page->html, "thead");
  html_start(page->html, "tr");
  add_head(page, "made");
  add_head(page, total_of);
  add_head(page, set_of);
  if (table->terms.priced) add_head(page, sold_of);
  if (price_has_demand(table)) add_head(page, expected_of);
  html_end(page->html);
  html_end(page->html);
  html_start(page->html, "tbody");
  for (int64_t n = 1; n <= table->count; n++)
    if (price_is_of_note(table, n)) add_row(page, price_point_of(table, n));
  html_end(page->html);
  html_end(page->html);
}

void page_prices(struct page *page) {
  const struct price_table *table = page->view->prices;
  if (table == NULL) return;
  const struct price_point *point = price_point_of(table, price_focus(table));
  page_start_section(page, "price", "Cost and price");
  add_chart(page);
  add_rows(page);
  add_cost(page, point);
  add_sale(page, point);
  add_chances(page);
  html_end(page->html);
}
