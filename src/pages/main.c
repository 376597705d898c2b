#include "pages.h"

#include <errno.h>
#include <stdbool.h>
#include <string.h>

static const struct page {
  const char *name;
  void (*print)(FILE *file);
} pages[] = {{"manual", pages_manual}, {"bash", pages_bash}, {"zsh", pages_zsh}};

enum { PAGE_COUNT = sizeof pages / sizeof *pages };

enum word_kind word_kind(const char *name) {
  size_t length = strlen(name);
  if (length > 5 && strcmp(name + length - 5, ".json") == 0) return WORD_JSON;
  if (strchr(name, '|') != NULL) return WORD_CHOICE;
  bool folder =
      strcmp(name, "PROJECT") == 0 || strcmp(name, "FOLDER") == 0 || strcmp(name, "DIR") == 0;
  return folder ? WORD_FOLDER : WORD_FREE;
}

static int write_page(const struct page *page, const char *path) {
  FILE *file = fopen(path, "w");
  if (file != NULL) {
    page->print(file);
    bool whole = !ferror(file);
    if (fclose(file) == 0 && whole) return 0;
  }
  fprintf(stderr, "'%s' could not be written: %s\n", path, strerror(errno));
  return 1;
}

int main(int argc, char **argv) {
  for (size_t i = 0; argc == 3 && i < PAGE_COUNT; i++)
    if (strcmp(argv[1], pages[i].name) == 0) return write_page(&pages[i], argv[2]);
  fputs("usage: blankwright_pages manual|bash|zsh FILE\n", stderr);
  return 2;
}
