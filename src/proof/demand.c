/* Demand: the right number of every part, and what belongs together from one plank. */
#include <inttypes.h>
#include <string.h>

#include "proof/check.h"
#include "proof/order.h"

/* Blanks are counted as pieces: a load of theirs is their clamping. */
static void count_loads(const struct claim *claim, int64_t *counts) {
  for (size_t i = 0; i < claim->load_count; i++) {
    const struct claim_load *load = &claim->loads[i];
    if (load->piece == NULL || load->piece->role != CLAIM_LOAD) continue;
    for (size_t j = 0; j < load->part_count; j++)
      if (load->parts[j].need != NO_INDEX) counts[load->parts[j].need]++;
  }
}

static void check_counts(struct proof *proof, const struct claim *claim) {
  int64_t *counts = ARENA_ARRAY(proof->arena, claim->need_count, int64_t);
  count_loads(claim, counts);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->piece_count; j++) {
      /* what strips of one name make is one, if they are all there: see check_glue_ups */
      if (stock->pieces[j].need != NO_INDEX && stock->pieces[j].strip <= 1)
        counts[stock->pieces[j].need]++;
    }
  }
  for (size_t i = 0; i < claim->need_count; i++) {
    const struct claim_need *need = &claim->needs[i];
    int64_t least = 0;
    if (!checked_times(need->per_set, claim->sets, &least) || need->count < least) {
      proof_fault(proof,
                  "too few needed: %" PRId64 " of part '%s', of which a set takes %" PRId64
                  ", for %" PRId64 " sets",
                  need->count, need->part, need->per_set, claim->sets);
    }
    if (counts[i] == need->count) continue;
    proof_fault(proof, "demand not met: %" PRId64 " of part '%s' are cut, needed are %" PRId64,
                counts[i], need->part, need->count);
  }
}

/* Parts with a letter, those of one letter side by side. */
struct matched {
  const struct claim_need **needs;
  size_t count;
};

static int compare_letters(const void *a, const void *b) {
  const struct claim_need *const *left = a, *const *right = b;
  return strcmp((*left)->match, (*right)->match);
}

static struct matched matched_needs(struct proof *proof, const struct claim *claim) {
  struct matched matched = {ARENA_ARRAY(proof->arena, claim->need_count, const struct claim_need *),
                            0};
  for (size_t i = 0; i < claim->need_count; i++) {
    if (claim->needs[i].match != NULL) matched.needs[matched.count++] = &claim->needs[i];
  }
  sort_pointers(matched.needs, matched.count, compare_letters);
  return matched;
}

static size_t letter_end(const struct matched *matched, size_t start) {
  size_t end = start;
  while (end < matched->count &&
         strcmp(matched->needs[end]->match, matched->needs[start]->match) == 0) {
    end++;
  }
  return end;
}

/* Adds, for every letter, the whole sets one piece of stock yields, at its first place. */
static void add_whole_sets(const struct claim *claim, const struct matched *matched,
                           const int64_t *counts, int64_t *whole) {
  for (size_t start = 0, end; start < matched->count; start = end) {
    end = letter_end(matched, start);
    int64_t sets = INT64_MAX;
    for (size_t i = start; i < end; i++) {
      const struct claim_need *need = matched->needs[i];
      int64_t here = counts[need - claim->needs] / need->per_set;
      if (here < sets) sets = here;
    }
    whole[start] += sets;
  }
}

static void check_matches(struct proof *proof, const struct claim *claim) {
  struct matched matched = matched_needs(proof, claim);
  if (matched.count == 0) return;
  int64_t *counts = ARENA_ARRAY(proof->arena, claim->need_count, int64_t);
  int64_t *whole = ARENA_ARRAY(proof->arena, matched.count, int64_t);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    memset(counts, 0, claim->need_count * sizeof *counts);
    for (size_t j = 0; j < stock->piece_count; j++) {
      if (stock->pieces[j].need != NO_INDEX && stock->pieces[j].strip == 0)
        counts[stock->pieces[j].need]++;
    }
    add_whole_sets(claim, &matched, counts, whole);
  }
  for (size_t start = 0; start < matched.count; start = letter_end(&matched, start)) {
    if (whole[start] >= claim->sets) continue;
    proof_fault(proof,
                "match not kept: the parts of letter '%s' come from one plank for %" PRId64
                " sets only, of %" PRId64,
                matched.needs[start]->match, whole[start], claim->sets);
  }
}

void check_demand(struct proof *proof, const struct claim *claim) {
  check_counts(proof, claim);
  check_matches(proof, claim);
}
