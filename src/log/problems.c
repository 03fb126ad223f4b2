/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong with a document, in one sentence: cut short, something behind its end, or no well-formed XML. */
#include "log/problems.h"

#include <stdio.h>
#include <string.h>

#include <libxml/parser.h>

#include "base/xml.h"
#include "log/values.h"

/* These last bytes are the beginning of a character or of markup that the end of the data cut. */
static bool is_beginning(const xmlChar *rest, size_t left)
{
    static const char *const markup[] = {"<![CDATA[", "![CDATA[", "<!--", "!--", "-->", "]]>", "/>"};
    if (left == 0)
        return true;
    for (size_t i = 0; i < sizeof markup / sizeof *markup; i++)
        if (left < strlen(markup[i]) && memcmp(rest, markup[i], left) == 0)
            return true;
    size_t whole = rest[0] >= 0xf0 ? 4 : rest[0] >= 0xe0 ? 3 : rest[0] >= 0xc2 ? 2 : 1;
    return left < whole;
}

/* What the parser looks at may be read: while bytes are being converted its view of the buffer is stale. */
static const xmlParserInput *input_at(const ll_reader *reader, const xmlError *problem)
{
    const xmlParserCtxt *parser = reader->parser;
    return parser && problem->domain == XML_FROM_PARSER ? parser->input : NULL;
}

/* The data ended inside a construct that is whole so far. */
static bool is_cut_short(const ll_reader *reader, const xmlError *problem)
{
    const xmlParserInput *input = input_at(reader, problem);
    if (problem->code == XML_ERR_TAG_NAME_MISMATCH || problem->code == XML_ERR_DOCUMENT_END ||
        !ll_is_spent(reader))
        return false;
    return input && is_beginning(input->cur, (size_t)(input->end - input->cur));
}

/* The parser stands before a byte that ends its text, but not the data. */
static bool is_at_nul(const xmlParserInput *input)
{
    return input && input->cur < input->end && *input->cur == 0;
}

/* Behind the end of the log: what stands there is no reason to lose it. */
static void on_problem_behind(ll_reader *reader, ll_problem problem)
{
    const xmlParserInput *input = input_at(reader, problem);
    if (reader->more_follows)
        return;
    reader->more_follows = true;
    const xmlChar *next = input ? input->cur : NULL; /* ends with a 0 */
    bool is_tag = problem->code == XML_ERR_DOCUMENT_END && next && next[0] == '<' && next[1] && next[1] != '/';
    reader->second_document = is_tag || problem->code == XML_ERR_RESERVED_XML_NAME;
}

/* An element around dives does not end as it should. Where it began is not told: while a crew reads the log, the parser has
 * not seen each of that name begin. */
static bool is_around_dives(ll_problem problem)
{
    static const ll_row rows[] = {LL_ROW_UDDF, LL_ROW_PROFILEDATA, LL_ROW_GROUP};
    const bool is_end = problem->code == XML_ERR_TAG_NAME_MISMATCH || problem->code == XML_ERR_TAG_NOT_FINISHED;
    const char *colon = is_end && problem->str1 ? strrchr(problem->str1, ':') : NULL;
    const char *name = colon ? colon + 1 : is_end ? problem->str1 : NULL;
    for (size_t i = 0; name && i < sizeof rows / sizeof *rows; i++)
        if (strcmp(name, ll_element_table[rows[i]].name) == 0)
            return true;
    return false;
}

/* What the parser says, on one line, without the name of its function. */
static const char *words_of(const ll_reader *reader, ll_problem problem, size_t *length)
{
    const char *message = problem->message ? problem->message : "";
    if (problem->code == XML_ERR_INVALID_CHAR || is_at_nul(input_at(reader, problem)))
        message = "a character that XML does not allow";
    const char *colon = strncmp(message, "xml", 3) == 0 ? strstr(message, ": ") : NULL;
    message = colon ? colon + 2 : message;
    *length = strcspn(message, "\r\n");
    return message;
}

void ll_on_problem(void *context, ll_problem problem)
{
    ll_reader *reader = context;
    char sentence[160];
    if (reader->error.status != LL_OK || problem->level < XML_ERR_ERROR || problem->domain == XML_FROM_NAMESPACE)
        return;
    if (ll_xml_ran_out(problem)) {
        ll_fail_memory(&reader->error);
        return;
    }
    if (reader->end_line) {
        on_problem_behind(reader, problem);
        return;
    }
    char own[160];
    size_t length;
    const char *words = words_of(reader, problem, &length);
    if (is_around_dives(problem)) {
        snprintf(own, sizeof own, "expected the end of <%s>%s%s%s", problem->str1, problem->str2 ? ", found that of <" : "",
                 problem->str2 ? problem->str2 : "", problem->str2 ? ">" : "");
        words = own, length = strlen(own);
    }
    reader->cut_short = is_cut_short(reader, problem);
    ll_fail(&reader->error, LL_BAD_INPUT, ll_line(reader), "no well-formed XML in column %d: %s", problem->int2,
            ll_clean(sentence, sizeof sentence, words, length));
}

void ll_look_for_silent_failure(ll_reader *reader)
{
    const xmlParserCtxt *parser = reader->parser;
    bool of_name_spaces = parser->errNo >= XML_NS_ERR_XML_NAMESPACE && parser->errNo <= XML_NS_ERR_COLON;
    if (reader->error.status != LL_OK)
        return;
    if (parser->errNo == XML_ERR_NO_MEMORY)
        ll_stop_no_memory(reader);
    else if (reader->end_line)
        reader->more_follows = reader->more_follows || !ll_is_spent(reader) ||
                               is_at_nul(parser->input);
    else if (!parser->wellFormed || (parser->errNo != XML_ERR_OK && !of_name_spaces))
        ll_stop(reader, LL_BAD_INPUT, "no well-formed XML");
}
