/* A thin layer over an XML writer for pages: what it writes is both HTML and well-formed XML.
 * Texts are made fit for both and escaped. Running out of memory raises on the arena. */
#ifndef BLANKWRIGHT_WRITE_HTML_H
#define BLANKWRIGHT_WRITE_HTML_H

#include "base/buffer.h"

struct html;

/* Starts a page with its document type; nothing is open yet. Lives in the arena. */
struct html *html_open(struct arena *arena);

/* Ends every open element and adds the whole text to the buffer. */
void html_close(struct html *html, struct buffer *buffer);

/* Elements: start, attributes, content, end. A void element (input, meta) is ended with
 * html_end_void, which gives it no end tag; all others get one, for an HTML reader takes the
 * short form of an empty element for a start tag. */
void html_start(struct html *html, const char *name);
void html_end(struct html *html);
void html_end_void(struct html *html);
void html_attribute(struct html *html, const char *name, const char *value);
void html_text(struct html *html, const char *text);

/* A child element with text alone, and one that is started with a class. */
void html_element(struct html *html, const char *name, const char *text);
void html_start_class(struct html *html, const char *name, const char *class_name);

/* Markup that is whole by itself, and the text of a style or script: without '<' and '&', which
 * an HTML reader would not take as XML does. */
void html_raw(struct html *html, const char *markup);

#endif
