#include "write/script_hash.h"

#include <glib.h>
#include <string.h>

enum { DIGEST = 32, DIGEST_TEXT = 48 };

const char *script_hash(struct arena *arena, const char *script) {
  guint8 digest[DIGEST];
  gsize length = sizeof digest;
  char text[DIGEST_TEXT]; /* nothing of GLib's is held when the arena runs out */
  GChecksum *sum = g_checksum_new(G_CHECKSUM_SHA256);
  g_checksum_update(sum, (const guchar *)script, (gssize)strlen(script));
  g_checksum_get_digest(sum, digest, &length);
  g_checksum_free(sum);
  gchar *encoded = g_base64_encode(digest, length);
  g_strlcpy(text, encoded, sizeof text);
  g_free(encoded);
  return arena_format(arena, "'sha256-%s'", text);
}
