/* What a PDF says of itself that cairo does not write. */
#ifndef BLANKWRIGHT_WRITE_PDF_CATALOG_H
#define BLANKWRIGHT_WRITE_PDF_CATALOG_H

#include "base/buffer.h"

/* Adds an update to a whole PDF with a plain cross-reference table (ISO 32000-1, 7.5.6): its
 * language is English, it is printed at true scale unless the user says otherwise, and its title
 * is shown; its date has the proper form. A file of another form is left as it is. */
void pdf_catalog_add(struct buffer *buffer);

#endif
