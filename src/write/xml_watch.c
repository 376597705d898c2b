#include "write/xml_watch.h"

#include <libxml/globals.h>

static void note(void *data, xmlErrorPtr error) {
  struct xml_watch *watch = data;
  (void)error;
  watch->fault = true;
}

static void note_text(void *data, const char *text, ...) {
  struct xml_watch *watch = data;
  (void)text;
  watch->fault = true;
}

void xml_watch_begin(struct xml_watch *watch) {
  *watch = (struct xml_watch){.on = true,
                              .structured_before = xmlStructuredError,
                              .generic_before = xmlGenericError,
                              .structured_data_before = xmlStructuredErrorContext,
                              .generic_data_before = xmlGenericErrorContext};
  xmlSetStructuredErrorFunc(watch, note);
  xmlSetGenericErrorFunc(watch, note_text);
}

void xml_watch_end(struct xml_watch *watch) {
  if (!watch->on) return;
  xmlSetStructuredErrorFunc(watch->structured_data_before, watch->structured_before);
  xmlSetGenericErrorFunc(watch->generic_data_before, watch->generic_before);
  watch->on = false;
}
