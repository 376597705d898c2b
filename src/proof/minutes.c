/* Minutes by hand, worked out again from what the plan holds. */
#include <inttypes.h>

#include "proof/check.h"

enum { THOUSANDTHS = 1000 };

static const char *minutes_text(struct proof *proof, int64_t thousandths) {
  return arena_format(proof->arena, "%" PRId64 ".%03" PRId64, thousandths / THOUSANDTHS,
                      thousandths % THOUSANDTHS);
}

/* `count` of something at `rate` each; without a rate in the plan nothing can be told. */
static void check_product(struct proof *proof, const char *key, int64_t claimed, const char *what,
                          int64_t count, int64_t rate) {
  int64_t right = 0;
  if (rate < 0) return;
  if (!checked_times(count, rate, &right)) {
    proof_fault(proof, "too large: '%s' of the minutes cannot be worked out", key);
  } else if (claimed != right) {
    proof_fault(proof, "wrong minutes: '%s' of the minutes is %s, %" PRId64 " %s at %s make %s",
                key, minutes_text(proof, claimed), count, what, minutes_text(proof, rate),
                minutes_text(proof, right));
  }
}

static int64_t saw_cuts(const struct claim *claim) {
  int64_t cuts = 0;
  for (size_t i = 0; i < claim->stock_count; i++) cuts += (int64_t)claim->stocks[i].cut_count;
  return cuts;
}

static int64_t fixings(const struct claim *claim) {
  int64_t count = 0;
  for (size_t i = 0; i < claim->load_count; i++)
    if (!checked_plus(count, claim->loads[i].clampings, &count)) return INT64_MAX;
  return count;
}

static int64_t tabs_in(const struct claim *claim) {
  int64_t tabs = 0;
  for (size_t i = 0; i < claim->load_count; i++)
    for (size_t j = 0; j < claim->loads[i].part_count; j++)
      tabs += (int64_t)claim->loads[i].parts[j].tab_count;
  return tabs;
}

/* A change of cutter is the machine's time or the hands', by where the cutter is kept; the two
 * together take what everything takes. */
static void check_whole(struct proof *proof, const struct claim_minutes *minutes) {
  const int64_t parts[] = {minutes->cutting, minutes->changing_cutters, minutes->probing,
                           minutes->fixing,  minutes->sawing,           minutes->fence_settings,
                           minutes->tabs,    minutes->other_hand};
  int64_t sum = 0; /* none is over MINUTES_MAX */
  for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) sum += parts[i];
  if (minutes->machine + minutes->hand != sum)
    proof_fault(proof,
                "wrong minutes: 'machine' and 'hand' of the minutes are %s together, all else of "
                "them %s",
                minutes_text(proof, minutes->machine + minutes->hand), minutes_text(proof, sum));
  if (minutes->machine < minutes->cutting)
    proof_fault(proof, "wrong minutes: 'machine' of the minutes is %s, less than 'cutting', %s",
                minutes_text(proof, minutes->machine), minutes_text(proof, minutes->cutting));
  if (minutes->attended > minutes->machine)
    proof_fault(proof, "wrong minutes: 'attended' of the minutes is %s, more than 'machine', %s",
                minutes_text(proof, minutes->attended), minutes_text(proof, minutes->machine));
}

void check_minutes(struct proof *proof, const struct claim *claim) {
  const struct claim_minutes *minutes = claim->minutes;
  if (minutes == NULL) return;
  check_product(proof, "sawing", minutes->sawing, "saw cuts", saw_cuts(claim), claim->saw_cut_min);
  check_product(proof, "fence_settings", minutes->fence_settings, "fence settings",
                claim->fence_settings, claim->fence_setting_min);
  check_product(proof, "fixing", minutes->fixing, "fixings", fixings(claim), claim->setup_min);
  check_product(proof, "tabs", minutes->tabs, "tabs", tabs_in(claim), claim->tab_clean_min);
  check_whole(proof, minutes);
}
