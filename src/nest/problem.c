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
