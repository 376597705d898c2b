#include "cost/price_demand.h"

#include <math.h>

/* The mass of a triangular distribution on [low, high] with its peak at likely, low < high. */
struct triangle {
  double low, likely, high;
};

static double within(double value, double least, double most) {
  return fmin(fmax(value, least), most);
}

/* From u to v: areas of two trapezoids, which lose nothing by subtracting. */
static double mass_of(const struct triangle *t, double u, double v) {
  double span = t->high - t->low, mass = 0;
  if (t->likely > t->low) {
    double a = within(u, t->low, t->likely), b = within(v, t->low, t->likely);
    mass += (b - a) * ((a - t->low) + (b - t->low)) / (span * (t->likely - t->low));
  }
  if (t->high > t->likely) {
    double a = within(u, t->likely, t->high), b = within(v, t->likely, t->high);
    mass += (b - a) * ((t->high - a) + (t->high - b)) / (span * (t->high - t->likely));
  }
  return mass;
}

static void fill_triangular(const struct demand *demand, struct demand_chances *chances) {
  struct triangle triangle = {(double)demand->low / 1000, (double)demand->likely / 1000,
                              (double)demand->high / 1000};
  if (demand->low == demand->high) {
    int64_t sure = (demand->low + 500) / 1000;
    if (sure <= chances->most)
      chances->of[sure] = 1;
    else
      chances->from[chances->most + 1] = 1;
    return;
  }
  for (int64_t k = 0; k <= chances->most; k++)
    chances->of[k] = mass_of(&triangle, (double)k - 0.5, (double)k + 0.5);
  double end = (double)chances->most + 0.5;
  chances->from[chances->most + 1] = mass_of(&triangle, end, fmax(end, triangle.high));
}

static void fill_sales(const struct demand *demand, struct demand_chances *chances) {
  for (size_t i = 0; i < demand->sale_count; i++) {
    int64_t sold = demand->sales[i];
    double *chance = sold <= chances->most ? &chances->of[sold] : &chances->from[chances->most + 1];
    *chance += 1;
  }
  double count = (double)demand->sale_count;
  for (int64_t k = 0; k <= chances->most; k++) chances->of[k] /= count;
  chances->from[chances->most + 1] /= count;
}

struct demand_chances demand_chances(struct arena *arena, const struct demand *demand,
                                     int64_t most) {
  struct demand_chances chances = {most, ARENA_ARRAY(arena, most + 1, double),
                                   ARENA_ARRAY(arena, most + 2, double)};
  if (demand->kind == DEMAND_SALES)
    fill_sales(demand, &chances);
  else
    fill_triangular(demand, &chances);
  for (int64_t k = most; k >= 0; k--) chances.from[k] = chances.from[k + 1] + chances.of[k];
  return chances;
}
