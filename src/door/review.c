/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The review. */
#include "assess/review.h"
#include "door/rendering.h"
#include "report/review_report.h"
#include "standard/standard.h"

/* --- what is asked ------------------------------------------------------------------------------------------------ */

static ll_dive_asked dive_asked(const leadline_selection *selection)
{
    if (selection->by == LEADLINE_NUMBERS)
        return (ll_dive_asked){.first = selection->first, .last = selection->last};
    if (selection->by == LEADLINE_DAY)
        return (ll_dive_asked){.has_day = true, .day = selection->day};
    return (ll_dive_asked){0};
}

/* The door's words as the layers below know them; they live in `arena`. False if memory ran out. */
static bool translate(const leadline_review_asked *from, ll_arena *arena, ll_review_asked *asked)
{
    ll_diver_asked *diver = ll_arena_array(arena, from->divers, sizeof *diver);
    ll_clock_asked *clock = ll_arena_array(arena, from->clocks, sizeof *clock);
    ll_water_asked *water = ll_arena_array(arena, from->waters, sizeof *water);
    ll_pair_asked *pair = ll_arena_array(arena, from->pairs, sizeof *pair);
    if (!diver || !clock || !water || !pair)
        return false;
    for (size_t i = 0; i < from->divers; i++)
        diver[i] = (ll_diver_asked){from->diver[i].name, from->diver[i].count,
                                    (const ll_log *const *)from->diver[i].logs};
    for (size_t i = 0; i < from->clocks; i++)
        clock[i] = (ll_clock_asked){from->clock[i].name, from->clock[i].seconds};
    for (size_t i = 0; i < from->waters; i++)
        water[i] = (ll_water_asked){from->water[i].name, from->water[i].water, from->water[i].kg_m3};
    for (size_t i = 0; i < from->pairs; i++)
        pair[i] = (ll_pair_asked){from->pair[i].one, from->pair[i].other};
    *asked = (ll_review_asked){.divers = from->divers, .diver = diver, .plan = from->plan,
                               .dive = dive_asked(&from->dive), .trust_clocks = from->trust_clocks,
                               .clocks = from->clocks, .clock = clock, .waters = from->waters, .water = water,
                               .pairs = from->pairs, .pair = pair, .lead = from->lead, .extract = from->extract};
    return true;
}

/* --- the page --------------------------------------------------------------------------------------------------------- */

/* Every column of each diver that the page shows. */
static ll_status make_tracks(const ll_review *review, ll_arena *arena, const ll_track ***tracks, ll_error *error)
{
    const ll_track **list = ll_arena_array(arena, review->count, sizeof *list);
    ll_status status = list ? LL_OK : ll_fail_memory(error);
    for (size_t i = 0; i < review->count && status == LL_OK; i++) {
        const ll_debrief *debrief = &review->diver[i].debrief;
        if (!ll_review_has(review, i))
            continue;
        ll_track *track = ll_arena_alloc(arena, sizeof *track);
        status = track ? ll_replay_columns(&debrief->profile, &debrief->history->settings, &debrief->entry->start,
                                           LL_SET_ALL | LL_SET_HEADROOM, arena, track, error)
                       : ll_fail_memory(error);
        list[i] = track;
    }
    *tracks = list;
    return status;
}

static ll_status render(ll_text *text, const ll_review *review, const leadline_output *output, ll_arena *arena,
                        ll_error *error)
{
    const ll_look look = ll_look_of(output);
    const ll_track **tracks;
    ll_status status = LL_OK;
    switch (output->format) {
    case LEADLINE_TEXT:
        ll_review_text(text, review, &look);
        break;
    case LEADLINE_JSON:
        ll_review_json(text, review, &look);
        break;
    case LEADLINE_CSV:
        ll_review_csv(text, review, &look);
        break;
    case LEADLINE_HTML:
        status = make_tracks(review, arena, &tracks, error);
        if (status == LL_OK)
            ll_review_html(text, review, tracks, &look);
        break;
    }
    return status;
}

static ll_status write_review(const ll_review *review, const leadline_output *output, ll_arena *arena, ll_error *error)
{
    ll_text text;
    ll_text_open(&text, NULL, output->write, output->context);
    ll_status status = render(&text, review, output, arena, error);
    if (status == LL_OK && !ll_text_flush(&text))
        status = text.no_memory ? ll_fail_memory(error)
                                : ll_fail(error, LL_BAD_OUTPUT, 0, "the output could not be written");
    ll_text_close(&text);
    return status;
}

ll_status leadline_review(const leadline_review_asked *from, const ll_settings *settings, const leadline_output *output,
                          int *worst, ll_error *error)
{
    ll_arena arena;
    ll_limits limits;
    ll_review_asked asked;
    ll_review review = {0};
    ll_limits_built_in(&limits);
    if (output->standard)
        ll_standard_apply(output->standard, NULL, &limits);
    ll_arena_open(&arena, NULL);
    ll_status status = translate(from, &arena, &asked) ? LL_OK : ll_fail_memory(error);
    asked.settings = settings;
    asked.limits = &limits;
    if (output->standard && output->standard->kept[LL_LIMIT_SEPARATION].given)
        asked.separation = &output->standard->kept[LL_LIMIT_SEPARATION].limit;
    if (status == LL_OK)
        status = ll_review_make(&asked, &arena, &review, error);
    if (status == LL_OK)
        status = write_review(&review, output, &arena, error);
    if (worst)
        *worst = status == LL_OK ? (int)review.worst : 0;
    ll_review_close(&review);
    ll_arena_close(&arena);
    return status;
}
