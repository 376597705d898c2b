/* The README's table of settings says what the program's own table says. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/buffer.h"
#include "model/shop.h"

static const char begin_mark[] = "<!-- settings: begin -->\n";
static const char end_mark[] = "<!-- settings: end -->\n";

/* "a|b" would end a cell: alternatives are listed with commas. */
static void add_choices(struct buffer *table, const char *choices) {
  if (choices[0] == '\0') return;
  buffer_add(table, " (");
  for (const char *at = choices; *at != '\0'; at++)
    buffer_add_bytes(table, *at == '|' ? ", " : at, *at == '|' ? 2 : 1);
  buffer_add(table, ")");
}

/* The table as it must stand between the marks. */
static void add_table(struct buffer *table) {
  buffer_add(table, "| setting | mm | inch | meaning |\n|---|---|---|---|\n");
  for (int i = 0; i < SETTING_TOTAL; i++) {
    const struct setting_description *setting = &setting_table[i];
    buffer_format(table, "| `%s`%s | %s | %s | %s", setting->name, setting->machine ? " M" : "",
                  setting->default_mm, setting->default_inch, setting->meaning);
    add_choices(table, setting->choices);
    buffer_add(table, " |\n");
  }
}

static void read_readme(struct buffer *text) {
  FILE *file = fopen(SOURCE_ROOT "/README.md", "rb");
  assert_non_null(file);
  char chunk[4096];
  size_t count = 0;
  while ((count = fread(chunk, 1, sizeof chunk, file)) > 0) buffer_add_bytes(text, chunk, count);
  fclose(file);
}

static void settings_table_is_the_programs(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  if (ARENA_TRY(arena) != STATUS_OK) fail_msg("out of memory");
  struct buffer *readme = buffer_create(arena);
  struct buffer *table = buffer_create(arena);
  read_readme(readme);
  add_table(table);
  const char *begin = strstr(readme->text, begin_mark);
  assert_non_null(begin);
  begin += sizeof begin_mark - 1;
  const char *end = strstr(begin, end_mark);
  assert_non_null(end);
  size_t length = (size_t)(end - begin);
  if (length != table->length || memcmp(begin, table->text, length) != 0) {
    printf("the table should be:\n%s", table->text);
    fail_msg("the README's settings are not the program's");
  }
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(settings_table_is_the_programs)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
