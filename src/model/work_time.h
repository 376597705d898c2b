/* Time, in whole thousandths of a minute. */
#ifndef BLANKWRIGHT_MODEL_WORK_TIME_H
#define BLANKWRIGHT_MODEL_WORK_TIME_H

#include <stdint.h>

/* What costs labour is attended + hand; what costs machine hours is machine. */
struct work_time {
  int64_t machine;  /* the router runs by itself */
  int64_t attended; /* the share of it that someone stands by */
  int64_t hand;     /* work of hands; the router waits or is not needed */
};

/* Minutes of a run by what they are spent on, and as they are paid for. */
struct run_time {
  struct work_time total;
  int64_t cutting, changes, probing, setups, sawing, fences, tab_cleaning, hand;
  int64_t changes_by_hand; /* of `changes`; the changer's are the router's own time */
  int64_t change_count, setup_count;
};

#endif
