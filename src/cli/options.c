#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "options.h"

const struct command *const commands[] = {
    &command_check, &command_plan, &command_price, &command_proof, &command_settle,
    &command_new,   NULL};

const char *const program_purpose =
    "from the parts of a run of small wooden goods to a proved cutting plan";

const char *const exit_meanings[] = {
    [BW_DONE] = "done",
    [BW_NO_PLAN] = "no plan exists",
    [BW_BAD_INPUT] = "bad input or usage",
    [BW_NOT_WRITTEN] = "could not write",
    NULL,
};

/* ---- the one table of options ---- */

static const char *take_whole(const char *value, long long most, int64_t *result,
                              const char *expected) {
  char *end = NULL;
  errno = 0;
  long long number = strtoll(value, &end, 10);
  bool starts_well = value[0] >= '0' && value[0] <= '9';
  if (!starts_well || *end != '\0' || errno != 0 || number < 1 || number > most) return expected;
  *result = number;
  return NULL;
}

static const char *take_sets(struct request *request, const char *value) {
  return take_whole(value, 1000000, &request->options.sets, "a whole number between 1 and 1000000");
}

static const char *take_most(struct request *request, const char *value) {
  (void)value;
  request->options.most = true;
  return NULL;
}

static const char *take_up_to(struct request *request, const char *value) {
  return take_whole(value, 10000, &request->options.up_to, "a whole number between 1 and 10000");
}

static const char *take_price_change(struct request *request, const char *value) {
  if (strchr(value, '=') == NULL) return "an item and a change such as Y1=+10%";
  request->options.price_change = value;
  return NULL;
}

static const char *take_add(struct request *request, const char *value) {
  if (strchr(value, '=') == NULL) return "a stock and a number of pieces such as W1=1";
  request->options.add = value;
  return NULL;
}

static const char *take_rack_only(struct request *request, const char *value) {
  (void)value;
  request->options.rack_only = true;
  return NULL;
}

static const char *take_out(struct request *request, const char *value) {
  if (value[0] == '\0') return "a folder";
  request->options.out = value;
  return NULL;
}

static const char *take_paper(struct request *request, const char *value) {
  if (strcasecmp(value, "A4") != 0 && strcasecmp(value, "Letter") != 0) return "A4 or Letter";
  request->options.paper = value;
  return NULL;
}

static const char *take_effort(struct request *request, const char *value) {
  return take_whole(value, 100000, &request->options.effort,
                    "a whole number of percent between 1 and 100000");
}

static const char *take_threads(struct request *request, const char *value) {
  int64_t threads = 0;
  const char *fault = take_whole(value, 8, &threads, "a whole number between 1 and 8");
  if (fault == NULL) request->options.threads = (int)threads;
  return fault;
}

static const char *take_help(struct request *request, const char *value) {
  (void)value;
  request->help = true;
  return NULL;
}

static const char *take_version(struct request *request, const char *value) {
  (void)value;
  request->version = true;
  return NULL;
}

const struct option options[] = {
    {"--sets", NULL, "N", &command_plan, &command_price,
     "sets to make, in place of the project's own number", take_sets},
    {"--most", NULL, NULL, &command_plan, NULL, "as many complete sets as the rack alone gives",
     take_most},
    {"--up-to", NULL, "N", &command_price, NULL,
     "price 1 to so many sets (twice the number of sets, 20 at least)", take_up_to},
    {"--price-change", NULL, "ITEM=P%", &command_price, NULL,
     "as if an item of the yard, or a bought one, cost so much more or less", take_price_change},
    {"--add", NULL, "STOCK=N", &command_price, NULL, "as if there were so many more of a stock",
     take_add},
    {"--rack-only", NULL, NULL, &command_price, NULL, "as if nothing could be bought at the yard",
     take_rack_only},
    {"--out", NULL, "DIR", &command_plan, &command_price,
     "folder for the reports (reports/<project> beside the boards folder)", take_out},
    {"--paper", NULL, "A4|Letter", &command_plan, &command_price,
     "paper for templates and labels, in place of the project's own", take_paper},
    {"--effort", NULL, "E", &command_plan, &command_price,
     "work of the optimiser, in percent of the usual (100)", take_effort},
    {"--threads", NULL, "N", &command_plan, &command_price,
     "threads at work (one for each processor, at most 8); the plan is the same", take_threads},
    {"--help", "-h", NULL, NULL, NULL, "this text", take_help},
    {"--version", NULL, NULL, NULL, NULL, "the program's version", take_version},
};

enum { OPTION_COUNT = sizeof options / sizeof *options };

const size_t option_count = OPTION_COUNT;

bool option_applies(const struct option *option, const struct command *command) {
  return option->command == NULL || option->command == command ||
         (option->also != NULL && option->also == command);
}

/* ---- parsing ---- */

static void usage_fault(const struct command *command, const char *fault, const char *subject,
                        const char *more) {
  fprintf(stderr, "blankwright: %s '", fault);
  messages_print_harmless(stderr, subject);
  fprintf(stderr, "'%s%s\n", more == NULL ? "" : ", ", more == NULL ? "" : more);
  fprintf(stderr, "try 'blankwright%s%s --help'\n", command == NULL ? "" : " ",
          command == NULL ? "" : command->name);
}

/* Says which name was meant, or nothing where none is near. */
static void usage_fault_nearest(const struct command *command, const char *fault,
                                const char *subject, const char *const *names, size_t count) {
  const char *nearest = bw_nearest(subject, names, count);
  char meant[64];
  if (nearest != NULL) snprintf(meant, sizeof meant, "did you mean '%s'?", nearest);
  usage_fault(command, fault, subject, nearest == NULL ? NULL : meant);
}

/* True when `word` is the option's name, alone or (behind '=') with its value. */
static bool option_named(const struct option *option, const char *word, size_t name_length) {
  if (option->short_name != NULL && strcmp(word, option->short_name) == 0) return true;
  return strlen(option->name) == name_length && strncmp(word, option->name, name_length) == 0;
}

static const struct option *find_option(const struct command *command, const char *word) {
  size_t length = strcspn(word, "=");
  for (size_t i = 0; i < OPTION_COUNT; i++)
    if (option_applies(&options[i], command) && option_named(&options[i], word, length))
      return &options[i];
  return NULL;
}

static bool unknown_option(const struct command *command, const char *word) {
  const char *names[OPTION_COUNT];
  size_t count = 0;
  for (size_t i = 0; i < OPTION_COUNT; i++)
    if (option_applies(&options[i], command)) names[count++] = options[i].name;
  usage_fault_nearest(command, "unknown option", word, names, count);
  return false;
}

/* Takes the option at words[0]; how many words it used, 0 on a fault. */
static int parse_option(const struct command *command, int count, char *const *words,
                        struct request *request) {
  const struct option *option = find_option(command, words[0]);
  if (option == NULL) return unknown_option(command, words[0]) ? 1 : 0;
  const char *value = strchr(words[0], '=');
  if (value != NULL) value++;
  int used = 1;
  if (option->value == NULL && value != NULL) {
    usage_fault(command, "no value is taken by", option->name, NULL);
    return 0;
  }
  if (option->value != NULL && value == NULL) {
    if (count < 2) {
      usage_fault(command, "a value is missing behind", option->name, NULL);
      return 0;
    }
    value = words[1];
    used = 2;
  }
  const char *expected = option->take(request, value);
  if (expected == NULL) return used;
  fprintf(stderr, "blankwright: '%s' was given '", option->name);
  messages_print_harmless(stderr, value);
  fprintf(stderr, "', expected %s\n", expected);
  return 0;
}

static bool take_operand(const struct command *command, const char *word, struct request *request) {
  bool first = command != NULL && request->operand == NULL;
  bool second = !first && command != NULL && command->second != NULL && request->second == NULL;
  if (first) request->operand = word;
  if (second) request->second = word;
  if (first || second) return true;
  usage_fault(command, "one word too many:", word, NULL);
  return false;
}

static bool check_whole(const struct command *command, const struct request *request) {
  if (request->help || request->version) return true;
  if (request->options.most && request->options.sets != 0) {
    usage_fault(command, "'--sets' does not go with", "--most", NULL);
    return false;
  }
  if (command != NULL && request->operand == NULL) {
    usage_fault(command, "something is missing:", command->operand, command->operand_meaning);
    return false;
  }
  if (command != NULL && command->second != NULL && request->second == NULL) {
    usage_fault(command, "something is missing:", command->second, command->second_meaning);
    return false;
  }
  return true;
}

bool options_parse(const struct command *command, int count, char *const *words,
                   struct request *request) {
  bool only_operands = false;
  for (int i = 0; i < count;) {
    const char *word = words[i];
    if (!only_operands && strcmp(word, "--") == 0) {
      only_operands = true;
      i++;
    } else if (!only_operands && word[0] == '-' && word[1] != '\0') {
      int used = parse_option(command, count - i, words + i, request);
      if (used == 0) return false;
      i += used;
    } else {
      if (!take_operand(command, word, request)) return false;
      i++;
    }
  }
  return check_whole(command, request);
}

/* ---- help ---- */

static void option_help(FILE *file, const struct option *option) {
  char name[32];
  snprintf(name, sizeof name, "%s%s%s%s%s", option->short_name == NULL ? "" : option->short_name,
           option->short_name == NULL ? "" : ", ", option->name, option->value == NULL ? "" : " ",
           option->value == NULL ? "" : option->value);
  fprintf(file, "  %-22s %s\n", name, option->meaning);
}

static void command_help(FILE *file, const struct command *command) {
  fprintf(file, "blankwright %s: %s\n\n", command->name, command->purpose);
  fprintf(file, "  for example: blankwright %s\n\n", command->example);
  fprintf(file, "usage: blankwright %s %s%s%s", command->name, command->operand,
          command->second == NULL ? "" : " ", command->second == NULL ? "" : command->second);
  for (size_t i = 0; i < OPTION_COUNT; i++)
    if (options[i].command != NULL && option_applies(&options[i], command))
      fprintf(file, " [%s%s%s]", options[i].name, options[i].value == NULL ? "" : " ",
              options[i].value == NULL ? "" : options[i].value);
  fprintf(file, "\n\n  %-22s %s\n", command->operand, command->operand_meaning);
  if (command->second != NULL)
    fprintf(file, "  %-22s %s\n", command->second, command->second_meaning);
  for (size_t i = 0; i < OPTION_COUNT; i++)
    if (option_applies(&options[i], command)) option_help(file, &options[i]);
}

static void command_line(FILE *file, const struct command *command) {
  char operands[32];
  snprintf(operands, sizeof operands, "%s%s%s", command->operand,
           command->second == NULL ? "" : " ", command->second == NULL ? "" : command->second);
  fprintf(file, "  %-6s %-17s %s\n", command->name, operands, command->purpose);
}

static void program_help(FILE *file) {
  fprintf(file, "blankwright: %s\n\n", program_purpose);
  fprintf(file, "  for example: blankwright %s\n\n", command_plan.example);
  fputs("usage: blankwright COMMAND ...\n\n", file);
  for (size_t i = 0; commands[i] != NULL; i++) command_line(file, commands[i]);
  fputs("\n", file);
  for (size_t i = 0; i < OPTION_COUNT; i++)
    if (options[i].command == NULL) option_help(file, &options[i]);
  fputs("\nA command's own options: blankwright COMMAND --help\n", file);
}

static void exit_help(FILE *file) {
  for (size_t i = 0; exit_meanings[i] != NULL; i++)
    fprintf(file, "%s %zu %s", i == 0 ? "\nexit status:" : ",", i, exit_meanings[i]);
  fputs("\n", file);
}

void options_help(FILE *file, const struct command *command) {
  if (command == NULL)
    program_help(file);
  else
    command_help(file, command);
  exit_help(file);
}
