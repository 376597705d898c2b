#include "nest/problem.h"

cost_t nest_stock_cost(const struct nest_stock *stock, int64_t pieces) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  int64_t bought = (pieces + pack - 1) / pack * pack;
  return (stock->cost - stock->trim_cost) * bought + stock->trim_cost * pieces;
}

int64_t nest_stock_most(const struct nest_stock *stock) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  return stock->count < 0 ? INT64_MAX / 4 : stock->count / pack * pack;
}

bool nest_is_match(const struct nest_problem *problem, size_t demand) {
  for (size_t m = 0; m < problem->match_count; m++)
    if (problem->matches[m].demand == demand) return true;
  return false;
}

void nest_count_matches(const struct nest_problem *problem, int64_t *counts) {
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    int64_t sets = INT64_MAX;
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t served = counts[match->member[i]] / match->per_set[i];
      if (served < sets) sets = served;
    }
    counts[match->demand] = sets;
  }
}

void nest_useful_limits(const struct nest_problem *problem, const int64_t *demand, int64_t *limit) {
  for (size_t d = 0; d < problem->demand_count; d++) limit[d] = demand[d];
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t wanted = demand[match->demand] * match->per_set[i];
      if (wanted > limit[match->member[i]]) limit[match->member[i]] = wanted;
    }
  }
}
