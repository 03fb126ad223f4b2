/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of some bytes is UTF-8. */
#ifndef LL_BASE_UTF8_H
#define LL_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bytes (1..4) of the well-formed character that `text` (not empty, terminated) begins with, and its code point;
 * 0 if the first byte begins none. Overlong forms, surrogates and values over U+10FFFF are none (RFC 3629). */
size_t ll_utf8_read(const char *text, uint32_t *point);

/* True of what steers a terminal or the line that it stands in instead of being seen: controls (C0, DEL, C1), changes of
 * the direction of writing, separators of lines and paragraphs, the byte order mark. */
bool ll_utf8_steers(uint32_t point);

#endif
