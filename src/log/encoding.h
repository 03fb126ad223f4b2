/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the bytes of a document to UTF-8: what its first bytes say of its encoding, and the decoder. Bytes that the
 * encoding does not know are repaired and counted, so that a letter in a note costs no dive. */
#ifndef LL_LOG_ENCODING_H
#define LL_LOG_ENCODING_H

#include <stdbool.h>
#include <stddef.h>

typedef enum ll_encoding {
    LL_UTF_8,
    LL_UTF_16_LE,
    LL_UTF_16_BE,
    LL_ISO_8859_1,
    LL_ISO_8859_15,
    LL_WINDOWS_1252,
    LL_ENCODING_OTHER, /* declared, and none of ours: the bytes go to the parser as they are */
    LL_ENCODINGS
} ll_encoding;

extern const char *const ll_encoding_names[LL_ENCODINGS];

/* What stands in for bytes that the encoding does not know. */
extern const char *const ll_encoding_stand_ins[LL_ENCODINGS];

/* What the bytes themselves say: a byte order mark (*mark gets its size), or the zeros of UTF-16; else UTF-8. */
ll_encoding ll_encoding_of_bytes(const unsigned char *bytes, size_t size, size_t *mark);

enum { LL_DECLARED = 40 };

/* The encoding that an XML declaration at the start of `text` names, cut to fit; "" if there is none. */
void ll_encoding_declared(const char *text, size_t size, char declared[LL_DECLARED]);

/* Which one to read: a mark or the zeros of UTF-16 win over the declaration, and bytes that are plainly none win over
 * one that says UTF-16. *contradicted tells that they did. */
ll_encoding ll_encoding_choose(ll_encoding of_bytes, bool marked, const char *declared, bool *contradicted);

/* NUL characters are held back: behind them either more text comes (then one of them is given, for the parser to
 * refuse) or the end (then they were padding). */
typedef struct ll_decoder {
    ll_encoding encoding;
    long line; /* where decoding stands; begin with 1 */
    bool held_nul;
    size_t repaired;     /* bytes (UTF-16: units) that the encoding does not know */
    long repaired_line; /* of the first */
} ll_decoder;

enum { LL_DECODER_ROOM = 8 }; /* room that a decoder needs to go on */

/* True if bytes may pass as they come, as far as ll_decoder_straight allows. */
bool ll_decoder_is_straight(const ll_decoder *decoder);

/* Bytes at the start of `bytes` that may be taken as they are: valid UTF-8 without NUL. */
size_t ll_decoder_straight(ll_decoder *decoder, const unsigned char *bytes, size_t size);

/* Writes UTF-8 to `to` and moves *from on; returns the bytes written. Stops where less than LL_DECODER_ROOM is left, or
 * the rest (under 4 bytes) may be the beginning of a character. */
size_t ll_decode(ll_decoder *decoder, const unsigned char **from, const unsigned char *end, unsigned char *to,
                 size_t room);

#endif
