#define _XOPEN_SOURCE 700

#include "page/browser.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* The browser reads commands from 3 and writes to 4. */
enum { READS = 3, WRITES = 4, FREE_FROM = 10, CHUNK = 65536 };

struct browser {
  pid_t process;
  int to, from;
  char *text; /* read and not yet taken, */
  size_t length, room;
  json_int_t last; /* number of the last command */
  char *session;
  bool loaded;
  size_t complaints;
};

static void give_up(const char *why, const char *what) {
  fprintf(stderr, "the browser: %s %s\n", why, what);
  exit(1);
}

static void need(bool done, const char *what) {
  if (!done) give_up("failed:", what);
}

bool browser_there(void) {
  const char *path = getenv("PATH");
  while (path != NULL && *path != '\0') {
    size_t length = strcspn(path, ":");
    char name[4096];
    int written = snprintf(name, sizeof name, "%.*s/chromium", (int)length, path);
    if (written > 0 && (size_t)written < sizeof name && access(name, X_OK) == 0) return true;
    path += length + (path[length] == ':' ? 1 : 0);
  }
  return false;
}

/* ---- messages ---- */

static void send_message(struct browser *browser, const json_t *message) {
  char *text = json_dumps(message, JSON_COMPACT);
  need(text != NULL, "memory");
  size_t left = strlen(text) + 1;
  const char *at = text;
  while (left > 0) {
    ssize_t written = write(browser->to, at, left);
    if (written < 0 && errno == EINTR) continue;
    need(written > 0, "it takes no more commands");
    at += written;
    left -= (size_t)written;
  }
  free(text);
}

static void read_more(struct browser *browser) {
  if (browser->room - browser->length < CHUNK) {
    browser->room = 2 * browser->room + CHUNK;
    browser->text = realloc(browser->text, browser->room);
    need(browser->text != NULL, "memory");
  }
  ssize_t count = 0;
  do {
    count = read(browser->from, browser->text + browser->length, CHUNK);
  } while (count < 0 && errno == EINTR);
  need(count > 0, "it ended");
  browser->length += (size_t)count;
}

static json_t *next_message(struct browser *browser) {
  size_t seen = 0;
  const char *end = NULL;
  while (end == NULL) {
    if (browser->length > seen) end = memchr(browser->text + seen, '\0', browser->length - seen);
    seen = browser->length;
    if (end == NULL) read_more(browser);
  }
  size_t length = (size_t)(end - browser->text);
  json_t *message = json_loadb(browser->text, length, 0, NULL);
  need(message != NULL, "no JSON from it");
  browser->length -= length + 1;
  memmove(browser->text, end + 1, browser->length);
  return message;
}

static const char *text_of(const json_t *object, const char *key) {
  const char *text = json_string_value(json_object_get(object, key));
  return text == NULL ? "" : text;
}

static void complain(struct browser *browser, const char *what, const json_t *about) {
  char *text = json_dumps(about, JSON_COMPACT | JSON_ENCODE_ANY);
  fprintf(stderr, "%s: %.600s\n", what, text == NULL ? "" : text);
  free(text);
  browser->complaints++;
}

static void take_event(struct browser *browser, const json_t *message) {
  const char *event = text_of(message, "method");
  const json_t *parameters = json_object_get(message, "params");
  if (strcmp(event, "Page.loadEventFired") == 0) {
    browser->loaded = true;
  } else if (strcmp(event, "Runtime.exceptionThrown") == 0) {
    complain(browser, "exception", parameters);
  } else if (strcmp(event, "Log.entryAdded") == 0) {
    const json_t *entry = json_object_get(parameters, "entry");
    if (strcmp(text_of(entry, "level"), "error") == 0) complain(browser, "error", entry);
  } else if (strcmp(event, "Network.requestWillBeSent") == 0) {
    const json_t *request = json_object_get(parameters, "request");
    const char *address = text_of(request, "url");
    if (strncmp(address, "file://", 7) != 0 || strcmp(text_of(parameters, "type"), "Document") != 0)
      complain(browser, "request", request);
  }
}

json_t *browser_tell(struct browser *browser, const char *command, json_t *parameters) {
  json_t *message = json_pack("{s:I, s:s, s:o}", "id", ++browser->last, "method", command, "params",
                              parameters == NULL ? json_object() : parameters);
  need(message != NULL, "memory");
  if (browser->session != NULL)
    json_object_set_new(message, "sessionId", json_string(browser->session));
  send_message(browser, message);
  json_decref(message);
  for (;;) {
    message = next_message(browser);
    if (json_integer_value(json_object_get(message, "id")) == browser->last) break;
    take_event(browser, message);
    json_decref(message);
  }
  json_t *result = json_incref(json_object_get(message, "result"));
  if (result == NULL) give_up(command, text_of(json_object_get(message, "error"), "message"));
  json_decref(message);
  return result;
}

static void tell(struct browser *browser, const char *command, json_t *parameters) {
  json_decref(browser_tell(browser, command, parameters));
}

/* ---- start and end ---- */

static void become_browser(int commands, int answers, const char *profile) {
  char data[4096];
  snprintf(data, sizeof data, "--user-data-dir=%s", profile);
  int silent = open("/dev/null", O_RDWR);
  int high_commands = fcntl(commands, F_DUPFD, FREE_FROM);
  int high_answers = fcntl(answers, F_DUPFD, FREE_FROM);
  dup2(silent, STDOUT_FILENO);
  dup2(silent, STDERR_FILENO);
  dup2(high_commands, READS);
  dup2(high_answers, WRITES);
  for (int i = WRITES + 1; i < FREE_FROM * 3; i++) close(i);
  /* It shows nothing but the program's own page. */
  execlp("chromium", "chromium", "--headless=new", "--no-sandbox", "--disable-gpu",
         "--hide-scrollbars", "--no-first-run", "--disable-dev-shm-usage",
         "--remote-debugging-pipe", data, "about:blank", (char *)NULL);
  _exit(127);
}

static void attach(struct browser *browser) {
  json_t *target =
      browser_tell(browser, "Target.createTarget", json_pack("{s:s}", "url", "about:blank"));
  json_t *session =
      browser_tell(browser, "Target.attachToTarget",
                   json_pack("{s:s, s:b}", "targetId", text_of(target, "targetId"), "flatten", 1));
  browser->session = strdup(text_of(session, "sessionId"));
  json_decref(session);
  json_decref(target);
  tell(browser, "Page.enable", NULL);
  tell(browser, "Runtime.enable", NULL);
  tell(browser, "Log.enable", NULL);
  tell(browser, "Network.enable", NULL);
}

struct browser *browser_start(const char *profile) {
  int commands[2], answers[2];
  need(pipe(commands) == 0 && pipe(answers) == 0, "no pipe");
  signal(SIGPIPE, SIG_IGN);
  struct browser *browser = calloc(1, sizeof *browser);
  need(browser != NULL, "memory");
  browser->process = fork();
  need(browser->process >= 0, "no process");
  if (browser->process == 0) become_browser(commands[0], answers[1], profile);
  close(commands[0]);
  close(answers[1]);
  browser->to = commands[1];
  browser->from = answers[0];
  attach(browser);
  return browser;
}

void browser_close(struct browser *browser) {
  free(browser->session);
  browser->session = NULL;
  tell(browser, "Browser.close", NULL);
  waitpid(browser->process, NULL, 0);
  close(browser->to);
  close(browser->from);
  free(browser->text);
  free(browser);
}

/* ---- the page ---- */

void browser_open(struct browser *browser, const char *path) {
  char address[4096];
  snprintf(address, sizeof address, "file://%s", path);
  browser->loaded = false;
  browser->complaints = 0;
  json_t *result = browser_tell(browser, "Page.navigate", json_pack("{s:s}", "url", address));
  if (json_object_get(result, "errorText") != NULL) give_up("cannot open", address);
  json_decref(result);
  while (!browser->loaded) {
    json_t *message = next_message(browser);
    take_event(browser, message);
    json_decref(message);
  }
}

json_t *browser_value(struct browser *browser, const char *expression) {
  json_t *result = browser_tell(browser, "Runtime.evaluate",
                                json_pack("{s:s, s:b, s:b, s:b}", "expression", expression,
                                          "returnByValue", 1, "awaitPromise", 1, "userGesture", 1));
  if (json_object_get(result, "exceptionDetails") != NULL) {
    complain(browser, expression, json_object_get(result, "exceptionDetails"));
    give_up("cannot work out", expression);
  }
  json_t *value = json_incref(json_object_get(json_object_get(result, "result"), "value"));
  json_decref(result);
  return value == NULL ? json_null() : value;
}

bool browser_holds(struct browser *browser, const char *expression) {
  json_t *value = browser_value(browser, expression);
  bool holds = json_is_true(value);
  json_decref(value);
  return holds;
}

void browser_media(struct browser *browser, const char *media, bool dark) {
  tell(browser, "Emulation.setEmulatedMedia",
       json_pack("{s:s, s:[{s:s, s:s}]}", "media", media, "features", "name",
                 "prefers-color-scheme", "value", dark ? "dark" : "light"));
}

void browser_view(struct browser *browser, int width, int height, bool dark) {
  tell(browser, "Emulation.setDeviceMetricsOverride",
       json_pack("{s:i, s:i, s:i, s:b}", "width", width, "height", height, "deviceScaleFactor", 1,
                 "mobile", width < 500));
  browser_media(browser, "", dark);
}

/* Base64 in place; the number of bytes. */
static size_t decode(const char *text, unsigned char *bytes) {
  static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  uint32_t bits = 0;
  int held = 0;
  size_t count = 0;
  for (; *text != '\0' && *text != '='; text++) {
    const char *digit = strchr(digits, *text);
    need(digit != NULL, "what it printed is garbled");
    bits = bits << 6 | (uint32_t)(digit - digits);
    held += 6;
    if (held < 8) continue;
    held -= 8;
    bytes[count++] = (unsigned char)(bits >> held);
  }
  return count;
}

void browser_print(struct browser *browser, const char *path) {
  json_t *result =
      browser_tell(browser, "Page.printToPDF",
                   json_pack("{s:b, s:b}", "preferCSSPageSize", 1, "printBackground", 1));
  const char *text = text_of(result, "data");
  unsigned char *bytes = malloc(strlen(text) + 1);
  need(bytes != NULL, "memory");
  size_t count = decode(text, bytes);
  FILE *file = fopen(path, "wb");
  need(file != NULL && fwrite(bytes, 1, count, file) == count && fclose(file) == 0, path);
  free(bytes);
  json_decref(result);
}

size_t browser_complaints(const struct browser *browser) { return browser->complaints; }
