/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is no log ends in one sentence with its line; caps hold at the limit and bite one past it; memory may run out at
 * any request. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "log_texts.h"
#include "log_world.h"

#define DIVE "<dive id='a'><samples><waypoint><depth>3</depth><divetime>0</divetime></waypoint></samples></dive>"
#define OPEN "<uddf version='3.2.0'>\n<profiledata><repetitiongroup>\n"

static void what_is_no_log_is_refused(void **state)
{
    (void)state;
    assert_refused("", 0, "empty file");
    assert_refused("\n \t\n", 0, "empty file: nothing but white space");
    assert_refused("\n<!DOCTYPE HTML>\n<html></html>", 0, "not a UDDF log: an HTML page");
    assert_refused("<HTML><body>404</body></HTML>", 0, "not a UDDF log: an HTML page");
    assert_refused("PK\3\4 and so on", 0, "not a UDDF log: a zip archive");
    assert_refused("time;depth\n0;0\n", 0, "not a UDDF log: no XML");
    assert_refused("<?xml version='1.0'?>\n\n<logbook/>", 3, "root element is <logbook>, expected <uddf>");
    assert_refused("<profile udcf='1'><repgroup/></profile>", 1,
                   "the predecessor format UDCF is not read; convert it to UDDF");
}

static void malformed_xml_is_refused_with_its_line(void **state)
{
    (void)state;
    assert_refused(OPEN DIVE "\n<dive></repetitiongroup></profiledata></uddf>", 4,
                   "no well-formed XML in column 25: Opening and ending tag mismatch: dive line 4 and repetitiongroup");
    assert_refused(OPEN "<dive id=x></dive></repetitiongroup></profiledata></uddf>", 3,
                   "no well-formed XML in column 10: AttValue: \" or ' expected");
    assert_refused(OPEN DIVE "& </repetitiongroup></profiledata></uddf>", 3,
                   "no well-formed XML in column 100: no name");
}

/* Encodings that the parser does not know, and bytes that one cannot hold, behind more than one buffer of them. */
static void broken_encodings_are_refused(void **state)
{
    (void)state;
    assert_refused("<?xml version='1.0' encoding='no-such'?>\n<uddf/>", 1,
                   "no well-formed XML in column 39: Unsupported encoding no-such");
    static char text[20000] = "<?xml version='1.0' encoding='ISO-2022-JP'?>\n<uddf>";
    size_t size = strlen(text);
    memset(text + size, ' ', 10000);
    memcpy(text + size + 10000, "\xff\xff</uddf>", sizeof "\xff\xff</uddf>");
    ll_log *log;
    ll_error error;
    assert_int_equal(try_bytes(text, strlen(text), 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    assert_null(log);
}

/* Sentences hold no line breaks or control characters of the file. */
static void names_of_the_file_are_shown_tamely(void **state)
{
    (void)state;
    assert_refused("<lo\xc2\x85g/>", 1, "no well-formed XML in column 4: error parsing attribute name");
    assert_refused("<aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaa/>", 1,
                   "root element is <aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbb...>, expected <uddf>");
}

static void a_doctype_is_refused_before_anything_is_expanded(void **state)
{
    (void)state;
    static const char sentence[] = "a document type declaration is refused";
    assert_refused("<?xml version='1.0'?>\n<!DOCTYPE uddf SYSTEM 'http://127.0.0.1:9/uddf.dtd'>\n<uddf/>", 2, sentence);
    assert_refused("<!DOCTYPE uddf [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;&a;'>]><uddf>&b;</uddf>", 1, sentence);
    assert_refused("<!DOCTYPE uddf [<!ENTITY f SYSTEM 'file:///etc/passwd'>]><uddf>&f;</uddf>", 1, sentence);
}

static void a_log_cut_short_keeps_its_whole_dives(void **state)
{
    (void)state;
    assert_refused(OPEN "<dive id='a'><samples>\n<waypoint><dep", 4, "the log breaks off before its first whole dive");
    static const char *const ends[] = {"", "<", "<di", "<dive id='b", "<dive id='b'><samples><waypoint><depth>3",
                                       "<!-- n", "</repetition"};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        char text[400];
        snprintf(text, sizeof text, "%s%s\n%s", OPEN, DIVE, ends[i]);
        ll_log *log = read_text(text);
        assert_int_equal(log->dives, 1);
        assert_string_equal(note_text(&log->notes, LL_NOTE_LOG_TRUNCATED),
                            "the log breaks off (line 4); the dives before that place were kept");
        ll_log_free(log);
    }
}

/* Wherever the data ends behind the first dive, that dive is kept. */
static void a_log_may_be_cut_anywhere(void **state)
{
    (void)state;
    size_t first = (size_t)(strstr(log_text_3_2, "<u:dive id=\"dv2\"") - log_text_3_2);
    size_t last = (size_t)(strstr(log_text_3_2, "</u:uddf>") - log_text_3_2) + strlen("</u:uddf>");
    for (size_t size = first; size < last; size++) {
        ll_log *log;
        ll_error error = {.line = 0};
        if (try_bytes(log_text_3_2, size, 0, NULL, NULL, &log, &error) != LL_OK)
            fail_msg("cut after %zu bytes: line %ld: %s", size, error.line, error.text);
        assert_true(log->dives >= 1);
        assert_non_null(note_text(&log->notes, LL_NOTE_LOG_TRUNCATED));
        ll_log_free(log);
    }
}

static void gzip_cut_short_or_damaged(void **state)
{
    (void)state;
    size_t size;
    char *bytes = zipped(OPEN DIVE "</repetitiongroup></profiledata></uddf>", &size);
    ll_log *log;
    ll_error error;
    assert_int_equal(try_bytes(bytes, size - 8, 0, NULL, NULL, &log, &error), LL_OK); /* without its trailer */
    assert_int_equal(log->dives, 1);
    assert_non_null(note_text(&log->notes, LL_NOTE_LOG_TRUNCATED));
    ll_log_free(log);
    assert_int_equal(try_bytes(bytes, 40, 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    bytes[size - 6] ^= 1; /* the checksum */
    assert_int_equal(try_bytes(bytes, size, 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, "the gzip data is damaged");
    free(bytes);
}

static void a_read_that_fails_is_told(void **state)
{
    (void)state;
    for (size_t at = 1; at < 3000; at += 700) {
        pieces from = {log_text_3_2, strlen(log_text_3_2), 0, 100, at};
        ll_log *log;
        ll_error error;
        assert_int_equal(ll_log_read("x", read_pieces, &from, NULL, NULL, &log, &error), LL_BAD_INPUT);
        assert_string_equal(error.text, "the input could not be read");
        assert_null(log);
    }
}

/* --- caps ---------------------------------------------------------------------------------------------------- */

static char long_text[1024 * 1024];

/* Elements within each other, so many deep. */
static const char *nested(size_t depth)
{
    char *end = long_text + snprintf(long_text, sizeof long_text, "<uddf>\n");
    for (size_t i = 1; i < depth; i++, end += 3)
        memcpy(end, "<a>", 3);
    for (size_t i = 1; i < depth; i++, end += 4)
        memcpy(end, "</a>", 4);
    memcpy(end, "</uddf>", sizeof "</uddf>");
    return long_text;
}

static void nesting(void **state)
{
    (void)state;
    ll_log_free(read_text(nested(256)));
    assert_refused(nested(257), 2, "elements nested deeper than 256");
    assert_refused(nested(100000), 2, "elements nested deeper than 256");
}

/* Reads a text under a limit set to `limit` and to one less; the second must fail with the sentence. */
static void assert_cap(const char *text, ll_input_limits *limits, size_t *field, size_t limit, const char *sentence)
{
    ll_log *log;
    ll_error error;
    *field = limit;
    assert_int_equal(try_bytes(text, strlen(text), 0, NULL, limits, &log, &error), LL_OK);
    ll_log_free(log);
    *field = limit - 1;
    assert_int_equal(try_bytes(text, strlen(text), 0, NULL, limits, &log, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, sentence);
    assert_null(log);
    *limits = ll_input_limits_built_in;
}

static void caps_hold_at_the_limit(void **state)
{
    (void)state;
    ll_input_limits limits = ll_input_limits_built_in;
    assert_cap(log_text_3_2, &limits, &limits.dives, 2, "more than 1 dives");
    assert_cap(log_text_3_2, &limits, &limits.samples, 7, "more than 6 samples in a dive");
    assert_cap(log_text_3_2, &limits, &limits.total_samples, 11, "more than 10 samples");
    assert_cap(log_text_3_2, &limits, &limits.total_bytes, strlen(log_text_3_2),
               "the log is larger than this program reads");
    assert_cap(log_text_3_2, &limits, &limits.ids, 13, "more than 12 mixes, tanks, sites and links");
    assert_cap("<uddf><generator><name>1234567</name></generator><diver><owner><personal><lastname>12345678</lastname>"
               "</personal></owner></diver></uddf>",
               &limits, &limits.text_bytes, 8, "more than 7 bytes of text in <lastname>");
}

/* `head`, so many times `item` (with its number, from 0, where it has a place for it), `tail`. To be freed. */
static char *repeated(const char *head, const char *item, size_t count, const char *tail)
{
    size_t room = strlen(head) + strlen(tail) + count * (strlen(item) + 10) + 1;
    char *text = malloc(room), *end = text;
    assert_non_null(text);
    end += snprintf(end, room, "%s", head);
    for (size_t i = 0; i < count; i++) {
        const char *place = strchr(item, '#');
        end += place ? sprintf(end, "%.*s%zu%s", (int)(place - item), item, i, place + 1) : sprintf(end, "%s", item);
    }
    sprintf(end, "%s", tail);
    return text;
}

/* So many are a log; with one more it is refused with this sentence. */
static void assert_most(const char *head, const char *item, size_t most, const char *tail, const char *sentence)
{
    for (size_t extra = 0; extra < 2; extra++) {
        ll_log *log;
        ll_error error = {LL_OK, 0, ""};
        char *text = repeated(head, item, most + extra, tail);
        ll_status status = try_bytes(text, strlen(text), 0, NULL, NULL, &log, &error);
        free(text);
        assert_string_equal(error.text, extra ? sentence : "");
        assert_int_equal(status, extra ? LL_BAD_INPUT : LL_OK);
        ll_log_free(log);
    }
}

/* The caps as they are built in, but for those whose logs take too long to read here. */
static void built_in_caps(void **state)
{
    (void)state;
    assert_most("<uddf><divesite><site><name>", "x", 64 * 1024, "</name></site></divesite></uddf>",
                "more than 65536 bytes of text in <name>");
    assert_most(OPEN, "<dive/>", 100 * 1000, "</repetitiongroup></profiledata></uddf>", "more than 100000 dives");
    assert_most(OPEN "<dive><samples>", "<waypoint><depth>9</depth><divetime>#</divetime></waypoint>", 1000 * 1000,
                "</samples></dive></repetitiongroup></profiledata></uddf>", "more than 1000000 samples in a dive");
}

static void tanks_and_sensors_of_a_dive(void **state)
{
    (void)state;
    static const char tail[] = "</waypoint></samples></dive></repetitiongroup></profiledata></uddf>";
    assert_most(OPEN "<dive><samples><waypoint><depth>9</depth><divetime>0</divetime>",
                "<tankpressure ref='#'>2e7</tankpressure>", 256, tail, "more than 256 tanks or sensors on one dive");
    assert_most(OPEN "<dive><samples><waypoint><depth>9</depth><divetime>0</divetime>",
                "<measuredpo2 ref='#'>1e5</measuredpo2>", 256, tail, "more than 256 tanks or sensors on one dive");
}

static void ids_and_references(void **state)
{
    (void)state;
    ll_input_limits limits = ll_input_limits_built_in;
    assert_cap(OPEN "<dive><samples><waypoint><depth>9</depth><divetime>0</divetime><switchmix ref='a'/><switchmix ref='b'/>"
                    "<switchmix ref='c'/></waypoint></samples></dive></repetitiongroup></profiledata></uddf>",
               &limits, &limits.ids, 3, "more than 2 ids and references");
}

enum { SLOTS = 1024, PROBES = 256 }; /* of a table of so many ids; looked at before an id is given up, log/ids.c */

/* FNV-1a, 64 bits, its halves together: what the table of ids is ordered by. */
static size_t slot_of(const char *text)
{
    uint64_t hash = 14695981039346656037u;
    for (; *text; text++)
        hash = (hash ^ (unsigned char)*text) * 1099511628211u;
    return (hash ^ hash >> 32) % SLOTS;
}

/* Ids that were chosen to fall into one slot: past so many the log is refused. */
static void ids_that_collide(void **state)
{
    (void)state;
    static char text[64 * (PROBES + 1)];
    size_t found = 0, size = (size_t)snprintf(text, sizeof text, "<uddf><gasdefinitions>");
    for (unsigned number = 0; found <= PROBES; number++) {
        char id[16];
        snprintf(id, sizeof id, "m%u", number);
        if (slot_of(id) != 0)
            continue;
        snprintf(text + size, sizeof text - size, "</gasdefinitions></uddf>");
        if (found == PROBES)
            ll_log_free(read_text(text));
        size += (size_t)snprintf(text + size, sizeof text - size, "<mix id='%s'/>", id);
        found++;
    }
    snprintf(text + size, sizeof text - size, "</gasdefinitions></uddf>");
    assert_refused(text, 1, "more than 1000000 ids and references");
}

/* A name of the log within a sentence. */
static void texts_in_sentences_are_cut(void **state)
{
    (void)state;
    char text[80], sentence[200];
    for (int size = 59; size <= 60; size++) {
        char name[64] = "";
        memset(name, 'q', (size_t)size);
        snprintf(text, sizeof text, "<%s/>", name);
        snprintf(sentence, sizeof sentence, "root element is <%.59s%s>, expected <uddf>", name, size > 59 ? "..." : "");
        assert_refused(text, 1, sentence);
    }
}

/* Text that nobody asks for is not gathered, however long it is. */
static void long_text_elsewhere_is_passed_over(void **state)
{
    (void)state;
    enum { LONG = 1000000 };
    static const char before[] = "<uddf><divecomputercontrol><divecomputerdump><dcdump>";
    static const char after[] = "</dcdump></divecomputerdump></divecomputercontrol></uddf>";
    memcpy(long_text, before, strlen(before));
    memset(long_text + strlen(before), 'Q', LONG);
    memcpy(long_text + strlen(before) + LONG, after, sizeof after);
    ll_log_free(read_text(long_text));
}

/* --- memory -------------------------------------------------------------------------------------------------- */

static void walk_through_refusals(const char *bytes, size_t size)
{
    for (size_t refuse = 1;; refuse++) {
        test_heap heap;
        ll_log *log = NULL;
        ll_error error = {.line = 0};
        test_heap_open(&heap, refuse);
        ll_status status = try_bytes(bytes, size, 0, &heap.allocator, NULL, &log, &error);
        if (status == LL_OK) {
            assert_true(refuse > 10);
            ll_log_free(log);
            assert_int_equal(heap.live, 0);
            return;
        }
        assert_int_equal(status, LL_NO_MEMORY);
        assert_string_equal(error.text, "memory ran out");
        assert_null(log);
        assert_int_equal(heap.live, 0);
    }
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    static const char odd[] =
        "<uddf version='3.2.0'><gasdefinitions><mix id='m'><o2>21</o2><ar>1</ar>&deg;\xe6</mix><mix id='m'><o2>x</o2></mix>"
        "</gasdefinitions><profiledata><repetitiongroup><dive id='d'><link ref='nothing'/><tankdata id='u'>"
        "<link ref='m'/></tankdata><samples>"
        "<waypoint><depth>-1</depth><divetime>0</divetime><tankpressure ref='u'>2e7</tankpressure></waypoint>"
        "<waypoint><depth>5</depth><divetime>20</divetime><tankpressure ref='m'>1.9e7</tankpressure></waypoint>"
        "<waypoint><depth>99</depth><divetime>10</divetime><switchmix ref='lost'/><alarm>deco</alarm></waypoint>"
        "<waypoint><depth>5</depth></waypoint></samples></dive></repetitiongroup></profiledata></uddf>";
    walk_through_refusals(odd, strlen(odd));
    walk_through_refusals(log_text_3_1, strlen(log_text_3_1));
    size_t size;
    char *bytes = zipped(log_text_3_2, &size);
    walk_through_refusals(bytes, size);
    free(bytes);
}

static void freeing_nothing_is_fine(void **state)
{
    (void)state;
    ll_log_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_no_log_is_refused),
        cmocka_unit_test(malformed_xml_is_refused_with_its_line),
        cmocka_unit_test(broken_encodings_are_refused),
        cmocka_unit_test(names_of_the_file_are_shown_tamely),
        cmocka_unit_test(a_doctype_is_refused_before_anything_is_expanded),
        cmocka_unit_test(a_log_cut_short_keeps_its_whole_dives),
        cmocka_unit_test(a_log_may_be_cut_anywhere),
        cmocka_unit_test(gzip_cut_short_or_damaged),
        cmocka_unit_test(a_read_that_fails_is_told),
        cmocka_unit_test(nesting),
        cmocka_unit_test(caps_hold_at_the_limit),
        cmocka_unit_test(built_in_caps),
        cmocka_unit_test(tanks_and_sensors_of_a_dive),
        cmocka_unit_test(ids_and_references),
        cmocka_unit_test(ids_that_collide),
        cmocka_unit_test(texts_in_sentences_are_cut),
        cmocka_unit_test(long_text_elsewhere_is_passed_over),
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(freeing_nothing_is_fine),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
