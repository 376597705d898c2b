#include <stdbool.h>
#include <string.h>

#include "cli/options.h"
#include "pages.h"

/* Text inside single quotes, with what ends a description or a message covered. */
static void print_quoted(FILE *file, const char *text) {
  for (; *text != '\0'; text++) {
    if (*text == '\'')
      fputs("'\\''", file);
    else {
      if (strchr("[]:\\", *text) != NULL) fputc('\\', file);
      fputc(*text, file);
    }
  }
}

static const char *kind_action(enum word_kind kind) {
  switch (kind) {
    case WORD_FOLDER:
      return "_files -/";
    case WORD_JSON:
      return "_files -g \"*.json(-.)\"";
    case WORD_CHOICE: /* its value is told in full */
    case WORD_FREE:
      break;
  }
  return " ";
}

static void print_action(FILE *file, const char *name) {
  if (word_kind(name) != WORD_CHOICE) {
    fprintf(file, ":%s", kind_action(word_kind(name)));
    return;
  }
  fputs(":(", file);
  for (; *name != '\0'; name++) fputc(*name == '|' ? ' ' : *name, file);
  fputc(')', file);
}

static void print_option(FILE *file, const struct option *option) {
  if (option->short_name != NULL)
    fprintf(file, " \\\n        '(%s %s)'{%s,%s}'", option->short_name, option->name,
            option->short_name, option->name);
  else
    fprintf(file, " \\\n        '%s%s", option->name, option->value == NULL ? "" : "=");
  fputc('[', file);
  print_quoted(file, option->meaning);
  fputc(']', file);
  if (option->value != NULL) {
    fputc(':', file);
    print_quoted(file, option->value);
    print_action(file, option->value);
  }
  fputc('\'', file);
}

static void print_operand(FILE *file, int place, const char *name) {
  fprintf(file, " \\\n        '%d:", place);
  print_quoted(file, name);
  fprintf(file, ":%s'", kind_action(word_kind(name)));
}

static void print_command(FILE *file, const struct command *command) {
  fprintf(file, "    %s)\n      _arguments", command->name);
  for (size_t i = 0; i < option_count; i++)
    if (option_applies(&options[i], command)) print_option(file, &options[i]);
  print_operand(file, 1, command->operand);
  if (command->second != NULL) print_operand(file, 2, command->second);
  fputs(" ;;\n", file);
}

void pages_zsh(FILE *file) {
  fputs(
      "#compdef blankwright\n\n_blankwright() {\n  local curcontext=\"$curcontext\" state line\n"
      "  local -a names=(\n",
      file);
  for (size_t i = 0; commands[i] != NULL; i++) {
    fprintf(file, "    '%s:", commands[i]->name);
    print_quoted(file, commands[i]->purpose);
    fputs("'\n", file);
  }
  fputs("  )\n  _arguments -C", file);
  for (size_t i = 0; i < option_count; i++)
    if (option_applies(&options[i], NULL)) print_option(file, &options[i]);
  fputs(
      " \\\n        '1: :->command' '*:: :->rest'\n"
      "  if [[ $state == command ]]; then\n    _describe command names\n    return\n  fi\n"
      "  [[ $state == rest ]] || return\n  case $words[1] in\n",
      file);
  for (size_t i = 0; commands[i] != NULL; i++) print_command(file, commands[i]);
  fputs("  esac\n}\n\n_blankwright \"$@\"\n", file);
}
