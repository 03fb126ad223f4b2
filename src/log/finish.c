/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The end of a log: every id is known now, so references are followed and the log is filled. */
#include <math.h>

#include "log/units.h"
#include "log/values.h"

static void take_site_density(const ll_reader *reader, ll_dive *dive)
{
    const ll_site *site = reader->sites.items;
    if (isnan(dive->density_kg_m3) && dive->site != LL_NONE)
        dive->density_kg_m3 = site[dive->site].density_kg_m3;
}

static bool finish_dives(ll_reader *reader)
{
    ll_raw_dive *raw = reader->dives.items;
    size_t count = reader->dives.count;
    ll_dive *dive = ll_arena_array(&reader->arena, count, sizeof *dive);
    if (!dive)
        return false;
    ll_settle_units(reader);
    for (size_t i = 0; i < count; i++) {
        if (!ll_resolve_tanks(reader, &raw[i]) || !ll_resolve_spans(reader, &raw[i]))
            return false;
        take_site_density(reader, &raw[i].dive);
        dive[i] = raw[i].dive;
    }
    reader->log->dive = dive;
    reader->log->dives = count;
    return true;
}

static bool finish_lists(ll_reader *reader)
{
    ll_log *log = reader->log;
    log->mix = ll_list_copy(&reader->mixes, &reader->arena, sizeof *log->mix);
    log->site = ll_list_copy(&reader->sites, &reader->arena, sizeof *log->site);
    log->tank = ll_list_copy(&reader->tanks, &reader->arena, sizeof *log->tank);
    log->mixes = reader->mixes.count;
    log->sites = reader->sites.count;
    log->tanks = reader->tanks.count;
    log->writer = reader->word[LL_WORD_WRITER];
    log->notes = reader->notes;
    return log->mix && log->site && log->tank;
}

bool ll_finish_log(ll_reader *reader)
{
    if (finish_dives(reader) && finish_lists(reader) && reader->error.status == LL_OK)
        return true;
    ll_stop_no_memory(reader);
    return false;
}
