/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A parser that pulls its bytes. Used by the files that see the parser. */
#ifndef LL_LOG_PARSER_H
#define LL_LOG_PARSER_H

#include <stdbool.h>

#include <libxml/parser.h>

#include "log/problems.h"

/* Where a parser's bytes come from: up to `capacity` of them, 0 at the end, -1 on failure. */
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

/* NULL if memory ran out. `is_decoded`: the bytes are UTF-8, whatever the document says. */
xmlParserCtxt *ll_parser_make(const ll_told *told, void *user, ll_pull_fn pull, void *context, bool is_decoded);

/* Errors that the parser would print itself, for this thread, until they go where they went before. */
typedef struct ll_problems_former {
    xmlStructuredErrorFunc take;
    void *context;
} ll_problems_former;
ll_problems_former ll_problems_to(void *context, void (*take)(void *context, ll_problem problem));
void ll_problems_back(const ll_problems_former *former);

#endif
