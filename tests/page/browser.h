/* A browser without a window, told what to do through its debugging pipe: JSON messages, each
 * ended by a zero byte, on two descriptors. Every function ends the test with a message where the
 * browser fails; it never waits by the clock. */
#ifndef BLANKWRIGHT_TESTS_PAGE_BROWSER_H
#define BLANKWRIGHT_TESTS_PAGE_BROWSER_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

struct browser;

/* True where there is one on the path. */
bool browser_there(void);

/* Starts one that keeps what pages store in `profile`; closed with browser_close. */
struct browser *browser_start(const char *profile);

/* Ends it as a user would, so that all is stored. */
void browser_close(struct browser *browser);

/* A command of the protocol; its result, owned by the caller. Takes `parameters` over; NULL for
 * none. */
json_t *browser_tell(struct browser *browser, const char *command, json_t *parameters);

/* Opens a file in the page and waits until it is loaded. */
void browser_open(struct browser *browser, const char *path);

/* The value of an expression in the page, owned by the caller. */
json_t *browser_value(struct browser *browser, const char *expression);

/* True where an expression is true. */
bool browser_holds(struct browser *browser, const char *expression);

/* A view of so many CSS pixels; dark or light. */
void browser_view(struct browser *browser, int width, int height, bool dark);

/* As if the medium were "print", or what it is (""). */
void browser_media(struct browser *browser, const char *media, bool dark);

/* Prints the page into a file as its own style says. */
void browser_print(struct browser *browser, const char *path);

/* Errors, exceptions and requests for anything but the page, since it was opened. */
size_t browser_complaints(const struct browser *browser);

#endif
