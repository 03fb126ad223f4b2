/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one place where libxml2 is set up, for both readers of XML. */
#ifndef LL_BASE_XML_H
#define LL_BASE_XML_H

#include <stdbool.h>

#include "base/arena.h"

/* To be called before each document, by the thread that parses it. False if memory ran out: then nothing of libxml2 may
 * be called; a later try may go better. */
bool ll_xml_set_up(const ll_allocator *allocator);

/* Frees a parser, and the document that it makes for itself where a document type goes on behind an error. NULL is fine. */
struct _xmlParserCtxt;
void ll_xml_free(struct _xmlParserCtxt *parser);

struct _xmlError; /* of libxml2 */

/* Whether the parser says that memory ran out. It says of an encoding that it is not supported where there was no memory to
 * load it; so that is looked for once more. */
bool ll_xml_ran_out(const struct _xmlError *problem);

#endif
