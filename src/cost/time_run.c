#include "cost/time.h"

#define SHARE_WHOLE INT64_C(100000) /* 100 % in thousandths of a percent */

struct timed_clamping time_clamping(struct arena *arena, const struct timed_kind *kinds,
                                    size_t count, int64_t times) {
  struct timed_clamping made = {.times = times};
  struct step_list *lists = ARENA_ARRAY(arena, count, struct step_list);
  for (size_t i = 0; i < count; i++) {
    const struct timed_kind *kind = &kinds[i];
    lists[i] = kind->steps;
    for (size_t s = 0; s < kind->steps.count; s++)
      made.cutting += kind->copies * time_step(&kind->timed, kind->steps.steps[s]);
    if (!kind->freed) continue;
    made.tabs += kind->copies * kind->timed.tabs;
    made.hand += kind->copies * kind->timed.part->hand_minutes;
  }
  made.order = tool_order_of(arena, lists, count);
  return made;
}

/* Changes to cutters put in by hand, and to those of the changer. */
struct changes {
  int64_t by_hand, by_changer;
};

static void change_to(const struct project *project, size_t cutter, size_t *spindle,
                      struct changes *changes) {
  if (*spindle == cutter) return;
  *spindle = cutter;
  if (project->cutters[cutter].slot > 0) {
    changes->by_changer++;
  } else {
    changes->by_hand++;
  }
}

static struct changes of_one(const struct project *project, const struct tool_order *order,
                             size_t *spindle) {
  struct changes changes = {0, 0};
  for (size_t i = 0; i < order->count; i++)
    change_to(project, order->cutters[i], spindle, &changes);
  return changes;
}

/* From the second on every clamping of a kind finds the same cutter in. */
static struct changes of_clampings(const struct project *project,
                                   const struct timed_clamping *clamping, size_t *spindle) {
  if (clamping->times < 1) return (struct changes){0, 0};
  struct changes first = of_one(project, &clamping->order, spindle);
  struct changes other = of_one(project, &clamping->order, spindle);
  int64_t others = clamping->times - 1;
  return (struct changes){first.by_hand + others * other.by_hand,
                          first.by_changer + others * other.by_changer};
}

/* To the nearest thousandth of a minute; parted, so that long runs do not overflow. */
static int64_t share_of(int64_t minutes, int64_t share) {
  return minutes / SHARE_WHOLE * share +
         (minutes % SHARE_WHOLE * share + SHARE_WHOLE / 2) / SHARE_WHOLE;
}

struct run_time time_run(const struct project *project, const struct timed_run *run) {
  const struct shop *shop = &project->shop;
  struct run_time time = {.sawing = run->saw_cuts * shop->saw_cut_min,
                          .fences = run->fence_settings * shop->fence_setting_min,
                          .hand = run->hand};
  struct changes all = {0, 0};
  size_t spindle = SIZE_MAX;
  for (size_t i = 0; i < run->clamping_count; i++) {
    const struct timed_clamping *clamping = &run->clampings[i];
    struct changes changes = of_clampings(project, clamping, &spindle);
    all.by_hand += changes.by_hand;
    all.by_changer += changes.by_changer;
    time.setup_count += clamping->times;
    const struct spared *spared = &clamping->spared;
    time.cutting += clamping->times * clamping->cutting - spared->cutting;
    time.tab_cleaning += (clamping->times * clamping->tabs - spared->tabs) * shop->tab_clean_min;
    time.hand += clamping->times * clamping->hand - spared->hand;
  }
  time.change_count = all.by_hand + all.by_changer;
  time.changes = time.change_count * shop->tool_change_min;
  time.changes_by_hand = all.by_hand * shop->tool_change_min;
  time.probing = (time.setup_count + all.by_hand) * shop->probe_min;
  time.setups = time.setup_count * shop->setup_min;
  time.total.machine = time.cutting + all.by_changer * shop->tool_change_min;
  time.total.attended = share_of(time.total.machine, shop->attended_share);
  time.total.hand = time.changes_by_hand + time.probing + time.setups + time.sawing + time.fences +
                    time.tab_cleaning + time.hand;
  return time;
}
