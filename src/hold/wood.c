#include "hold/wood.h"

#include <string.h>

static const struct wood woods[] = {
    {"black walnut", "walnut|american walnut", 190, 274, 0},
    {"sugar maple", "maple|hard maple", 165, 353, 16100},
    {"black cherry", "cherry|american cherry", 126, 248, 11700},
    {"white oak", "american white oak", 180, 365, 13800},
    {"northern red oak", "red oak|oak", 158, 369, 12300},
    {"white ash", "ash", 169, 274, 13200},
    {"American beech", "beech", 190, 431, 0},
    {"yellow birch", "birch", 256, 338, 0},
    {"yellow-poplar", "poplar|tulipwood", 0, 0, 8200},
};
enum { WOODS = sizeof woods / sizeof woods[0] };

static bool joint(char c) { return c == ' ' || c == '-' || c == '_'; }

static int folded(char c) { return c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c; }

/* The whole of `text` against a name of `length` bytes, joints passed over. */
static bool same_name(const char *text, const char *name, size_t length) {
  const char *end = name + length;
  for (;;) {
    while (joint(*text)) text++;
    while (name < end && joint(*name)) name++;
    if (name == end) return *text == '\0';
    if (folded(*text) != folded(*name)) return false;
    text++;
    name++;
  }
}

static bool called(const struct wood *wood, const char *text) {
  if (same_name(text, wood->name, strlen(wood->name))) return true;
  for (const char *alias = wood->aliases; *alias != '\0';) {
    size_t length = strcspn(alias, "|");
    if (same_name(text, alias, length)) return true;
    alias += length + (alias[length] == '|' ? 1 : 0);
  }
  return false;
}

const struct wood *wood_named(const char *text) {
  for (size_t i = 0; i < WOODS; i++)
    if (called(&woods[i], text)) return &woods[i];
  return NULL;
}

int64_t wood_most_tangential(void) {
  int64_t most = 0;
  for (size_t i = 0; i < WOODS; i++)
    if (woods[i].tangential > most) most = woods[i].tangential;
  return most;
}

int64_t wood_least_shear(void) {
  int64_t least = 0;
  for (size_t i = 0; i < WOODS; i++)
    if (woods[i].shear > 0 && (least == 0 || woods[i].shear < least)) least = woods[i].shear;
  return least;
}
