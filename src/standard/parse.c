/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The only file of this layer that sees the parser: SAX2 callbacks, a table of elements, and lines of our own. */
#include <string.h>

#include <libxml/parser.h>
#include <libxml/parserInternals.h>
#include <libxml/xmlerror.h>

#include "base/xml.h"
#include "standard/reader.h"

#if LIBXML_VERSION >= 21200
typedef const xmlError *problem_ptr;
#else
typedef xmlError *problem_ptr;
#endif

static const char name_space[] = "urn:leadline:standard:1";

/* --- elements ----------------------------------------------------------------------------------------------------- */

typedef enum { OUTSIDE, STANDARD, MODEL, LIMITS, LIMIT, ENTRY, REQUIREMENT, ELEMENTS } element;

static bool take_nothing(ll_standard_reader *reader, const ll_tag *tag)
{
    unsigned given;
    return ll_attributes_take(reader, tag, NULL, 0, NULL, &given);
}

static const struct {
    const char *name;
    element parent;
    bool once;
    bool (*take)(ll_standard_reader *, const ll_tag *);
} elements[ELEMENTS] = {
    [STANDARD] = {"standard", OUTSIDE, true, ll_take_standard_tag},
    [MODEL] = {"model", STANDARD, true, ll_take_model_tag},
    [LIMITS] = {"limits", STANDARD, true, take_nothing},
    [LIMIT] = {"limit", LIMITS, false, ll_take_limit_tag},
    [ENTRY] = {"entry", STANDARD, true, take_nothing},
    [REQUIREMENT] = {"requirement", ENTRY, false, ll_take_requirement_tag},
};

typedef struct {
    ll_standard_reader *reader;
    xmlParserCtxt *parser;
    element open;
    bool seen[ELEMENTS];
    ll_text words; /* of the requirement that is open */
} pass;

/* True while nothing is wrong; else the parser is stopped. */
static bool go_on(pass *p)
{
    if (p->reader->error.status == LL_OK)
        return true;
    xmlStopParser(p->parser);
    return false;
}

static long line_here(const pass *p)
{
    return p->parser->input ? p->parser->input->line : 0;
}

/* --- lines -------------------------------------------------------------------------------------------------------- */

/* The parser stands at the end of a start tag. Its text begins at the last '<': none may stand in a value. */
static const xmlChar *start_of_tag(const pass *p, long *line)
{
    const xmlParserInput *input = p->parser->input;
    const xmlChar *at = input->cur;
    *line = input->line;
    while (at > input->base && *at != '<') {
        at--;
        *line -= *at == '\n';
    }
    return at;
}

static bool is_name(const xmlChar *at, const char *name)
{
    size_t length = strlen(name);
    return strncmp((const char *)at, name, length) == 0 && strchr(" \t\r\n=", at[length]);
}

/* The line on which an attribute of this tag begins. */
static long line_of(const pass *p, const char *name)
{
    long line;
    const xmlChar *at = start_of_tag(p, &line), *end = p->parser->input->cur;
    xmlChar quote = 0;
    for (; at < end; at++) {
        line += *at == '\n';
        if (quote)
            quote = *at == quote ? 0 : quote;
        else if (*at == '"' || *at == '\'')
            quote = *at;
        else if (strchr(" \t\r\n", *at) && is_name(at + 1, name))
            return line;
    }
    return line;
}

/* --- tags --------------------------------------------------------------------------------------------------------- */

static const char *full_name(pass *p, const xmlChar *prefix, const xmlChar *name)
{
    const char *words = prefix ? ll_arena_format(&p->reader->standard->arena, "%s:%s", (const char *)prefix,
                                                 (const char *)name)
                               : ll_arena_text(&p->reader->standard->arena, (const char *)name);
    if (!words)
        ll_refuse_no_memory(p->reader);
    return words;
}

/* `attributes` holds five pointers each: name, prefix, name space, value and its end. */
static bool list_attributes(pass *p, const xmlChar **attributes, int count, ll_tag *tag)
{
    ll_given *given = ll_arena_array(&p->reader->standard->arena, (size_t)count, sizeof *given);
    if (!given)
        return ll_refuse_no_memory(p->reader);
    for (int i = 0; i < count; i++) {
        const xmlChar **one = attributes + 5 * i;
        given[i].name = full_name(p, one[1], one[0]);
        given[i].value = ll_arena_text_n(&p->reader->standard->arena, (const char *)one[3], (size_t)(one[4] - one[3]));
        if (!given[i].name || !given[i].value)
            return ll_refuse_no_memory(p->reader);
        given[i].line = line_of(p, given[i].name);
    }
    tag->count = (size_t)count;
    tag->given = given;
    return true;
}

static element find_element(const pass *p, const xmlChar *name, const xmlChar *space)
{
    int i = OUTSIDE + 1;
    while (i < ELEMENTS && !(elements[i].parent == p->open && strcmp(elements[i].name, (const char *)name) == 0))
        i++;
    return space && strcmp((const char *)space, name_space) == 0 ? (element)i : ELEMENTS;
}

static bool refuse_element(pass *p, const ll_tag *tag)
{
    char shown[LL_QUOTED];
    if (p->open == OUTSIDE)
        return ll_refuse(p->reader, tag->line, "root element is <%s>, expected <standard xmlns=\"%s\">",
                         ll_quoted(shown, tag->element), name_space);
    return ll_refuse(p->reader, tag->line, "<%s> is not known in <%s>", ll_quoted(shown, tag->element),
                     elements[p->open].name);
}

static void on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                     const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes)
{
    pass *p = context;
    ll_tag tag = {.count = 0};
    (void)spaces_count, (void)spaces, (void)defaulted_count;
    if (!go_on(p))
        return;
    start_of_tag(p, &tag.line);
    tag.element = full_name(p, prefix, name);
    element found = find_element(p, name, space);
    if (tag.element && found == ELEMENTS)
        refuse_element(p, &tag);
    else if (tag.element && p->seen[found] && elements[found].once)
        ll_refuse(p->reader, tag.line, "a second <%s>", elements[found].name);
    else if (tag.element && list_attributes(p, attributes, attribute_count, &tag))
        elements[found].take(p->reader, &tag);
    if (!go_on(p))
        return;
    p->open = found;
    p->seen[found] = true;
    p->words.size = 0;
}

static void on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space)
{
    pass *p = context;
    (void)name, (void)prefix, (void)space;
    if (!go_on(p))
        return;
    if (p->open == REQUIREMENT)
        ll_take_requirement_text(p->reader, p->words.bytes, p->words.size);
    p->open = elements[p->open].parent;
    go_on(p);
}

/* --- text --------------------------------------------------------------------------------------------------------- */

static void on_text(void *context, const xmlChar *text, int length)
{
    pass *p = context;
    if (!go_on(p))
        return;
    if (p->open == REQUIREMENT && p->words.size + (size_t)length <= LL_STANDARD_MOST_TEXT) {
        ll_text_add(&p->words, (const char *)text, (size_t)length);
        if (p->words.no_memory)
            ll_refuse_no_memory(p->reader);
    } else if (p->open == REQUIREMENT) {
        ll_refuse(p->reader, line_here(p), "more than %d bytes of text in <requirement>", LL_STANDARD_MOST_TEXT);
    } else {
        for (int i = 0; i < length; i++)
            if (!strchr(" \t\r\n", text[i]))
                ll_refuse(p->reader, line_here(p), "text in <%s>, where none belongs", elements[p->open].name);
    }
    go_on(p);
}

/* Nothing of it is fetched, nothing expanded. */
static void on_doctype(void *context, const xmlChar *name, const xmlChar *external, const xmlChar *system)
{
    pass *p = context;
    (void)name, (void)external, (void)system;
    ll_refuse(p->reader, line_here(p), "a document type declaration is refused");
    go_on(p);
}

/* --- errors of the parser ----------------------------------------------------------------------------------------- */

/* What the parser says, on one line, without the name of its function. */
static void on_problem(void *context, problem_ptr problem)
{
    pass *p = context;
    char words[LL_QUOTED], first[256] = "";
    if (problem->level < XML_ERR_ERROR)
        return;
    if (ll_xml_ran_out(problem)) {
        ll_refuse_no_memory(p->reader);
        return;
    }
    const char *message = problem->message ? problem->message : "";
    const char *colon = strncmp(message, "xml", 3) == 0 ? strstr(message, ": ") : NULL;
    message = colon ? colon + 2 : message;
    size_t length = strcspn(message, "\r\n");
    memcpy(first, message, length < sizeof first ? length : sizeof first - 1);
    ll_refuse(p->reader, line_here(p), "no well-formed XML in column %d: %s", problem->int2, ll_quoted(words, first));
}

/* --- driving it --------------------------------------------------------------------------------------------------- */

static xmlParserCtxt *make_parser(pass *p, const char *bytes, size_t size)
{
    static const xmlSAXHandler handlers = {.initialized = XML_SAX2_MAGIC,
                                           .startElementNs = on_start,
                                           .endElementNs = on_end,
                                           .characters = on_text,
                                           .ignorableWhitespace = on_text,
                                           .cdataBlock = on_text,
                                           .internalSubset = on_doctype,
                                           .serror = on_problem};
    xmlParserCtxt *parser = xmlCreateMemoryParserCtxt(bytes, (int)size);
    if (parser) {
        *parser->sax = handlers;
        parser->userData = p;
        xmlCtxtUseOptions(parser, XML_PARSE_NONET);
    }
    return parser;
}

void ll_standard_parse(ll_standard_reader *reader, const char *bytes, size_t size)
{
    pass p = {.reader = reader, .open = OUTSIDE};
    if (!ll_xml_set_up(reader->standard->arena.allocator)) {
        ll_refuse_no_memory(reader);
        return;
    }
    ll_text_open(&p.words, reader->standard->arena.allocator, NULL, NULL);
    xmlStructuredErrorFunc former = xmlStructuredError;
    void *former_context = xmlStructuredErrorContext;
    xmlSetStructuredErrorFunc(&p, on_problem);
    p.parser = make_parser(&p, bytes, size);
    if (p.parser) {
        xmlParseDocument(p.parser);
        if (!p.parser->wellFormed)
            ll_refuse(reader, line_here(&p), "no well-formed XML");
    } else {
        ll_refuse_no_memory(reader);
    }
    ll_xml_free(p.parser);
    xmlResetLastError();
    xmlSetStructuredErrorFunc(former_context, former);
    ll_text_close(&p.words);
}
