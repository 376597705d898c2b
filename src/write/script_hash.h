/* What a page's policy calls its script by. */
#ifndef BLANKWRIGHT_WRITE_SCRIPT_HASH_H
#define BLANKWRIGHT_WRITE_SCRIPT_HASH_H

#include "base/arena.h"

/* The hash source of W3C, Content Security Policy Level 3, for a script that stands in the page:
 * 'sha256-' and the hash in base64, quoted. In the arena. GLib ends the process where memory runs
 * out. */
const char *script_hash(struct arena *arena, const char *script);

#endif
