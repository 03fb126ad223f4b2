/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parser says of a document that is not well-formed, made a sentence on the reader. For parse.c. */
#ifndef LL_LOG_PROBLEMS_H
#define LL_LOG_PROBLEMS_H

#include <libxml/xmlerror.h>

#include "log/reader.h"

#if LIBXML_VERSION >= 21200
typedef const xmlError *ll_problem;
#else
typedef xmlError *ll_problem;
#endif

/* A structured error of the parser; `context` is the reader. */
void ll_on_problem(void *context, ll_problem problem);

/* Once the document is parsed: what the parser did not tell through ll_on_problem. */
void ll_look_for_silent_failure(ll_reader *reader);

#endif
