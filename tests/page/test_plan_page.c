/* plan.html of the demonstrations in a real browser: as seen on a desk and on a phone, light and
 * dark; operated; closed and opened again; printed. Skipped where there is no browser. */
#define _XOPEN_SOURCE 700

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "page/browser.h"

enum { SKIPPED = 77, NAME = 512, LINE = 4096, LONG_NAME = 10000 };

static char scratch[] = "/tmp/blankwright-page-XXXXXX";
static char *audit; /* the script */

static const char *const demos[] = {"cribbage", "trays", "serving", "coasters", "hostile"};
enum { DEMOS = sizeof demos / sizeof *demos };

static const char *in_scratch(const char *name) {
  static char paths[4][NAME];
  static int next = 0;
  next = (next + 1) % 4;
  snprintf(paths[next], NAME, "%s/%s", scratch, name);
  return paths[next];
}

static const char *page_of(const char *demo) {
  char name[NAME / 2];
  snprintf(name, sizeof name, "%s/plan.html", demo);
  return in_scratch(name);
}

static void run(const char *format, ...) __attribute__((format(printf, 1, 2)));

static void run(const char *format, ...) {
  char command[LINE];
  va_list list;
  va_start(list, format);
  vsnprintf(command, sizeof command, format, list);
  va_end(list);
  if (system(command) != 0) fail_msg("failed: %s", command);
}

static char *read_file(const char *path) {
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  assert_int_equal(fseek(file, 0, SEEK_END), 0);
  long length = ftell(file);
  rewind(file);
  char *text = malloc((size_t)length + 1);
  assert_non_null(text);
  assert_int_equal(fread(text, 1, (size_t)length, file), (size_t)length);
  text[length] = '\0';
  fclose(file);
  return text;
}

/* Names that would be markup, script, or turn the reading round. */
static void write_hostile(void) {
  const char *folder = in_scratch("hostile-project");
  run("mkdir -p '%s'", folder);
  FILE *parts = fopen(in_scratch("hostile-project/parts.csv"), "w");
  FILE *yard = fopen(in_scratch("hostile-project/yard.csv"), "w");
  assert_non_null(parts);
  assert_non_null(yard);
  fputs(
      "part,per_set,length,width,thickness,wood,way\n"
      "\"<img src=x onerror=harm=1>\",2,120,60,18,oak,blank\n"
      "\"</script><script>harm=2</script>\",1,90,60,18,oak,saw\n"
      "\"\"\" onload=\"\"harm=3\",1,80,60,18,oak,saw\n"
      "\xE2\x80\xAEgnp.cut\xE2\x80\xAC &amp; ']]>,1,70,60,18,oak,saw\n",
      parts);
  fputs(
      "stock,kind,wood,length,width,thickness,price,per\n"
      "\"<b>=1+1</b>\",plank,oak,1800,150,20,24.00,each\n"
      "\"<style>*{display:none}</style>\",plank,oak,900,120,18,12,each\n",
      yard);
  fclose(parts);
  fclose(yard);
}

/* A name that no line of a page or drawing holds. */
static void write_long(void) {
  run("mkdir -p '%s'", in_scratch("long-project"));
  FILE *parts = fopen(in_scratch("long-project/parts.csv"), "w");
  FILE *yard = fopen(in_scratch("long-project/yard.csv"), "w");
  assert_non_null(parts);
  assert_non_null(yard);
  fputs("part,per_set,length,width,thickness,wood,way\n", parts);
  for (int i = 0; i < LONG_NAME; i++) fputc('x', parts);
  fputs(",1,60,60,18,oak,blank\n", parts);
  fputs("stock,kind,wood,length,width,thickness,price,per\n", yard);
  for (int i = 0; i < LONG_NAME; i++) fputc('y', yard);
  fputs(",plank,oak,1800,150,18,24.00,each\n", yard);
  fclose(parts);
  fclose(yard);
}

static int make_pages(void **state) {
  (void)state;
  assert_non_null(mkdtemp(scratch));
  audit = read_file(SOURCE_ROOT "/tests/page/audit.js");
  write_hostile();
  write_long();
  run("'%s' plan '%s' --out '%s' >'%s'", BLANKWRIGHT_PROGRAM, in_scratch("long-project"),
      in_scratch("long"), in_scratch("log"));
  for (int i = 0; i < DEMOS; i++) {
    bool priced = i == 0;
    bool own = i == DEMOS - 1;
    run("'%s' %s '%s/%s%s' --out '%s/%s' >'%s/log' 2>&1 || { cat '%s/log'; exit 1; }",
        BLANKWRIGHT_PROGRAM, priced ? "price" : "plan", own ? scratch : SOURCE_ROOT "/boards",
        demos[i], own ? "-project" : "", scratch, demos[i], scratch, scratch);
  }
  return 0;
}

/* The browser's helpers may still be putting things away: what is left then is nobody's. */
static int clean_up(void **state) {
  (void)state;
  char command[LINE];
  free(audit);
  snprintf(command, sizeof command, "rm -rf '%s' 2>/dev/null", scratch);
  return system(command) == -1 ? -1 : 0;
}

static struct browser *start(void) { return browser_start(in_scratch("profile")); }

/* ---- as seen ---- */

static size_t tell_faults(struct browser *browser, const char *demo, const char *view) {
  json_t *faults = browser_value(browser, audit);
  json_t *text;
  size_t i;
  assert_true(json_is_array(faults));
  json_array_foreach(faults, i, text) {
    print_error("%s, %s: %s\n", demo, view, json_string_value(text));
  }
  size_t count = json_array_size(faults);
  json_decref(faults);
  return count;
}

/* What a screen reader is told: whatever can be operated, seen or gone to has a name (4.1.2). */
static size_t tell_nameless(struct browser *browser, const char *demo) {
  static const char wanted[] =
      "|button|link|checkbox|image|img|region|navigation|complementary|heading|table|rowheader|"
      "columnheader|group|DisclosureTriangle|";
  json_t *tree = browser_tell(browser, "Accessibility.getFullAXTree", NULL);
  json_t *node;
  size_t i, nameless = 0, named = 0;
  json_array_foreach(json_object_get(tree, "nodes"), i, node) {
    const char *role = json_string_value(json_object_get(json_object_get(node, "role"), "value"));
    const char *name = json_string_value(json_object_get(json_object_get(node, "name"), "value"));
    char key[NAME];
    snprintf(key, sizeof key, "|%s|", role == NULL ? "" : role);
    if (json_is_true(json_object_get(node, "ignored")) || strstr(wanted, key) == NULL) continue;
    named++;
    if (name != NULL && *name != '\0') continue;
    if (strcmp(role, "group") == 0 || strcmp(role, "columnheader") == 0) continue;
    print_error("%s: a %s has no name\n", demo, role);
    nameless++;
  }
  assert_true(named > 10);
  json_decref(tree);
  return nameless;
}

static void the_page_can_be_seen_and_operated(void **state) {
  (void)state;
  static const struct {
    const char *name;
    int width, height;
    bool dark;
  } views[] = {{"desk", 1280, 900, false},
               {"desk, dark", 1280, 900, true},
               {"phone", 360, 740, false},
               {"phone, dark", 360, 740, true},
               {"enlarged four times", 320, 256, false}};
  struct browser *browser = start();
  size_t faults = 0;
  for (int i = 0; i < DEMOS; i++) {
    for (size_t v = 0; v < sizeof views / sizeof *views; v++) {
      browser_view(browser, views[v].width, views[v].height, views[v].dark);
      browser_open(browser, page_of(demos[i]));
      faults += tell_faults(browser, demos[i], views[v].name);
      faults += browser_complaints(browser);
      if (v == 0) faults += tell_nameless(browser, demos[i]);
    }
    /* Every drawing larger, on the narrow view. */
    browser_view(browser, 360, 740, false);
    json_decref(browser_value(
        browser, "document.querySelectorAll('figure button').forEach(b => b.click())"));
    faults += tell_faults(browser, demos[i], "phone, larger drawings");
  }
  browser_close(browser);
  assert_int_equal(faults, 0);
}

/* The audit itself: of a page that does all of it wrong it says so. */
static void the_audit_sees_faults(void **state) {
  (void)state;
  static const char *const wanted[] = {"1.4.3: p 'pale words'",
                                       "1.4.3: words of a drawing text 'dim'",
                                       "1.4.11: faint is drawn",
                                       "1.4.11: edge of button",
                                       "2.5.8: button",
                                       "2.4.7: focus of button",
                                       "3.1.1: no language",
                                       "2.4.2: no title",
                                       "1.4.4: the page",
                                       "1.3.1: h3 'three'",
                                       "1.3.1: div 'in no landmark'",
                                       "1.3.1: a landmark without a name",
                                       "4.1.2: for leads nowhere",
                                       "1.1.1: a drawing",
                                       "1.3.1: a list of other things",
                                       "2.4.4: a link leads nowhere",
                                       "1.4.10: now the page is",
                                       "1.4.10: now div 'wide' reaches beyond",
                                       "1.4.10: p 'squeezed words' is squeezed",
                                       "type of 5.0 px in a drawing: text 'small'",
                                       "2.3.3: div 'wide' moves"};
  struct browser *browser = start();
  browser_view(browser, 360, 740, false);
  browser_open(browser, SOURCE_ROOT "/tests/page/bad.html");
  json_t *faults = browser_value(browser, audit), *text;
  for (size_t w = 0; w < sizeof wanted / sizeof *wanted; w++) {
    size_t i, found = 0;
    json_array_foreach(faults, i, text) {
      if (strncmp(json_string_value(text), wanted[w], strlen(wanted[w])) == 0) found++;
    }
    if (found != 1) fail_msg("%zu of '%s'", found, wanted[w]);
  }
  json_decref(faults);
  browser_close(browser);
}

static void names_do_nothing(void **state) {
  (void)state;
  struct browser *browser = start();
  browser_view(browser, 1280, 900, false);
  browser_open(browser, page_of("hostile"));
  assert_true(browser_holds(browser, "typeof harm === 'undefined'"));
  assert_true(browser_holds(browser, "document.querySelectorAll('img').length === 0"));
  assert_true(browser_holds(browser, "document.scripts.length === 1"));
  assert_true(
      browser_holds(browser, "document.body.textContent.includes('<img src=x onerror=harm=1>')"));
  assert_true(browser_holds(
      browser, "document.body.textContent.includes('</script><script>harm=2</script>')"));
  assert_true(browser_holds(browser, "document.body.textContent.includes('\" onload=\"harm=3')"));
  assert_true(browser_holds(browser, "!document.querySelector('[onload], [onerror], [onclick]')"));
  assert_true(browser_holds(browser, "!/[\\u202a-\\u202e]/.test(document.body.textContent)"));
  assert_true(browser_holds(
      browser, "!!document.querySelector('meta[http-equiv=Content-Security-Policy]')"));
  assert_int_equal(browser_complaints(browser), 0);
  browser_close(browser);
}

static void a_long_name_needs_no_moving_sideways(void **state) {
  (void)state;
  struct browser *browser = start();
  browser_view(browser, 360, 740, false);
  browser_open(browser, page_of("long"));
  assert_true(browser_holds(browser, "document.body.textContent.includes('x'.repeat(10000))"));
  assert_true(browser_holds(browser, "document.documentElement.scrollWidth <= 360"));
  assert_int_equal(browser_complaints(browser), 0);
  browser_close(browser);
}

/* ---- ticks ---- */

static const char *const ticked =
    "Array.from(document.querySelectorAll('input:checked')).map(b => b.id).join(' ')";

static void expect_ticked(struct browser *browser, const char *expected) {
  json_t *value = browser_value(browser, ticked);
  assert_string_equal(json_string_value(value), expected);
  json_decref(value);
}

static void tick(struct browser *browser, const char *id) {
  char expression[NAME];
  snprintf(expression, sizeof expression, "document.getElementById('%s').click()", id);
  json_decref(browser_value(browser, expression));
}

static bool told(struct browser *browser, const char *text) {
  char expression[NAME];
  snprintf(expression, sizeof expression,
           "document.getElementById('told').textContent.includes('%s')", text);
  return browser_holds(browser, expression);
}

static void ticks_stay(void **state) {
  (void)state;
  struct browser *browser = start();
  browser_open(browser, page_of("trays"));
  expect_ticked(browser, "");
  tick(browser, "stock-1");
  tick(browser, "cut-2");
  tick(browser, "cut-3");
  tick(browser, "cut-3");
  assert_true(told(browser, "1 of "));
  assert_true(browser_holds(browser, "document.getElementById('next').hash === '#cut-1'"));
  browser_open(browser, page_of("trays"));
  expect_ticked(browser, "stock-1 cut-2");
  browser_close(browser);

  browser = start();
  browser_open(browser, page_of("trays"));
  expect_ticked(browser, "stock-1 cut-2");
  assert_true(told(browser, "1 of "));
  browser_open(browser, page_of("coasters")); /* another plan */
  expect_ticked(browser, "");
  browser_open(browser, page_of("trays"));
  json_decref(browser_value(
      browser, "window.confirm = () => true; document.getElementById('clear').click()"));
  browser_open(browser, page_of("trays"));
  expect_ticked(browser, "");
  browser_close(browser);
}

/* By keyboard alone: the first stop leads to the plan, a space ticks. */
static void press(struct browser *browser, const char *key, const char *text, int code) {
  static const char *const kinds[] = {"keyDown", "keyUp"};
  for (int i = 0; i < 2; i++)
    json_decref(browser_tell(browser, "Input.dispatchKeyEvent",
                             json_pack("{s:s, s:s, s:s, s:s, s:i}", "type", kinds[i], "key", key,
                                       "code", key[0] == ' ' ? "Space" : key, "text",
                                       i == 0 ? text : "", "windowsVirtualKeyCode", code)));
}

static void keys_are_enough(void **state) {
  (void)state;
  struct browser *browser = start();
  browser_view(browser, 1280, 900, false);
  browser_open(browser, page_of("coasters"));
  press(browser, "Tab", "", 9);
  assert_true(browser_holds(browser, "document.activeElement.className === 'skip'"));
  assert_true(browser_holds(browser, "document.activeElement.getBoundingClientRect().left >= 0"));
  press(browser, "Enter", "\r", 13);
  assert_true(browser_holds(browser, "location.hash === '#main'"));
  json_decref(browser_value(browser, "document.getElementById('cut-1').focus()"));
  press(browser, " ", " ", 32);
  expect_ticked(browser, "cut-1");
  /* Every control is reached, in the order of the page. */
  json_t *count = browser_value(browser,
                                "document.querySelectorAll('a[href], button, input, summary')"
                                ".length");
  json_decref(browser_value(browser,
                            "document.activeElement.blur(); window.reached = new Set();"
                            "location.hash = ''; scrollTo(0, 0)"));
  for (json_int_t i = 0; i < json_integer_value(count) + 1; i++) {
    press(browser, "Tab", "", 9);
    json_decref(browser_value(browser, "reached.add(document.activeElement), 0"));
  }
  assert_true(browser_holds(browser,
                            "Array.from(document.querySelectorAll('a[href], button, input,"
                            "summary')).every(c => reached.has(c))"));
  json_decref(count);
  browser_close(browser);
}

/* ---- printed ---- */

/* The pages' texts; page n ends with a form feed. */
static char *printed_text(struct browser *browser) {
  char command[LINE];
  browser_print(browser, in_scratch("page.pdf"));
  snprintf(command, sizeof command, "pdftotext -layout '%s' '%s'", in_scratch("page.pdf"),
           in_scratch("page.txt"));
  run("%s", command);
  return read_file(in_scratch("page.txt"));
}

/* What the page shows, by its own count; each has to be found in print. */
static size_t missing_cuts(struct browser *browser, const char *text, const char *demo) {
  json_t *cuts = browser_value(
      browser,
      "Array.from(document.querySelectorAll('input[id^=cut-]')).map(b => b.id.slice(4) + '.')");
  json_t *cut;
  size_t i, missing = 0;
  assert_true(json_array_size(cuts) > 0);
  json_array_foreach(cuts, i, cut) {
    const char *number = json_string_value(cut);
    const char *at = strstr(text, number);
    while (at != NULL && (at == text || (at[-1] >= '0' && at[-1] <= '9') ||
                          (strncmp(at + strlen(number), " rip", 4) != 0 &&
                           strncmp(at + strlen(number), " cross", 6) != 0 &&
                           strncmp(at + strlen(number), " resaw", 6) != 0)))
      at = strstr(at + 1, number);
    if (at != NULL) continue;
    print_error("%s: cut %s is not in print\n", demo, number);
    missing++;
  }
  json_decref(cuts);
  return missing;
}

/* The first and the last words of a drawing and its caption stand on one sheet. */
static const char *const drawing_words =
    "Array.from(document.querySelectorAll('figure')).map(f => {"
    "const t = Array.from(f.querySelectorAll('svg text')).map(e => e.textContent.trim());"
    "return [t[0], t[t.length - 1], f.querySelector('figcaption').textContent].map(s =>"
    "{ const w = s.split(/\\s+/), odd = w.findIndex(word => !/^[\\w.,-]+$/.test(word));"
    "return w.slice(0, odd < 0 ? 4 : Math.min(odd, 4)).join(' ') }) })";

static bool has_words(const char *sheet, size_t length, const char *words) {
  char *text = strndup(sheet, length);
  char *flat = text;
  for (char *c = text; *c != '\0'; c++) /* runs of blanks as one */
    if (*c != ' ' && *c != '\n')
      *flat++ = *c;
    else if (flat > text && flat[-1] != ' ')
      *flat++ = ' ';
  *flat = '\0';
  bool found = strstr(text, words) != NULL;
  free(text);
  return found;
}

static bool on_one_sheet(const char *text, const json_t *words) {
  while (*text != '\0') {
    size_t length = strcspn(text, "\f"), found = 0, i;
    json_t *item;
    json_array_foreach(words, i, item) {
      if (has_words(text, length, json_string_value(item))) found++;
    }
    if (found == json_array_size(words)) return true;
    text += length + (text[length] == '\f' ? 1 : 0);
  }
  return false;
}

static size_t split_drawings(struct browser *browser, const char *text, const char *demo) {
  json_t *drawings = browser_value(browser, drawing_words), *words;
  size_t i, split = 0;
  json_array_foreach(drawings, i, words) {
    if (on_one_sheet(text, words)) continue;
    char *told_words = json_dumps(words, 0);
    print_error("%s: a drawing is on two sheets or cut off: %s\n", demo, told_words);
    free(told_words);
    split++;
  }
  json_decref(drawings);
  return split;
}

/* No word reaches into the margins, which are 14 mm. */
static size_t words_in_margins(const char *demo) {
  run("pdftotext -bbox '%s' '%s'", in_scratch("page.pdf"), in_scratch("page.xml"));
  FILE *file = fopen(in_scratch("page.xml"), "r");
  assert_non_null(file);
  const double margin = 14 / 25.4 * 72 - 1;
  double width = 0, height = 0, box[4];
  char line[LINE];
  size_t out = 0;
  while (fgets(line, sizeof line, file) != NULL) {
    if (sscanf(line, " <page width=\"%lf\" height=\"%lf\"", &width, &height) == 2) {
      if (width < 594 || width > 597 || height < 841 || height > 843)
        fail_msg("%s: a sheet of %f x %f points is no A4", demo, width, height);
      continue;
    }
    if (sscanf(line, " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\"", &box[0], &box[1],
               &box[2], &box[3]) != 4)
      continue;
    if (box[0] >= margin && box[1] >= margin && box[2] <= width - margin &&
        box[3] <= height - margin)
      continue;
    print_error("%s: in the margin of the print: %s", demo, line);
    out++;
  }
  fclose(file);
  return out;
}

static void it_prints_whole(void **state) {
  (void)state;
  if (system("command -v pdftotext >/dev/null") != 0) {
    print_message("no pdftotext: prints are not looked at\n");
    skip();
  }
  struct browser *browser = start();
  size_t faults = 0;
  for (int i = 0; i < DEMOS; i++) {
    browser_view(browser, 1280, 900, true); /* dark on the screen, black on white on paper */
    browser_open(browser, page_of(demos[i]));
    char *text = printed_text(browser);
    faults += missing_cuts(browser, text, demos[i]);
    faults += split_drawings(browser, text, demos[i]);
    faults += words_in_margins(demos[i]);
    free(text);
    browser_media(browser, "print", true);
    if (!browser_holds(browser, "getComputedStyle(document.body).color === 'rgb(0, 0, 0)'")) {
      print_error("%s: not black on white in print\n", demos[i]);
      faults++;
    }
  }
  browser_close(browser);
  assert_int_equal(faults, 0);
}

int main(void) {
  if (!browser_there()) {
    puts("skipped: there is no chromium on the path to look at pages with");
    return SKIPPED;
  }
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_page_can_be_seen_and_operated),
      cmocka_unit_test(the_audit_sees_faults),
      cmocka_unit_test(names_do_nothing),
      cmocka_unit_test(a_long_name_needs_no_moving_sideways),
      cmocka_unit_test(ticks_stay),
      cmocka_unit_test(keys_are_enough),
      cmocka_unit_test(it_prints_whole),
  };
  return cmocka_run_group_tests(tests, make_pages, clean_up);
}
