#include "write/html.h"

#include <libxml/xmlwriter.h>
#include <string.h>

#include "write/safe_text.h"
#include "write/xml_watch.h"

struct html {
  struct arena *arena;
  xmlBufferPtr text;
  xmlTextWriterPtr writer;
  struct xml_watch watch;
};

static void release_html(void *resource) {
  struct html *html = resource;
  if (html->writer != NULL) xmlFreeTextWriter(html->writer);
  if (html->text != NULL) xmlBufferFree(html->text);
  html->writer = NULL;
  html->text = NULL;
  xml_watch_end(&html->watch);
}

/* Everything is written to memory, so that only want of memory can be the reason. */
static void need(struct html *html, bool done) {
  if (!done || html->watch.fault) arena_raise(html->arena, STATUS_NO_MEMORY);
}

static const xmlChar *as_xml(const char *text) { return (const xmlChar *)text; }

struct html *html_open(struct arena *arena) {
  struct html *html = ARENA_NEW(arena, struct html);
  html->arena = arena;
  arena_defer(arena, release_html, html);
  xml_watch_begin(&html->watch);
  html->text = xmlBufferCreate();
  need(html, html->text != NULL);
  xmlBufferSetAllocationScheme(html->text, XML_BUFFER_ALLOC_DOUBLEIT);
  html->writer = xmlNewTextWriterMemory(html->text, 0);
  need(html, html->writer != NULL);
  html_raw(html, "<!DOCTYPE html>");
  return html;
}

void html_close(struct html *html, struct buffer *buffer) {
  need(html, xmlTextWriterEndDocument(html->writer) >= 0);
  need(html, xmlTextWriterFlush(html->writer) >= 0);
  buffer_add_bytes(buffer, (const char *)xmlBufferContent(html->text),
                   (size_t)xmlBufferLength(html->text));
  release_html(html);
}

/* Elements that stand by themselves start a line; blanks inside a line of text would show. */
static bool starts_line(const char *name) {
  static const char *const inside[] = {"a", "b", "small", "span", "label", "input"};
  for (size_t i = 0; i < sizeof inside / sizeof *inside; i++)
    if (strcmp(name, inside[i]) == 0) return false;
  return true;
}

void html_start(struct html *html, const char *name) {
  if (starts_line(name)) html_raw(html, "\n");
  need(html, xmlTextWriterStartElement(html->writer, as_xml(name)) >= 0);
}

void html_end(struct html *html) { need(html, xmlTextWriterFullEndElement(html->writer) >= 0); }

void html_end_void(struct html *html) { need(html, xmlTextWriterEndElement(html->writer) >= 0); }

void html_attribute(struct html *html, const char *name, const char *value) {
  const char *plain = safe_line(html->arena, value);
  need(html, xmlTextWriterWriteAttribute(html->writer, as_xml(name), as_xml(plain)) >= 0);
}

/* Each with its blanks, and with blanks where no line ends. */
static const char *const signs[][2] = {
    {" \xC3\x97 ", "\xC2\xA0\xC3\x97\xC2\xA0"}, {" %", "\xC2\xA0%"}, {" mm", "\xC2\xA0mm"}};

/* The one that stands at the place, or NULL. */
static const char *const *sign_at(const char *at) {
  for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
    if (strncmp(at, signs[i][0], strlen(signs[i][0])) == 0) return signs[i];
  return NULL;
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

/* At the hyphen of "5-1/2". */
static bool joins_fraction(const char *text, const char *at) {
  size_t digits = 0;
  if (*at != '-' || at == text || !is_digit(at[-1])) return false;
  while (is_digit(at[1 + digits])) digits++;
  return digits > 0 && at[1 + digits] == '/' && is_digit(at[2 + digits]);
}

/* Neither a size nor a number with its unit is torn apart at the end of a line: blanks around
 * signs do not break, nor does the hyphen of a fraction. */
static const char *sizes_whole(struct arena *arena, const char *text) {
  static const char hyphen[] = "\xE2\x80\x91";
  if (strpbrk(text, " -") == NULL) return text;
  struct buffer *buffer = buffer_create(arena);
  for (const char *at = text; *at != '\0';) {
    const char *const *sign = sign_at(at);
    if (sign != NULL) {
      buffer_add(buffer, sign[1]);
      at += strlen(sign[0]);
    } else if (joins_fraction(text, at)) {
      buffer_add(buffer, hyphen);
      at++;
    } else {
      size_t plain = 1 + strcspn(at + 1, " -");
      buffer_add_bytes(buffer, at, plain);
      at += plain;
    }
  }
  return buffer->text;
}

void html_text(struct html *html, const char *text) {
  const char *plain = sizes_whole(html->arena, safe_line(html->arena, text));
  need(html, xmlTextWriterWriteString(html->writer, as_xml(plain)) >= 0);
}

void html_element(struct html *html, const char *name, const char *text) {
  html_start(html, name);
  html_text(html, text);
  html_end(html);
}

void html_start_class(struct html *html, const char *name, const char *class_name) {
  html_start(html, name);
  html_attribute(html, "class", class_name);
}

void html_raw(struct html *html, const char *markup) {
  need(html, xmlTextWriterWriteRaw(html->writer, as_xml(markup)) >= 0);
}
