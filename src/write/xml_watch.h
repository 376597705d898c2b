/* Want of memory inside libxml2, which here and there leaves text or ends of elements out without a
 * word to its caller and prints a message of its own: while a watch is on, this thread's messages
 * are noted and not printed. Watches end in the reverse order of their beginning. */
#ifndef BLANKWRIGHT_WRITE_XML_WATCH_H
#define BLANKWRIGHT_WRITE_XML_WATCH_H

#include <libxml/xmlerror.h>
#include <stdbool.h>

struct xml_watch {
  bool on;
  bool fault; /* something went wrong since it began */
  xmlStructuredErrorFunc structured_before;
  xmlGenericErrorFunc generic_before;
  void *structured_data_before, *generic_data_before;
};

/* Turns a watch on; xml_watch_end gives the thread its handlers of before back. */
void xml_watch_begin(struct xml_watch *watch);

/* Does nothing where the watch is not on. */
void xml_watch_end(struct xml_watch *watch);

#endif
