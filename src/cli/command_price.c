#include "cli.h"

static struct bw_run *run(const struct request *request) {
  struct bw_options options = request->options;
  interrupt_attach(&options);
  return bw_price(request->operand, &options);
}

const struct command command_price = {
    .name = "price",
    .operand = "PROJECT",
    .operand_meaning = "a folder with parts.csv and with rack.csv, yard.csv or both",
    .purpose = "what every quantity costs and brings, and how many sets to make",
    .example = "price boards/cribbage --up-to 40",
    .run = run,
};
