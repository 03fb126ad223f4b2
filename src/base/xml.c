/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What libxml2 allocates for all and for each thread, it takes for granted later: without memory for its state it prints,
 * runs in circles or lets threads wait for each other. So it is set up by one thread at a time and looked at afterwards,
 * and again where that did not succeed. */
#include "base/xml.h"

#include <threads.h>

#include <libxml/globals.h>
#include <libxml/parser.h>
#include <libxml/threads.h>
#include <libxml/xmlerror.h>

#if LIBXML_VERSION >= 21200
typedef const xmlError *problem_ptr;
#else
typedef xmlError *problem_ptr;
#endif

static mtx_t lock;
static bool is_set_up; /* guarded by the lock */

static void make_lock(void)
{
    mtx_init(&lock, mtx_plain);
}

/* --- for the thread ------------------------------------------------------------------------------------------------- */

#if LIBXML_VERSION >= 21200
static bool set_up_thread(const ll_allocator *allocator)
{
    (void)allocator;
    return xmlCheckThreadLocalStorage() == 0;
}
#else
enum { ROOM_BYTES = 8 * sizeof(xmlGlobalState) };

/* Without memory for its state of a thread libxml2 calls itself without end, and it asks the C library, not us. So there
 * must be room just before. It is more than such a state: a heap may keep a small block for the thread that gives it back
 * and yet not have it for calloc, which libxml2 calls. What another thread takes in between is left to chance. */
static bool set_up_thread(const ll_allocator *allocator)
{
    if (xmlIsMainThread())
        return true;
    void *room = allocator->resize(allocator->context, NULL, ROOM_BYTES);
    if (!room)
        return false;
    allocator->resize(allocator->context, room, 0);
    return xmlGetGlobalState() != NULL;
}
#endif

/* --- for all -------------------------------------------------------------------------------------------------------- */

static void on_problem(void *context, problem_ptr problem)
{
    bool *failed = context;
    (void)problem;
    *failed = true;
}

/* The first dictionary makes the lock of all of them, if that is not there yet. */
static bool set_up_all(void)
{
    bool failed = false;
    xmlStructuredErrorFunc former = xmlStructuredError;
    void *former_context = xmlStructuredErrorContext;
    xmlSetStructuredErrorFunc(&failed, on_problem);
    xmlInitParser();
    xmlDict *names = xmlDictCreate();
    xmlDictFree(names);
    xmlResetLastError();
    xmlSetStructuredErrorFunc(former_context, former);
    return names && !failed;
}

bool ll_xml_set_up(const ll_allocator *allocator)
{
    static once_flag once = ONCE_FLAG_INIT;
    call_once(&once, make_lock);
    mtx_lock(&lock);
    bool ready = set_up_thread(allocator);
    is_set_up = is_set_up || (ready && set_up_all());
    ready = ready && is_set_up;
    mtx_unlock(&lock);
    return ready;
}

void ll_xml_free(xmlParserCtxt *parser)
{
    if (!parser)
        return;
    xmlFreeDoc(parser->myDoc);
    parser->myDoc = NULL;
    xmlFreeParserCtxt(parser);
}

/* --- what went wrong ------------------------------------------------------------------------------------------------ */

static bool is_there(const char *encoding)
{
    xmlCharEncodingHandler *handler = xmlFindCharEncodingHandler(encoding);
    if (handler)
        xmlCharEncCloseFunc(handler);
    return handler != NULL;
}

bool ll_xml_ran_out(const struct _xmlError *problem)
{
    if (problem->code == XML_ERR_UNSUPPORTED_ENCODING && problem->str1)
        return is_there(problem->str1);
    return problem->code == XML_ERR_NO_MEMORY;
}
