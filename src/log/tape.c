/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/tape.h"

#include <string.h>

#include <libxml/parser.h>

#include "base/xml.h"
#include "log/parser.h"

/* An event begins with a row (the start of an element, then its attributes) or with one of these. */
enum { END = 0xff, TEXT = 0xfe, PASSED = 0xfd, NO_ATTRIBUTE = 0xff };
_Static_assert((int)LL_ROWS <= (int)PASSED && (int)LL_ATTRIBUTES < (int)NO_ATTRIBUTE, "a row and an attribute are a byte");

/* --- writing it down ------------------------------------------------------------------------------------------------ */

typedef struct recorder {
    ll_tape *tape;
    const ll_run *run;
    xmlParserCtxt *parser;
    ll_names names;
    ll_row row;
    size_t depth, skipped, text_size;
    size_t last_group; /* where on the tape the end of a group of dives stands last */
    size_t given;      /* bytes that the parser has got, of `before`, the run and `behind` */
    bool trouble;
} recorder;

static unsigned char *add(recorder *to, size_t size)
{
    ll_tape *tape = to->tape;
    if (size > tape->capacity - tape->size) {
        const size_t capacity = 2 * tape->capacity + size;
        unsigned char *events = tape->allocator->resize(tape->allocator->context, tape->events, capacity);
        if (!events) {
            to->trouble = true;
            return NULL;
        }
        tape->events = events;
        tape->capacity = capacity;
    }
    tape->size += size;
    return tape->events + tape->size - size;
}

static void add_byte(recorder *to, unsigned char byte)
{
    unsigned char *at = add(to, 1);
    if (at)
        *at = byte;
}

/* A byte, and a number. */
static void add_number(recorder *to, unsigned char byte, size_t number)
{
    const uint32_t written = (uint32_t)number;
    unsigned char *at = add(to, 1 + sizeof written);
    if (!at)
        return;
    at[0] = byte;
    memcpy(at + 1, &written, sizeof written);
}

static void add_bytes(recorder *to, unsigned char byte, const void *bytes, size_t size)
{
    add_number(to, byte, size);
    unsigned char *at = add(to, size);
    if (at && size > 0)
        memcpy(at, bytes, size);
}

/* Lines since the run began. */
static size_t line_of(const recorder *to)
{
    return (size_t)(to->parser->input->line - 1);
}

static void on_text(void *context, const xmlChar *text, int length)
{
    recorder *to = context;
    if (to->skipped || !ll_element_table[to->row].gathers)
        return;
    to->text_size += (size_t)length;
    to->trouble = to->trouble || to->text_size > to->run->text_most;
    add_bytes(to, TEXT, text, (size_t)length);
}

static void add_attributes(recorder *to, const xmlChar **attributes, int count)
{
    for (int i = 0; i < count; i++) {
        const xmlChar **one = attributes + 5 * i; /* name, prefix, name space, value, its end */
        for (unsigned char a = 0; a < LL_ATTRIBUTES && !one[1]; a++)
            if (to->names.attribute[a] == one[0])
                add_bytes(to, a, one[3], (size_t)(one[4] - one[3]));
    }
    add_byte(to, NO_ATTRIBUTE);
}

/* What a run needs around it is no event. */
static void enter(recorder *to, ll_row row, const xmlChar **attributes, int count)
{
    to->row = row;
    to->text_size = 0;
    if (to->depth <= LL_SHARED_DEPTH && to->tape->size == 0)
        return;
    add_number(to, (unsigned char)row, line_of(to));
    add_attributes(to, attributes, count);
}

static void on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                     const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes)
{
    recorder *to = context;
    (void)spaces, (void)defaulted_count;
    const bool is_root = ++to->depth == 1;
    to->trouble = to->trouble || to->depth > to->run->nesting_most || (spaces_count > 0 && !is_root);
    if (is_root) {
        to->names.root_space = space;
        to->names.root_prefix = prefix;
    }
    if (to->skipped) {
        to->skipped++;
        return;
    }
    const bool foreign = ll_is_foreign(&to->names, prefix, space);
    const ll_row row = foreign ? LL_ROW_NOWHERE : ll_row_of(&to->names, to->row, name);
    if (row != LL_ROW_NOWHERE) {
        enter(to, row, attributes, attribute_count);
        return;
    }
    to->skipped = 1;
    to->text_size++;
    add_number(to, PASSED, line_of(to));
    add_bytes(to, foreign, name, (size_t)xmlStrlen(name) + 1);
}

static void on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space)
{
    recorder *to = context;
    (void)name, (void)prefix, (void)space;
    to->depth--;
    if (to->skipped) {
        to->skipped--;
        return;
    }
    if (to->row == LL_ROW_GROUP)
        to->last_group = to->tape->size;
    add_number(to, END, line_of(to));
    to->row = ll_element_table[to->row].parent;
}

static void on_problem(void *context, ll_problem problem)
{
    recorder *to = context;
    to->trouble = to->trouble || problem->level >= XML_ERR_ERROR;
}

/* --- parsing a run -------------------------------------------------------------------------------------------------- */

/* What was not given yet of one piece, up to `room`. `skip`: how much of this piece and those behind it was given. */
static size_t give(size_t *skip, const void *piece, size_t size, char *bytes, size_t room)
{
    if (*skip >= size) {
        *skip -= size;
        return 0;
    }
    const size_t rest = size - *skip, got = rest < room ? rest : room;
    memcpy(bytes, (const char *)piece + *skip, got);
    *skip = 0;
    return got;
}

static int pull(void *context, char *bytes, int capacity)
{
    recorder *to = context;
    const size_t room = capacity > 0 ? (size_t)capacity : 0;
    size_t skip = to->given, size = give(&skip, to->run->before, strlen(to->run->before), bytes, room);
    if (size < room)
        size += give(&skip, to->run->bytes, to->run->size, bytes + size, room - size);
    if (size < room)
        size += give(&skip, to->run->behind, strlen(to->run->behind), bytes + size, room - size);
    to->given += size;
    return (int)size;
}

/* Bytes in the parser's dictionary of names. */
static size_t names_of(const recorder *to)
{
    return xmlDictGetUsage(to->parser->dict);
}

static void parse(recorder *to)
{
    const size_t usual = names_of(to);
    xmlParseDocument(to->parser);
    to->tape->strange = names_of(to) - usual;
    to->tape->lines = to->parser->input ? (long)line_of(to) : 0;
    to->tape->size = to->last_group; /* what stands behind a run is no event */
    to->tape->good = !to->trouble && to->parser->wellFormed && to->parser->errNo == XML_ERR_OK;
}

void ll_tape_record(ll_tape *tape, const ll_run *run)
{
    static const ll_told told = {on_start, on_end, on_text, NULL, NULL, on_problem};
    recorder to = {.tape = tape, .run = run};
    tape->size = 0;
    tape->good = false;
    tape->strange = 0;
    if (!ll_xml_set_up(tape->allocator))
        return;
    const ll_problems_former former = ll_problems_to(&to, on_problem);
    to.parser = ll_parser_make(&told, &to, pull, &to, true);
    if (to.parser && ll_names_make(&to.names, to.parser->dict))
        parse(&to);
    ll_xml_free(to.parser);
    ll_problems_back(&former);
}

void ll_tape_free(ll_tape *tape)
{
    if (tape->events)
        tape->allocator->resize(tape->allocator->context, tape->events, 0);
    tape->events = NULL;
}

/* --- playing it ----------------------------------------------------------------------------------------------------- */

typedef struct player {
    const unsigned char *at;
    long first_line;
    ll_reader *reader;
} player;

static uint32_t take_number(player *from)
{
    uint32_t number;
    memcpy(&number, from->at, sizeof number);
    from->at += sizeof number;
    return number;
}

static void take_line(player *from)
{
    from->reader->played_line = from->first_line + (long)take_number(from);
}

static const unsigned char *take_bytes(player *from, size_t *size)
{
    *size = take_number(from);
    const unsigned char *bytes = from->at;
    from->at += *size;
    return bytes;
}

/* The start of an element, with its attributes as a parser gives them. */
static void play_start(player *from, ll_row row)
{
    const unsigned char *attributes[5 * LL_ATTRIBUTES];
    size_t size;
    int count = 0;
    take_line(from);
    for (unsigned char a = *from->at++; a != NO_ATTRIBUTE; a = *from->at++) {
        const unsigned char *value = take_bytes(from, &size), **one = attributes + 5 * count++;
        one[0] = from->reader->names.attribute[a];
        one[1] = one[2] = NULL;
        one[3] = value;
        one[4] = value + size;
    }
    from->reader->attributes = attributes;
    from->reader->attribute_count = count;
    ll_enter(from->reader, row);
    from->reader->attributes = NULL;
    from->reader->attribute_count = 0;
}

static void play_passed(player *from)
{
    size_t size;
    take_line(from);
    const bool foreign = *from->at++ != 0;
    const unsigned char *name = take_bytes(from, &size);
    ll_pass_over(from->reader, (const char *)name, !foreign);
}

static void play_event(player *from)
{
    const unsigned char kind = *from->at++;
    size_t size;
    if (kind == TEXT) {
        const unsigned char *text = take_bytes(from, &size);
        ll_add_text(from->reader, text, size);
    } else if (kind == PASSED) {
        play_passed(from);
    } else if (kind == END) {
        take_line(from);
        ll_leave(from->reader);
    } else {
        play_start(from, (ll_row)kind);
    }
}

void ll_tape_play(const ll_tape *tape, long first_line, ll_reader *reader)
{
    player from = {tape->events, first_line, reader};
    while (from.at < tape->events + tape->size && reader->error.status == LL_OK)
        play_event(&from);
    reader->played_line = 0;
}
