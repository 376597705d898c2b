#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <stdlib.h>
#include <string.h>

#include "cost/price.h"
#include "unit/test_write_fixture.h"
#include "write/view.h"
#include "write/writers.h"

struct bench {
  struct arena *arena;
  struct fixture fixture;
  struct buffer *buffer;
  const struct price_table *prices; /* or NULL */
  xmlDocPtr document;
  xmlXPathContextPtr context;
};

static int open_bench(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct bench *bench = ARENA_NEW(arena, struct bench);
  bench->arena = arena;
  bench->buffer = buffer_create(arena);
  *state = bench;
  return 0;
}

static void forget(struct bench *bench) {
  if (bench->context != NULL) xmlXPathFreeContext(bench->context);
  if (bench->document != NULL) xmlFreeDoc(bench->document);
  bench->context = NULL;
  bench->document = NULL;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  forget(bench);
  arena_destroy(bench->arena);
  xmlCleanupParser();
  return 0;
}

static void write_page(struct bench *bench) {
  const struct fixture *fixture = &bench->fixture;
  forget(bench);
  buffer_clear(bench->buffer);
  struct view *view = view_create(bench->arena, fixture->project, &fixture->blanks, &fixture->plan);
  view->prices = bench->prices;
  write_plan_html(bench->buffer, view);
  bench->document = xmlReadMemory(bench->buffer->text, (int)bench->buffer->length, "plan.html",
                                  NULL, XML_PARSE_NONET | XML_PARSE_NOERROR);
  assert_non_null(bench->document);
  bench->context = xmlXPathNewContext(bench->document);
}

static xmlXPathObjectPtr find(const struct bench *bench, const char *expression) {
  xmlXPathObjectPtr result = xmlXPathEvalExpression((const xmlChar *)expression, bench->context);
  assert_non_null(result);
  return result;
}

static int count(const struct bench *bench, const char *nodes) {
  xmlXPathObjectPtr result = find(bench, nodes);
  int found = result->nodesetval == NULL ? 0 : result->nodesetval->nodeNr;
  xmlXPathFreeObject(result);
  return found;
}

static void check_none(const struct bench *bench, const char *nodes) {
  int found = count(bench, nodes);
  if (found != 0) fail_msg("%d of %s", found, nodes);
}

/* Values of attributes in byte order, so that equal ones are neighbours. */
static int by_text(const void *a, const void *b) {
  return xmlStrcmp(*(const xmlChar *const *)a, *(const xmlChar *const *)b);
}

static void check_ids(const struct bench *bench) {
  xmlXPathObjectPtr ids = find(bench, "//@id");
  size_t total = (size_t)ids->nodesetval->nodeNr;
  const xmlChar **values = ARENA_ARRAY(bench->arena, total, const xmlChar *);
  for (size_t i = 0; i < total; i++) values[i] = ids->nodesetval->nodeTab[i]->children->content;
  qsort(values, total, sizeof *values, by_text);
  for (size_t i = 1; i < total; i++)
    if (xmlStrEqual(values[i - 1], values[i])) fail_msg("id '%s' stands twice", values[i]);
  xmlXPathFreeObject(ids);
}

/* Every fill and link that refers to something here finds it. */
static void check_references(const struct bench *bench) {
  xmlXPathObjectPtr links = find(bench,
                                 "//@href | //@fill[starts-with(., 'url(')] | "
                                 "//@aria-labelledby | //@for");
  assert_true(links->nodesetval->nodeNr > 0);
  for (int i = 0; i < links->nodesetval->nodeNr; i++) {
    const char *value = (const char *)links->nodesetval->nodeTab[i]->children->content;
    const char *id = strncmp(value, "url(#", 5) == 0 ? value + 5
                     : value[0] == '#'               ? value + 1
                                                     : value;
    size_t length = strcspn(id, ")");
    const char *path = arena_format(bench->arena, "//*[@id = '%.*s']", (int)length, id);
    if (count(bench, path) != 1) fail_msg("'%s' leads nowhere", value);
  }
  xmlXPathFreeObject(links);
}

/* What holds for every page. */
static void check_page(const struct bench *bench) {
  check_ids(bench);
  check_references(bench);
  assert_true(strncmp(bench->buffer->text, "<!DOCTYPE html>", 15) == 0);
  assert_int_equal(count(bench, "/html[@lang and @data-plan]"), 1);
  assert_int_equal(count(bench, "//main"), 1);
  assert_int_equal(count(bench, "//h1"), 1);
  assert_int_equal(count(bench, "//body/*[1][self::a][@href = '#main']"), 1);
  check_none(bench, "//input[not(ancestor::label[normalize-space(.) != ''])]");
  check_none(bench, "//label[not(@for = .//input/@id)]");
  check_none(bench, "//h3[not(preceding::h2)] | //h4[not(preceding::h3)]");
  /* Nothing comes from elsewhere, and nothing runs but the page's own script. */
  check_none(bench, "//@src | //link | //iframe | //object | //img | //*[local-name() = 'image']");
  check_none(bench, "//@*[starts-with(name(), 'on')]");
  check_none(bench, "//@href[not(starts-with(., '#'))]");
  assert_int_equal(count(bench, "//script"), 1);
  assert_int_equal(count(bench, "//style"), 1);
  /* An HTML reader takes these as they are, XML does not. */
  check_none(bench, "//script[contains(., '<') or contains(., '&')]");
  check_none(bench, "//style[contains(., '<') or contains(., '&')]");
}

static void every_cut_can_be_ticked_off(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_page(bench);
  check_page(bench);
  const struct plan *plan = &bench->fixture.plan;
  assert_true(plan->cut_count > 0);
  for (size_t i = 0; i < plan->cut_count; i++) {
    int step = (int)plan->cuts[i].step;
    const char *box = arena_format(
        bench->arena, "//label[@for = 'cut-%d'][contains(., '%d. ')]/input[@id = 'cut-%d']", step,
        step, step);
    if (count(bench, box) != 1) fail_msg("cut %d has no labelled check box", step);
  }
}

/* Ends of 20 mm, the kerf in them, off planks of 1830 mm: no stop stands 1810 mm off. */
static void ends_are_trimmed_by_what_comes_off(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_page(bench);
  static const char cuts[] = "//section[@id = 'planks']//label";
  for (int i = 0; i < 2; i++) {
    const char *end = i == 0 ? "left" : "right";
    assert_true(count(bench, arena_format(bench->arena, "%s[contains(., ': 20 off the %s end')]",
                                          cuts, end)) > 0);
  }
  check_none(bench, "//label[contains(., '1810 from the stop')]");
  check_none(bench, "//label[contains(., ' off the ') and contains(., 'fence\xC2\xA0setting')]");
  assert_true(count(bench, "//label[contains(., 'from the stop to the blade')]") > 0);
}

static void the_day_goes_from_top_to_bottom(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  fixture_hold(&bench->fixture);
  write_page(bench);
  check_page(bench);
  static const char *const order[] = {"summary", "stock",      "planks",
                                      "loads",   "left-overs", "cautions"};
  for (size_t i = 0; i + 1 < sizeof order / sizeof *order; i++) {
    const char *path =
        arena_format(bench->arena, "//section[@id = '%s']/following-sibling::section[@id = '%s']",
                     order[i], order[i + 1]);
    if (count(bench, path) != 1) fail_msg("'%s' does not follow '%s'", order[i + 1], order[i]);
  }
  assert_int_equal(count(bench, "//section[@id = 'planks']//*[local-name() = 'svg']"), 3);
  assert_true(count(bench, "//section[@id = 'loads']//*[local-name() = 'svg']") >= 1);
  assert_int_equal(count(bench, "//*[local-name() = 'svg']"), count(bench, "//figure"));
}

static void inches_and_many_copies_give_whole_pages(void **state) {
  struct bench *bench = *state;
  fixture_make_inch(bench->arena, &bench->fixture);
  write_page(bench);
  check_page(bench);
  assert_non_null(strstr(bench->buffer->text, "10-5/8"));
  fixture_make_large(bench->arena, &bench->fixture, 2);
  write_page(bench);
  check_page(bench);
  assert_int_equal(count(bench, "//figure"), 2);
}

static void a_plan_of_nothing_is_a_page(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct plan *plan = &bench->fixture.plan;
  plan->cut_count = 0;
  plan->layout_count = 0;
  plan->purchase_count = 0;
  write_page(bench);
  check_page(bench);
  check_none(bench, "//input | //figure");
}

static const char *key_of(const struct bench *bench) {
  xmlXPathObjectPtr key = find(bench, "/html/@data-plan");
  const char *text =
      arena_copy_text(bench->arena, (const char *)key->nodesetval->nodeTab[0]->children->content);
  xmlXPathFreeObject(key);
  return text;
}

static void ticks_belong_to_one_plan(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_page(bench);
  const char *first = key_of(bench);
  write_page(bench);
  assert_string_equal(key_of(bench), first);
  bench->fixture.plan.cuts[0].keep += MM(1);
  write_page(bench);
  assert_string_not_equal(key_of(bench), first);
}

/* Six sets at 10.00 each and 5.00 for every two; sold at 20.00, three most likely. */
static void price(struct bench *bench) {
  struct project *project = bench->fixture.project;
  const struct money_item items[] = {{"price", 20000, NULL},
                                     {"demand_low", 1000, NULL},
                                     {"demand_likely", 3000, NULL},
                                     {"demand_high", 6000, NULL}};
  for (size_t i = 0; i < sizeof items / sizeof *items; i++)
    *ARENA_PUSH(bench->arena, project->money, project->money_count, project->money_room) = items[i];
  struct price_table *table = price_table_create(bench->arena, project, 6, 4);
  for (int64_t n = 1; n <= table->count; n++) {
    struct price_point *point = &table->points[n - 1];
    point->wood_cash = 1000 * n + 500 * ((n + 1) / 2);
    point->plan_cost = point->plan_bound = point->wood_cash;
    point->proved = true;
  }
  price_table_fill(bench->arena, table);
  bench->prices = table;
}

/* Neither at the sign of times nor at the hyphen of a fraction; other hyphens stay. */
static void sizes_stay_in_one_line(void **state) {
  struct bench *bench = *state;
  fixture_make_inch(bench->arena, &bench->fixture);
  write_page(bench);
  const char *text = bench->buffer->text;
  assert_non_null(strstr(text,
                         "48\xC2\xA0\xC3\x97\xC2\xA0"
                         "5\xE2\x80\x91"
                         "1/2\xC2\xA0\xC3\x97\xC2\xA0"
                         "1/2"));
  assert_non_null(strstr(text, "C1-1"));
  assert_null(strstr(text, "C1\xE2\x80\x91"));
}

static void the_page_says_what_the_run_costs(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_page(bench);
  assert_int_equal(count(bench, "//section[@id = 'price'] | //a[@href = '#price']"), 0);
  price(bench);
  write_page(bench);
  check_page(bench);
  assert_int_equal(count(bench, "//nav//a[@href = '#price']"), 1);
  /* one chart for a broad screen and for paper, one for a narrow screen */
  assert_int_equal(count(bench, "//section[@id = 'price']//*[local-name() = 'svg']"), 2);
  assert_int_equal(count(bench, "//section[@id = 'price']/figure[@class = 'broad']"), 1);
  assert_int_equal(count(bench, "//section[@id = 'price']/figure[@class = 'slim']"), 1);
  assert_int_equal(
      count(bench, "//section[@id = 'summary']//a[contains(., 'costs 50.00, a set 12.50')]"), 1);
  /* Four sets: total, of a set, profit of 80.00 less 50.00; every row has its cells. */
  const char *row =
      "//section[@id = 'price']//tbody/tr[starts-with(th, '4 sets')][contains(th, 'asked for')]"
      "[td[1] = '50.00'][td[2] = '12.50'][td[3] = '30.00']";
  assert_int_equal(count(bench, row), 1);
  check_none(bench, "//tbody/tr[count(*) != count(ancestor::table//thead//th)]");
  check_none(bench, "//thead//th[not(@scope = 'col')] | //tbody//th[not(@scope = 'row')]");
  assert_int_equal(count(bench, "//dt[starts-with(., 'total')]/following::dd[1][. = '50.00']"), 1);
}

/* Every setting of the shop is either given or told, with the file to change it in. */
static void every_default_is_told(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct shop *shop = &bench->fixture.project->shop;
  memset(shop->given, 0, sizeof shop->given);
  shop->glue_up = shop->resaw = 1;
  write_page(bench);
  check_page(bench);
  assert_int_equal(count(bench, "//nav//a[@href = '#defaults']"), 1);
  assert_int_equal(count(bench, "//section[@id = 'defaults'][contains(., 'shop.csv')]"), 1);
  int told = count(bench, "//section[@id = 'defaults']//li");
  for (int i = 0; i < SETTING_TOTAL; i++) {
    bool machine = setting_table[i].machine;
    const char *item = arena_format(bench->arena, "//section[@id = 'defaults']//li[b = '%s']",
                                    setting_table[i].name);
    if (!machine && i != SETTING_sets && count(bench, item) != 1)
      fail_msg("'%s' is not told", setting_table[i].name);
  }
  memset(shop->given, 1, sizeof shop->given);
  shop->given[SETTING_rim] = false;
  write_page(bench);
  assert_true(told > 50);
  assert_int_equal(count(bench, "//section[@id = 'defaults']//li"), 1);
  /* neither a unit nor a percent sign comes to stand on the next line */
  assert_int_equal(
      count(bench, "//section[@id = 'defaults']//li[starts-with(., 'rim 8\xC2\xA0mm: ')]"), 1);
  assert_true(count(bench, "//p[contains(., '\xC2\xA0%')]") > 0);
  check_none(bench, "//p[contains(., ' %')]");
}

static void hostile_names_stay_text(void **state) {
  struct bench *bench = *state;
  static const char evil[] =
      "</script><script>alert(1)</script> \" id=\"main\" x='url(#y' "
      "]]><!-- &amp; onload=\"\x01\xFF\xE2\x80\xAE=\"url(#z)";
  static const char outside[] = "//*[not(ancestor-or-self::*[local-name() = 'svg'])]";
  fixture_make_mm(bench->arena, &bench->fixture);
  fixture_hold(&bench->fixture);
  struct project *project = bench->fixture.project;
  write_page(bench);
  int elements = count(bench, outside);
  project->name = evil;
  for (size_t i = 0; i < project->part_count; i++) project->parts[i].name = evil;
  for (size_t i = 0; i < project->stock_count; i++) {
    project->stocks[i].name = evil;
    project->stocks[i].wood = evil;
    project->stocks[i].supplier = evil;
  }
  for (size_t i = 0; i < project->clamp_count; i++) project->clamps[i].name = evil;
  for (size_t i = 0; i < project->cutter_count; i++) project->cutters[i].name = evil;
  write_page(bench);
  check_page(bench);
  assert_null(strstr(bench->buffer->text, "<script>alert"));
  assert_int_equal(count(bench, "//script"), 1);
  assert_true(count(bench, "//h1[contains(., '</script><script>alert(1)</script>')]") == 1);
  /* Drawings leave out what has no room; of the rest no element comes or goes. */
  assert_int_equal(count(bench, outside), elements);
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(every_cut_can_be_ticked_off),
      BENCH_TEST(ends_are_trimmed_by_what_comes_off),
      BENCH_TEST(the_day_goes_from_top_to_bottom),
      BENCH_TEST(inches_and_many_copies_give_whole_pages),
      BENCH_TEST(a_plan_of_nothing_is_a_page),
      BENCH_TEST(ticks_belong_to_one_plan),
      BENCH_TEST(sizes_stay_in_one_line),
      BENCH_TEST(the_page_says_what_the_run_costs),
      BENCH_TEST(every_default_is_told),
      BENCH_TEST(hostile_names_stay_text),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
