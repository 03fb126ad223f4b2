/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages of a review. */
#include <math.h>
#include <string.h>

#include "assess/review_parts.h"

bool ll_is_student(const ll_diver *diver)
{
    return diver->main != SIZE_MAX && !diver->lead;
}

/* --- histories ---------------------------------------------------------------------------------------------------- */

/* The settings with the water that a diver's recorders were set to. */
static ll_settings settings_of(const ll_review_asked *asked, const char *name)
{
    ll_settings settings = *asked->settings;
    for (size_t i = 0; i < asked->waters; i++)
        if (strcmp(asked->water[i].name, name) == 0) {
            settings.water = asked->water[i].water;
            settings.water_kg_m3 = asked->water[i].kg_m3;
            settings.water_origin = LL_COMMAND_LINE;
        }
    return settings;
}

static ll_status open_diver(ll_review *review, size_t index, ll_error *error)
{
    const ll_diver_asked *asked = &review->asked->diver[index];
    ll_diver *diver = &review->diver[index];
    const ll_settings settings = settings_of(review->asked, diver->name);
    ll_status status = LL_OK;
    diver->recorder = ll_arena_array(review->arena, asked->count, sizeof *diver->recorder);
    if (!diver->recorder)
        return ll_fail_memory(error);
    for (size_t i = 0; i < asked->count && status == LL_OK; i++) {
        ll_recorder *recorder = &diver->recorder[i];
        recorder->log = asked->logs[i];
        recorder->index = SIZE_MAX;
        status = ll_history_make(&asked->logs[i], 1, &settings, NULL, NULL, review->arena->allocator,
                                 &recorder->history, error);
        diver->recorders += status == LL_OK;
    }
    return status;
}

static ll_status open_all(ll_review *review, ll_error *error)
{
    ll_status status = LL_OK;
    review->by_zone = true;
    for (size_t i = 0; i < review->count && status == LL_OK; i++) {
        status = open_diver(review, i, error);
        for (size_t r = 0; r < review->diver[i].recorders; r++)
            review->by_zone &= review->diver[i].recorder[r].history->by_zone;
    }
    return status;
}

void ll_review_close(ll_review *review)
{
    for (size_t d = 0; review->diver && d < review->count; d++)
        for (size_t r = 0; r < review->diver[d].recorders; r++)
            ll_history_free(review->diver[d].recorder[r].history);
    review->count = 0;
}

/* --- each diver ---------------------------------------------------------------------------------------------------- */

static ll_status debrief(ll_review *review, ll_diver *diver, ll_error *error)
{
    const ll_recorder *main = &diver->recorder[diver->main];
    ll_status status = ll_debrief_make(main->history, main->index, review->asked->limits, review->arena,
                                       &diver->debrief, error);
    if (status == LL_OK)
        status = ll_debrief_compare(&diver->debrief, review->arena, error);
    if (status != LL_OK)
        return status;
    ll_review_rows(diver);
    ll_review_course(diver);
    if (diver->debrief.findings.worst > review->worst)
        review->worst = diver->debrief.findings.worst;
    return LL_OK;
}

static ll_status debrief_all(ll_review *review, ll_error *error)
{
    ll_status status = LL_OK;
    for (size_t i = 0; i < review->count && status == LL_OK; i++)
        if (review->diver[i].main != SIZE_MAX)
            status = debrief(review, &review->diver[i], error);
    return status;
}

ll_status ll_review_make(const ll_review_asked *asked, ll_arena *arena, ll_review *review, ll_error *error)
{
    *review = (ll_review){.asked = asked, .arena = arena, .lead = SIZE_MAX, .extract = SIZE_MAX};
    ll_status status = ll_review_names(review, error);
    if (status == LL_OK)
        status = open_all(review, error);
    if (status == LL_OK)
        status = ll_review_find(review, error);
    if (status == LL_OK)
        status = debrief_all(review, error);
    if (status == LL_OK && !(ll_review_team(review) && ll_review_orders(review) && ll_review_plan(review) &&
                             ll_review_differences(review)))
        status = ll_fail_memory(error);
    return status;
}
