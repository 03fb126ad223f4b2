/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/parser.h"

#include <libxml/parserInternals.h>

/* With what it is told and how, but no input yet. */
static xmlParserCtxt *make(const ll_told *told, void *user, bool is_decoded)
{
    xmlParserCtxt *parser = xmlNewParserCtxt();
    if (!parser)
        return NULL;
    *parser->sax = (xmlSAXHandler){.initialized = XML_SAX2_MAGIC,
                                   .startElementNs = told->start,
                                   .endElementNs = told->end,
                                   .characters = told->text,
                                   .ignorableWhitespace = told->text,
                                   .cdataBlock = told->text,
                                   .internalSubset = told->doctype,
                                   .getEntity = told->entity,
                                   .serror = told->problem};
    parser->userData = user;
    xmlCtxtUseOptions(parser, XML_PARSE_NONET | (is_decoded ? XML_PARSE_IGNORE_ENC : 0));
    return parser;
}

/* What libxml2 offers for parser and input at once loses the input where memory runs out half-way. */
static xmlParserInput *pulled(xmlParserCtxt *parser, ll_pull_fn pull, void *context)
{
    xmlParserInputBuffer *buffer = xmlParserInputBufferCreateIO(pull, NULL, context, XML_CHAR_ENCODING_NONE);
    xmlParserInput *input = buffer ? xmlNewIOInputStream(parser, buffer, XML_CHAR_ENCODING_NONE) : NULL;
    if (!input)
        xmlFreeParserInputBuffer(buffer);
    return input;
}

static xmlParserCtxt *with(xmlParserCtxt *parser, xmlParserInput *input)
{
    if (input && inputPush(parser, input) >= 0)
        return parser;
    xmlFreeInputStream(input);
    xmlFreeParserCtxt(parser);
    return NULL;
}

xmlParserCtxt *ll_parser_of_pulled(const ll_told *told, void *user, ll_pull_fn pull, void *context, bool is_decoded)
{
    xmlParserCtxt *parser = make(told, user, is_decoded);
    return parser ? with(parser, pulled(parser, pull, context)) : NULL;
}

/* With an input of its own the parser neither copies the text nor asks for more of it. */
xmlParserCtxt *ll_parser_of_text(const ll_told *told, void *user, const char *text)
{
    xmlParserCtxt *parser = make(told, user, true);
    return parser ? with(parser, xmlNewStringInputStream(parser, (const xmlChar *)text)) : NULL;
}

ll_problems_former ll_problems_to(void *context, void (*take)(void *context, ll_problem problem))
{
    const ll_problems_former former = {xmlStructuredError, xmlStructuredErrorContext};
    xmlSetStructuredErrorFunc(context, take);
    return former;
}

void ll_problems_back(const ll_problems_former *former)
{
    xmlResetLastError();
    xmlSetStructuredErrorFunc(former->context, former->take);
}
