#include "hold/clamp_try.h"

#include "hold/clamp_numbers.h"

static void look(struct arena *arena, const struct clamp_problem *problem,
                 const struct clamp_asked *asked, enum clamp_detail detail,
                 struct clamp_try *tried) {
  struct clamp_places places = clamp_places(arena, problem, tried->clear, detail);
  struct clamp_found found;
  clamp_rows_solve(arena, problem, &places, asked, &found);
  tried->certain = places.complete && found.answer != PROGRAM_STOPPED;
  if (tried->found.found && (!found.found || found.count >= tried->found.count)) return;
  tried->found = found;
  tried->places = places;
}

void clamps_try(struct arena *arena, const struct clamp_problem *problem,
                const struct clamp_asked *asked, bool thorough, struct clamp_try *tried) {
  *tried = (struct clamp_try){.clear = clear_sides(arena, problem), .certain = true};
  int64_t least = clamp_numbers(problem, tried->clear, asked->rules);
  tried->found.answer = PROGRAM_INFEASIBLE;
  if (least < 0) return;
  look(arena, problem, asked, CLAMP_FEW, tried);
  bool settled =
      tried->found.found && (asked->aim != AIM_FEWEST || tried->found.count <= (size_t)least);
  if (settled) tried->certain = true;
  if (settled || tried->certain || problem->pitch > 0 || !thorough) return;
  look(arena, problem, asked, CLAMP_CHAIN, tried);
}

bool clamps_found(struct arena *arena, const struct clamp_problem *problem, unsigned rules) {
  struct arena_mark start = arena_mark(arena);
  struct clamp_asked asked = asked_in_full(problem);
  asked.rules = rules;
  asked.aim = AIM_ANY;
  struct clamp_try tried;
  clamps_try(arena, problem, &asked, false, &tried);
  bool found = tried.found.found;
  arena_release(arena, start);
  return found;
}
