#include "proof/fault.h"

void proof_fault(struct proof *proof, const char *format, ...) {
  proof->faults++;
  if (proof->faults > PROOF_FAULTS_MAX) return;
  struct place place = {.file = proof->name};
  va_list arguments;
  va_start(arguments, format);
  const char *text = arena_format_list(proof->arena, format, arguments);
  va_end(arguments);
  diagnostics_add(proof->diagnostics, SEVERITY_ERROR, &place, "%s", text);
}

static const char *unit_name(const struct proof *proof) {
  return proof->unit == UNIT_INCH ? "in" : "mm";
}

const char *proof_length(struct proof *proof, length_t value) {
  return arena_format(proof->arena, "%.10g %s", length_number(value, proof->unit),
                      unit_name(proof));
}

const char *proof_size(struct proof *proof, length_t length, length_t width) {
  return arena_format(proof->arena, "%.10g x %.10g %s", length_number(length, proof->unit),
                      length_number(width, proof->unit), unit_name(proof));
}

const char *proof_point(struct proof *proof, length_t x, length_t y) {
  return arena_format(proof->arena, "(%.10g, %.10g) %s", length_number(x, proof->unit),
                      length_number(y, proof->unit), unit_name(proof));
}
