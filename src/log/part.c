/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/part.h"

#include <libxml/parser.h>

#include "base/xml.h"
#include "log/parser.h"
#include "log/units.h"

void ll_part_open(ll_part *part, const ll_allocator *allocator, const ll_input_limits *limits)
{
    *part = (ll_part){.reader = {.allocator = allocator, .limits = limits}};
    ll_reader_open(&part->reader);
}

void ll_part_close(ll_part *part, ll_arena *arena)
{
    ll_arena_adopt(arena, &part->reader.arena);
    ll_reader_close(&part->reader);
}

/* --- reading a run -------------------------------------------------------------------------------------------------- */

/* Means something for more than the run, or is not inside a dive's group. */
static bool is_alien(const ll_reader *reader, const xmlChar *name, int spaces_count)
{
    return (spaces_count > 0 && reader->depth > 0) ||
           (reader->depth == 1 && name != reader->names.element[LL_ROW_PROFILEDATA]);
}

static void leave_to_log(ll_reader *reader)
{
    ll_stop(reader, LL_BAD_INPUT, "not for a part");
}

static void on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *space, int spaces_count,
                     const xmlChar **spaces, int attribute_count, int defaulted_count, const xmlChar **attributes)
{
    if (is_alien(context, name, spaces_count))
        leave_to_log(context);
    ll_on_start(context, name, prefix, space, spaces_count, spaces, attribute_count, defaulted_count, attributes);
}

static void on_problem(void *context, ll_problem problem)
{
    if (problem->level >= XML_ERR_ERROR)
        leave_to_log(context);
}

/* What the reader holds of a run; its arenas keep what was joined. */
static void forget(ll_reader *reader)
{
    reader->error.status = LL_OK;
    reader->row = LL_ROW_NOWHERE;
    reader->depth = reader->skipped = 0;
    reader->end_line = 0;
    reader->in_dive = false;
    reader->total_samples = reader->counted = 0;
    reader->dives.count = 0;
    reader->notes.count = 0;
    for (int written = 0; written < LL_WRITTENS; written++)
        reader->extent[written] = (ll_extent){.count = 0};
    ll_ids_forget(&reader->ids);
}

/* Bytes in the parser's dictionary of names. */
static size_t names_of(const xmlParserCtxt *parser)
{
    return xmlDictGetUsage(parser->dict);
}

static void parse(ll_part *part, xmlParserCtxt *parser)
{
    ll_reader *reader = &part->reader;
    const size_t usual = names_of(parser);
    reader->parser = parser;
    xmlParseDocument(parser);
    part->strange = names_of(parser) - usual;
    part->lines = parser->input ? parser->input->line - 1 : 0;
    part->good = reader->error.status == LL_OK && parser->wellFormed && parser->errNo == XML_ERR_OK;
    reader->parser = NULL;
}

void ll_part_read(ll_part *part, const char *text, long line)
{
    static const ll_told told = {on_start, ll_on_end, ll_on_text, NULL, NULL, on_problem};
    ll_reader *reader = &part->reader;
    forget(reader);
    part->good = false;
    part->strange = 0;
    reader->lines_before = line - 1;
    if (!ll_xml_set_up(reader->allocator))
        return;
    const ll_problems_former former = ll_problems_to(reader, on_problem);
    xmlParserCtxt *parser = ll_parser_of_text(&told, reader, text);
    if (parser && ll_names_make(&reader->names, parser->dict))
        parse(part, parser);
    ll_xml_free(parser);
    ll_problems_back(&former);
}

/* --- joining it ----------------------------------------------------------------------------------------------------- */

static bool is_within_caps(const ll_reader *part, const ll_reader *log)
{
    const ll_input_limits *most = log->limits;
    return part->dives.count <= most->dives - log->dives.count &&
           part->total_samples <= most->total_samples - log->total_samples && part->counted <= most->ids - log->counted;
}

/* The log's number of each id of the part, kept as what the id names there: a part defines nothing. */
static bool number_ids(ll_reader *part, ll_reader *log)
{
    ll_id *id = part->ids.known.items;
    for (size_t i = 0; i < part->ids.known.count; i++) {
        const int number = ll_id_number(&log->ids, &log->arena, log->limits->ids, id[i].text, id[i].length);
        if (number == LL_ID_NO_MEMORY)
            ll_stop_no_memory(log);
        if (number < 0)
            return false;
        id[i].named[0] = number;
    }
    return true;
}

static void renumber(const ll_reader *part, int *id)
{
    if (*id != LL_NONE)
        *id = ((const ll_id *)part->ids.known.items)[*id].named[0];
}

static void renumber_dive(const ll_reader *part, ll_raw_dive *raw)
{
    for (size_t i = 0; i < raw->switches; i++)
        renumber(part, &raw->change[i].id);
    for (size_t i = 0; i < raw->links; i++)
        renumber(part, &raw->link[i].id);
    for (size_t i = 0; i < raw->pressure.count; i++)
        renumber(part, &raw->pressure.id[i]);
    for (size_t i = 0; i < raw->uses; i++) {
        renumber(part, &raw->use[i].id);
        for (size_t k = 0; k < raw->use[i].links; k++)
            renumber(part, &raw->use[i].link[k].id);
    }
}

static bool join_dives(ll_reader *part, ll_reader *log)
{
    ll_raw_dive *raw = part->dives.items;
    for (size_t i = 0; i < part->dives.count; i++)
        renumber_dive(part, &raw[i]);
    return ll_list_append(&log->dives, log->allocator, raw, part->dives.count, sizeof *raw);
}

bool ll_part_join(ll_part *part, ll_reader *log)
{
    ll_reader *from = &part->reader;
    if (!is_within_caps(from, log) || !number_ids(from, log))
        return false;
    if (!join_dives(from, log) || !ll_notes_join(&log->notes, &log->arena, &from->notes)) {
        ll_stop_no_memory(log);
        return false;
    }
    for (int written = 0; written < LL_WRITTENS; written++)
        ll_extent_join(&log->extent[written], &from->extent[written]);
    log->total_samples += from->total_samples;
    log->counted += from->counted;
    return true;
}
