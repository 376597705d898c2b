#include "cli.h"

static struct bw_run *run(const struct request *request) {
  return bw_check(request->operand, &request->options);
}

const struct command command_check = {
    .name = "check",
    .operand = "PROJECT",
    .operand_meaning = "a folder with parts.csv and with rack.csv, yard.csv or both",
    .purpose = "read a project, size its blanks and warn; nothing is solved or written",
    .example = "check boards/cribbage",
    .run = run,
};
