/* Holes: within their parts, and those of the project. A part's outline, with all that cutters
 * reach around it, is clear of clamps by check_loads; so what lies within is clear of them too. */
#include "proof/check.h"
#include "proof/trial.h"

/* Twice as large as they are, so that halves are whole. */
static bool lies_within(const struct claim_need *need, const struct claim_hole *hole) {
  length_t x = 2 * hole->at[AXIS_X], y = 2 * hole->at[AXIS_Y];
  struct box room = {{hole->diameter, hole->diameter},
                     {2 * need->length - hole->diameter, 2 * need->width - hole->diameter}};
  struct box middle = {{x, y}, {x, y}};
  if (!box_inside(&middle, &room)) return false;
  if (!need->round) return true;
  length_t from_middle[2] = {x - need->length, y - need->width};
  length_t radius = need->length - hole->diameter;
  return from_middle[AXIS_X] * from_middle[AXIS_X] + from_middle[AXIS_Y] * from_middle[AXIS_Y] <=
         radius * radius;
}

void check_holes(struct proof *proof, const struct claim *claim) {
  for (size_t i = 0; i < claim->need_count; i++) {
    const struct claim_need *need = &claim->needs[i];
    for (size_t h = 0; h < need->hole_count; h++) {
      const struct claim_hole *hole = &need->holes[h];
      if (lies_within(need, hole)) continue;
      proof_fault(proof, "hole breaks out: that of %s at %s in part '%s', which is %s",
                  proof_length(proof, hole->diameter),
                  proof_point(proof, hole->at[AXIS_X], hole->at[AXIS_Y]), need->part,
                  proof_size(proof, need->length, need->width));
    }
  }
}

/* ---- against the project ---- */

static bool same_hole(const struct trial *trial, const struct claim_hole *claimed,
                      const struct step *step, const struct hole *hole) {
  return claimed->at[AXIS_X] == hole->x && claimed->at[AXIS_Y] == hole->y &&
         claimed->diameter == trial->project->cutters[step->cutter].diameter &&
         claimed->under == (step->side == SIDE_UNDER);
}

/* How many of a need's holes, from the first on, are the project's in its order. */
static size_t *holes_alike(const struct trial *trial, const struct claim_need *const *need_of,
                           size_t *told) {
  const struct project *project = trial->project;
  size_t *alike = ARENA_ARRAY(trial->proof.arena, project->part_count, size_t);
  for (size_t s = 0; s < project->step_count; s++) {
    const struct step *step = &project->steps[s];
    const struct claim_need *need = need_of[step->part];
    for (size_t h = 0; need != NULL && h < step->hole_count; h++) {
      size_t next = told[step->part]++;
      if (alike[step->part] == next && next < need->hole_count &&
          same_hole(trial, &need->holes[next], step, &step->holes[h]))
        alike[step->part]++;
    }
  }
  return alike;
}

void against_holes(struct trial *trial) {
  const struct project *project = trial->project;
  struct arena *arena = trial->proof.arena;
  const struct claim_need **need_of =
      ARENA_ARRAY(arena, project->part_count, const struct claim_need *);
  for (size_t i = 0; i < trial->claim->need_count; i++) {
    const struct part *part = trial_find_part(trial, trial->claim->needs[i].part);
    if (part != NULL) need_of[part - project->parts] = &trial->claim->needs[i];
  }
  size_t *told = ARENA_ARRAY(arena, project->part_count, size_t);
  const size_t *alike = holes_alike(trial, need_of, told);
  for (size_t p = 0; p < project->part_count; p++) {
    if (need_of[p] == NULL) continue;
    if (alike[p] == told[p] && alike[p] == need_of[p]->hole_count) continue;
    proof_fault(&trial->proof,
                "not the project's: %zu holes of part '%s' in the plan, %zu in the project, the "
                "first %zu alike",
                need_of[p]->hole_count, need_of[p]->part, told[p], alike[p]);
  }
}
