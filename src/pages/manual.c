#include <stdbool.h>
#include <stdlib.h>
#include <time.h>

#include "cli/options.h"
#include "pages.h"

/* ---- words ---- */

/* Text that says the same in mdoc: what would begin a request at the start of a line is
 * covered, and hyphens stay those that are typed. */
static void print_text(FILE *file, const char *text) {
  if (text[0] == '.' || text[0] == '\'') fputs("\\&", file);
  for (; *text != '\0'; text++) {
    if (*text == '\\')
      fputs("\\e", file);
    else if (*text == '-')
      fputs("\\-", file);
    else
      fputc(*text, file);
  }
}

static void print_line(FILE *file, const char *text) {
  print_text(file, text);
  fputc('\n', file);
}

/* `.It Fl \-sets Ar N`: the macro Fl sets the first hyphen. */
static void print_option(FILE *file, const char *request, const struct option *option) {
  fprintf(file, ".%s ", request);
  if (option->short_name != NULL) {
    fputs("Fl ", file);
    print_text(file, option->short_name + 1);
    fputs(" , ", file);
  }
  fputs("Fl ", file);
  print_text(file, option->name + 1);
  if (option->value != NULL) fprintf(file, " Ar %s", option->value);
  fputc('\n', file);
}

/* Seconds since 1970: those of SOURCE_DATE_EPOCH, so that a build can be repeated to the byte. */
static time_t page_time(void) {
  const char *given = getenv("SOURCE_DATE_EPOCH");
  if (given == NULL || given[0] == '\0') return time(NULL);
  char *end = NULL;
  long long seconds = strtoll(given, &end, 10);
  return *end == '\0' && seconds >= 0 ? (time_t)seconds : time(NULL);
}

/* In English, whatever the locale. */
static void print_date(FILE *file) {
  static const char *const months[] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};
  time_t seconds = page_time();
  struct tm date;
  if (gmtime_r(&seconds, &date) == NULL) return;
  fprintf(file, ".Dd %s %d, %d\n", months[date.tm_mon], date.tm_mday, date.tm_year + 1900);
}

/* ---- sections ---- */

static void print_head(FILE *file) {
  print_date(file);
  fputs(".Dt BLANKWRIGHT 1\n.Os blankwright " BW_VERSION "\n.Sh NAME\n.Nm blankwright\n.Nd ", file);
  print_line(file, program_purpose);
}

static void print_synopsis(FILE *file) {
  fputs(".Sh SYNOPSIS\n", file);
  for (size_t i = 0; commands[i] != NULL; i++) {
    fprintf(file, ".Nm\n.Cm %s\n", commands[i]->name);
    for (size_t k = 0; k < option_count; k++)
      if (options[k].command != NULL && option_applies(&options[k], commands[i]))
        print_option(file, "Op", &options[k]);
    fprintf(file, ".Ar %s\n", commands[i]->operand);
    if (commands[i]->second != NULL) fprintf(file, ".Ar %s\n", commands[i]->second);
  }
  for (size_t k = 0; k < option_count; k++)
    if (options[k].command == NULL) fprintf(file, ".Nm\n.Fl \\-%s\n", options[k].name + 2);
}

static void print_description(FILE *file) {
  fputs(
      ".Sh DESCRIPTION\n"
      ".Nm\n"
      "reads a project, a folder of CSV files with the finished sizes of parts and\n"
      "the wood on the rack and at the yard.\n"
      "It works out how big each sawn blank must be, lays the blanks out in planks\n"
      "and sheets, places clamps and tabs for the router, orders the saw cuts, and\n"
      "writes drawings and lists.\n"
      "With the plan it says how far it is at most from the cheapest one possible.\n"
      ".Pp\n"
      "A value stands behind its option, or joined to it by\n"
      ".Ql = .\n"
      "Results go to standard output and messages to standard error.\n"
      "The same input gives the same bytes.\n"
      ".Pp\n"
      "A first interrupt from the keyboard ends the search: the best plan known is\n"
      "checked and written, marked as interrupted.\n"
      "A second one ends the program at once and leaves earlier reports as they were.\n",
      file);
}

static void print_item(FILE *file, const char *name, const char *meaning) {
  fprintf(file, ".It Ar %s\n", name);
  print_line(file, meaning);
}

static void print_command(FILE *file, const struct command *command) {
  fprintf(file, ".Ss %s\n", command->name);
  print_line(file, command->purpose);
  fputs(".Bl -tag -width Ds\n", file);
  print_item(file, command->operand, command->operand_meaning);
  if (command->second != NULL) print_item(file, command->second, command->second_meaning);
  for (size_t k = 0; k < option_count; k++)
    if (options[k].command != NULL && option_applies(&options[k], command)) {
      print_option(file, "It", &options[k]);
      print_line(file, options[k].meaning);
    }
  fputs(".El\n", file);
}

static void print_options(FILE *file) {
  fputs(".Sh OPTIONS\nAlone, or with any command:\n.Bl -tag -width Ds\n", file);
  for (size_t k = 0; k < option_count; k++)
    if (options[k].command == NULL) {
      print_option(file, "It", &options[k]);
      print_line(file, options[k].meaning);
    }
  fputs(".El\n", file);
}

static void print_files(FILE *file) {
  fputs(
      ".Sh FILES\n"
      "A project is a folder with\n"
      ".Pa parts.csv\n"
      "and with\n"
      ".Pa rack.csv ,\n"
      ".Pa yard.csv\n"
      "or both; what else it may hold is shown by the commented project that\n"
      ".Cm new\n"
      "writes.\n"
      "A header row names the columns, in any order.\n"
      "Lines that begin with\n"
      ".Ql #\n"
      "are notes.\n",
      file);
}

static void print_exit_status(FILE *file) {
  fputs(".Sh EXIT STATUS\n.Bl -tag -width Ds\n", file);
  for (size_t i = 0; exit_meanings[i] != NULL; i++) {
    fprintf(file, ".It %zu\n", i);
    print_line(file, exit_meanings[i]);
  }
  fputs(".El\n", file);
}

static void print_examples(FILE *file) {
  fputs(".Sh EXAMPLES\n.Bd -literal -offset indent\n", file);
  for (size_t i = 0; commands[i] != NULL; i++) {
    fputs("blankwright ", file);
    print_line(file, commands[i]->example);
  }
  fputs(".Ed\n", file);
}

static void print_tail(FILE *file) {
  fputs(
      ".Sh AUTHORS\n"
      ".An The blankwright developers\n"
      ".Sh CAVEATS\n"
      "The plan is proved against the numbers in the files, not against the wood:\n"
      "measure it.\n"
      "The machine's manual, local rules and trained practice go before anything that\n"
      ".Nm\n"
      "says.\n",
      file);
}

void pages_manual(FILE *file) {
  print_head(file);
  print_synopsis(file);
  print_description(file);
  print_options(file);
  fputs(".Sh COMMANDS\n", file);
  for (size_t i = 0; commands[i] != NULL; i++) print_command(file, commands[i]);
  print_files(file);
  print_exit_status(file);
  print_examples(file);
  print_tail(file);
}
