/* Prices as they are told: what stands in the table stands in the files. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <jansson.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "unit/price_fixture.h"
#include "write/price.h"
#include "write/safe_text.h"

enum { MOST_CELLS = 64 };

/* Planks of 41.00 that six sets use up; a fair with a demand of 5 to 31. */
static void set_up(struct price_bench *bench, int64_t count, int64_t asked) {
  bench->project.name = "trays & <boxes>";
  bench->project.shop.labour_rate = 600;
  price_bench_bought(bench, "=peg", 4000, 50, 350);
  price_bench_money(bench, "price", 31000);
  price_bench_money(bench, "stall_fee", 60000);
  price_bench_money(bench, "payment_percent", 2900);
  price_bench_money(bench, "unsold_value", 4000);
  price_bench_money(bench, "demand_low", 5000);
  price_bench_money(bench, "demand_likely", 14000);
  price_bench_money(bench, "demand_high", 31000);
  price_bench_table(bench, count, 0, 4100, 6, 20000);
  bench->table->asked = asked;
  price_table_fill(bench->arena, bench->table);
}

/* ---- price.csv ---- */

/* Cells of a line without quotes, ended in place; returns how many. */
static int part_line(char *line, char *cells[MOST_CELLS]) {
  int count = 0;
  line[strcspn(line, "\r")] = '\0';
  for (char *at = line;;) {
    assert_true(count < MOST_CELLS);
    cells[count++] = at;
    at += strcspn(at, ",");
    if (*at == '\0') return count;
    *at++ = '\0';
  }
}

/* The cell of a column in the row of so many sets. */
static const char *cell(struct price_bench *bench, int64_t sets, const char *column) {
  struct buffer *buffer = buffer_create(bench->arena);
  write_price_csv(buffer, bench->table);
  char *header[MOST_CELLS], *row[MOST_CELLS];
  char *at = buffer->text;
  while (*at == '#') at = strstr(at, "\r\n") + 2;
  char *next = strstr(at, "\r\n") + 2;
  int columns = part_line(at, header);
  for (int64_t n = 0; n < sets; n++) {
    at = next;
    next = strstr(at, "\r\n") + 2;
    assert_int_equal(part_line(at, row), columns);
  }
  for (int i = 0; i < columns; i++)
    if (strcmp(header[i], column) == 0) return row[i];
  fail_msg("no column '%s'", column);
  return "";
}

static void rows_hold_the_table(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 13);
  const struct price_point *point = price_point_of(bench->table, 13);
  assert_string_equal(cell(bench, 13, "sets"), "13");
  assert_string_equal(cell(bench, 13, "wood"), "123.00");
  assert_string_equal(cell(bench, 13, "bought_items"), "7.00"); /* 52 pegs in packs of 50 */
  assert_string_equal(cell(bench, 13, "hours_other_hand"), "4.33");
  assert_string_equal(cell(bench, 13, "labour"), "26.00");
  assert_string_equal(cell(bench, 13, "total"), cents_text(bench->arena, point->total));
  assert_string_equal(cell(bench, 13, "expected_profit"),
                      cents_text(bench->arena, llround(point->expected_profit)));
  assert_string_equal(cell(bench, 13, "marks"), "\"asked for; same wood for 13 to 18\"");
  assert_string_equal(cell(bench, 30, "next_set"), "");
  assert_string_equal(cell(bench, 12, "next_set"), "47.40"); /* 41.00 + 3.50 + 2.00 + 0.90 */
}

static void unknown_cells_are_empty(void **state) {
  struct price_bench *bench = *state;
  price_bench_table(bench, 3, 100, 0, 0, 0);
  price_table_fill(bench->arena, bench->table);
  static const char *const columns[] = {"profit_all_sold",    "margin_percent",
                                        "earned_per_hour",    "expected_profit",
                                        "chance_to_sell_out", "wholesale_profit"};
  for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++)
    assert_string_equal(cell(bench, 2, columns[i]), "");
  assert_string_equal(cell(bench, 2, "break_even_price"), "1.00");
}

/* ---- JSON ---- */

static void json_says_the_same(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 13);
  bench->table->points[6].why_less = "a \"pack\" \\ of\nthree";
  struct buffer *buffer = buffer_create(bench->arena);
  write_price_json(buffer, bench->table);
  json_t *json = json_loadb(buffer->text, buffer->length, JSON_REJECT_DUPLICATES, NULL);
  if (json == NULL) fail_msg("no JSON: %s", buffer->text);
  assert_int_equal(json_integer_value(json_object_get(json, "asked_for")), 13);
  assert_int_equal(json_integer_value(json_object_get(json, "recommended")),
                   bench->table->recommended);
  assert_int_equal(json_array_size(json_object_get(json, "break_even")),
                   bench->table->crossing_count);
  assert_int_equal(json_array_size(json_object_get(json, "same_wood")), 5);
  const json_t *points = json_object_get(json, "quantities");
  assert_int_equal(json_array_size(points), 30);
  const json_t *point = json_array_get(points, 6);
  assert_string_equal(json_string_value(json_object_get(point, "note")), "a \"pack\" \\ of three");
  assert_true(json_is_true(json_object_get(point, "proved")));
  assert_true(json_number_value(json_object_get(point, "wood")) == 82);
  assert_true(fabs(json_number_value(json_object_get(point, "chance_to_sell_out")) -
                   price_point_of(bench->table, 7)->sell_out) < 5.1e-5);
  assert_null(json_object_get(json_array_get(points, 29), "next_set"));
  json_decref(json);
}

/* ---- price.svg ---- */

static xmlXPathContextPtr draw_by(struct price_bench *bench,
                                  void (*write)(struct buffer *, const struct price_table *)) {
  struct buffer *buffer = buffer_create(bench->arena);
  write(buffer, bench->table);
  xmlDocPtr document = xmlReadMemory(buffer->text, (int)buffer->length, "price.svg", NULL,
                                     XML_PARSE_NONET | XML_PARSE_NOERROR);
  if (document == NULL) fail_msg("the chart is not well formed");
  xmlXPathContextPtr context = xmlXPathNewContext(document);
  xmlXPathRegisterNs(context, (const xmlChar *)"s", (const xmlChar *)"http://www.w3.org/2000/svg");
  return context;
}

static xmlXPathContextPtr draw(struct price_bench *bench) {
  return draw_by(bench, write_price_svg);
}

static void forget(xmlXPathContextPtr context) {
  xmlDocPtr document = context->doc;
  xmlXPathFreeContext(context);
  xmlFreeDoc(document);
}

static double number(xmlXPathContextPtr context, const char *expression) {
  xmlXPathObjectPtr result = xmlXPathEvalExpression((const xmlChar *)expression, context);
  if (result == NULL) fail_msg("'%s' cannot be evaluated", expression);
  double value = xmlXPathCastToNumber(result);
  xmlXPathFreeObject(result);
  return value;
}

static void the_chart_has_its_groups(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 13);
  xmlXPathContextPtr context = draw(bench);
  static const char *const groups[] = {
      "plateaus",      "cost-grid",       "axis-cost",   "axis-profit",     "axis-sets",
      "cost-of-a-set", "profit-all-sold", "recommended", "expected-profit", "asked-for",
      "break-even",    "price",           "no-profit"};
  for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++) {
    const char *path = arena_format(bench->arena, "count(//s:g[@id='%s']/s:title)", groups[i]);
    if (number(context, path) != 1) fail_msg("no group '%s' with a title", groups[i]);
  }
  assert_true(number(context, "count(/s:svg/s:title)") == 1);
  assert_true(number(context, "count(/s:svg/s:desc)") == 1);
  assert_true(number(context, "count(//s:g[@id='plateaus']/s:rect)") == 5);
  assert_true(number(context, "count(//s:g[@id='expected-profit']/s:rect)") == 30);
  assert_true(number(context, "count(//s:g[@id='break-even']/s:polygon)") ==
              (double)bench->table->crossing_count);
  /* what is cut off above has no marker */
  assert_true(number(context, "count(//s:g[@id='cost-of-a-set']/s:circle)") < 30);
  forget(context);
}

/* On 80 mm the words are in the key, whole and on the paper; the lines are the same. */
static void the_narrow_chart_says_the_same(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 13);
  xmlXPathContextPtr broad = draw(bench), narrow = draw_by(bench, write_price_svg_narrow);
  static const char *const key[] = {
      "cost of a set",      "profit if all are sold", "expected profit",    "price ",
      "no profit, no loss", "best for the demand: ",  "asked for: 13 sets", "breaks even at ",
      "shaded: these",      "beyond the chart"};
  for (size_t i = 0; i < sizeof key / sizeof *key; i++) {
    const char *path =
        arena_format(bench->arena, "count(//s:g[@id='key']/s:text[contains(., '%s')])", key[i]);
    if (number(narrow, path) < 1) fail_msg("the key does not say '%s'", key[i]);
  }
  assert_true(number(narrow, "count(//s:g[@id='words'])") == 0);
  assert_true(number(narrow, "number(substring-before(/s:svg/@width, 'mm'))") == 80);
  double height = number(narrow, "number(substring-before(/s:svg/@height, 'mm'))");
  assert_true(number(narrow, "number(//s:g[@id='key']/s:text[last()]/@y)") < height);
  /* reckoned at half the size a letter, as elsewhere */
  assert_true(number(narrow, "count(//s:g[@id='key']/s:text[@x + string-length(.) * 1.5 > 80])") ==
              0);
  assert_true(number(narrow, "count(//s:polyline)") == number(broad, "count(//s:polyline)"));
  assert_true(number(narrow, "count(//s:g[@id='break-even']/s:polygon)") ==
              number(broad, "count(//s:g[@id='break-even']/s:polygon)"));
  forget(broad);
  forget(narrow);
}

/* Markers stand where the ticks beside them say. */
static void markers_lie_on_their_scale(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 0);
  xmlXPathContextPtr context = draw(bench);
  double zero = number(context, "//s:g[@id='no-profit']//s:line/@y1");
  double first = number(context, "//s:g[@id='axis-profit']/s:text[1]");
  double low = number(context, "//s:g[@id='profit-grid']//s:line/@y1");
  double per_cent = (low - zero) / (first * -100);
  double y = number(context, "//s:g[@id='expected-profit']/s:rect[20]/@y") +
             number(context, "//s:g[@id='expected-profit']/s:rect[20]/@height") / 2;
  double expected = price_point_of(bench->table, 20)->expected_profit;
  assert_true(fabs(zero - y - expected * per_cent) < 0.01);
  double x = number(context, "//s:g[@id='recommended']//s:line/@x1");
  double of_best =
      number(context, arena_format(bench->arena, "//s:g[@id='expected-profit']/s:rect[%d]/@x",
                                   (int)bench->table->recommended)) +
      number(context, "//s:g[@id='expected-profit']/s:rect[1]/@width") / 2;
  assert_true(fabs(x - of_best) < 0.01);
  forget(context);
}

/* Tables of every size and lack are drawn, with everything on the paper. */
static void odd_tables_are_drawn(void **state) {
  struct price_bench *bench = *state;
  static const int64_t counts[] = {1, 2, 3, 17, 81, 400};
  for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
    bench->project.money_count = bench->project.bought_count = 0;
    set_up(bench, counts[i], counts[i]);
    for (int lack = 0; lack < 3; lack++) {
      if (lack == 1) bench->table->terms.demand.kind = DEMAND_UNKNOWN;
      if (lack == 2) bench->table->terms.priced = false;
      price_table_fill(bench->arena, bench->table);
      xmlXPathContextPtr context = draw(bench);
      assert_true(number(context, "count(//s:text[@x < 0 or @x > 282 or @y < 0 or @y > 196])") ==
                  0);
      assert_true(number(context, "count(//s:polyline)") == 3 - lack);
      forget(context);
    }
  }
}

/* ---- the terminal ---- */

static const char *summary(struct price_bench *bench) {
  struct buffer *buffer = buffer_create(bench->arena);
  write_price_summary(buffer, bench->table);
  for (const char *line = buffer->text; *line != '\0'; line += strcspn(line, "\n") + 1) {
    size_t length = strcspn(line, "\n");
    if (text_characters(arena_copy_bytes(bench->arena, line, length)) > 80)
      fail_msg("too wide: %.*s", (int)length, line);
    if (length > 0) assert_int_not_equal(line[length - 1], ' ');
  }
  return buffer->text;
}

static void expect_text(const char *text, const char *part) {
  if (strstr(text, part) == NULL) fail_msg("'%s' is not in:\n%s", part, text);
}

static void margin_and_markup_have_their_formulas(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 50000);
  price_bench_table(bench, 10, 4000, 0, 0, 0);
  bench->table->asked = 7;
  price_table_fill(bench->arena, bench->table);
  const char *text = summary(bench);
  expect_text(text, "margin (price - cost) / price = (50.00 - 40.00) / 50.00 = 20.0 %");
  expect_text(text, "markup (price - cost) / cost = (50.00 - 40.00) / 40.00 = 25.0 %");
}

static void what_is_asked_for_is_told(void **state) {
  struct price_bench *bench = *state;
  set_up(bench, 30, 14);
  const char *text = summary(bench);
  expect_text(text, "Cost of 14 sets\n");
  expect_text(text, "123.00  bought 123.00, from the rack 0.00; used up 95.66\n");
  expect_text(text, "14 to 18 sets need no more wood than 13\n");
  /* 20 minutes at 6.00 an hour, and 2.9 % of 31.00 */
  expect_text(text, "one set less: saves 2.90, of it 0.00 for wood; 17.52 a set, profit 175.30");
  expect_text(text, "one set more: costs 2.90, of it 0.00 for wood; ");
  expect_text(text, "\n    13 ");
  expect_text(text, "\n    15 ");
  expect_text(text, "  from 4 sets on the run pays for itself, if all are sold\n");
  expect_text(text, arena_format(bench->arena, "best: %d sets\n", (int)bench->table->recommended));
  expect_text(text, "5 to 31, most likely 14; a set not sold is worth 4.00\n");
}

/* Five sets pay; the sixth begins what is told, and only that. */
static void a_loss_again_is_told_with_what_begins_it(void **state) {
  struct price_bench *bench = *state;
  static const struct {
    cents_t wood, bought;
    const char *words;
  } cases[] = {{9000, 0, "at a loss again: more wood is begun\n"},
               {0, 3000, "at a loss again: more packs of bought items are begun\n"},
               {9000, 3000, "at a loss again: more wood and packs of bought items"}};
  price_bench_bought(bench, "peg", 1000, 5, 0);
  price_bench_money(bench, "price", 10000);
  price_bench_table(bench, 6, 4000, 0, 0, 0);
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    bench->project.bought[0].price = cases[i].bought;
    for (int64_t n = 1; n <= 6; n++)
      bench->table->points[n - 1].wood_cash = n < 6 || cases[i].wood == 0 ? 1000 : cases[i].wood;
    price_table_fill(bench->arena, bench->table);
    expect_text(summary(bench), cases[i].words);
  }
}

static void half_a_demand_is_told(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 50000);
  price_bench_money(bench, "demand_low", 5000);
  price_bench_table(bench, 10, 4000, 0, 0, 0);
  price_table_fill(bench->arena, bench->table);
  expect_text(summary(bench),
              "\n\nDemand: 'demand_high' is missing in money.csv, so that nothing is expected\n");
}

static void plateaus_in_words(void **state) {
  struct price_bench *bench = *state;
  static const struct {
    struct price_plateau plateau;
    const char *words;
  } cases[] = {{{24, 26, 0}, "25 and 26 sets need no more wood than 24"},
               {{24, 25, 0}, "25 sets need no more wood than 24"},
               {{24, 28, 0}, "25 to 28 sets need no more wood than 24"}};
  for (size_t i = 0; i < 3; i++)
    assert_string_equal(price_plateau_words(bench->arena, &cases[i].plateau), cases[i].words);
}

static int close_all(void **state) {
  xmlCleanupParser();
  return price_bench_close(state);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(rows_hold_the_table, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(unknown_cells_are_empty, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(json_says_the_same, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(the_chart_has_its_groups, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(the_narrow_chart_says_the_same, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(markers_lie_on_their_scale, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(odd_tables_are_drawn, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(margin_and_markup_have_their_formulas, price_bench_open,
                                      close_all),
      cmocka_unit_test_setup_teardown(what_is_asked_for_is_told, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(a_loss_again_is_told_with_what_begins_it, price_bench_open,
                                      close_all),
      cmocka_unit_test_setup_teardown(half_a_demand_is_told, price_bench_open, close_all),
      cmocka_unit_test_setup_teardown(plateaus_in_words, price_bench_open, close_all),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
