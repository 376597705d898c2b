#include "base/status.h"

const char *status_text(enum status status) {
  switch (status) {
#define STATUS_CASE(name, number, text) \
  case name: \
    return text;
    STATUS_LIST(STATUS_CASE)
#undef STATUS_CASE
  }
  return "unknown status";
}
