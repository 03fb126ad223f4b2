/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks as used (`tankdata`), and the links of a dive. */
#include "log/units.h"
#include "log/values.h"

void ll_begin_use(ll_reader *reader)
{
    reader->use = (ll_raw_use){.id = ll_attribute_id(reader, LL_ATTRIBUTE_ID), .line = ll_line(reader)};
    ll_forget_facts(reader, LL_FACT_VOLUME, LL_FACT_END);
}

void ll_end_use(ll_reader *reader)
{
    ll_raw_use *use = &reader->use;
    use->volume_l = ll_volume_l(reader, ll_fact_of(reader, LL_FACT_VOLUME));
    use->begin_bar = ll_fact_of(reader, LL_FACT_BEGIN);
    use->end_bar = ll_fact_of(reader, LL_FACT_END);
    ll_settle_tank(reader, &use->begin_bar, &use->end_bar);
    ll_list *uses = reader->in_dive ? &reader->uses : &reader->shared_uses;
    if (!ll_count_one(reader))
        return;
    if (!ll_list_append(uses, reader->allocator, use, 1, sizeof *use))
        ll_stop_no_memory(reader);
    else if (!reader->in_dive)
        ll_define(reader, use->id, LL_ID_USE, (int)uses->count - 1);
}

/* A link of a tank use to its tank or mix: the first few. */
void ll_begin_part_link(ll_reader *reader)
{
    ll_link link = {.id = ll_attribute_id(reader, LL_ATTRIBUTE_REF), .line = ll_line(reader)};
    if (link.id == LL_NONE || !ll_count_one(reader))
        return;
    if (reader->use.links < LL_USE_LINKS)
        reader->use.link[reader->use.links++] = link;
    else
        LL_NOTE_HERE(reader, LL_NOTE_LINK_SEVERAL, link.line, "tank or mix");
}

static void add_link(ll_reader *reader, bool to_use, bool to_mix)
{
    ll_link link = {ll_attribute_id(reader, LL_ATTRIBUTE_REF), to_use, to_mix, ll_line(reader)};
    if (link.id == LL_NONE || !ll_count_one(reader))
        return;
    if (!ll_list_append(&reader->links, reader->allocator, &link, 1, sizeof link))
        ll_stop_no_memory(reader);
}

void ll_begin_dive_link(ll_reader *reader)
{
    add_link(reader, false, false);
}

void ll_begin_use_link(ll_reader *reader)
{
    add_link(reader, true, false);
}

void ll_begin_mix_link(ll_reader *reader)
{
    add_link(reader, false, true);
}
