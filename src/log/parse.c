/* SPDX-License-Identifier: GPL-3.0-or-later */
/* With problems.c the only file that sees the parser: SAX2 callbacks pulled through our own source, mapped to the table
 * of elements. */
#include "log/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <libxml/parser.h>
#include <libxml/parserInternals.h>

#include "base/xml.h"
#include "log/known.h"
#include "log/problems.h"
#include "log/values.h"

long ll_line(const ll_reader *reader)
{
    const xmlParserCtxt *parser = reader->parser;
    return parser && parser->input ? parser->input->line : 0;
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

/* Not in the name space of the root. An element without a name space is ours. */
static bool is_foreign(const ll_reader *reader, const xmlChar *prefix, const xmlChar *space)
{
    if (!space)
        return prefix && prefix != reader->root_prefix;
    return space != reader->root_space && !xmlStrEqual(space, reader->root_space);
}

static ll_row row_of(const ll_reader *reader, const xmlChar *name)
{
    uint8_t row = reader->first_child[reader->row];
    while (row != LL_ROW_NOWHERE && reader->element_name[row] != name)
        row = reader->next_sibling[row];
    return row;
}

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
    reader->root_space = space;
    reader->root_prefix = prefix;
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

static void on_text(void *context, const xmlChar *text, int length)
{
    ll_reader *reader = context;
    if (!ll_element_table[reader->row].gathers || reader->skipped || reader->error.status != LL_OK)
        return;
    size_t wanted = reader->text_size + (size_t)length;
    if (wanted > reader->text_capacity && !make_room(reader, wanted))
        return;
    memcpy(reader->text + reader->text_size, text, (size_t)length);
    reader->text_size = wanted;
}

/* The end of the data cut the tag that begins: its name may be half a name. */
static bool is_half_a_tag(const ll_reader *reader)
{
    const xmlParserCtxt *parser = reader->parser;
    return parser->input && parser->input->cur == parser->input->end && ll_source_is_spent(reader->source);
}

LL_SELDOM static void pass_over(ll_reader *reader, const xmlChar *name, bool foreign)
{
    on_text(reader, (const xmlChar *)" ", 1); /* 1<x/>8 is not 18 */
    reader->skipped = 1;
    if (!foreign && !is_half_a_tag(reader))
        ll_look_at_passed(reader, (const char *)name);
}

static void on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                     const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes)
{
    ll_reader *reader = context;
    (void)spaces_count, (void)spaces, (void)defaulted_count;
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
    bool foreign = is_foreign(reader, prefix, space);
    ll_row row = foreign ? LL_ROW_NOWHERE : row_of(reader, name);
    if (row == LL_ROW_NOWHERE) {
        pass_over(reader, name, foreign);
        return;
    }
    reader->row = row;
    reader->text_size = 0;
    if (ll_element_table[row].begin && reader->error.status == LL_OK)
        ll_element_table[row].begin(reader);
}

static void on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space)
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
    const ll_element_row *row = &ll_element_table[reader->row];
    if (row->end)
        row->end(reader);
    reader->row = row->parent;
    if (reader->depth == 0)
        reader->end_line = ll_line(reader);
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
    int size = 0;
    if (capacity < LL_SOURCE_LEAST)
        return -1;
    while (capacity - size >= LL_SOURCE_LEAST) {
        ptrdiff_t got = ll_source_take(context, bytes + size, (size_t)(capacity - size));
        if (got < 0)
            return -1;
        if (got == 0)
            break;
        size += (int)got;
    }
    return size;
}

/* The source as the parser's input. What libxml2 offers for parser and input at once loses the input where memory runs out
 * half-way. */
static bool give_input(xmlParserCtxt *parser, ll_source *source)
{
    xmlParserInputBuffer *buffer = xmlParserInputBufferCreateIO(pull, NULL, source, XML_CHAR_ENCODING_NONE);
    xmlParserInput *input = buffer ? xmlNewIOInputStream(parser, buffer, XML_CHAR_ENCODING_NONE) : NULL;
    if (!input) {
        xmlFreeParserInputBuffer(buffer);
        return false;
    }
    if (inputPush(parser, input) >= 0)
        return true;
    xmlFreeInputStream(input);
    return false;
}

static xmlParserCtxt *make_parser(ll_reader *reader)
{
    static const xmlSAXHandler handlers = {.initialized = XML_SAX2_MAGIC,
                                           .startElementNs = on_start,
                                           .endElementNs = on_end,
                                           .characters = on_text,
                                           .ignorableWhitespace = on_text,
                                           .cdataBlock = on_text,
                                           .internalSubset = on_doctype,
                                           .getEntity = on_undefined_entity,
                                           .serror = ll_on_problem};
    xmlParserCtxt *parser = xmlNewParserCtxt();
    bool is_decoded = ll_source_decoder(reader->source)->encoding != LL_ENCODING_OTHER;
    if (!parser)
        return NULL;
    *parser->sax = handlers;
    parser->userData = reader;
    xmlCtxtUseOptions(parser, XML_PARSE_NONET | (is_decoded ? XML_PARSE_IGNORE_ENC : 0));
    if (give_input(parser, reader->source))
        return parser;
    xmlFreeParserCtxt(parser);
    return NULL;
}

/* The parser's own copies of our names, so that names compare by pointer. */
static bool intern_names(ll_reader *reader, xmlDict *names)
{
    uint8_t last_child[LL_ROWS] = {0};
    for (int row = 1; row < LL_ROWS; row++) {
        uint8_t parent = ll_element_table[row].parent;
        reader->element_name[row] = xmlDictLookup(names, (const xmlChar *)ll_element_table[row].name, -1);
        if (!reader->element_name[row])
            return false;
        if (last_child[parent])
            reader->next_sibling[last_child[parent]] = (uint8_t)row;
        else
            reader->first_child[parent] = (uint8_t)row;
        last_child[parent] = (uint8_t)row;
    }
    for (int i = 0; i < LL_ATTRIBUTES; i++) {
        reader->attribute_name[i] = xmlDictLookup(names, (const xmlChar *)ll_attribute_names[i], -1);
        if (!reader->attribute_name[i])
            return false;
    }
    return true;
}

void ll_parse(ll_reader *reader)
{
    undefined_entity undefined;
    if (!ll_xml_set_up(reader->allocator)) {
        ll_stop_no_memory(reader);
        return;
    }
    reader->undefined_entity = &undefined;
    xmlStructuredErrorFunc former = xmlStructuredError;
    void *former_context = xmlStructuredErrorContext;
    xmlSetStructuredErrorFunc(reader, ll_on_problem);
    xmlParserCtxt *parser = make_parser(reader);
    if (parser && intern_names(reader, parser->dict)) {
        reader->parser = parser;
        xmlParseDocument(parser);
        ll_look_for_silent_failure(reader);
        reader->parser = NULL;
        reader->undefined_entity = NULL;
    } else {
        ll_stop_no_memory(reader);
    }
    xmlFreeParserCtxt(parser);
    xmlResetLastError();
    xmlSetStructuredErrorFunc(former_context, former);
}
