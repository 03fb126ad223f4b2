/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands outside the dives: version, owner, tanks, sites, gradient factors. */
#include <math.h>
#include <string.h>

#include "log/units.h"
#include "log/values.h"

void ll_begin_uddf(ll_reader *reader)
{
    size_t length;
    const char *version = ll_attribute_of(reader, LL_ATTRIBUTE_VERSION, &length);
    if (!version)
        return;
    reader->log->version = ll_arena_text_n(&reader->arena, version, length);
    if (!reader->log->version)
        ll_stop_no_memory(reader);
}

void ll_begin_owner(ll_reader *reader)
{
    reader->word[LL_WORD_FIRST_NAME] = reader->word[LL_WORD_LAST_NAME] = NULL;
}

/* The first owner with a name is the diver. */
void ll_end_owner(ll_reader *reader)
{
    const char *first = reader->word[LL_WORD_FIRST_NAME], *last = reader->word[LL_WORD_LAST_NAME];
    const char **owner = &reader->log->owner;
    if (!first && !last)
        return;
    const char *name = ll_arena_format(&reader->arena, "%s%s%s", first ? first : "", first && last ? " " : "",
                                       last ? last : "");
    if (!name)
        ll_stop_no_memory(reader);
    else if (*owner && strcmp(*owner, name) != 0)
        LL_NOTE_HERE(reader, LL_NOTE_OWNER_REPEATED, ll_line(reader));
    else if (!*owner)
        *owner = name;
}

/* The id of an element that others refer to, as text; "" if it has none. */
static const char *id_text(const ll_reader *reader)
{
    return reader->id == LL_NONE ? "" : ll_id_text(&reader->ids, reader->id);
}

void ll_begin_tank(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_ID);
    reader->word[LL_WORD_NAME] = NULL;
    ll_forget_facts(reader, LL_FACT_VOLUME, LL_FACT_VOLUME);
}

void ll_end_tank(ll_reader *reader)
{
    if (!ll_count_one(reader))
        return;
    ll_tank *tank = ll_list_add(&reader->tanks, reader->allocator, sizeof *tank);
    if (!tank) {
        ll_stop_no_memory(reader);
        return;
    }
    *tank = (ll_tank){id_text(reader), reader->word[LL_WORD_NAME],
                      ll_volume_l(reader, ll_fact_of(reader, LL_FACT_VOLUME))};
    ll_define(reader, reader->id, LL_ID_TANK, (int)reader->tanks.count - 1);
}

void ll_begin_site(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_ID);
    reader->word[LL_WORD_NAME] = NULL;
    ll_forget_facts(reader, LL_FACT_SITE_ALTITUDE, LL_FACT_SITE_DENSITY);
}

void ll_end_site(ll_reader *reader)
{
    if (!ll_count_one(reader))
        return;
    ll_site *site = ll_list_add(&reader->sites, reader->allocator, sizeof *site);
    if (!site) {
        ll_stop_no_memory(reader);
        return;
    }
    *site = (ll_site){id_text(reader), reader->word[LL_WORD_NAME], ll_fact_of(reader, LL_FACT_SITE_ALTITUDE),
                      ll_fact_of(reader, LL_FACT_SITE_DENSITY)};
    ll_define(reader, reader->id, LL_ID_SITE, (int)reader->sites.count - 1);
}

void ll_begin_buehlmann(ll_reader *reader)
{
    ll_forget_facts(reader, LL_FACT_FACTOR_LOW, LL_FACT_FACTOR_HIGH);
}

/* A pair counts if 0 < low <= high <= 1; above 1.5 both are percent, with a note. The log's factors are those of its only
 * pair. */
void ll_end_buehlmann(ll_reader *reader)
{
    double low = ll_fact_of(reader, LL_FACT_FACTOR_LOW), high = ll_fact_of(reader, LL_FACT_FACTOR_HIGH);
    ll_extent extent = {.count = 0};
    if (!isnan(high))
        ll_extent_add(&extent, high, ll_line(reader));
    const ll_unit *unit = ll_unit_of(reader, &reader->notes, LL_FRACTION, "gradientfactorhigh", &extent);
    low = ll_in_unit(unit, low);
    high = ll_in_unit(unit, high);
    if (!(low > 0 && low <= high && high <= 1))
        return;
    ll_log *log = reader->log;
    if (reader->factor_pairs && low == log->gf_low_fraction && high == log->gf_high_fraction)
        return;
    reader->factor_pairs++;
    log->gf_low_fraction = reader->factor_pairs == 1 ? low : NAN;
    log->gf_high_fraction = reader->factor_pairs == 1 ? high : NAN;
}
