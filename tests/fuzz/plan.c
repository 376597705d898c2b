/* The target of plan.json: the check of a plan, and what a plan that passes leaves of the wood. */
#include <string.h>

#include "fuzz/fuzz.h"
#include "fuzz/telling.h"
#include "proof/left_over.h"
#include "proof/proof.h"

enum { FAULTS_MOST = 100 };

static void must_leave_soundly(const struct left_over *left) {
  must(left->project != NULL && strlen(left->plan) == 16 && left->sets >= 0);
  for (size_t i = 0; i < left->used_count; i++) {
    const struct used_stock *used = &left->used[i];
    must(used->count > 0 && used->copies[0] >= 1 && used->fingerprint != NULL);
    must(i == 0 || strcmp(left->used[i - 1].name, used->name) < 0);
    for (size_t c = 1; c < used->count; c++) must(used->copies[c - 1] < used->copies[c]);
  }
  must(left->offcut_count <= left->piece_count);
  for (size_t i = 0; i < left->piece_count; i++) {
    const struct stock *piece = &left->pieces[i];
    must(piece->length > 0 && piece->width > 0 && piece->thickness > 0 && piece->count > 0);
    must(piece->length <= LENGTH_MAX && piece->width <= LENGTH_MAX && piece->value >= 0);
    for (size_t f = 0; f < piece->flaw_count; f++) {
      const struct flaw *flaw = &piece->flaws[f];
      must(flaw->x >= 0 && flaw->y >= 0 && flaw->length > 0 && flaw->width > 0);
      must(flaw->x + flaw->length <= piece->length && flaw->y + flaw->width <= piece->width);
    }
  }
}

static enum status judge(struct arena *arena, const char *text, size_t size) {
  struct diagnostics *diagnostics = diagnostics_create(arena);
  const char *summary = NULL;
  enum status status = proof_check(arena, "plan.json", text, size, diagnostics, &summary);
  must_list_soundly(diagnostics, status);
  must(diagnostics->count <= FAULTS_MOST);
  must((status == STATUS_OK) == (summary != NULL));
  return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  struct arena *arena = arena_create();
  must(arena != NULL);
  must(ARENA_TRY(arena) == STATUS_OK);
  const char *text = (const char *)data;
  if (judge(arena, text, size) == STATUS_OK) {
    struct diagnostics *diagnostics = diagnostics_create(arena);
    struct left_over left = {0};
    enum status status = proof_left_over(arena, "plan.json", text, size, diagnostics, &left);
    must_list_soundly(diagnostics, status);
    if (status == STATUS_OK) must_leave_soundly(&left);
  }
  arena_destroy(arena);
  return 0;
}
