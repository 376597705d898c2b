#include "unit/project_folder.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void path_of(const struct scene *scene, const char *name, char *path, size_t room) {
  int length = snprintf(path, room, "%s/%s", scene->folder, name);
  assert_true(length > 0 && (size_t)length < room);
}

void scene_open(struct scene *scene) {
  memset(scene, 0, sizeof *scene);
  snprintf(scene->folder, sizeof scene->folder, "/tmp/project-XXXXXX");
  assert_non_null(mkdtemp(scene->folder));
  scene_file(scene, "parts.csv", SCENE_PARTS);
  scene_file(scene, "rack.csv", SCENE_RACK);
}

void scene_close(struct scene *scene) {
  DIR *folder = opendir(scene->folder);
  assert_non_null(folder);
  for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
    char path[512];
    path_of(scene, entry->d_name, path, sizeof path);
    if (entry->d_name[0] != '.') unlink(path);
  }
  closedir(folder);
  rmdir(scene->folder);
  arena_destroy(scene->arena);
}

void scene_bytes(struct scene *scene, const char *name, const char *bytes, size_t length) {
  char path[512];
  path_of(scene, name, path, sizeof path);
  FILE *stream = fopen(path, "wb");
  assert_non_null(stream);
  assert_int_equal(fwrite(bytes, 1, length, stream), length);
  assert_int_equal(fclose(stream), 0);
}

void scene_file(struct scene *scene, const char *name, const char *text) {
  char path[512];
  path_of(scene, name, path, sizeof path);
  if (text == NULL) {
    unlink(path);
  } else {
    scene_bytes(scene, name, text, strlen(text));
  }
}

void scene_read(struct scene *scene) {
  arena_destroy(scene->arena);
  scene->arena = arena_create();
  assert_non_null(scene->arena);
  assert_int_equal(ARENA_TRY(scene->arena), STATUS_OK);
  scene->diagnostics = diagnostics_create(scene->arena);
  scene->status = read_project(scene->arena, scene->folder, scene->diagnostics, &scene->project);
}

static void print_all(const struct scene *scene) {
  for (size_t i = 0; i < scene->diagnostics->count; i++) {
    const struct diagnostic *item = &scene->diagnostics->items[i];
    print_message("%s:%ld:%ld: %s\n", item->place.file, item->place.line, item->place.column,
                  item->text);
  }
}

void scene_expect_errors(struct scene *scene, size_t count) {
  if (scene->diagnostics->errors != count) print_all(scene);
  assert_int_equal(scene->diagnostics->errors, count);
  assert_int_equal(scene->status, count == 0 ? STATUS_OK : STATUS_BAD_INPUT);
}

void scene_expect_fine(struct scene *scene) { scene_expect_errors(scene, 0); }

void scene_expect_fault(struct scene *scene, const char *file, long line, long column,
                        const char *text) {
  char path[512];
  path_of(scene, file, path, sizeof path);
  for (size_t i = 0; i < scene->diagnostics->count; i++) {
    const struct diagnostic *item = &scene->diagnostics->items[i];
    if (strcmp(item->place.file, path) == 0 && item->place.line == line &&
        item->place.column == column && strcmp(item->text, text) == 0)
      return;
  }
  print_all(scene);
  fail_msg("no fault %s:%ld:%ld: %s", file, line, column, text);
}

void scene_expect_bad_lines(struct scene *scene, const char *file, const char *header,
                            const struct bad_line *lines, size_t count) {
  for (size_t i = 0; i < count; i++) {
    char text[2048];
    int length = snprintf(text, sizeof text, "%s\n%s\n", header, lines[i].line);
    assert_true(length > 0 && (size_t)length < sizeof text);
    scene_file(scene, file, text);
    scene_read(scene);
    scene_expect_fault(scene, file, 2, lines[i].column, lines[i].text);
    scene_expect_errors(scene, 1);
  }
}
