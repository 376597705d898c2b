/* SANITIZED is defined where the program is built with the address sanitizer, which slows it
 * down several times. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_SANITIZED_H
#define BLANKWRIGHT_TESTS_RANDOM_SANITIZED_H

#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif

#endif
