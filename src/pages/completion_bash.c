#include <stdbool.h>

#include "cli/options.h"
#include "pages.h"

/* What `blankwright_offer` of the script below is asked for. */
static const char *kind_name(enum word_kind kind) {
  switch (kind) {
    case WORD_FOLDER:
      return "folder";
    case WORD_JSON:
      return "json";
    case WORD_CHOICE: /* its value is told in full */
    case WORD_FREE:
      break;
  }
  return "free";
}

static void print_names(FILE *file, const struct command *command) {
  const char *space = "";
  for (size_t i = 0; i < option_count; i++) {
    if (!option_applies(&options[i], command)) continue;
    fprintf(file, "%s%s", space, options[i].name);
    if (options[i].short_name != NULL) fprintf(file, " %s", options[i].short_name);
    space = " ";
  }
}

static void print_commands(FILE *file) {
  fputs("  local names='", file);
  for (size_t i = 0; commands[i] != NULL; i++) fprintf(file, "%s ", commands[i]->name);
  print_names(file, NULL);
  fputs("' operands=''\n  case $command in\n", file);
  for (size_t i = 0; commands[i] != NULL; i++) {
    fprintf(file, "    %s)\n      names='", commands[i]->name);
    print_names(file, commands[i]);
    fprintf(file, "'\n      operands='%s", kind_name(word_kind(commands[i]->operand)));
    if (commands[i]->second != NULL)
      fprintf(file, " %s", kind_name(word_kind(commands[i]->second)));
    fputs("' ;;\n", file);
  }
  fputs("  esac\n", file);
}

static void print_value_kinds(FILE *file) {
  fputs("blankwright_value() {\n  case $1 in\n", file);
  for (size_t i = 0; i < option_count; i++) {
    const struct option *option = &options[i];
    if (option->value == NULL) continue;
    if (word_kind(option->value) == WORD_CHOICE)
      fprintf(file, "    %s) kind='|%s' ;;\n", option->name, option->value);
    else
      fprintf(file, "    %s) kind=%s ;;\n", option->name, kind_name(word_kind(option->value)));
  }
  fputs("    *) kind= ;;\n  esac\n}\n\n", file);
}

static void print_offer(FILE *file) {
  fputs(
      "# blankwright_offer KIND WORD: what may stand there.\n"
      "blankwright_offer() {\n"
      "  case $1 in\n"
      "    '|'*)\n"
      "      mapfile -t COMPREPLY < <(compgen -W \"${1//|/ }\" -- \"$2\")\n"
      "      return ;;\n"
      "    folder) mapfile -t COMPREPLY < <(compgen -d -- \"$2\") ;;\n"
      "    json) mapfile -t COMPREPLY < <(compgen -d -- \"$2\"; compgen -f -X '!*.json' -- \"$2\") "
      ";;\n"
      "  esac\n"
      "  compopt -o filenames 2>/dev/null\n"
      "}\n\n",
      file);
}

/* A shell splits at '=': `--out=DIR` is three words of COMP_WORDS. */
static void print_body(FILE *file) {
  fputs(
      "  local i kind given=0\n"
      "  COMPREPLY=()\n"
      "  for ((i = 2; i < COMP_CWORD; i++)); do\n"
      "    blankwright_value \"${COMP_WORDS[i]}\"\n"
      "    if [[ -n $kind ]]; then\n"
      "      [[ ${COMP_WORDS[i + 1]} == '=' ]] && ((i++))\n"
      "      if ((i + 1 >= COMP_CWORD)); then\n"
      "        [[ $word == '=' ]] && word=\n"
      "        blankwright_offer \"$kind\" \"$word\"\n"
      "        return\n"
      "      fi\n"
      "      ((i++))\n"
      "    elif [[ ${COMP_WORDS[i]} != -* ]]; then\n"
      "      ((given++))\n"
      "    fi\n"
      "  done\n"
      "  local -a left=($operands)\n"
      "  if ((COMP_CWORD == 1)) || [[ $word == -* ]]; then\n"
      "    mapfile -t COMPREPLY < <(compgen -W \"$names\" -- \"$word\")\n"
      "  elif ((given < ${#left[@]})); then\n"
      "    blankwright_offer \"${left[given]}\" \"$word\"\n"
      "  fi\n"
      "}\n\n",
      file);
}

void pages_bash(FILE *file) {
  fputs(
      "# Completion of blankwright for bash.\n\n# blankwright_value OPTION: the kind of its value"
      " into `kind`, empty where it takes none.\n",
      file);
  print_value_kinds(file);
  print_offer(file);
  fputs(
      "_blankwright() {\n  local word=${COMP_WORDS[COMP_CWORD]} command=\n"
      "  ((COMP_CWORD > 1)) && command=${COMP_WORDS[1]}\n",
      file);
  print_commands(file);
  print_body(file);
  fputs("complete -F _blankwright blankwright\n", file);
}
