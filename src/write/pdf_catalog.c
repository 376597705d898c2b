#include "write/pdf_catalog.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ENTRY = 20, DIGITS = 10 }; /* bytes of an entry of the table, and of the place in it */

/* A file is bytes, zeros among them: searched by length. Returns SIZE_MAX when it is not there. */
static size_t find_last(const struct buffer *buffer, const char *what, size_t from, size_t end) {
  size_t length = strlen(what);
  if (end > buffer->length) end = buffer->length;
  for (size_t at = end; at-- > from;)
    if (at + length <= end && memcmp(buffer->text + at, what, length) == 0) return at;
  return SIZE_MAX;
}

/* The number behind a word of the trailer; the buffer's end is terminated. */
static bool number_after(const struct buffer *buffer, const char *word, size_t from,
                         size_t *number) {
  size_t at = find_last(buffer, word, from, buffer->length);
  if (at == SIZE_MAX) return false;
  const char *start = buffer->text + at + strlen(word);
  char *end = NULL;
  *number = (size_t)strtoumax(start, &end, 10);
  return end != start;
}

struct trailer {
  size_t table, size, root, info;
};

static bool read_trailer(const struct buffer *buffer, struct trailer *trailer) {
  size_t at = find_last(buffer, "trailer", 0, buffer->length);
  return at != SIZE_MAX && number_after(buffer, "startxref\n", at, &trailer->table) &&
         number_after(buffer, "/Size ", at, &trailer->size) &&
         number_after(buffer, "/Root ", at, &trailer->root) &&
         number_after(buffer, "/Info ", at, &trailer->info) && trailer->root < trailer->size;
}

/* An object's text up to its dictionary's last ">>", found by the table; NULL when it is not there.
 */
static const char *object_text(const struct buffer *buffer, const struct trailer *trailer,
                               size_t number) {
  char head[64];
  int length = snprintf(head, sizeof head, "xref\n0 %zu\n", trailer->size);
  size_t entry = trailer->table + (size_t)length + number * ENTRY;
  if (trailer->table >= buffer->length || entry + ENTRY > buffer->length) return NULL;
  if (memcmp(buffer->text + trailer->table, head, (size_t)length) != 0) return NULL;
  char digits[DIGITS + 1] = "";
  memcpy(digits, buffer->text + entry, DIGITS);
  size_t start = (size_t)strtoumax(digits, NULL, 10);
  length = snprintf(head, sizeof head, "%zu 0 obj\n<<", number);
  if (start + (size_t)length > trailer->table) return NULL;
  if (memcmp(buffer->text + start, head, (size_t)length) != 0) return NULL;
  static const char tail[] = ">>\nendobj\n"; /* no text of a dictionary has a line end */
  for (size_t end = start; end + sizeof tail - 1 <= trailer->table; end++)
    if (memcmp(buffer->text + end, tail, sizeof tail - 1) == 0)
      return arena_copy_bytes(buffer->arena, buffer->text + start, end - start);
  return NULL;
}

/* Dates begin with "D:" (ISO 32000-1, 7.9.4), which cairo 1.16 leaves out of one it is given. */
static void add_info(struct buffer *buffer, const char *info) {
  static const char key[] = "/CreationDate (";
  const char *at = strstr(info, key);
  if (at == NULL || strncmp(at + strlen(key), "D:", 2) == 0) {
    buffer_add(buffer, info);
  } else {
    size_t before = (size_t)(at - info) + strlen(key);
    buffer_add_bytes(buffer, info, before);
    buffer_add(buffer, "D:");
    buffer_add(buffer, info + before);
  }
  buffer_add(buffer, ">>\nendobj\n");
}

void pdf_catalog_add(struct buffer *buffer) {
  struct trailer trailer;
  if (!read_trailer(buffer, &trailer)) return;
  const char *info = object_text(buffer, &trailer, trailer.info);
  const char *root = object_text(buffer, &trailer, trailer.root);
  if (info == NULL || root == NULL) return;
  size_t info_at = buffer->length;
  add_info(buffer, info);
  size_t root_at = buffer->length;
  buffer_add(buffer, root);
  buffer_add(buffer,
             "   /Lang (en)\n"
             "   /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >>\n"
             ">>\nendobj\n");
  size_t table = buffer->length;
  buffer_format(buffer, "xref\n%zu 1\n%010zu 00000 n \n%zu 1\n%010zu 00000 n \n", trailer.info,
                info_at, trailer.root, root_at);
  buffer_format(buffer, "trailer\n<< /Size %zu\n   /Root %zu 0 R\n   /Info %zu 0 R\n", trailer.size,
                trailer.root, trailer.info);
  buffer_format(buffer, "   /Prev %zu\n>>\nstartxref\n%zu\n%%%%EOF\n", trailer.table, table);
}
