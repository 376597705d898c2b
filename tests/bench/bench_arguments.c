#include "bench_arguments.h"

#include <stdio.h>
#include <stdlib.h>

_Noreturn void refuse_argument(const char *usage, const char *what, const char *subject) {
  fprintf(stderr, "%s '%s'\n%s\n", what, subject, usage);
  exit(2);
}

int64_t whole_argument(const char *usage, const char *text, int64_t most) {
  char *end = NULL;
  long long number = strtoll(text, &end, 10);
  if (end == text || *end != '\0' || number < 1 || number > most)
    refuse_argument(usage, "bad number", text);
  return number;
}
