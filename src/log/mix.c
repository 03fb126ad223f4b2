/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Breathing gases as the log defines them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "log/values.h"

#define SUM_SLACK 0.02    /* of the fractions of one mix, and of a fraction above 1 */
#define ROUNDING 1e-9

void ll_mix_label(double o2_fraction, double he_fraction, char *label, size_t size)
{
    long o2 = lround(100 * o2_fraction), he = lround(100 * he_fraction);
    if (he_fraction > 0)
        snprintf(label, size, "%ld/%ld", o2, he);
    else if (fabs(o2_fraction - 0.21) < ROUNDING)
        snprintf(label, size, "air");
    else if (o2_fraction >= 0.995)
        snprintf(label, size, "oxygen");
    else
        snprintf(label, size, "EAN%ld", o2);
}

void ll_begin_mix(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_ID);
    reader->word[LL_WORD_NAME] = NULL;
    ll_forget_facts(reader, LL_FACT_O2, LL_FACT_MAXIMUM_DEPTH);
}

/* Decided for the mix as a whole: a component over 1 means that all of them are percent. */
static bool is_percent(const double part[5])
{
    for (int i = 0; i < 5; i++)
        if (part[i] > 1 + SUM_SLACK)
            return true;
    return false;
}

static double known(double value)
{
    return isnan(value) ? 0 : value;
}

/* Fractions as written (o2, n2, he, ar, h2; NaN where absent) to a mix, with notes. */
static void settle(ll_reader *reader, ll_mix *mix, double part[5])
{
    char id[LL_SHOWN];
    long line = ll_line(reader);
    ll_shown(id, mix->id, strlen(mix->id));
    if (is_percent(part)) {
        for (int i = 0; i < 5; i++)
            part[i] /= 100;
        LL_NOTE_HERE(reader, LL_NOTE_MIX_PERCENT, line, id);
    }
    double other = known(part[3]) + known(part[4]);
    double sum = known(part[0]) + known(part[1]) + known(part[2]) + other;
    mix->o2_fraction = part[0];
    mix->he_fraction = known(part[2]);
    if (other > 0)
        LL_NOTE_HERE(reader, LL_NOTE_MIX_OTHER_GAS, line, id);
    mix->usable = part[0] > 0 && part[0] <= 1 + ROUNDING && part[0] + mix->he_fraction <= 1 + SUM_SLACK;
    if (!mix->usable) {
        LL_NOTE_HERE(reader, LL_NOTE_MIX_UNUSABLE, line, id);
        return;
    }
    bool over = part[0] + mix->he_fraction > 1 + ROUNDING; /* some helium has to go */
    if (over || sum > 1 + SUM_SLACK + ROUNDING || (!isnan(part[1]) && sum < 1 - SUM_SLACK - ROUNDING))
        LL_NOTE_HERE(reader, LL_NOTE_MIX_SUM, line, id);
    mix->o2_fraction = fmin(mix->o2_fraction, 1);
    mix->he_fraction = fmin(mix->he_fraction, 1 - mix->o2_fraction);
}

/* Adds a mix to the log's; its place, LL_NONE if memory ran out. */
static int add_mix(ll_reader *reader, ll_mix mix)
{
    char label[32] = "unknown";
    if (mix.usable)
        ll_mix_label(mix.o2_fraction, mix.he_fraction, label, sizeof label);
    mix.label = ll_arena_text(&reader->arena, label);
    ll_mix *added = mix.label ? ll_list_add(&reader->mixes, reader->allocator, sizeof mix) : NULL;
    if (!added) {
        ll_stop_no_memory(reader);
        return LL_NONE;
    }
    *added = mix;
    return (int)reader->mixes.count - 1;
}

void ll_end_mix(ll_reader *reader)
{
    if (!ll_count_one(reader))
        return;
    double part[5];
    for (int i = 0; i < 5; i++)
        part[i] = ll_fact_of(reader, LL_FACT_O2 + i);
    ll_mix mix = {.id = reader->id == LL_NONE ? "" : ll_id_text(&reader->ids, reader->id),
                  .name = reader->word[LL_WORD_NAME],
                  .maximum_po2_bar = ll_fact_of(reader, LL_FACT_MAXIMUM_PO2),
                  .maximum_depth_m = ll_fact_of(reader, LL_FACT_MAXIMUM_DEPTH)};
    settle(reader, &mix, part);
    int place = add_mix(reader, mix);
    if (place != LL_NONE)
        ll_define(reader, reader->id, LL_ID_MIX, place);
}

int ll_unnamed_air(ll_reader *reader)
{
    if (reader->air == LL_NONE)
        reader->air = add_mix(reader, (ll_mix){.id = "", .o2_fraction = 0.21, .usable = true, .maximum_po2_bar = NAN,
                                               .maximum_depth_m = NAN});
    return reader->air;
}
