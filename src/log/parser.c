/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/parser.h"

#include <libxml/parserInternals.h>

/* What libxml2 offers for parser and input at once loses the input where memory runs out half-way. */
static bool give_input(xmlParserCtxt *parser, ll_pull_fn pull, void *context)
{
    xmlParserInputBuffer *buffer = xmlParserInputBufferCreateIO(pull, NULL, context, XML_CHAR_ENCODING_NONE);
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

xmlParserCtxt *ll_parser_make(const ll_told *told, void *user, ll_pull_fn pull, void *context, bool is_decoded)
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
    if (give_input(parser, pull, context))
        return parser;
    xmlFreeParserCtxt(parser);
    return NULL;
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
