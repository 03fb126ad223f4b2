/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SAX2 callbacks of a parser that pulls through our own source, mapped to the table of elements. */
#include "log/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <libxml/parser.h>
#include <libxml/parserInternals.h>

#include "base/xml.h"
#include "log/known.h"
#include "log/parser.h"
#include "log/shares.h"
#include "log/values.h"

long ll_line(const ll_reader *reader)
{
    const xmlParserCtxt *parser = reader->parser;
    return parser && parser->input ? reader->lines_before + parser->input->line : 0;
}

void ll_stop(ll_reader *reader, ll_status status, const char *format, ...)
{
    if (reader->error.status != LL_OK)
        return;
    char sentence[sizeof reader->error.text];
    va_list values;
    va_start(values, format);
    vsnprintf(sentence, sizeof sentence, format, values);
    va_end(values);
    ll_fail(&reader->error, status, ll_line(reader), "%s", sentence);
    if (reader->parser)
        xmlStopParser(reader->parser);
}

void ll_stop_no_memory(ll_reader *reader)
{
    if (reader->error.status != LL_OK)
        return;
    ll_fail_memory(&reader->error);
    if (reader->parser)
        xmlStopParser(reader->parser);
}

/* --- elements ------------------------------------------------------------------------------------------------ */

static bool is_called(const xmlChar *name, const char *wanted)
{
    return strcmp((const char *)name, wanted) == 0;
}

LL_SELDOM static void begin_root(ll_reader *reader, const xmlChar *name, const xmlChar *prefix, const xmlChar *space)
{
    char shown[LL_SHOWN];
    size_t length;
    if (is_called(name, "udcf") || ll_attribute_of(reader, LL_ATTRIBUTE_UDCF, &length))
        ll_stop(reader, LL_BAD_INPUT, "the predecessor format UDCF is not read; convert it to UDDF");
    else if (!is_called(name, "uddf"))
        ll_stop(reader, LL_BAD_INPUT, "root element is <%s>, expected <uddf>",
                ll_shown(shown, (const char *)name, (size_t)xmlStrlen(name)));
    const xmlParserCtxt *parser = reader->parser;
    if (parser->version && !is_called(parser->version, "1.0"))
        ll_stop(reader, LL_BAD_INPUT, "XML version %s is not read, only 1.0",
                ll_shown(shown, (const char *)parser->version, (size_t)xmlStrlen(parser->version)));
    reader->names.root_space = space;
    reader->names.root_prefix = prefix;
}

/* Makes room for `wanted` bytes of text. */
LL_SELDOM static bool make_room(ll_reader *reader, size_t wanted)
{
    size_t most = reader->limits->text_bytes;
    if (wanted > most) {
        ll_stop(reader, LL_BAD_INPUT, "more than %zu bytes of text in <%s>", most, ll_element_table[reader->row].name);
        return false;
    }
    size_t capacity = wanted < 256 ? 256 : 2 * wanted;
    capacity = capacity < most ? capacity : most;
    char *text = reader->allocator->resize(reader->allocator->context, reader->text, capacity);
    if (!text) {
        ll_stop_no_memory(reader);
        return false;
    }
    reader->text = text;
    reader->text_capacity = capacity;
    return true;
}

static void add_text(ll_reader *reader, const void *text, size_t length)
{
    if (!ll_element_table[reader->row].gathers)
        return;
    const size_t wanted = reader->text_size + length;
    if (wanted > reader->text_capacity && !make_room(reader, wanted))
        return;
    memcpy(reader->text + reader->text_size, text, length);
    reader->text_size = wanted;
}

void ll_on_text(void *context, const xmlChar *text, int length)
{
    ll_reader *reader = context;
    if (!reader->skipped && reader->error.status == LL_OK)
        add_text(reader, text, (size_t)length);
}

/* The end of the data cut the tag that begins: its name may be half a name. */
static bool is_half_a_tag(const ll_reader *reader)
{
    const xmlParserCtxt *parser = reader->parser;
    return parser->input && parser->input->cur == parser->input->end && ll_is_spent(reader);
}

LL_SELDOM static void pass_over(ll_reader *reader, const char *name, bool looked_at)
{
    add_text(reader, " ", 1); /* 1<x/>8 is not 18 */
    if (looked_at && reader->error.status == LL_OK)
        ll_look_at_passed(reader, name);
}

static void enter(ll_reader *reader, ll_row row)
{
    reader->row = row;
    reader->text_size = 0;
    if (ll_element_table[row].begin)
        ll_element_table[row].begin(reader);
}

static void leave(ll_reader *reader)
{
    const ll_element_row *row = &ll_element_table[reader->row];
    if (row->end)
        row->end(reader);
    reader->row = row->parent;
}

void ll_on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                 const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes)
{
    ll_reader *reader = context;
    (void)defaulted_count;
    if (reader->error.status != LL_OK)
        return;
    if (++reader->depth > reader->limits->nesting) {
        ll_stop(reader, LL_BAD_INPUT, "elements nested deeper than %zu", reader->limits->nesting);
        return;
    }
    if (reader->skipped) {
        reader->skipped++;
        return;
    }
    reader->attributes = attributes;
    reader->attribute_count = attribute_count;
    if (reader->depth == 1)
        begin_root(reader, name, prefix, space);
    if (reader->shares && reader->depth <= LL_SHARED_DEPTH)
        ll_shares_see(reader->shares, reader->depth, (const char *)prefix, (const char *const *)spaces, spaces_count);
    bool foreign = ll_is_foreign(&reader->names, prefix, space);
    ll_row row = foreign ? LL_ROW_NOWHERE : ll_row_of(&reader->names, reader->row, name);
    if (row == LL_ROW_NOWHERE) {
        reader->skipped = 1;
        pass_over(reader, (const char *)name, !foreign && !is_half_a_tag(reader));
    } else if (reader->error.status == LL_OK) {
        enter(reader, row);
    }
}

/* After a dive: what follows may be shared. What the parser has got of it is taken from it; a parser that was told of the end
 * would not ask again. */
LL_SELDOM static void share(ll_reader *reader)
{
    xmlParserCtxt *parser = reader->parser;
    const xmlChar *rest = parser->input->cur;
    if (ll_is_spent(reader) || ll_source_status(reader->source, NULL) != LL_OK ||
        !ll_shares_take(reader->shares, rest, (size_t)(parser->input->end - rest)))
        return;
    parser->input->cur = parser->input->end;
    parser->input->line += (int)ll_shares_go(reader->shares);
}

void ll_on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space)
{
    ll_reader *reader = context;
    (void)name, (void)prefix, (void)space;
    if (reader->error.status != LL_OK)
        return;
    reader->depth--;
    if (reader->skipped) {
        reader->skipped--;
        return;
    }
    const bool is_dive = reader->row == LL_ROW_DIVE;
    leave(reader);
    if (reader->depth == 0)
        reader->end_line = ll_line(reader);
    if (is_dive && reader->shares && reader->error.status == LL_OK)
        share(reader);
}

/* A DOCTYPE: nothing of it is fetched, nothing expanded. */
static void on_doctype(void *context, const xmlChar *name, const xmlChar *external, const xmlChar *system)
{
    (void)name, (void)external, (void)system;
    ll_stop(context, LL_BAD_INPUT, "a document type declaration is refused");
}

/* Entities that XML does not define (&nbsp;, &deg;) stand as they are written; a name too long for that ends it all. */
typedef struct undefined_entity {
    xmlEntity entity;
    char name[LL_SHOWN], text[LL_SHOWN + 2];
} undefined_entity;

static xmlEntity *on_undefined_entity(void *context, const xmlChar *name)
{
    ll_reader *reader = context;
    undefined_entity *undefined = reader->undefined_entity;
    size_t length = (size_t)xmlStrlen(name);
    ll_shown(undefined->name, (const char *)name, length);
    if (strlen(undefined->name) != length)
        return NULL;
    LL_NOTE_HERE(reader, LL_NOTE_ENTITY_UNDEFINED, ll_line(reader), undefined->name);
    snprintf(undefined->text, sizeof undefined->text, "&%s;", undefined->name);
    undefined->entity = (xmlEntity){.type = XML_ENTITY_DECL,
                                    .name = (const xmlChar *)undefined->name,
                                    .orig = (xmlChar *)undefined->text, /* else a declaration leaves its own text here */
                                    .content = (xmlChar *)undefined->text,
                                    .length = (int)length + 2,
                                    .etype = XML_INTERNAL_PREDEFINED_ENTITY};
    return &undefined->entity;
}

/* --- driving it ---------------------------------------------------------------------------------------------- */

/* As much as is asked for, but for the last few bytes: the parser takes little for the end of the data. */
static int pull(void *context, char *bytes, int capacity)
{
    ll_reader *reader = context;
    size_t size = 0;
    if (capacity < LL_SOURCE_LEAST)
        return -1;
    while ((size_t)capacity - size >= LL_SOURCE_LEAST) {
        const ptrdiff_t got = ll_take(reader, bytes + size, (size_t)capacity - size);
        if (got <= 0) {
            reader->met_failure = got < 0 && size == 0; /* what came before it is given first */
            return reader->met_failure ? -1 : (int)size;
        }
        size += (size_t)got;
    }
    return (int)size;
}

static xmlParserCtxt *make_parser(ll_reader *reader)
{
    static const ll_told told = {ll_on_start, ll_on_end, ll_on_text, on_doctype, on_undefined_entity, ll_on_problem};
    const bool is_decoded = ll_source_decoder(reader->source)->encoding != LL_ENCODING_OTHER;
    return ll_parser_of_pulled(&told, reader, pull, reader, is_decoded);
}

void ll_parse(ll_reader *reader)
{
    undefined_entity undefined;
    if (!ll_xml_set_up(reader->allocator)) {
        ll_stop_no_memory(reader);
        return;
    }
    reader->undefined_entity = &undefined;
    const ll_problems_former former = ll_problems_to(reader, ll_on_problem);
    xmlParserCtxt *parser = make_parser(reader);
    if (parser && ll_names_make(&reader->names, parser->dict)) {
        reader->parser = parser;
        xmlParseDocument(parser);
        ll_look_for_silent_failure(reader);
        reader->parser = NULL;
        reader->undefined_entity = NULL;
    } else {
        ll_stop_no_memory(reader);
    }
    ll_xml_free(parser);
    ll_problems_back(&former);
}
