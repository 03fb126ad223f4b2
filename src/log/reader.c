/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading one log from its source to the end: open, parse, follow references, close. */
#include "log/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "log/shares.h"
#include "log/values.h"

ptrdiff_t ll_take(ll_reader *reader, void *bytes, size_t capacity)
{
    const size_t kept = reader->shares ? ll_shares_give(reader->shares, bytes, capacity) : 0;
    return kept > 0 ? (ptrdiff_t)kept : ll_source_take(reader->source, bytes, capacity);
}

bool ll_is_spent(const ll_reader *reader)
{
    return (!reader->shares || ll_shares_is_empty(reader->shares)) && (!reader->source || ll_source_is_spent(reader->source));
}

bool ll_count_one(ll_reader *reader)
{
    if (reader->counted++ < reader->limits->ids)
        return true;
    ll_stop(reader, LL_BAD_INPUT, "more than %zu mixes, tanks, sites and links", reader->limits->ids);
    return false;
}

/* A log that breaks off keeps its whole dives. */
static void keep_whole_dives(ll_reader *reader)
{
    char place[LL_SHOWN];
    if (!reader->cut_short)
        return;
    if (reader->dives.count == 0) {
        ll_fail(&reader->error, LL_BAD_INPUT, reader->error.line, "the log breaks off before its first whole dive");
        return;
    }
    snprintf(place, sizeof place, "line %ld", reader->error.line);
    reader->in_dive = false;
    long line = reader->error.line;
    reader->error = (ll_error){.status = LL_OK};
    LL_NOTE_HERE(reader, LL_NOTE_LOG_TRUNCATED, line, place);
}

/* What the source repaired, overruled, lacked or passed over. */
static void note_bytes(ll_reader *reader)
{
    const ll_decoder *decoder = ll_source_decoder(reader->source);
    const char *contradicted = ll_source_contradicted(reader->source);
    char shown[LL_SHOWN];
    if (contradicted)
        LL_NOTE_HERE(reader, LL_NOTE_ENCODING_CONTRADICTED, 1, ll_shown(shown, contradicted, strlen(contradicted)),
                     ll_encoding_names[decoder->encoding]);
    if (decoder->repaired)
        LL_NOTE_HERE(reader, LL_NOTE_ENCODING_REPAIRED, decoder->repaired_line,
                     ll_encoding_names[decoder->encoding], ll_encoding_stand_ins[decoder->encoding], decoder->repaired);
    if (ll_source_is_cut(reader->source) && !ll_has_note(&reader->notes, LL_NOTE_LOG_TRUNCATED))
        LL_NOTE_HERE(reader, LL_NOTE_LOG_TRUNCATED, 0, "the gzip data has no end");
    if (reader->second_document)
        LL_NOTE_HERE(reader, LL_NOTE_SECOND_DOCUMENT, reader->end_line);
    else if (reader->more_follows || (reader->end_line && ll_source_is_padded(reader->source)))
        LL_NOTE_HERE(reader, LL_NOTE_TRAILING_BYTES, reader->end_line);
}

/* Behind the end of a log bytes are still read as text, wherever its parser stopped: what they say of the whole (damage, an
 * encoding that they contradict) does not hang on how far that had read. */
static void read_rest(ll_reader *reader)
{
    unsigned char rest[4096];
    ptrdiff_t got = 1;
    while (reader->error.status == LL_OK && got > 0)
        got = ll_take(reader, rest, sizeof rest);
    reader->met_failure = reader->met_failure || got < 0;
}

static void take_source_failure(ll_reader *reader)
{
    ll_error failure;
    if (reader->met_failure && ll_source_status(reader->source, &failure) != LL_OK && reader->error.status != LL_NO_MEMORY) {
        failure.line = reader->error.line;
        reader->error = failure;
        reader->cut_short = false;
    }
}

static void free_lists(ll_reader *reader)
{
    ll_list *const lists[] = {&reader->mixes,      &reader->tanks,     &reader->sites,  &reader->shared_uses,
                              &reader->dives,      &reader->samples,   &reader->switches, &reader->modes,
                              &reader->set_points, &reader->own_stops, &reader->alarms, &reader->uses,
                              &reader->links,      &reader->places};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        ll_list_free(lists[i], reader->allocator);
    for (int kind = 0; kind < LL_READINGS; kind++) {
        ll_list_free(&reader->readings[kind].series, reader->allocator);
        ll_list_free(&reader->readings[kind].values, reader->allocator);
    }
}

void ll_reader_close(ll_reader *reader)
{
    free_lists(reader);
    ll_ids_free(&reader->ids, reader->allocator);
    ll_ids_free(&reader->alike, reader->allocator);
    if (reader->text)
        reader->allocator->resize(reader->allocator->context, reader->text, 0);
    ll_shares_close(reader->shares, &reader->arena);
    ll_source_close(reader->source);
    ll_arena_close(&reader->scratch);
}

void ll_reader_open(ll_reader *reader)
{
    ll_arena_open(&reader->arena, reader->allocator);
    ll_arena_open(&reader->scratch, reader->allocator);
    reader->air = LL_NONE;
    ll_forget_facts(reader, 0, LL_FACTS - 1);
}

static void begin_log(ll_reader *reader, const char *name)
{
    reader->log = ll_arena_alloc(&reader->arena, sizeof *reader->log);
    const char *copy = reader->log ? ll_arena_text(&reader->arena, name) : NULL;
    if (!copy) {
        ll_stop_no_memory(reader);
        return;
    }
    reader->log->name = copy;
    reader->log->gf_low_fraction = reader->log->gf_high_fraction = NAN;
}

static void read_all(ll_reader *reader, ll_read_fn read, ll_hash_fn hash, void *context, const ll_crew *crew)
{
    if (ll_source_open(read, hash, context, reader->allocator, reader->limits->total_bytes, &reader->source,
                       &reader->error) != LL_OK)
        return;
    if (ll_source_decoder(reader->source)->encoding != LL_ENCODING_OTHER)
        reader->shares = ll_shares_open(crew, reader);
    ll_parse(reader);
    read_rest(reader);
    take_source_failure(reader);
    keep_whole_dives(reader);
    if (reader->error.status != LL_OK)
        return;
    note_bytes(reader);
    if (ll_source_finish(reader->source, reader->log->sha256, &reader->error) == LL_OK)
        ll_finish_log(reader);
}

ll_status ll_log_read(const char *name, ll_read_fn read, void *context, const ll_allocator *allocator,
                      const ll_input_limits *limits, ll_log **log, ll_error *error)
{
    return ll_log_read_by(name, read, NULL, context, NULL, allocator, limits, log, error);
}

ll_status ll_log_read_by(const char *name, ll_read_fn read, ll_hash_fn hash, void *context, const ll_crew *crew,
                         const ll_allocator *allocator, const ll_input_limits *limits, ll_log **log, ll_error *error)
{
    ll_reader reader = {.allocator = allocator ? allocator : &ll_heap,
                        .limits = limits ? limits : &ll_input_limits_built_in};
    *log = NULL;
    ll_reader_open(&reader);
    begin_log(&reader, name);
    if (reader.error.status == LL_OK)
        read_all(&reader, read, hash, context, crew);
    ll_reader_close(&reader);
    if (reader.error.status != LL_OK) {
        ll_arena_close(&reader.arena);
        return ll_fail(error, reader.error.status, reader.error.line, "%s", reader.error.text);
    }
    reader.log->arena = reader.arena;
    *log = reader.log;
    return LL_OK;
}
