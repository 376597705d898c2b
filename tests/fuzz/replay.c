/* Gives a target each file of the folders named, in order of their names: REPLAY FOLDER... A
 * folder that holds nothing is a fault, since it would test nothing. */
#include <dirent.h>
#include <string.h>
#include <sys/stat.h>

#include "fuzz/fuzz.h"

static void give(const char *path) {
  FILE *file = fopen(path, "rb");
  must(file != NULL);
  must(fseek(file, 0, SEEK_END) == 0);
  long size = ftell(file);
  must(size >= 0);
  rewind(file);
  /* Of exactly this size, so that a sanitizer sees what is read behind it. */
  uint8_t *bytes = malloc(size == 0 ? 1 : (size_t)size);
  must(bytes != NULL);
  must(fread(bytes, 1, (size_t)size, file) == (size_t)size);
  fclose(file);
  fprintf(stderr, "%s\n", path);
  LLVMFuzzerTestOneInput(bytes, (size_t)size);
  free(bytes);
}

static size_t give_folder(const char *folder) {
  struct dirent **names = NULL;
  int count = scandir(folder, &names, NULL, alphasort);
  must(count >= 0);
  size_t given = 0;
  for (int i = 0; i < count; i++) {
    char path[4096];
    int length = snprintf(path, sizeof path, "%s/%s", folder, names[i]->d_name);
    must(length > 0 && (size_t)length < sizeof path);
    free(names[i]);
    struct stat status;
    if (stat(path, &status) != 0 || !S_ISREG(status.st_mode)) continue;
    give(path);
    given++;
  }
  free(names);
  return given;
}

int main(int argc, char **argv) {
  for (int i = 1; i < argc; i++) must(give_folder(argv[i]) > 0);
  return argc > 1 ? EXIT_SUCCESS : EXIT_FAILURE;
}
