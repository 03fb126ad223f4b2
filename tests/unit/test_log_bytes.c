/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From bytes to text: encodings, held against iconv; bytes that are none; what is cut, joined or padded. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <iconv.h>

#include "log/encoding.h"
#include "log_texts.h"
#include "log_world.h"

#define DIVE(id, depth)                                                                                        \
    "<dive id='" id "'><samples><waypoint><depth>" depth "</depth><divetime>0</divetime></waypoint></samples>" \
    "</dive>\n"
#define DIVES "<profiledata><repetitiongroup>\n" DIVE("a", "3") DIVE("b", "4") "</repetitiongroup></profiledata>"

/* A log with a site of this name on line 3, and two dives. To be freed by free(). */
static char *log_with(const char *declaration, const char *name)
{
    static const char format[] = "%s\n<uddf version='3.2.0'><divesite><site id='s'>\n"
                                 "<name>%s</name></site></divesite>\n%s</uddf>\n";
    size_t size = sizeof format + sizeof DIVES + strlen(declaration) + strlen(name);
    char *text = malloc(size);
    assert_non_null(text);
    snprintf(text, size, format, declaration, name, DIVES);
    return text;
}

/* Text of one encoding in another, by iconv; *size in and out. To be freed by free(). */
static char *converted(const char *to, const char *from, const char *text, size_t *size)
{
    iconv_t way = iconv_open(to, from);
    assert_true(way != (iconv_t)-1);
    size_t room = 4 * *size + 16, left = room;
    char *bytes = malloc(room), *next = bytes, *rest = (char *)(uintptr_t)text;
    assert_non_null(bytes);
    assert_int_equal(iconv(way, &rest, size, &next, &left), 0);
    iconv_close(way);
    *size = room - left;
    return bytes;
}

static ll_log *read_bytes(const char *bytes, size_t size, size_t piece)
{
    ll_log *log;
    ll_error error = {.line = 0};
    if (try_bytes(bytes, size, piece, NULL, NULL, &log, &error) != LL_OK)
        fail_msg("line %ld: %s", error.line, error.text);
    return log;
}

static void assert_bytes_refused(const char *bytes, size_t size, long line, const char *sentence)
{
    ll_log *log;
    ll_error error = {.line = -1};
    assert_int_equal(try_bytes(bytes, size, 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, sentence);
    assert_int_equal(error.line, line);
}

/* --- encodings that are what they say -------------------------------------------------------------------------- */

typedef struct encoding_row {
    const char *declaration, *mark, *charset;
} encoding_row;

static const encoding_row rows[] = {
    {"", "", "UTF-8"},
    {"<?xml version='1.0'?>", "", "UTF-8"},
    {"<?xml version='1.0' encoding='UTF-8'?>", "", "UTF-8"},
    {"<?xml version=\"1.0\" encoding=\"utf-8\" standalone=\"yes\"?>", "\xef\xbb\xbf", "UTF-8"},
    {"", "\xef\xbb\xbf", "UTF-8"},
    {"<?xml version='1.0' encoding='UTF-16'?>", "\xff\xfe", "UTF-16LE"},
    {"<?xml version='1.0' encoding='UTF-16'?>", "\xfe\xff", "UTF-16BE"},
    {"<?xml version='1.0' encoding='utf-16le'?>", "", "UTF-16LE"},
    {"<?xml version='1.0' encoding='utf-16be'?>", "", "UTF-16BE"},
    {"<!-- none -->", "", "UTF-16LE"},
    {"<!-- none -->", "", "UTF-16BE"},
    {"<?xml version='1.0' encoding='ISO-8859-1'?>", "", "ISO-8859-1"},
    {"<?xml version='1.0' encoding = 'latin1' ?>", "", "ISO-8859-1"},
    {"<?xml version='1.0' encoding='iso-8859-15'?>", "", "ISO-8859-15"},
    {"<?xml version='1.0' encoding='windows-1252'?>", "", "WINDOWS-1252"},
    {"<?xml version='1.0' encoding=\"Windows-1252\"?>", "", "WINDOWS-1252"},
    {"<?xml version='1.0' encoding='cp1252'?>", "", "WINDOWS-1252"},
    {"<?xml version='1.0' encoding='KOI8-R'?>", "", "KOI8-R"}, /* left to the parser */
};

/* What the charset of a row can hold. */
static const char *name_for(const char *charset)
{
    if (strncmp(charset, "UTF", 3) == 0)
        return "Skj\xc3\xa6ret \xe2\x82\xac \xe2\x80\x93 \xf0\x9f\x90\x9f";
    if (strcmp(charset, "WINDOWS-1252") == 0)
        return "Skj\xc3\xa6ret \xe2\x82\xac \xe2\x80\x93";
    if (strcmp(charset, "ISO-8859-15") == 0)
        return "Skj\xc3\xa6ret \xe2\x82\xac";
    return strcmp(charset, "KOI8-R") == 0 ? "\xd0\xa8" : "Skj\xc3\xa6ret \xc2\xb0";
}

/* The bytes of a row; to be freed by free(). */
static char *bytes_of(const encoding_row *row, size_t *size)
{
    char *text = log_with(row->declaration, name_for(row->charset));
    *size = strlen(text);
    char *bytes = converted(row->charset, "UTF-8", text, size);
    size_t mark = strlen(row->mark);
    memmove(bytes + mark, bytes, *size); /* iconv was given more room than it takes */
    memcpy(bytes, row->mark, mark);
    *size += mark;
    free(text);
    return bytes;
}

static void one_text_in_every_encoding(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (size_t piece = 0; piece < 5; piece++) {
            size_t size;
            char *bytes = bytes_of(&rows[i], &size);
            ll_log *log = read_bytes(bytes, size, piece);
            assert_string_equal(log->site[0].name, name_for(rows[i].charset));
            assert_int_equal(log->dives, 2);
            assert_int_equal(log->notes.count, 0);
            assert_int_equal(log->dive[1].line, 6);
            ll_log_free(log);
            free(bytes);
        }
}

/* Cut anywhere behind the first dive, that dive is kept; cut before, one sentence says so. */
static void every_encoding_may_be_cut_anywhere(void **state)
{
    (void)state;
    for (size_t i = 0; i + 1 < sizeof rows / sizeof *rows; i++) {
        size_t whole, kept = 0;
        char *bytes = bytes_of(&rows[i], &whole);
        size_t newline = strncmp(rows[i].charset, "UTF-16", 6) == 0 ? 2 : 1; /* bytes of the last one */
        for (size_t size = 1; size < whole - newline; size++) {
            ll_log *log;
            ll_error error;
            ll_status status = try_bytes(bytes, size, 0, NULL, NULL, &log, &error);
            assert_true(status == LL_OK || (status == LL_BAD_INPUT && kept == 0));
            if (status != LL_OK)
                continue;
            assert_true(log->dives >= kept);
            kept = log->dives;
            assert_non_null(note_text(&log->notes, LL_NOTE_LOG_TRUNCATED));
            ll_log_free(log);
        }
        assert_int_equal(kept, 2);
        free(bytes);
    }
}

static void names_of_encodings(void **state)
{
    (void)state;
    char declared[LL_DECLARED];
    static const char *const texts[][2] = {
        {"<?xml version='1.0' encoding='Latin1'?>", "Latin1"},
        {"<?xml version='1.0'\n\tencoding\n= \"x\" ?>", "x"},
        {"<?xml version='1.0'?><a encoding='x'/>", ""},
        {"<?xml version='1.0' encoding='x'", ""},
        {"<?xml version='1.0' encoding=?>", ""},
        {"<?xml version='1.0' encoding?>", ""},
        {"<uddf encoding='x'?>", ""},
        {"<?xml encoding='aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaa'?>",
         "aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbb"},
        {"", ""},
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        ll_encoding_declared(texts[i][0], strlen(texts[i][0]), declared);
        assert_string_equal(declared, texts[i][1]);
    }
}

/* --- the decoder alone ------------------------------------------------------------------------------------------ */

/* Decodes in pieces of at most `piece` bytes into `to`; returns the bytes written. */
static size_t decode_in_pieces(ll_decoder *decoder, const unsigned char *bytes, size_t size, size_t piece,
                               unsigned char *to, size_t room)
{
    size_t used = 0, end = 0;
    const unsigned char *from = bytes;
    while (end < size) {
        end = size - end > piece ? end + piece : size;
        size_t got;
        do {
            size_t most = room - used < 2 * LL_DECODER_ROOM ? room - used : 2 * LL_DECODER_ROOM;
            got = ll_decode(decoder, &from, bytes + end, to + used, most);
            used += got;
        } while (got > 0);
    }
    return used;
}

/* All characters but NUL, in UTF-8 and both orders of UTF-16, as iconv writes them. */
static void every_character(void **state)
{
    (void)state;
    enum { POINTS = 0x110000 };
    static uint32_t points[POINTS];
    size_t count = 0;
    for (uint32_t point = 1; point < POINTS; point++)
        if (point < 0xd800 || point > 0xdfff)
            points[count++] = point;
    size_t size = count * sizeof *points;
    char *utf_8 = converted("UTF-8", "UTF-32LE", (const char *)points, &size);
    static const char *const charsets[] = {"UTF-8", "UTF-16LE", "UTF-16BE"};
    unsigned char *out = malloc(size + 64);
    assert_non_null(out);
    for (int i = 0; i < 3; i++) {
        size_t encoded_size = size;
        char *encoded = converted(charsets[i], "UTF-8", utf_8, &encoded_size);
        ll_decoder decoder = {.encoding = (ll_encoding)(LL_UTF_8 + i), .line = 1};
        size_t written = decode_in_pieces(&decoder, (unsigned char *)encoded, encoded_size, 1001, out, size + 64);
        assert_int_equal(written, size);
        assert_memory_equal(out, utf_8, size);
        assert_int_equal(decoder.repaired, 0);
        assert_int_equal(decoder.line, 2);
        free(encoded);
    }
    ll_decoder straight = {.encoding = LL_UTF_8, .line = 1};
    assert_int_equal(ll_decoder_straight(&straight, (unsigned char *)utf_8, size), size);
    assert_int_equal(straight.line, 2);
    free(out);
    free(utf_8);
}

/* Bytes 0x80 to 0xff one by one; those that iconv does not know (or knows as C1 controls) are repaired. */
static void every_single_byte(void **state)
{
    (void)state;
    static const char *const charsets[] = {"ISO-8859-1", "ISO-8859-15", "WINDOWS-1252"};
    for (int i = 0; i < 3; i++) {
        size_t repaired = 0;
        for (int byte = 0x80; byte < 0x100; byte++) {
            char one = (char)byte;
            unsigned char out[LL_DECODER_ROOM];
            ll_decoder decoder = {.encoding = (ll_encoding)(LL_ISO_8859_1 + i), .line = 7};
            size_t size = decode_in_pieces(&decoder, (const unsigned char *)&one, 1, 1, out, sizeof out), expected = 1;
            repaired += decoder.repaired;
            if (decoder.repaired) {
                assert_int_equal(decoder.repaired_line, 7);
                continue;
            }
            char *text = converted("UTF-8", charsets[i], &one, &expected);
            assert_int_equal(size, expected);
            assert_memory_equal(out, text, size);
            free(text);
        }
        assert_int_equal(repaired, i == 2 ? 5 : 32);
    }
}

/* What is no UTF-8: The Unicode Standard, table 3-7. What stands in is windows-1252, as every_single_byte holds it
 * against iconv. */
static void bytes_that_are_no_utf_8(void **state)
{
    (void)state;
    static const struct {
        const char *bytes, *text;
        size_t repaired;
    } cases[] = {
        {"a\xe6" "b", "a\xc3\xa6" "b", 1},                      /* Latin-1 */
        {"\xe6\xf8\xe5.", "\xc3\xa6\xc3\xb8\xc3\xa5.", 3},      /* several at once */
        {"\xc3\xa6\xe6.", "\xc3\xa6\xc3\xa6.", 1},              /* beside a valid one */
        {"\x96.", "\xe2\x80\x93.", 1},                          /* a continuation alone */
        {"\xc0\xaf.", "\xc3\x80\xc2\xaf.", 2},                  /* overlong */
        {"\xe0\x9f\x84.", "\xc3\xa0\xc5\xb8\xe2\x80\x9e.", 3},  /* overlong */
        {"\xed\xa0\x80.", "\xc3\xad\xc2\xa0\xe2\x82\xac.", 3},  /* a surrogate */
        {"\xf4\x91\x80\x80.", "\xc3\xb4\xe2\x80\x98\xe2\x82\xac\xe2\x82\xac.", 4}, /* above U+10FFFF */
        {"\xff\x81.", "\xc3\xbf\xef\xbf\xbd.", 2},              /* no byte of windows-1252 either */
        {"\xe2\x82.", "\xc3\xa2\xe2\x80\x9a.", 2},              /* a character without its end */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        for (size_t piece = 1; piece < 6; piece++) {
            unsigned char out[64];
            ll_decoder decoder = {.encoding = LL_UTF_8, .line = 1};
            size_t size = decode_in_pieces(&decoder, (const unsigned char *)cases[i].bytes, strlen(cases[i].bytes),
                                           piece, out, sizeof out);
            assert_int_equal(size, strlen(cases[i].text));
            assert_memory_equal(out, cases[i].text, size);
            assert_int_equal(decoder.repaired, cases[i].repaired);
        }
}

/* A half of a pair of UTF-16 without the other becomes U+FFFD. */
static void halves_of_utf_16(void **state)
{
    (void)state;
    static const unsigned char bytes[] = {0x3d, 0xd8, 'a', 0, 0x1f, 0xdc, 0x3d, 0xd8, 0x3d, 0xd8, 0x1f, 0xdc, 'b', 0};
    unsigned char out[64];
    for (size_t piece = 1; piece < 5; piece++) {
        ll_decoder decoder = {.encoding = LL_UTF_16_LE, .line = 1};
        size_t size = decode_in_pieces(&decoder, bytes, sizeof bytes, piece, out, sizeof out);
        static const char text[] = "\xef\xbf\xbd" "a\xef\xbf\xbd\xef\xbf\xbd\xf0\x9f\x90\x9f" "b";
        assert_int_equal(size, strlen(text));
        assert_memory_equal(out, text, size);
        assert_int_equal(decoder.repaired, 3);
    }
}

/* --- encodings that are not what they say ----------------------------------------------------------------------- */

static void assert_read_as(const char *declaration, const char *name, const char *read_as, const char *note)
{
    for (size_t piece = 0; piece < 4; piece++) {
        char *text = log_with(declaration, name);
        ll_log *log = read_bytes(text, strlen(text), piece);
        assert_string_equal(log->site[0].name, read_as);
        assert_int_equal(log->dives, 2);
        assert_string_equal(note_text(&log->notes, LL_NOTE_ENCODING_REPAIRED), note);
        assert_int_equal(log->notes.items[log->notes.count - 1].line, 3);
        ll_log_free(log);
        free(text);
    }
}

static void bytes_are_repaired_with_a_note(void **state)
{
    (void)state;
    assert_read_as("<?xml version='1.0' encoding='UTF-8'?>", "Skj\xe6ret \x96 \xc3\xa6",
                   "Skj\xc3\xa6ret \xe2\x80\x93 \xc3\xa6",
                   "bytes that are no UTF-8 were read as windows-1252 (2 of them)");
    assert_read_as("", "Skj\xe6ret", "Skj\xc3\xa6ret", "bytes that are no UTF-8 were read as windows-1252 (1 of them)");
    assert_read_as("<?xml version='1.0' encoding='us-ascii'?>", "\xe5", "\xc3\xa5",
                   "bytes that are no UTF-8 were read as windows-1252 (1 of them)");
    assert_read_as("<?xml version='1.0' encoding='iso-8859-1'?>", "\x80\xe6", "\xe2\x82\xac\xc3\xa6",
                   "bytes that are no ISO-8859-1 were read as windows-1252 (1 of them)");
    assert_read_as("<?xml version='1.0' encoding='windows-1252'?>", "\x81\xe6", "\xef\xbf\xbd\xc3\xa6",
                   "bytes that are no windows-1252 were read as U+FFFD (1 of them)");
}

/* Far behind the first buffers, and so many that they are more bytes than before. */
static void repairs_far_inside(void **state)
{
    (void)state;
    enum { BEFORE = 70001, MANY = 9000 };
    static char text[200000];
    size_t size = (size_t)sprintf(text, "<uddf><!--");
    memset(text + size, '\n', BEFORE);
    memset(text + size + BEFORE, 0x80, MANY);
    size += BEFORE + MANY;
    sprintf(text + size, "-->%s</uddf>", DIVES);
    ll_log *log = read_bytes(text, strlen(text), 0);
    assert_int_equal(log->dives, 2);
    assert_int_equal(log->dive[0].line, BEFORE + 2);
    assert_string_equal(note_text(&log->notes, LL_NOTE_ENCODING_REPAIRED),
                        "bytes that are no UTF-8 were read as windows-1252 (9000 of them)");
    assert_int_equal(log->notes.items[0].line, BEFORE + 1);
    ll_log_free(log);
}

static void bytes_win_over_the_declaration(void **state)
{
    (void)state;
    static const struct {
        encoding_row row;
        const char *note;
    } cases[] = {
        {{"<?xml version='1.0' encoding='ISO-8859-1'?>", "\xef\xbb\xbf", "UTF-8"},
         "the log declares the encoding 'ISO-8859-1', its bytes are UTF-8; they were read as that"},
        {{"<?xml version='1.0' encoding='utf-8'?>", "\xff\xfe", "UTF-16LE"},
         "the log declares the encoding 'utf-8', its bytes are UTF-16; they were read as that"},
        {{"<?xml version='1.0' encoding='Shift_JIS'?>", "", "UTF-16BE"},
         "the log declares the encoding 'Shift_JIS', its bytes are UTF-16; they were read as that"},
        {{"<?xml version='1.0' encoding='utf-16'?>", "", "UTF-8"},
         "the log declares the encoding 'utf-16', its bytes are UTF-8; they were read as that"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t size;
        char *bytes = bytes_of(&cases[i].row, &size);
        ll_log *log = read_bytes(bytes, size, 0);
        assert_string_equal(log->site[0].name, name_for("UTF-8"));
        assert_int_equal(log->notes.count, 1);
        assert_string_equal(note_text(&log->notes, LL_NOTE_ENCODING_CONTRADICTED), cases[i].note);
        ll_log_free(log);
        free(bytes);
    }
}

/* --- the end of the log ------------------------------------------------------------------------------------------ */

static void assert_end_noted(const char *bytes, size_t size, int code)
{
    for (size_t piece = 0; piece < 3; piece++) {
        ll_log *log = read_bytes(bytes, size, piece);
        assert_int_equal(log->dives, 2);
        assert_int_equal(log->notes.count, code == LL_NONE ? 0 : 1);
        if (code != LL_NONE) {
            assert_int_equal(log->notes.items[0].code, code);
            assert_int_equal(log->notes.items[0].line, 5);
        }
        ll_log_free(log);
    }
}

static void what_follows_the_log_is_passed_over(void **state)
{
    (void)state;
#define WHOLE "<uddf>" "\n" DIVES "</uddf>"
#define WITH(more) WHOLE more, sizeof(WHOLE more) - 1
    assert_end_noted(WITH(""), LL_NONE);
    assert_end_noted(WITH("\r\n\t \n"), LL_NONE);
    assert_end_noted(WITH("\n<!-- a comment --><?an instruction?>\n"), LL_NONE);
    assert_end_noted(WITH("\0"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("\n\0\0\0\0\0\0\0\0\0\0\0"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("\n\0\0rubbish"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("rubbish"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("\x1a"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("\n\xc3"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("&amp;"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("<!-- not ended"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("</dive>"), LL_NOTE_TRAILING_BYTES);
    assert_end_noted(WITH("\n<uddf></uddf>"), LL_NOTE_SECOND_DOCUMENT);
    assert_end_noted(WITH("<?xml version='1.0'?>\n" WHOLE), LL_NOTE_SECOND_DOCUMENT);
    assert_end_noted(WITH("\n<!DOCTYPE uddf><uddf/>"), LL_NOTE_SECOND_DOCUMENT);
}

/* Space that was laid out and never written: the dives before it are kept. */
static void zeros_for_the_rest_are_an_end(void **state)
{
    (void)state;
    static char text[30000];
    size_t size = strlen(WHOLE) - strlen("depth>4</depth><divetime>0</divetime></waypoint></samples></dive>\n"
                                         "</repetitiongroup></profiledata></uddf>");
    memcpy(text, WHOLE, size);
    ll_log *log = read_bytes(text, sizeof text, 0);
    assert_int_equal(log->dives, 1);
    assert_int_equal(log->notes.count, 1);
    assert_string_equal(note_text(&log->notes, LL_NOTE_LOG_TRUNCATED),
                        "the log breaks off (line 4); the dives before that place were kept");
    assert_int_equal(log->notes.items[0].line, 4);
    ll_log_free(log);
    text[sizeof text - 1] = 'x'; /* not the end: a hole */
    assert_bytes_refused(text, sizeof text, 4, "no well-formed XML in column 34: a character that XML does not allow");
}

static void gzip_cut_anywhere(void **state)
{
    (void)state;
    size_t size, kept = 0;
    char *bytes = zipped(log_text_3_2, &size);
    for (size_t cut = 1; cut < size; cut++) {
        ll_log *log;
        ll_error error;
        if (try_bytes(bytes, cut, 0, NULL, NULL, &log, &error) != LL_OK) {
            assert_int_equal(error.status, LL_BAD_INPUT);
            assert_int_equal(kept, 0);
            continue;
        }
        assert_true(log->dives >= kept);
        kept = log->dives;
        const ll_note *last = &log->notes.items[log->notes.count - 1];
        assert_int_equal(last->code, LL_NOTE_LOG_TRUNCATED);
        assert_int_equal(last->count, 1);
        ll_log_free(log);
    }
    assert_int_equal(kept, 2);
    free(bytes);
}

static void gzip_with_more_behind_it(void **state)
{
    (void)state;
    size_t size, second;
    char *bytes = zipped(WHOLE, &size), *other = zipped("<!-- another member -->", &second);
    char *joined = calloc(1, size + second + 10);
    assert_non_null(joined);
    memcpy(joined, bytes, size);
    assert_end_noted(joined, size + 10, LL_NOTE_TRAILING_BYTES);
    memcpy(joined + size, other, second);
    assert_end_noted(joined, size + second, LL_NONE);
    free(joined);
    free(other);
    free(bytes);
}

/* --- characters and entities ------------------------------------------------------------------------------------- */

static void undefined_entities_stand_as_written(void **state)
{
    (void)state;
    char *text = log_with("", "5&deg;&#176;&amp;&nbsp;<![CDATA[&deg;]]>");
    ll_log *log = read_bytes(text, strlen(text), 0);
    assert_string_equal(log->site[0].name, "5&deg;\xc2\xb0&&nbsp;&deg;");
    assert_string_equal(note_text(&log->notes, LL_NOTE_ENTITY_UNDEFINED),
                        "the entity '&deg;' is not defined in XML; it stands as it is written");
    assert_int_equal(log->notes.items[0].count, 2);
    assert_int_equal(log->notes.items[0].line, 3);
    ll_log_free(log);
    free(text);
    log = read_text("<uddf><divesite><site id='a&deg;b'><name>x</name></site></divesite>" DIVES "</uddf>");
    assert_int_equal(log->sites, 1);
    assert_non_null(note_text(&log->notes, LL_NOTE_ENTITY_UNDEFINED));
    ll_log_free(log);
}

/* Comments and instructions do not part a value, elements do. */
static void markup_inside_values(void **state)
{
    (void)state;
    ll_log *log = read_waypoints("<waypoint><depth>1<!-- m -->8<?x y?>.<![CDATA[4]]></depth><divetime>&#49;0</divetime>"
                                 "</waypoint><waypoint><depth>7<unit/></depth><divetime><unit>s</unit>20</divetime>"
                                 "</waypoint><waypoint><depth>1<unit/>8</depth><divetime>30</divetime></waypoint>"
                                 "<waypoint><depth>9</depth><divetime>40</divetime></waypoint>");
    assert_true(log->dive[0].depth_m[0] == 18.4);
    assert_true(log->dive[0].time_s[0] == 10.0);
    assert_true(log->dive[0].depth_m[1] == 7.0);
    assert_true(log->dive[0].time_s[1] == 20.0);
    assert_true(log->dive[0].depth_m[2] == 8.0); /* between its neighbours */
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_VALUE_UNREADABLE),
                        "depth '1 8' is no number this program can use; it counts as missing");
    ll_log_free(log);
}

/* Empty elements are absent ones: no value, no note. */
static void empty_elements_are_absent(void **state)
{
    (void)state;
    ll_log *log = read_waypoints("<waypoint><depth>1</depth><divetime>0</divetime><temperature/><switchmix ref=''/>"
                                 "<tankpressure> </tankpressure><setpo2/><divemode/><cns></cns></waypoint>"
                                 "<waypoint><depth/><divetime>10</divetime></waypoint>"
                                 "<waypoint><depth>3</depth><divetime> </divetime></waypoint>"
                                 "<waypoint><depth>5</depth><divetime>20</divetime></waypoint>");
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->count, 3);
    assert_true(dive->depth_m[1] == 3.0); /* not 0 */
    assert_null(dive->temperature_c);
    assert_int_equal(dive->tank_pressures, 0);
    assert_int_equal(dive->own_cns.count, 0);
    assert_null(note_text(&dive->notes, LL_NOTE_VALUE_UNREADABLE));
    assert_null(note_text(&dive->notes, LL_NOTE_MIX_UNDEFINED));
    assert_non_null(note_text(&dive->notes, LL_NOTE_DEPTH_MISSING));
    assert_non_null(note_text(&dive->notes, LL_NOTE_TIME_MISSING));
    ll_log_free(log);
}

static void very_many_entities(void **state)
{
    (void)state;
    enum { MANY = 200000 };
    char *text = malloc(7 * MANY + 500);
    assert_non_null(text);
    size_t size = (size_t)sprintf(text, "<uddf><divecomputercontrol>");
    for (int i = 0; i < MANY; i++, size += 6)
        memcpy(text + size, "&nbsp;", 6);
    sprintf(text + size, "</divecomputercontrol>%s</uddf>", DIVES);
    ll_log *log = read_bytes(text, strlen(text), 0);
    assert_int_equal(log->dives, 2);
    assert_int_equal(log->notes.items[0].count, MANY);
    ll_log_free(log);
    free(text);
}

static void characters_that_xml_forbids(void **state)
{
    (void)state;
    static const char control[] = "<uddf>\n<a>\x07</a></uddf>", zero[] = "<uddf>\n<a>\0</a></uddf>";
    static const char half[] = "<uddf>\n<a>\xef\xbf\xbe</a></uddf>"; /* U+FFFE */
    static const char sentence[] = "no well-formed XML in column 4: a character that XML does not allow";
    assert_bytes_refused(control, sizeof control - 1, 2, sentence);
    assert_bytes_refused(zero, sizeof zero - 1, 2, sentence);
    assert_bytes_refused(half, sizeof half - 1, 2, sentence);
    assert_refused("<?xml version='1.1'?>\n<uddf/>", 2, "XML version 1.1 is not read, only 1.0");
}

/* Text without a line end that nobody asks for, plain, as a comment, and as CDATA, which the parser caps at ten million
 * bytes. */
static void very_long_text(void **state)
{
    (void)state;
    enum { LONG = 24 * 1024 * 1024 };
    static char text[LONG + 1000];
    size_t size = (size_t)sprintf(text, "<uddf><divecomputercontrol><dcdump>");
    memset(text + size, 'Q', LONG);
    sprintf(text + size + LONG, "</dcdump></divecomputercontrol>%s</uddf>", DIVES);
    for (int is_comment = 0; is_comment < 2; is_comment++) {
        ll_log *log = read_bytes(text, strlen(text), 0);
        assert_int_equal(log->dives, 2);
        ll_log_free(log);
        memcpy(text + size, "<!--", 4);
        memcpy(text + size + LONG - 3, "-->", 3);
    }
    memcpy(text + size, "<![CDATA[", 9);
    memcpy(text + size + LONG - 3, "]]>", 3);
    ll_log *log;
    ll_error error;
    assert_int_equal(try_bytes(text, strlen(text), 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    assert_non_null(strstr(error.text, "CData section too big"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_text_in_every_encoding),
        cmocka_unit_test(every_encoding_may_be_cut_anywhere),
        cmocka_unit_test(names_of_encodings),
        cmocka_unit_test(every_character),
        cmocka_unit_test(every_single_byte),
        cmocka_unit_test(bytes_that_are_no_utf_8),
        cmocka_unit_test(halves_of_utf_16),
        cmocka_unit_test(bytes_are_repaired_with_a_note),
        cmocka_unit_test(repairs_far_inside),
        cmocka_unit_test(bytes_win_over_the_declaration),
        cmocka_unit_test(what_follows_the_log_is_passed_over),
        cmocka_unit_test(zeros_for_the_rest_are_an_end),
        cmocka_unit_test(gzip_cut_anywhere),
        cmocka_unit_test(gzip_with_more_behind_it),
        cmocka_unit_test(undefined_entities_stand_as_written),
        cmocka_unit_test(markup_inside_values),
        cmocka_unit_test(empty_elements_are_absent),
        cmocka_unit_test(very_many_entities),
        cmocka_unit_test(characters_that_xml_forbids),
        cmocka_unit_test(very_long_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
