/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of some bytes is UTF-8. */
#ifndef LL_BASE_UTF8_H
#define LL_BASE_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* Bytes (1..4) of the well-formed character that `text` (not empty, terminated) begins with, and its code point;
 * 0 if the first byte begins none. Overlong forms, surrogates and values over U+10FFFF are none (RFC 3629). */
size_t ll_utf8_read(const char *text, uint32_t *point);

#endif
