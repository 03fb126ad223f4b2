/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parsers, and what they tell. Used by the files that see the parser. */
#ifndef LL_LOG_PARSER_H
#define LL_LOG_PARSER_H

#include <stdbool.h>

#include <libxml/parser.h>

#include "log/problems.h"

/* Gives up to `capacity` bytes: how many, 0 at the end, -1 on failure. */
typedef int (*ll_pull_fn)(void *context, char *bytes, int capacity);

/* What is told of a document. Text is told alike, however it is written. */
typedef struct ll_told {
    startElementNsSAX2Func start;
    endElementNsSAX2Func end;
    charactersSAXFunc text;
    internalSubsetSAXFunc doctype; /* or NULL */
    getEntitySAXFunc entity;       /* or NULL */
    void (*problem)(void *context, ll_problem problem);
} ll_told;

/* A parser that pulls its bytes. `is_decoded`: they are UTF-8, whatever the document says. NULL if memory ran out. */
xmlParserCtxt *ll_parser_of_pulled(const ll_told *told, void *user, ll_pull_fn pull, void *context, bool is_decoded);

/* A parser of a text in UTF-8, which stays where it is. NULL if memory ran out. */
xmlParserCtxt *ll_parser_of_text(const ll_told *told, void *user, const char *text);

/* What a log's elements tell its reader, which is the context (parse.c). */
void ll_on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                 const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes);
void ll_on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space);
void ll_on_text(void *context, const xmlChar *text, int length);

/* Errors that the parser would print itself, for this thread, until they go where they went before. */
typedef struct ll_problems_former {
    xmlStructuredErrorFunc take;
    void *context;
} ll_problems_former;
ll_problems_former ll_problems_to(void *context, void (*take)(void *context, ll_problem problem));
void ll_problems_back(const ll_problems_former *former);

#endif
